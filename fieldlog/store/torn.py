"""A file whose end was cut off in the writing, made fit to be added to."""

from pathlib import Path

from fieldlog.store.atomic import replace_file
from fieldlog.store.blocks import remarks_of
from fieldlog.store.document import BOM, Document


def mended(path: Path, document: Document, data: bytes) -> bytes:
    """Turn the torn end of a file into remarks; return the new bytes, of which the good old ones are a prefix."""
    good = document.text[: document.torn].encode("utf-8", "surrogateescape")
    if data.startswith(BOM):
        good = BOM + good
    newline = newline_of(good)
    gap = newline.encode() if good and not good.endswith(b"\n") else b""
    whole = good + gap + remarks_of(document, newline).encode("utf-8")
    replace_file(path, whole)
    return whole


def newline_of(data: bytes) -> str:
    """Return how the lines of a file end."""
    return "\r\n" if b"\r\n" in data else "\n"
