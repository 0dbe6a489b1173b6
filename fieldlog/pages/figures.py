"""How a number of any unit is written: value and doubt to the same place, in its own unit and in the other one.

Which measurement would narrow a number most: the source of doubt that leaves least when it is gone.
"""

import math
from dataclasses import replace
from typing import NamedTuple

from fieldlog.pages.lines import Line, wrapped
from fieldlog.quantity.estimate import Figure, FigurePart, Interval
from fieldlog.quantity.page_number import AnyValue, in_its_unit
from fieldlog.quantity.rounding import half_up, places_for, plus_minus_text
from fieldlog.quantity.said import Said
from fieldlog.quantity.units import Units, also_shown_in
from fieldlog.quantity.value import Value
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


def value_texts(value: AnyValue, units: Units, *, is_change: bool = False) -> tuple[str, ...]:
    """Return a number in each unit that it is shown in: '12.5 ± 0.4 deg', '290 to 720 h, most likely 480'."""
    number = in_its_unit(value)
    return tuple(_text(number, shown, is_change=is_change) for shown in shown_in(number.unit, units))


def step_text(value: AnyValue | str | Said, units: Units) -> str:
    """Return a number in the person's own unit, a place finer than usual, so that it can be reckoned on with.

    What is text already is left as it is.
    """
    if isinstance(value, str | Said):
        return words_of(value, units)
    number = in_its_unit(value)
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


def narrowing_lines(value: Figure | Value, units: Units, width: int) -> tuple[Line, ...]:
    """Return one sentence: what to know better first, and what would be left without it."""
    found = _narrowed(value)
    if found is None:
        return ()
    unit, name, share, plus_minus, advice = found
    shown = shown_in(unit, units)[0]
    expanded = plus_minus * shown.factor
    left = f"{half_up(expanded, places_for(expanded, shown.finest))} {shown.unit}".rstrip()
    text = f"Narrowed most by {name}, {share * 100:.0f} % of it{advice}; without it ± {left} is left."
    return wrapped(text, width, "", "strong")


def narrowed_most_by(value: Figure | Value) -> str | None:
    """Return what a person calls that which would narrow a number most; None where there is nothing to choose."""
    found = _narrowed(value)
    return found[1] if found is not None else None


def _narrowed(value: Figure | Value) -> tuple[str, str, float, float, str] | None:
    """Return unit, what to know better first, its share, what is left without it, and how to know it better."""
    if isinstance(value, Value):
        most = value.narrowed_most_by
        if most is None:
            return None
        return (
            value.unit,
            value.called(most.measured),
            most.share,
            most.left.plus_minus,
            _advice_on(value, most.measured),
        )
    figure = in_its_unit(value)
    assert isinstance(figure, Figure)
    widest = widest_source(figure)
    return None if widest is None else (figure.unit, *widest[:2], widest[2].expanded, _advice(figure, widest[0]))


def _advice_on(value: Value, measured: str) -> str:
    source = max((row for row in value.rows if row.source.measured == measured), key=lambda row: row.u).source
    match source.kind:
        case "usual":
            return " (a usual figure: measure it)"
        case "line":
            return " (more measuring days)"
        case "scatter" if source.dof < _FEW_DOF:
            return " (more readings)"
        case _:
            return ""


def _advice(figure: Figure, name: str) -> str:
    largest = max((part for part in figure.parts if source_of(part) == name), key=lambda part: part.u)
    if largest.source.startswith(USUAL):
        return " (a usual figure: measure it)"
    if largest.name.startswith("scatter of the days round"):
        return " (more measuring days)"
    if "scatter" in largest.name and largest.dof < _FEW_DOF:
        return " (more readings)"
    return ""
