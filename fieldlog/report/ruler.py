"""Lengths on one ruler: what the link reaches, what is needed and what every offer reaches, as bars on one axis."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.records.quantities import MM_PER_INCH, Units
from fieldlog.report.lines import fit

_STEPS = {"mm": (10, 20, 50, 100, 200, 500, 1000, 2000), "in": (1, 2, 4, 5, 10, 20, 40, 80)}
Ends = tuple[str, str, str]
_BARS: Mapping[str, Ends] = {"link": ("┣", "━", "┫"), "need": ("├", "┄", "┤"), "offer": ("├", "─", "┤")}
_ASCII_BARS: Mapping[str, Ends] = {"link": ("[", "=", "]"), "need": ("(", ".", ")"), "offer": ("|", "-", "|")}


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
    return Ruler(*_axis(scale, units, ascii_only=ascii_only), bars)


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
