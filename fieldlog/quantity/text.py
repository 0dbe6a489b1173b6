"""Text that came from a file or a keyboard, made harmless before anybody sees it."""

import re
import unicodedata

_SLUG_BREAKS = re.compile(r"[^a-z0-9]+")
_LONGEST_SLUG = 40


def harmless(text: str) -> str:
    r"""Return `text` with control, format and line-breaking characters shown as \xNN instead of obeyed."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_shown(char) for char in text)


def _shown(char: str) -> str:
    if char.isprintable():
        return char
    code = ord(char)
    return f"\\x{code:02x}" if code <= 0xFF else f"\\u{code:04x}"


def slug(text: str) -> str:
    """Return a short name fit for a file or a key: lower-case letters, digits and single dashes."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return _SLUG_BREAKS.sub("-", plain).strip("-")[:_LONGEST_SLUG].strip("-")


def unused_slug(text: str, taken: frozenset[str], fallback: str = "item") -> str:
    """Return the slug of `text`, with -2, -3 ... behind it when it is already taken."""
    base = slug(text) or fallback
    if base not in taken:
        return base
    number = 2
    while f"{base}-{number}" in taken:
        number += 1
    return f"{base}-{number}"
