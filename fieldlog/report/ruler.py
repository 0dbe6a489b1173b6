"""Lengths on one ruler: what the link reaches, what is needed and what every offer reaches, as bars on one axis."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.records.quantities import MM_PER_INCH, Units
from fieldlog.report.lines import Line, Span, fit, line, short

_NUMBERS_FROM = 64  # columns from which the ends stand behind the bar in figures
_NUMBERS_WIDTH = 16
_MOST_NAME = 18
_STEPS = {"mm": (10, 20, 50, 100, 200, 500, 1000, 2000), "in": (1, 2, 4, 5, 10, 20, 40, 80)}
Ends = tuple[str, str, str]
_BARS: Mapping[str, Ends] = {"link": ("┣", "━", "┫"), "need": ("├", "┄", "┤"), "offer": ("├", "─", "┤")}
_ASCII_BARS: Mapping[str, Ends] = {"link": ("[", "=", "]"), "need": ("(", ".", ")"), "offer": ("|", "-", "|")}


class RulerRow(NamedTuple):
    """One bar: `kind` is link, need or offer; without lengths `text` stands in its place."""

    name: str
    low_mm: float | None
    high_mm: float | None
    kind: str = "offer"
    mark: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class _Scale:
    low_mm: float
    high_mm: float
    columns: int

    def column(self, mm: float) -> int:
        share = (mm - self.low_mm) / (self.high_mm - self.low_mm)
        return max(0, min(round(share * (self.columns - 1)), self.columns - 1))


def ruler_lines(
    rows: Sequence[RulerRow], set_mm: float | None, units: Units, width: int, *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Return the ruler, its numbers above it; `set_mm` is marked in the link's bar as the length in use."""
    ends = [mm for row in rows for mm in (row.low_mm, row.high_mm) if mm is not None]
    if len(ends) < 2 or max(ends) - min(ends) < 1:
        return ()
    name_width = min(_MOST_NAME, max(len(row.name) for row in rows), width // 3)
    has_numbers = width >= _NUMBERS_FROM
    columns = width - name_width - 1 - (_NUMBERS_WIDTH if has_numbers else 0)
    margin = (max(ends) - min(ends)) * 0.04
    scale = _Scale(min(ends) - margin, max(ends) + margin, columns)
    lines = list(_axis(scale, units, name_width, ascii_only=ascii_only))
    for row in rows:
        bar = _bar(row, scale, set_mm if row.kind == "link" else None, _ASCII_BARS if ascii_only else _BARS)
        numbers = _numbers(row, units) if has_numbers else ""
        lines.append(line(Span(fit(row.name, name_width), row.mark), " ", Span(bar, row.mark or "picture"), numbers))
    return tuple(lines)


def _axis(scale: _Scale, units: Units, name_width: int, *, ascii_only: bool) -> tuple[Line, Line]:
    """Return the figures and the ticks under them; a figure that would touch the one before is left out."""
    per_unit = 1.0 if units == "mm" else float(MM_PER_INCH)
    step = _step(scale, units, per_unit)
    first = -int(-(scale.low_mm / per_unit) // step) * step
    figures, ticks = [" "] * scale.columns, ["-" if ascii_only else "─"] * scale.columns
    value, free_from = first, 0
    while value * per_unit <= scale.high_mm:
        column = scale.column(value * per_unit)
        ticks[column] = "+" if ascii_only else "┴"
        text = f"{value:g}"
        start = min(max(column - len(text) // 2, 0), scale.columns - len(text))
        if start >= free_from:
            figures[start : start + len(text)] = text
            free_from = start + len(text) + 1
        value += step
    head = fit(units, name_width)
    return (
        line(Span(f"{head} {''.join(figures).rstrip()}", "dim")),
        line(Span(f"{' ' * name_width} {''.join(ticks)}", "dim")),
    )


def _step(scale: _Scale, units: Units, per_unit: float) -> int:
    """Return the smallest step whose figures have room."""
    wide = (scale.high_mm - scale.low_mm) / per_unit
    return next((step for step in _STEPS[units] if scale.columns * step / wide >= 6), _STEPS[units][-1])


def _bar(row: RulerRow, scale: _Scale, set_mm: float | None, bars: Mapping[str, Ends]) -> str:
    if row.low_mm is None or row.high_mm is None:
        return fit(short(row.text, scale.columns), scale.columns)
    left, middle, right = bars[row.kind]
    start, end = scale.column(row.low_mm), max(scale.column(row.high_mm), scale.column(row.low_mm) + 1)
    cells = [" "] * max(scale.columns, end + 1)
    cells[start : end + 1] = [left, *([middle] * (end - start - 1)), right]
    if set_mm is not None:
        cells[scale.column(set_mm)] = "o"
    return "".join(cells)[: scale.columns]


def _numbers(row: RulerRow, units: Units) -> str:
    if row.low_mm is None or row.high_mm is None:
        return ""
    low, high = (mm if units == "mm" else mm / float(MM_PER_INCH) for mm in (row.low_mm, row.high_mm))
    places = 0 if units == "mm" else 2
    return f" {low:.{places}f}-{high:.{places}f}".rjust(_NUMBERS_WIDTH)
