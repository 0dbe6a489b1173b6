"""One scatter for all days of a series: the same hand, the same caliper, the same hole.

A day's own repeats tell its scatter only roughly. Weighted by such figures, a day that happens to repeat well would
count far too much; so the days' scatters are put together, each by its degrees of freedom, per reading. A day that is
proved to scatter more than the others (F test, 1 %) keeps its own.
"""

import math
from collections.abc import Sequence

from fieldlog.measure.distributions import f_quantile
from fieldlog.measure.estimate import Estimate, Part
from fieldlog.records.frozen import dataclass

_APART = 0.99
_MOST_DOF = 1e6
_OWN = ("scatter", "step of", "temperature")  # how the names of such parts begin


@dataclass(frozen=True, slots=True)
class DayScatter:
    """What one day's value owes to the scatter of its readings: standard uncertainty, degrees of freedom, readings."""

    u_mm: float
    dof: float
    n_readings: int

    @property
    def per_reading(self) -> float:
        """The variance of one reading that it stands for."""
        return self.u_mm**2 * self.n_readings


def scatter_of(estimate: Estimate, n_readings: int) -> DayScatter:
    """Return the scatter behind an estimate: all its parts that other days do not share."""
    own = Estimate(estimate.value_mm, tuple(part for part in estimate.parts if not is_shared(part)))
    return DayScatter(own.u_mm, own.dof, max(n_readings, 1))


def is_shared(part: Part) -> bool:
    """Tell what is the same on every day with the same jaws, such as their limit of error, from a day's own doubt.

    A day's own are the scatter of its readings, the step they were read to, and its temperature.
    """
    return not part.name.startswith(_OWN)


def pooled(days: Sequence[DayScatter]) -> tuple[DayScatter, ...]:
    """Return the days with their scatter put together; the degrees of freedom are shared out, so that they add up."""
    finite = [day for day in days if math.isfinite(day.dof)]
    if len(finite) < 2:
        return tuple(days)
    total, squares = _sums(finite)
    is_alike = [math.isfinite(day.dof) and not _stands_apart(day, total, squares) for day in days]
    alike = [day for day, is_one in zip(days, is_alike, strict=True) if is_one]
    if len(alike) < 2:
        return tuple(days)
    total, squares = _sums(alike)
    each, variance = total / len(alike), squares / total
    return tuple(
        DayScatter(math.sqrt(variance / day.n_readings), each, day.n_readings) if is_one else day
        for day, is_one in zip(days, is_alike, strict=True)
    )


def _sums(days: Sequence[DayScatter]) -> tuple[float, float]:
    return math.fsum(day.dof for day in days), math.fsum(day.dof * day.per_reading for day in days)


def _stands_apart(day: DayScatter, total: float, squares: float) -> bool:
    """Tell whether a day is proved to scatter more than the others together; the sums are those of all days."""
    dof = total - day.dof
    rest = (squares - day.dof * day.per_reading) / dof
    ratio = day.per_reading / rest if rest > 0 else 1.0
    return ratio > 3.0 and ratio > f_quantile(_APART, min(day.dof, _MOST_DOF), min(dof, _MOST_DOF))
