"""TOML text into a table, and the parser's complaints in plain words with line and column."""

import re
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from tomli import loads

from fieldlog.quantity.text import harmless

Table = dict[str, object]

_LONGEST_LINE = 10_000  # the parsers take a time that grows with the square of a dotted key's length
_LONGEST_SHOWN = 60
_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_MANY_DIGITS = re.compile(r"[0-9_]{1000,}")
_QUOTES = 'put text and sizes in quotes, as in size = "19.42 mm", and write numbers with a point, as in 1234.5'
_PLAIN: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "Expected '='": ("there is no = after the key", 'write key = "value"'),
        "Invalid value": ("the value cannot be read", _QUOTES),
        "Expected newline": ("something is left over after the value", _QUOTES),
        "Unterminated string": ("the text has no closing quote", _QUOTES),
        "Illegal character": ("a character stands here that must not", _QUOTES),
        "Found invalid character": ("a character stands here that must not", _QUOTES),
        'Expected "': ("the text has no closing quote", _QUOTES),
        "Expected '": ("a bracket or quote is not closed", "close it on the same line"),
        "Cannot overwrite": ("the key stands twice", "keep one of the two"),
        "Cannot declare": ("the heading clashes with one above", "write [[...]] before each record"),
        "Cannot mutate": ("the heading clashes with a key above", "write [[...]] before each record"),
        "Cannot redefine": ("the heading clashes with one above", "write [[...]] before each record"),
        "Duplicate inline": ("a key stands twice between the braces", "keep one of the two"),
        "Invalid statement": ("this is neither a key nor a heading", 'write key = "value", or # before a remark'),
        "Invalid initial character": ("a key cannot begin like this", 'write key = "value"'),
        "Unclosed array": ("the list is not closed", "close it with ]"),
        "Unclosed inline": ("the braces are not closed", "close them with }"),
        "Invalid date": ("there is no such date or time", "write a date as 2026-03-04"),
        "Unescaped": ("a backslash stands alone", "write it twice"),
        "Exceeds the limit": ("the number has too many digits", "write a number that a person can read"),
    }
)


class UnreadableText(Exception):
    """What keeps a text from being read; `line` counts from 1 within the text and is 0 where nobody can tell."""

    def __init__(self, line: int, wrong: str, accepted: str) -> None:
        super().__init__(wrong)
        self.line = line
        self.wrong = wrong
        self.accepted = accepted


def parse_table(text: str) -> Table:
    """Return the table that a TOML text holds, decimals as `Decimal`.

    Raises:
        UnreadableText: it is no TOML, or more of it than a person would ever write.
    """
    if len(text) > _LONGEST_LINE:
        _check_lines(text)
    try:
        return loads(text, parse_float=Decimal)
    except RecursionError:
        raise UnreadableText(0, "something is nested far too deep", "write plain keys and values") from None
    except (ValueError, ArithmeticError) as error:  # a number may be beyond what int or Decimal takes
        raise _in_plain_words(text, error) from None


def shortened(text: str) -> str:
    """Return a piece of a file, harmless and short enough for a sentence."""
    plain = harmless(text[: _LONGEST_SHOWN * 2])
    return plain if len(plain) <= _LONGEST_SHOWN else plain[: _LONGEST_SHOWN - 3] + "..."


def _check_lines(text: str) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > _LONGEST_LINE:
            wrong = f"the line is {len(line)} characters long"
            raise UnreadableText(number, wrong, f"at most {_LONGEST_LINE} characters")


def _in_plain_words(text: str, error: Exception) -> UnreadableText:
    message = str(error)
    lines = text.split("\n")
    place = _PLACE.search(message)
    line = int(place[1]) if place else _line_without_place(text, message)
    wrong, accepted = _plain(message)
    shown = shortened(lines[line - 1].strip()) if 0 < line <= len(lines) else ""
    if shown:
        wrong = f"{wrong} at column {place[2]} of `{shown}`" if place else f"{wrong} in `{shown}`"
    return UnreadableText(line, wrong, accepted)


def _plain(message: str) -> tuple[str, str]:
    for beginning, words in _PLAIN.items():
        if message.startswith(beginning):
            return words
    return "this cannot be read", 'write key = "value" on a line of its own'


def _line_without_place(text: str, message: str) -> int:
    """The line of a complaint that names none: the last one that says something, or the one with the huge number."""
    if "end of document" in message:
        return text.rstrip().count("\n") + 1
    number = _MANY_DIGITS.search(text)
    return text.count("\n", 0, number.start()) + 1 if number else 0
