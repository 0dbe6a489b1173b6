"""The thread at each end of a link as a bar, and the link's lengths on a ruler."""

from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.report.lines import Line, Span, fit, line, packed, short

_LEAST_COLUMNS = 16


class Bar(NamedTuple):
    """One end: its name, its whole thread, what is in when open and when closed, in mm; None where not known."""

    name: str
    whole_mm: float
    open_mm: float | None
    closed_mm: float | None
    words: str


class Mark(NamedTuple):
    """A length on the ruler: its letter, what the letter stands for, and where it is, in mm."""

    letter: str
    words: str
    at_mm: float


def thread_bars(bars: Sequence[Bar], d_mm: float, width: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Return the bars under a scale with f at 1.0 d and t at 1.5 d; solid is in when open, pale only when closed."""
    name_width = max(len(bar.name) for bar in bars) + 1
    words_width = max(len(bar.words) for bar in bars) + 1
    is_beside = width - name_width - words_width >= 2 * _LEAST_COLUMNS
    columns = max(min(width - name_width - (words_width if is_beside else 0), 48), _LEAST_COLUMNS)
    most_mm = max(*(bar.whole_mm for bar in bars), 2 * TARGET_D * d_mm)
    lines = [_scale(name_width, columns, d_mm, most_mm)]
    for bar in bars:
        cells = _cells(bar, columns, most_mm, ascii_only=ascii_only)
        mark = "stop" if bar.open_mm is not None and bar.open_mm < FLOOR_D * d_mm else "picture"
        beside = (" ", bar.words) if is_beside else ()
        lines.append(line(fit(bar.name, name_width), Span(cells, mark), *beside))
        if not is_beside:
            lines.append(line(" " * name_width, short(bar.words, width - name_width)))
    solid, pale, rest = ("#", "-", ".") if ascii_only else ("█", "▒", "·")
    legend = (f"{solid} in when open", f"{pale} when closed", f"{rest} never", "f 1.0 d", "t 1.5 d")
    return (*lines, *packed(legend, width, " " * name_width, "dim"))


def _scale(name_width: int, columns: int, d_mm: float, most_mm: float) -> Line:
    row = [" "] * (columns + 1)
    for letter, at_mm in (("0", 0.0), ("t", TARGET_D * d_mm), ("f", FLOOR_D * d_mm)):
        row[_column(at_mm, columns, most_mm)] = letter
    return line(" " * name_width, Span("".join(row).rstrip(), "dim"))


def _cells(bar: Bar, columns: int, most_mm: float, *, ascii_only: bool) -> str:
    solid, pale, rest = ("#", "-", ".") if ascii_only else ("█", "▒", "·")
    end = _column(bar.whole_mm, columns, most_mm)
    opened = _column(bar.open_mm or 0.0, columns, most_mm)
    closed = max(_column(bar.closed_mm or 0.0, columns, most_mm), opened)
    return (solid * opened + pale * (closed - opened) + rest * max(end - closed, 0)).ljust(columns)


def _column(at_mm: float, columns: int, most_mm: float) -> int:
    return max(0, min(round(at_mm / most_mm * columns), columns))


def length_ruler(marks: Sequence[Mark], width: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Return the lengths as letters along a line, with a legend; letters on one place stand above each other."""
    columns = max(min(width, 60), _LEAST_COLUMNS)
    low, high = min(mark.at_mm for mark in marks), max(mark.at_mm for mark in marks)
    span = max(high - low, 1.0)
    rows: list[list[str]] = []
    for mark in sorted(marks, key=lambda mark: mark.at_mm):
        at = round((mark.at_mm - low) / span * (columns - 1))
        row = next((row for row in rows if row[at] == " "), None)
        if row is None:
            row = [" "] * columns
            rows.append(row)
        row[at] = mark.letter
    rule = ("-" if ascii_only else "─") * columns
    letters = [line(Span("".join(row).rstrip(), "strong")) for row in reversed(rows)]
    return (*letters, line(Span(rule, "dim")))
