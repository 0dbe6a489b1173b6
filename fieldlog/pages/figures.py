"""How a number of any unit is written: value and doubt to the same place, in its own unit and in the other one.

Which measurement would narrow a number most: the source of doubt that leaves least when it is gone.
"""

import math
from dataclasses import replace
from typing import NamedTuple

from fieldlog.pages.lines import Line, wrapped
from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, Interval, as_figure
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import half_up, places_for, plus_minus_text
from fieldlog.quantity.said import Said
from fieldlog.quantity.units import also_shown_in
from fieldlog.retrofit.carried import USUAL
from fieldlog.words.speak import words_of

_FINEST = {
    "mm": 3,
    "in": 4,
    "h": 0,
    "days": 0,
    "calendar days": 0,
    "days in use": 0,
    "h a year": 0,
    "days in use a year": 0,
    "h a season": 0,
    "%": 1,
    "lbf": 0,
    "L": 3,
    "mm2": 7,
    "": 3,
}
_ELSE_FINEST = 2
_LEAST_PERCENT = 0.1


class Shown(NamedTuple):
    """A unit that a number is shown in, how many of it one of the number's own is, and its finest decimal place."""

    unit: str
    factor: float
    finest: int


def shown_in(unit: str, units: Units) -> tuple[Shown, ...]:
    """Return the units that a number in `unit` is shown in, the person's own first; one alone where there is no other.

    Whoever works in inches sees pounds before kilonewtons.
    """
    own, other = Shown(unit, 1.0, _finest(unit)), also_shown_in(unit)
    if other is None:
        return (own,)
    second = Shown(other[0], other[1], _finest(other[0]))
    return (own, second) if units == "mm" else (second, own)


def _finest(unit: str) -> int:
    length, per, _ = unit.partition(" per ")
    return _FINEST.get(length, _ELSE_FINEST) + 1 if per else _FINEST.get(unit, _ELSE_FINEST)


def value_texts(value: Estimate | Figure | Interval, units: Units, *, is_change: bool = False) -> tuple[str, ...]:
    """Return a number in each unit that it is shown in: '12.5 ± 0.4 deg', '290 to 720 h, most likely 480'."""
    number = as_figure(value) if isinstance(value, Estimate) else value
    return tuple(_text(number, shown, is_change=is_change) for shown in shown_in(number.unit, units))


def step_text(value: Estimate | Figure | Interval | str | Said, units: Units) -> str:
    """Return a number in the person's own unit, a place finer than usual, so that it can be reckoned on with.

    What is text already is left as it is.
    """
    if isinstance(value, str | Said):
        return words_of(value, units)
    number = as_figure(value) if isinstance(value, Estimate) else value
    shown = shown_in(number.unit, units)[0]
    return _text(number, shown._replace(finest=shown.finest + 1), is_change=False, finer=1)


def _text(number: Figure | Interval, shown: Shown, *, is_change: bool, finer: int = 0) -> str:
    unit = f" {shown.unit}" if shown.unit else ""
    if isinstance(number, Interval):
        return _interval(number, shown, unit)
    scaled = number.value * shown.factor
    expanded = number.expanded * shown.factor
    if number.unit == "%" and not number.parts:
        return _percent(scaled)
    text = plus_minus_text(scaled, expanded, shown.finest, finer) if expanded > 0 else _plain(scaled, shown.finest)
    return f"{_sign(text) if is_change else ''}{text}{unit}"


def _percent(share: float) -> str:
    """Return a share, which is never shown as all or nothing."""
    if share < _LEAST_PERCENT:
        return f"under {_LEAST_PERCENT} %"
    return f"over {100 - _LEAST_PERCENT} %" if share > 100 - _LEAST_PERCENT else f"{_plain(share, 1)} %"


def _plain(value: float, finest: int) -> str:
    """Return a number that carries no doubt, with no more places than it needs."""
    text = half_up(value, finest)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _sign(text: str) -> str:
    is_none = not text.partition(" ")[0].strip("-0.")
    return "" if is_none or text.startswith("-") else "+"


def _interval(number: Interval, shown: Shown, unit: str) -> str:
    best, lower = (half_up(x * shown.factor, shown.finest) for x in (number.best, number.lower))
    if math.isinf(number.upper):
        return f"{lower}{unit} at the earliest, most likely {best}"
    return f"{lower} to {half_up(number.upper * shown.factor, shown.finest)}{unit}, most likely {best}"


_FEW_DOF = 30.0  # scatter of readings; more of them tell more, where the rest is a limit


def source_of(part: FigurePart) -> str:
    """Return what a part belongs to: parts of one measurement share the words before a colon in their names."""
    return part.name.partition(": ")[0]


def widest_source(figure: Figure) -> tuple[str, float, Figure] | None:
    """Return the source with the largest share of the variance, that share, and the figure without it.

    None where there is no doubt, or where all of it has one source.
    """
    sums: dict[str, float] = {}
    for part in figure.parts:
        sums[source_of(part)] = sums.get(source_of(part), 0.0) + part.u**2
    whole = math.fsum(sums.values())
    if whole <= 0 or sum(share > 0 for share in sums.values()) < 2:
        return None
    name = max(sums, key=lambda source: sums[source])
    rest = tuple(part for part in figure.parts if source_of(part) != name)
    return name, sums[name] / whole, replace(figure, parts=rest, joint_dof=None)


def narrowing_lines(value: Estimate | Figure, units: Units, width: int) -> tuple[Line, ...]:
    """Return one sentence: what to know better first, and what would be left without it."""
    figure = as_figure(value) if isinstance(value, Estimate) else value
    found = widest_source(figure)
    if found is None:
        return ()
    name, share, rest = found
    shown = shown_in(figure.unit, units)[0]
    expanded = rest.expanded * shown.factor
    left = f"{half_up(expanded, places_for(expanded, shown.finest))} {shown.unit}".rstrip()
    text = f"Narrowed most by {name}, {share * 100:.0f} % of it{_advice(figure, name)}; without it ± {left} is left."
    return wrapped(text, width, "", "strong")


def _advice(figure: Figure, name: str) -> str:
    largest = max((part for part in figure.parts if source_of(part) == name), key=lambda part: part.u)
    if largest.source.startswith(USUAL):
        return " (a usual figure: measure it)"
    if largest.name.startswith("scatter of the days round"):
        return " (more measuring days)"
    if "scatter" in largest.name and largest.dof < _FEW_DOF:
        return " (more readings)"
    return ""
