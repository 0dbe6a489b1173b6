"""Text that came from a file or a keyboard, made harmless before anybody sees it.

Dates in words, one way for every sentence and page; files and data keep 2026-11-03.
"""

import datetime
import re
import unicodedata

_SLUG_BREAKS = re.compile(r"[^a-z0-9]+")
_LONGEST_SLUG = 40
_LONGEST_SHOWN = 60


def harmless(text: str) -> str:
    r"""Return `text` with control, format and line-breaking characters shown as \xNN instead of obeyed."""
    if text.isprintable():
        return text
    return "".join(_shown(char) for char in text)


def _shown(char: str) -> str:
    if char.isprintable():
        return char
    code = ord(char)
    return f"\\x{code:02x}" if code <= 0xFF else f"\\u{code:04x}"


def shortened(text: str) -> str:
    """Return a piece of a file, harmless and short enough for a sentence."""
    plain = harmless(text[: _LONGEST_SHOWN * 2])
    return plain if len(plain) <= _LONGEST_SHOWN else plain[: _LONGEST_SHOWN - 3] + "..."


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


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_text(day: datetime.date | None) -> str:
    """Return a date as 3 Nov 2026, or 'never'."""
    return f"{day.day} {month_text(day)}" if day is not None else "never"


def month_text(day: datetime.date) -> str:
    """Return month and year of a date, as Nov 2026."""
    return f"{_MONTHS[day.month - 1]} {day.year}"
