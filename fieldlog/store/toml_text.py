"""TOML text into a table, and the parser's complaints in plain words with line and column.

The parser tells no line of what it has read, so a scanner finds the line of every key and record, for what turns out
to be wrong in its meaning. Where a text is broken it goes on at the next line.
"""

import re
from bisect import bisect
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType

from tomli import loads

from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened

Table = dict[str, object]

_LONGEST_LINE = 10_000  # the parsers take a time that grows with the square of a dotted key's length
_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_MANY_DIGITS = re.compile(r"[0-9_]{1000,}")
_FAULTS: Mapping[str, str] = MappingProxyType(
    {
        "Expected '='": "equals",
        "Invalid value": "value",
        "Expected newline": "left over",
        "Unterminated string": "quote",
        "Illegal character": "character",
        "Found invalid character": "character",
        'Expected "': "quote",
        "Expected '": "bracket",
        "Cannot overwrite": "key twice",
        "Cannot declare": "heading twice",
        "Cannot mutate": "heading and key",
        "Cannot redefine": "heading twice",
        "Duplicate inline": "twice between braces",
        "Invalid statement": "statement",
        "Invalid initial character": "key",
        "Unclosed array": "list",
        "Unclosed inline": "braces",
        "Invalid date": "date",
        "Unescaped": "backslash",
        "Exceeds the limit": "digits",
    }
)


class UnreadableText(Exception):
    """What keeps a text from being read; `line` counts from 1 within the text and is 0 where nobody can tell."""

    def __init__(self, line: int, wrong: Said, accepted: Said) -> None:
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
        raise UnreadableText(0, said("problem.nested"), said("accepted.plain_keys")) from None
    except (ValueError, ArithmeticError) as error:  # a number may be beyond what int or Decimal takes
        raise _in_plain_words(text, error) from None


def _check_lines(text: str) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > _LONGEST_LINE:
            wrong = said("problem.long_line", letters=len(line))
            raise UnreadableText(number, wrong, said("accepted.line_length", most=_LONGEST_LINE))


def _in_plain_words(text: str, error: Exception) -> UnreadableText:
    message = str(error)
    lines = text.split("\n")
    place = _PLACE.search(message)
    line = int(place[1]) if place else _line_without_place(text, message)
    fault = next((name for beginning, name in _FAULTS.items() if message.startswith(beginning)), "unknown")
    shown = shortened(lines[line - 1].strip()) if 0 < line <= len(lines) else ""
    column = int(place[2]) if place else 0
    return UnreadableText(
        line, said("problem.toml", fault=fault, column=column, line=shown), said("accepted.toml", fault=fault)
    )


def _line_without_place(text: str, message: str) -> int:
    """The line of a complaint that names none: the last one that says something, or the one with the huge number."""
    if "end of document" in message:
        return text.rstrip().count("\n") + 1
    number = _MANY_DIGITS.search(text)
    return text.count("\n", 0, number.start()) + 1 if number else 0


Place = tuple[str | int, ...]  # the keys, and the number in a list, that lead to a value

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*+")
_KEY = re.compile(r"""[ \t]*(?:([A-Za-z0-9_-]++)|"((?:[^"\\\n]|\\.)*+)"|'([^'\n]*+)')[ \t]*""")
_STRING = re.compile(
    r'''"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}|"(?:[^"\\\n]|\\.)*+"|''' + r"""'''(?:[^']|'(?!''))*+'{3,5}|'[^'\n]*+'""",
    re.DOTALL,
)
_BARE_VALUE = re.compile(r"[^\n,#\]}]++")
_DEEPEST = 50


class _Lost(Exception):
    """The text does not go on as TOML does."""


@dataclass(slots=True)
class _Scan:
    """Where a scan has come to: the line of each place so far, and how many records each list has."""

    text: str
    line_ends: list[int]
    lines: dict[Place, int] = field(default_factory=dict)
    counts: dict[Place, int] = field(default_factory=dict)
    base: Place = ()

    def found(self, place: Place, at: int) -> None:
        """Keep the line a place begins on, unless it began above."""
        self.lines.setdefault(place, bisect(self.line_ends, at) + 1)


@lru_cache(maxsize=4)
def lines_of(text: str) -> Mapping[Place, int]:
    """Return the line of every key and every record in a TOML text, by the keys that lead to it."""
    scan = _Scan(text, [match.start() for match in re.finditer("\n", text)])
    at = _past(_GAP, text, 0)
    while at < len(text):
        with suppress(_Lost):
            at = _heading(scan, at) if text[at] == "[" else _pair(scan, at, scan.base)
        next_line = text.find("\n", at)
        at = _past(_GAP, text, next_line) if next_line >= 0 else len(text)
    return scan.lines


def _past(pattern: re.Pattern[str], text: str, at: int) -> int:
    """Return where what a pattern takes ends."""
    match = pattern.match(text, at)
    if match is None:
        raise _Lost
    return match.end()


def _keys(text: str, at: int) -> tuple[list[str], int]:
    """Return a key, of which dots may make several, and where it ends."""
    keys: list[str] = []
    while True:
        match = _KEY.match(text, at)
        if match is None:
            raise _Lost
        keys.append(next(part for part in match.groups() if part is not None))
        at = match.end()
        if text[at : at + 1] != ".":
            return keys, at
        at += 1


def _heading(scan: _Scan, at: int) -> int:
    """Take a [table] or a [[record]] up: the pairs below belong to it."""
    start, width = at, 2 if scan.text.startswith("[[", at) else 1
    keys, at = _keys(scan.text, at + width)
    place: Place = ()
    for key in keys[:-1]:
        place = (*place, key)
        place = (*place, scan.counts[place]) if place in scan.counts else place
    place = (*place, keys[-1])
    scan.found(place, start)
    if width == 2:
        scan.counts[place] = scan.counts.get(place, -1) + 1
        place = (*place, scan.counts[place])
        scan.found(place, start)
    scan.base = place
    return at


def _pair(scan: _Scan, at: int, base: Place) -> int:
    start = at
    keys, at = _keys(scan.text, at)
    if scan.text[at : at + 1] != "=":
        raise _Lost
    place = base
    for key in keys:
        place = (*place, key)
        scan.found(place, start)
    while scan.text[at + 1 : at + 2] in {" ", "\t"}:
        at += 1
    return _value(scan, at + 1, place)


def _value(scan: _Scan, at: int, place: Place) -> int:
    """Pass over a value, taking up what stands in a list or between braces; return where it ends."""
    text = scan.text
    if len(place) > _DEEPEST:
        raise _Lost
    match text[at : at + 1]:
        case "[":
            return _inside(scan, at, place, "]")
        case "{":
            return _inside(scan, at, place, "}")
        case '"' | "'":
            return _past(_STRING, text, at)
    return _past(_BARE_VALUE, text, at)


def _inside(scan: _Scan, at: int, place: Place, closing: str) -> int:
    text, number = scan.text, 0
    at = _past(_GAP, text, at + 1)
    while text[at : at + 1] != closing:
        if closing == "]":
            scan.found((*place, number), at)
            at = _value(scan, at, (*place, number))
            number += 1
        else:
            at = _pair(scan, at, place)
        at = _past(_GAP, text, at)
        if text[at : at + 1] == ",":
            at = _past(_GAP, text, at + 1)
        elif text[at : at + 1] != closing:
            raise _Lost
    return at + 1
