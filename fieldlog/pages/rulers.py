"""Lengths on one ruler: what the link reaches, what is needed and what every offer reaches, as bars on one axis.

The thread at each end of a link as a bar, and the link's lengths on a ruler.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.pages.lines import Line, Span, fit, line, packed, short
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.units import MM_PER_INCH, Units

_STEPS = {"mm": (10, 20, 50, 100, 200, 500, 1000, 2000), "in": (1, 2, 4, 5, 10, 20, 40, 80)}
Ends = tuple[str, str, str]
_BARS: Mapping[str, Ends] = {"link": ("┣", "━", "┫"), "need": ("█", "█", "█"), "offer": ("├", "─", "┤")}
_ASCII_BARS: Mapping[str, Ends] = {"link": ("[", "=", "]"), "need": ("(", "#", ")"), "offer": ("|", "-", "|")}


class Reach(NamedTuple):
    """What one bar shows: `kind` is link, need or offer; without lengths, or off the ruler, `text` stands there."""

    low_mm: float | None
    high_mm: float | None
    kind: str = "offer"
    text: str = ""


class Ruler(NamedTuple):
    """The figures and ticks of the axis, and a bar for each reach, all of one width."""

    figures: str
    ticks: str
    bars: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Scale:
    low_mm: float
    high_mm: float
    columns: int

    def column(self, mm: float) -> int:
        share = (mm - self.low_mm) / (self.high_mm - self.low_mm)
        return max(0, min(round(share * (self.columns - 1)), self.columns - 1))


def ruler(
    reaches: Sequence[Reach], set_mm: float | None, units: Units, columns: int, *, ascii_only: bool = False
) -> Ruler | None:
    """Return the ruler; `set_mm` is marked in the link's bar as the length in use. None where there is none to draw."""
    ends = [mm for reach in reaches for mm in (reach.low_mm, reach.high_mm) if mm is not None]
    if len(ends) < 2 or max(ends) - min(ends) < 1:
        return None
    margin = (max(ends) - min(ends)) * 0.04
    scale = _Scale(min(ends) - margin, max(ends) + margin, columns)
    kinds = _ASCII_BARS if ascii_only else _BARS
    bars = tuple(_bar(reach, scale, set_mm if reach.kind == "link" else None, kinds) for reach in reaches)
    need = next((reach for reach in reaches if reach.kind == "need"), None)
    if need is not None and need.low_mm is not None and need.high_mm is not None:
        edges = scale.column(need.low_mm), scale.column(need.high_mm)
        bars = tuple(
            bar
            if reach.kind == "need" or reach.text
            else _crossed(bar, edges, kinds[reach.kind], ascii_only=ascii_only)
            for reach, bar in zip(reaches, bars, strict=True)
        )
    return Ruler(*_axis(scale, units, ascii_only=ascii_only), bars)


def _crossed(bar: str, edges: tuple[int, int], ends: Ends, *, ascii_only: bool) -> str:
    """Return a bar with the edges of what is needed running through it, and past it where it does not reach them."""
    across, beside = ("+", "!") if ascii_only else ("┼", "┊")
    row = list(bar)
    for edge in edges:
        row[edge] = {" ": beside, ends[1]: across}.get(row[edge], row[edge])
    return "".join(row)


def reach_sentences(reaches: Sequence[tuple[str, Reach]], units: Units) -> tuple[str, ...]:
    """Return what the ruler shows, a bar a sentence: its two lengths, and what each lacks of what is needed."""
    need = next((reach for _, reach in reaches if reach.kind == "need"), None)
    return tuple(f"{name}: {_reach_words(reach, need, units)}." for name, reach in reaches)


def _reach_words(reach: Reach, need: Reach | None, units: Units) -> str:
    if reach.low_mm is None or reach.high_mm is None:
        return reach.text
    places = 0 if units == "mm" else 2

    def text(mm: float) -> str:
        return mm_text(mm, units, places)

    said = f"{text(reach.low_mm).partition(' ')[0]} to {text(reach.high_mm)}"
    if need is None or need is reach or need.low_mm is None or need.high_mm is None:
        return said
    lacks = [f"{text(reach.low_mm - need.low_mm)} too long closed"] if reach.low_mm > need.low_mm else []
    lacks += [f"{text(need.high_mm - reach.high_mm)} too short open"] if reach.high_mm < need.high_mm else []
    return f"{said}, {' and '.join(lacks) or 'all that is needed'}"


def _axis(scale: _Scale, units: Units, *, ascii_only: bool) -> tuple[str, str]:
    """Return the figures and the ticks under them; a figure that would touch the one before is left out."""
    per_unit = 1.0 if units == "mm" else float(MM_PER_INCH)
    step = _step(scale, units, per_unit)
    value = -int(-(scale.low_mm / per_unit) // step) * step
    figures, ticks = [" "] * scale.columns, ["-" if ascii_only else "─"] * scale.columns
    free_from = 0
    while value * per_unit <= scale.high_mm:
        column = scale.column(value * per_unit)
        ticks[column] = "+" if ascii_only else "┴"
        text = f"{value:g}"
        start = min(max(column - len(text) // 2, 0), scale.columns - len(text))
        if start >= free_from:
            figures[start : start + len(text)] = text
            free_from = start + len(text) + 1
        value += step
    return "".join(figures), "".join(ticks)


def _step(scale: _Scale, units: Units, per_unit: float) -> int:
    """Return the smallest step whose figures have room."""
    wide = (scale.high_mm - scale.low_mm) / per_unit
    return next((step for step in _STEPS[units] if scale.columns * step / wide >= 6), _STEPS[units][-1])


def _bar(reach: Reach, scale: _Scale, set_mm: float | None, bars: Mapping[str, Ends]) -> str:
    if reach.low_mm is None or reach.high_mm is None:
        return fit(reach.text, scale.columns)
    left, middle, right = bars[reach.kind]
    start, end = scale.column(reach.low_mm), max(scale.column(reach.high_mm), scale.column(reach.low_mm) + 1)
    cells = [" "] * max(scale.columns, end + 1)
    cells[start : end + 1] = [left, *([middle] * (end - start - 1)), right]
    if set_mm is not None:
        cells[scale.column(set_mm)] = "o"
    return "".join(cells)[: scale.columns]


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
    """Return the bars under a scale with f at 1.0 d and t at 1.5 d; solid is in when open, pale only when closed.

    Both marks run through every bar, so that how far the solid goes is seen against them.
    """
    name_width = max(len(bar.name) for bar in bars) + 1
    words_width = max(len(bar.words) for bar in bars) + 1
    is_beside = width - name_width - words_width >= 2 * _LEAST_COLUMNS
    columns = max(min(width - name_width - (words_width if is_beside else 0), 48), _LEAST_COLUMNS)
    most_mm = max(*(bar.whole_mm for bar in bars), 2 * TARGET_D * d_mm)
    lines = [_scale(name_width, columns, d_mm, most_mm)]
    for bar in bars:
        cells = _cells(bar, columns, most_mm, d_mm, ascii_only=ascii_only)
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


def _cells(bar: Bar, columns: int, most_mm: float, d_mm: float, *, ascii_only: bool) -> str:
    solid, pale, rest = ("#", "-", ".") if ascii_only else ("█", "▒", "·")
    end = _column(bar.whole_mm, columns, most_mm)
    opened = max(0, min(int((bar.open_mm or 0.0) / most_mm * columns), columns))  # whole cells that are surely in
    closed = max(_column(bar.closed_mm or 0.0, columns, most_mm), opened)
    row = list((solid * opened + pale * (closed - opened) + rest * max(end - closed, 0)).ljust(columns))
    for at_mm in (FLOOR_D * d_mm, TARGET_D * d_mm):
        row[min(_column(at_mm, columns, most_mm), columns - 1)] = "|" if ascii_only else "│"
    return "".join(row)


def thread_sentences(bars: Sequence[Bar], d_mm: float, units: Units) -> tuple[str, ...]:
    """Return what the bars show, an end a sentence: how much thread is in when open, against floor and target."""
    places = 0 if units == "mm" else 2
    floor, target = mm_text(FLOOR_D * d_mm, units, places), mm_text(TARGET_D * d_mm, units, places)
    found = [f"At least {floor} of thread must be in, {target} is wanted."]
    for bar in bars:
        if bar.open_mm is None:
            found.append(f"{bar.name.capitalize()}: not known when open.")
            continue
        short_of = "under the least" if bar.open_mm < FLOOR_D * d_mm else "less than wanted"
        word = "enough" if bar.open_mm >= TARGET_D * d_mm else short_of
        found.append(f"{bar.name.capitalize()}: {mm_text(bar.open_mm, units, places)} in when open, {word}.")
    return tuple(found)


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
