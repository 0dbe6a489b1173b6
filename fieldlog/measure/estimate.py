"""A size with its uncertainty, built up from named parts as the GUM (JCGM 100:2008) prescribes."""

import math
from dataclasses import dataclass

from fieldlog.measure.distributions import t_quantile

COVERAGE_PROBABILITY = 0.95


@dataclass(frozen=True, slots=True)
class Part:
    """One named source of doubt: its standard uncertainty, degrees of freedom and where the number comes from."""

    name: str
    u_mm: float
    dof: float
    source: str


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
        below = sum(part.u_mm**4 / part.dof for part in self.parts if part.u_mm > 0)
        return self.u_mm**4 / below if below > 0 else math.inf

    @property
    def coverage(self) -> float:
        """The factor k for 95 %: Student's t at the effective degrees of freedom, not truncated."""
        return t_quantile((1 + COVERAGE_PROBABILITY) / 2, self.dof)

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
    parts = tuple(Part(part.name, abs(factor) * part.u_mm, part.dof, part.source) for part in estimate.parts)
    return Estimate(factor * estimate.value_mm, parts)
