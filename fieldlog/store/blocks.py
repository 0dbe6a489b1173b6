"""Entries as the text that is added to a round file, and a torn end as remarks.

A file whose end was cut off in the writing, made fit to be added to.
"""

from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Event,
    Keep,
    LengthReading,
    LigamentReading,
    Note,
    PinReading,
    Round,
    Strike,
    ThreadReading,
    WallReading,
)
from fieldlog.store.atomic import replace_file
from fieldlog.store.document import BOM, FORMAT, Document
from fieldlog.store.round_reader import ENTRY_KINDS
from fieldlog.store.schema import table_from
from fieldlog.store.toml_text import Table

E = TypeVar("E", bound=AnyEntry)

_TORN_MARK = "# cut off in writing: "
_LAST_SINGLE_DIGIT = 8
_MEASURED = BoreReading | PinReading | LengthReading | ThreadReading | LigamentReading | WallReading
_KIND_OF = {record: kind for kind, record in ENTRY_KINDS.items()}


def kind_of(entry: AnyEntry) -> str:
    """Return the heading an entry stands under."""
    return _KIND_OF[type(entry)]


def head_text(head: Round) -> str:
    """Return the lines that a round file begins with."""
    table: Table = {"format": FORMAT, "date": head.date, "who": head.who}
    temperature = head.temperature.typed if head.temperature is not None else ""
    used = (("instrument", head.instrument), ("tape", head.tape), ("temperature", temperature))
    table |= {key: value for key, value in used if value}
    return _toml(table)


def entry_text(entry: AnyEntry, head: Round, newline: str) -> str:
    """Return an entry as TOML with `at` as its last line, a blank line before it."""
    of_head = {"instrument": _fallback(entry, head), "temperature": head.temperature}
    table = table_from(entry, leave_out=of_head, is_terse=True)
    return f"\n[[{kind_of(entry)}]]\n{_toml(table)}".replace("\n", newline)


def as_stored(entry: E, head: Round, typed_with: Round, taken: frozenset[str]) -> E:
    """Return the entry as it will stand: of this round, at a time of its own, with what it was measured with.

    `head` is what the file says; `typed_with` is what the person has in hand now, which may be another caliper.
    """
    entry = replace(entry, at=free_time(entry.at, taken), round=head.id, day=head.date, who=head.who)
    if isinstance(entry, Note | Event):
        return replace(entry, text=_writable(entry.text))
    if isinstance(entry, Strike | Keep):
        return replace(entry, why=_writable(entry.why))
    if isinstance(entry, LengthReading) and entry.temperature is None:
        entry = replace(entry, temperature=typed_with.temperature or head.temperature)
    if isinstance(entry, _MEASURED) and not entry.instrument:
        return replace(entry, instrument=_fallback(entry, typed_with) or _fallback(entry, head))
    return entry


def free_time(at: str, taken: frozenset[str]) -> str:
    """Return a time that no other entry has, in an order that text sorts by: .2 to .8, then .900009 onwards."""
    name, number = at, 2
    while name in taken:
        name = f"{at}.{number}" if number <= _LAST_SINGLE_DIGIT else f"{at}.9{number:05d}"
        number += 1
    return name


def remarks_of(document: Document, newline: str) -> str:
    """Return the torn end of a file as remarks, so that nothing of it is thrown away."""
    rows = document.text[document.torn :].replace("\0", "").splitlines()
    return "".join(f"{_TORN_MARK}{_remark(row)}{newline}" for row in rows if row.strip())


def _remark(row: str) -> str:
    """Return text that may stand in a TOML comment."""
    plain = row.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(char if char == "\t" or char.isprintable() else f"\\x{ord(char):02x}" for char in plain)


def _fallback(entry: AnyEntry, head: Round) -> str:
    return head.tape if isinstance(entry, LengthReading | ThreadReading) else head.instrument


def _writable(text: str) -> str:
    """Return text without the half characters that a broken paste can hold and no file can."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _toml(table: Table) -> str:
    import tomli_w

    return tomli_w.dumps(table, multiline_strings=False)


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
