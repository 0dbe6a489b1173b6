"""A size with its uncertainty, built up from named parts as the GUM (JCGM 100:2008) prescribes.

Numbers whose unit is no length, such as degrees, hours or kilonewtons, and intervals that differ to either side.
"""

import datetime
import math
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace

from fieldlog.quantity.distributions import coverage_factor, effective_dof
from fieldlog.quantity.said import Said
from fieldlog.quantity.text import day_text

COVERAGE_PROBABILITY = 0.95
CANCELS = "the same both times: cancels"
_DUST_MM = 1e-9
_LEFT = 0.1  # a smaller share of what was there is called gone


@dataclass(frozen=True, slots=True)
class Part:
    """One named source of doubt: its standard uncertainty, degrees of freedom and where the number comes from.

    `is_limit` marks a rectangle: the error is anywhere within sqrt(3) times `u_mm` either way, and not beyond. Parts of
    one `cause` are one unknown, however many sizes it stands in; `moves` says when, for one that does not stay the
    same from day to day; `is_reversed` that it makes this size smaller where it makes others larger.
    """

    name: str
    u_mm: float
    dof: float
    source: str
    is_limit: bool = False
    cause: str = ""
    moves: str = ""
    is_reversed: bool = False

    @property
    def half_width_mm(self) -> float:
        """Half the width of the rectangle, for a limit."""
        return math.sqrt(3) * self.u_mm


def limit_of(name: str, half_width_mm: float, source: str) -> Part:
    """Return a limit of error as a part: a rectangle, its standard uncertainty being a / sqrt(3) (GUM 4.3.7)."""
    return Part(name, half_width_mm / math.sqrt(3), math.inf, source, is_limit=True)


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value in mm with independent parts of uncertainty; `expanded_mm` is the 95 % half-width."""

    value_mm: float
    parts: tuple[Part, ...]

    @property
    def u_mm(self) -> float:
        """Combined standard uncertainty, root sum of squares (GUM 5.1.2)."""
        return math.sqrt(sum(part.u_mm**2 for part in self.parts))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom by Welch-Satterthwaite (GUM G.4.1); infinite when nothing is uncertain."""
        return effective_dof(self.u_mm, ((part.u_mm, part.dof) for part in self.parts))

    @property
    def coverage(self) -> float:
        """The factor k for 95 %: Student's t at the effective degrees of freedom, less where limits dominate."""
        half_widths = tuple(part.half_width_mm for part in self.parts if part.is_limit and part.u_mm > 0)
        return coverage_factor(self.u_mm, self.dof, half_widths, COVERAGE_PROBABILITY)

    @property
    def expanded_mm(self) -> float:
        """Half-width of the 95 % interval in mm."""
        return self.coverage * self.u_mm


def difference(first: Estimate, second: Estimate) -> Estimate:
    """Return first minus second; what both owe to one cause, such as the same jaws, cancels."""
    return added(first, scaled(second, -1.0))


def difference_named(first: tuple[Estimate, str], second: tuple[Estimate, str]) -> Estimate:
    """Return first less second, each part named with what it is of, except what both share."""
    both = {part.cause for part in first[0].parts} & {part.cause for part in second[0].parts}
    return difference(*(_said_of(size, said, both) for size, said in (first, second)))


def difference_of_days(now: tuple[Estimate, datetime.date], before: tuple[Estimate, datetime.date]) -> Estimate:
    """Return the difference of two days' sizes, each part named with the day it is of, except what both share."""
    first, second = (day_text(day) for _, day in (now, before))
    words = (first, second) if first != second else ("this time", "the time before")
    return difference_named((now[0], words[0]), (before[0], words[1]))


def _said_of(estimate: Estimate, said: str, both: Set[str]) -> Estimate:
    parts = (p if p.cause and p.cause in both else replace(p, name=f"{p.name}, {said}") for p in estimate.parts)
    return replace(estimate, parts=tuple(parts))


def added(*estimates: Estimate) -> Estimate:
    """Return the sum of estimates; parts of one cause add up with their signs, others as root sum of squares.

    Source: GUM 5.2.2 and F.1.2.3, with a correlation of 1 or -1 for one cause. It stays in the sum as a part, also
    where nothing of it is left, so that a budget shows what cancels.
    """
    groups: dict[str, list[Part]] = {}
    for number, part in enumerate(part for estimate in estimates for part in estimate.parts):
        groups.setdefault(part.cause or f"{number}", []).append(part)
    parts = tuple(part for group in groups.values() for part in _of_one_cause(group))
    return Estimate(math.fsum(estimate.value_mm for estimate in estimates), parts)


def _of_one_cause(group: Sequence[Part]) -> Sequence[Part]:
    """Return what parts of one cause make together.

    One that moves is another one each day; where days are taken from each other it counts once, as much as it may
    have moved.
    """
    if len(group) == 1:
        return group
    days = [_summed([part for part in group if part.moves == day]) for day in dict.fromkeys(p.moves for p in group)]
    if len(days) == 1:
        return days
    if len({part.is_reversed for part in days}) == 1:
        return [replace(part, cause="") for part in days]
    most = max(days, key=lambda part: part.u_mm)
    return [replace(most, source=f"{most.source}; between the two days it may have changed by as much: counts once")]


def _summed(group: Sequence[Part]) -> Part:
    """Return the sum of parts that are the same unknown, and say where it cancels."""
    first, signed_mm = group[0], math.fsum(-part.u_mm if part.is_reversed else part.u_mm for part in group)
    if len({part.is_reversed for part in group}) == 1:
        return replace(first, u_mm=abs(signed_mm))
    is_left = abs(signed_mm) > _LEFT * max(part.u_mm for part in group)
    said = "the same both times: only what differs is left" if is_left else CANCELS
    u_mm = abs(signed_mm) if abs(signed_mm) > _DUST_MM else 0.0
    return replace(first, u_mm=u_mm, source=f"{first.source}; {said}", is_reversed=signed_mm < 0)


def exactly(value_mm: float) -> Estimate:
    """Return a value that carries no doubt of its own."""
    return Estimate(value_mm, ())


def scaled(estimate: Estimate, factor: float) -> Estimate:
    """Return a multiple of an estimate, its parts named as before."""
    parts = tuple(
        replace(part, u_mm=abs(factor) * part.u_mm, is_reversed=part.is_reversed != (factor < 0))
        for part in estimate.parts
    )
    return Estimate(factor * estimate.value_mm, parts)


@dataclass(frozen=True, slots=True)
class FigurePart:
    """One named source of doubt in the figure's own unit; `is_limit` marks a rectangle, as in an estimate's parts."""

    name: str
    u: float
    dof: float
    source: str
    is_limit: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A value in `unit` with independent parts of uncertainty in the same unit; without parts it is a plain number.

    `unit` is as it is shown: "deg", "h", "mm per 100 h", "kN", "t", "%", or empty for a pure number. `joint_dof` are
    the degrees of freedom of all parts together, where a fit tells them in one; Student's t is then the factor.
    """

    value: float
    unit: str
    parts: tuple[FigurePart, ...] = ()
    joint_dof: float | None = None

    @property
    def u(self) -> float:
        """Combined standard uncertainty, root sum of squares (GUM 5.1.2)."""
        return math.hypot(*(part.u for part in self.parts))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom by Welch-Satterthwaite (GUM G.4.1); infinite when nothing is uncertain."""
        if self.joint_dof is not None:
            return self.joint_dof
        return effective_dof(self.u, ((part.u, part.dof) for part in self.parts))

    @property
    def coverage(self) -> float:
        """The factor k for 95 %, as an estimate's."""
        if self.joint_dof is not None:
            return coverage_factor(self.u, self.joint_dof, (), COVERAGE_PROBABILITY)
        half_widths = tuple(math.sqrt(3) * part.u for part in self.parts if part.is_limit and part.u > 0)
        return coverage_factor(self.u, self.dof, half_widths, COVERAGE_PROBABILITY)

    @property
    def expanded(self) -> float:
        """Half-width of the 95 % interval."""
        return self.coverage * self.u


@dataclass(frozen=True, slots=True)
class Interval:
    """A number whose interval is not the same to both sides; `upper` may be infinite."""

    best: float
    lower: float
    upper: float
    unit: str


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that an answer follows from: its word, its value, and what it is or where it comes from.

    `opens` is the word of another number of the same page, where this one is opened up itself.
    """

    word: str
    value: Estimate | Figure | Interval | str | Said
    what: str | Said = ""
    opens: str = ""


def as_figure(estimate: Estimate) -> Figure:
    """Return a length as a figure in mm, so that one page can show both."""
    parts = tuple(FigurePart(p.name, p.u_mm, p.dof, p.source, is_limit=p.is_limit) for p in estimate.parts)
    return Figure(estimate.value_mm, "mm", parts)


def as_estimate(figure: Figure) -> Estimate:
    """Return a figure in mm as a length."""
    parts = tuple(Part(p.name, p.u, p.dof, p.source, is_limit=p.is_limit) for p in figure.parts)
    return Estimate(figure.value, parts)


def figure_limit(name: str, half_width: float, source: str) -> FigurePart:
    """Return a limit of error as a part: a rectangle, its standard uncertainty being a / sqrt(3) (GUM 4.3.7)."""
    return FigurePart(name, half_width / math.sqrt(3), math.inf, source, is_limit=True)
