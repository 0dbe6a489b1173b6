"""Figures: numbers whose parts of doubt stand beside each other by name, and how they and values become each other.

Until hitches, offers and repairs hold Values too: what is measured is a Value already, and `Estimate` another word
for one.
"""

import math
from dataclasses import dataclass

from fieldlog.quantity.distributions import coverage_factor, effective_dof
from fieldlog.quantity.said import Said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import CANCELS, COVERAGE_PROBABILITY, Value

__all__ = (
    "CANCELS", "COVERAGE_PROBABILITY", "Estimate", "Figure", "FigurePart", "Interval", "Step", "as_figure", "as_value",
    "figure_limit",
)  # fmt: skip
Estimate = Value


@dataclass(frozen=True, slots=True)
class FigurePart:
    """One named source of doubt in the figure's own unit; `is_limit` marks a rectangle."""

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


def as_figure(value: Value) -> Figure:
    """Return the budget of a value as a figure, so that one page can show both."""
    parts = tuple([FigurePart(p.name, p.u_mm, p.dof, p.source, is_limit=p.is_limit) for p in value.parts])
    return Figure(value.value, value.unit, parts, value.whole_dof)


def as_value(figure: Figure, whose: str) -> Value:
    """Return a figure as a value, all its parts being sources of their own; `whose` is what no other figure has."""
    terms = (
        Term(
            Source(f"{whose}/{n}", "stated", label=part.name, why=part.source, dof=part.dof, is_limit=part.is_limit),
            part.u,
        )
        for n, part in enumerate(figure.parts)
    )
    return Value(figure.value, figure.unit, tuple(terms), figure.joint_dof)


def figure_limit(name: str, half_width: float, source: str) -> FigurePart:
    """Return a limit of error as a part: a rectangle, its standard uncertainty being a / sqrt(3) (GUM 4.3.7)."""
    return FigurePart(name, half_width / math.sqrt(3), math.inf, source, is_limit=True)
