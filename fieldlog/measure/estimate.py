"""A size with its uncertainty, built up from named parts as the GUM (JCGM 100:2008) prescribes."""

import math
from dataclasses import dataclass, replace

from fieldlog.measure.coverage import coverage_factor, effective_dof

COVERAGE_PROBABILITY = 0.95


@dataclass(frozen=True, slots=True)
class Part:
    """One named source of doubt: its standard uncertainty, degrees of freedom and where the number comes from.

    `is_limit` marks a rectangle: the error is anywhere within sqrt(3) times `u_mm` either way, and not beyond.
    """

    name: str
    u_mm: float
    dof: float
    source: str
    is_limit: bool = False

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
    """Return first minus second, the two being independent of each other."""
    return Estimate(first.value_mm - second.value_mm, (*first.parts, *second.parts))


def exactly(value_mm: float) -> Estimate:
    """Return a value that carries no doubt of its own."""
    return Estimate(value_mm, ())


def scaled(estimate: Estimate, factor: float) -> Estimate:
    """Return a multiple of an estimate, its parts named as before."""
    parts = tuple(replace(part, u_mm=abs(factor) * part.u_mm) for part in estimate.parts)
    return Estimate(factor * estimate.value_mm, parts)
