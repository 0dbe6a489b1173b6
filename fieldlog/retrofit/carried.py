"""The figures a hitch is worked out from: each measured, with its doubt, or the usual one of its category, and marked.

A figure's doubt is carried into an answer by the change the answer makes when the figure moves by its standard
uncertainty (GUM, JCGM 100:2008, 5.1.3 with numerical sensitivities, note 2). Figures are taken as independent.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from fieldlog.records.directed import Directed
from fieldlog.records.quantities import Length
from fieldlog.retrofit.plane import CannotReach

Origin = Literal["measured", "usual"]
Values = Mapping[str, float]

TAPED_MM = 1.0  # half-width between two centres by tape: common practice, as for a link
PLUMBED_MM = 3.0  # half-width from a plumb line or the floor, by eye: common practice, no source
_COVERAGE = 2.0  # for 95 %, the figures' own half-widths being taken as known well


@dataclass(frozen=True, slots=True)
class Measure:
    """One number in mm with its standard uncertainty, what it is called, and whether anybody measured it."""

    mm: float
    u_mm: float
    name: str
    origin: Origin = "measured"


class Carried(NamedTuple):
    """An answer with its 95 % half-width, and the figure that most of the doubt comes from."""

    value: float
    plus_minus: float
    most_from: str


def measured(size: Length | Directed, name: str, tape_mm: float) -> Measure:
    """Return a measured figure: tape (or plumb line) and the step of the typing, both rectangular."""
    half_mm = float(size.half_width_mm)
    return Measure(float(size.mm), math.hypot(tape_mm, half_mm) / math.sqrt(3), name)


def values_of(figures: Mapping[str, Measure]) -> dict[str, float]:
    """Return the plain numbers."""
    return {key: figure.mm for key, figure in figures.items()}


def carried(answer: Callable[[Values], float | CannotReach], figures: Mapping[str, Measure]) -> Carried | CannotReach:
    """Return an answer with the doubt that all the figures leave in it.

    Each figure is moved up and down by its standard uncertainty and half the difference counted; where one of the
    two cannot be reached, the other one's difference is.
    """
    values = values_of(figures)
    found = answer(values)
    if isinstance(found, CannotReach):
        return found
    shares: dict[str, float] = {}
    for key, figure in figures.items():
        if figure.u_mm > 0:
            shares[key] = _share(answer, values, key, figure.u_mm, found)
    most = max(shares, key=lambda key: shares[key], default="")
    total = math.sqrt(math.fsum(share**2 for share in shares.values()))
    return Carried(found, _COVERAGE * total, figures[most].name if most and shares[most] > 0 else "")


def _share(
    answer: Callable[[Values], float | CannotReach], values: dict[str, float], key: str, u_mm: float, found: float
) -> float:
    more = answer({**values, key: values[key] + u_mm})
    less = answer({**values, key: values[key] - u_mm})
    if isinstance(more, CannotReach):
        return 0.0 if isinstance(less, CannotReach) else abs(found - less)
    return abs(more - found) if isinstance(less, CannotReach) else abs(more - less) / 2
