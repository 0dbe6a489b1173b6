"""What can still be read of a TOML file that is broken somewhere: every record but the broken ones.

The text is cut before each heading and the pieces are parsed one by one, so a typing mistake in one record, a
quote that is never closed, or the tail of a write that the power cut short costs only the record it is in.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.store.toml_text import Table, UnreadableText, lines_of, parse_table

_HEADING = re.compile(r"^[ \t]*\[", re.MULTILINE)
_AT_LINE = re.compile(r'^[ \t]*at[ \t]*=[ \t]*"[^"\n]*"[ \t]*(?:#[^\n]*)?(?:\n|\r\n|\Z)', re.MULTILINE)
_LINES = re.compile(r"[^\n]*\n|[^\n]+")
_LONG_STRING = re.compile(r"\"\"\"|'''")
_NOT_TEXT = re.compile("[\x00\udc80-\udcff]")
_MOST_JOINED = 20
_MOST_HEAD_CUTS = 40
_MOST_COMPLAINTS = 200


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the text from one heading to the next; `read_to` is where what was read of it ends."""

    start: int
    read_to: int
    line: int
    table: Table
    complaint: UnreadableText | None = None

    @property
    def complaint_line(self) -> int:
        """The line of the complaint in the whole text."""
        inside = self.complaint.line if self.complaint else 0
        return self.line + max(inside - 1, 0)


def pieces_of(text: str, *, has_times: bool) -> list[Piece]:
    """Read a text piece by piece; `has_times` says that each record ends with its `at`, as in a round file."""
    starts = sorted({0, *(match.start() for match in _HEADING.finditer(text))})
    bounds = (*starts, len(text))
    pieces: list[Piece] = []
    index, line, complaints = 0, 1, 0
    while index < len(starts) and complaints < _MOST_COMPLAINTS:
        piece, following = _read_piece(text, bounds, index, line, has_times=has_times)
        pieces.append(piece)
        line += text.count("\n", bounds[index], bounds[following])
        complaints += piece.complaint is not None
        index = following
    if index < len(starts):
        left = UnreadableText(1, said("problem.too_much"), said("accepted.mend_first"))
        pieces.append(Piece(bounds[index], bounds[index], line, {}, left))
    return pieces


def _read_piece(text: str, bounds: Sequence[int], index: int, line: int, *, has_times: bool) -> tuple[Piece, int]:
    """Return the piece that begins at a heading, and the number of the heading after it."""
    start, end = bounds[index], bounds[index + 1]
    chunk = text[start:end]
    try:
        return Piece(start, end, line, parse_table(chunk)), index + 1
    except UnreadableText as error:
        complaint = error
    if _LONG_STRING.search(chunk):
        for following in range(index + 2, min(index + 2 + _MOST_JOINED, len(bounds))):
            table = _parsed(text[start : bounds[following]])
            if table is not None:
                return Piece(start, bounds[following], line, table), following
    length, table = _beginning(chunk, complaint, is_head=index == 0, has_times=has_times)
    return Piece(start, start + length, line, table, complaint), index + 1


def _parsed(text: str) -> Table | None:
    try:
        return parse_table(text)
    except UnreadableText:
        return None


def _beginning(chunk: str, complaint: UnreadableText, *, is_head: bool, has_times: bool) -> tuple[int, Table]:
    """Return how much of a broken piece is whole in itself, and what it says; nothing of it if in doubt."""
    if is_head:
        return _whole_lines(chunk, complaint)
    at_line = _AT_LINE.search(chunk) if has_times else None
    table = _parsed(chunk[: at_line.end()]) if at_line else None
    return (at_line.end(), table) if at_line and table is not None else (0, {})


def _whole_lines(chunk: str, complaint: UnreadableText) -> tuple[int, Table]:
    """Return the lines above the first broken one."""
    lines = _LINES.findall(chunk)
    broken: UnreadableText | None = complaint
    for _ in range(_MOST_HEAD_CUTS):
        lines = lines[: max(broken.line - 1, 0) if broken and 0 < broken.line <= len(lines) else -1]
        head = "".join(lines)
        try:
            return len(head), parse_table(head)
        except UnreadableText as error:
            broken = error
    return 0, {}


def merged(text: str, pieces: Sequence[Piece]) -> tuple[Table, dict[tuple[str, int], int], list[Piece]]:
    """Return the pieces as one table, where in the text each record begins, and pieces that clash with others.

    Records count before a plain value that has their name.
    """
    whole: Table = {}
    starts: dict[tuple[str, int], int] = {}
    clashes: list[Piece] = []
    plain: dict[str, Piece] = {}
    for piece in pieces:
        for name, value in piece.table.items():
            if name in plain and isinstance(value, list):
                clashes.append(_clash(plain.pop(name), name, said("problem.clash_below", name=shortened(name)), text))
                del whole[name]
            if name not in whole:
                whole[name] = [] if isinstance(value, list) else value
                if not isinstance(value, list | dict):
                    plain[name] = piece
            known = whole[name]
            if isinstance(value, list) and isinstance(known, list):
                starts |= {(name, len(known) + extra): piece.start for extra in range(len(value))}
                known.extend(value)
            elif known is not value:
                clashes.append(_clash(piece, name, said("problem.clash_above", name=shortened(name)), text))
    return whole, starts, clashes


def _clash(piece: Piece, name: str, wrong: Said, text: str) -> Piece:
    line = lines_of(text[piece.start : piece.read_to]).get((name,), 1)
    return replace(piece, complaint=UnreadableText(line, wrong, said("accepted.heading_before_each")))


def torn_from(text: str, pieces: Sequence[Piece], kinds: Sequence[str]) -> int | None:
    """Return where the end of a round file begins that was cut off in the writing, or None.

    Every entry ends with its `at`, so a last record without one was never finished. A broken last record that
    has its `at` was typed by a person, unless it holds bytes that no person types.
    """
    last = pieces[-1]
    has_heading = _HEADING.match(text, last.start) is not None
    if last.complaint is None:
        return last.start if has_heading and _lacks_at(last.table, kinds) else None
    if _HEADING.search(text, last.start + 1):  # given up on before the end of the file
        return None
    rest = text[last.read_to :]
    if _NOT_TEXT.search(rest):
        return last.read_to
    return last.read_to if has_heading and not _AT_LINE.search(rest) else None


def _lacks_at(table: Table, kinds: Sequence[str]) -> bool:
    records = next((value for name, value in table.items() if name in kinds), None)
    last = records[-1] if isinstance(records, list) and records else None
    return isinstance(last, dict) and "at" not in last
