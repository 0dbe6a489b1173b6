"""How sure a standard deviation is that was found from few readings, at 95 %: intervals of variances and their sums.

A lone mean square: chi-square. Sums and differences of mean squares: the modified large-sample intervals of Graybill
& Wang (1980) and Ting et al. (1990), as Burdick, Borror & Montgomery (J. Quality Technology 35, 2003) give them for
gauge studies; formulas from memory, held to simulations in the tests.
"""

import math
from typing import NamedTuple

from fieldlog.measure.distributions import f_quantile
from fieldlog.measure.gauge_study import AnovaRow

_TAIL = 0.025
_ENDLESS = 1e9  # degrees of freedom of a denominator that is known


class SpreadInterval(NamedTuple):
    """A standard deviation, and from where to where it may be."""

    best: float
    lower: float
    upper: float


def chi_square_quantile(p: float, dof: float) -> float:
    """Return the point of the chi-square distribution with the share `p` below it, for 1 degree of freedom or more."""
    return dof * f_quantile(p, dof, _ENDLESS)


def sd_interval(sd: float, dof: float) -> SpreadInterval:
    """Return the interval of a standard deviation: s root(dof / chi-square), of readings that scatter like a bell."""
    low, high = (math.sqrt(dof / chi_square_quantile(p, dof)) for p in (1 - _TAIL, _TAIL))
    return SpreadInterval(sd, sd * low, sd * high)


def sum_interval(first: AnovaRow, second: AnovaRow, factors: tuple[float, float]) -> SpreadInterval:
    """Return the interval of root(c1 MS1 + c2 MS2), both factors 0 or more (Graybill & Wang)."""
    rows = list(zip((first, second), factors, strict=True))
    best = math.fsum(factor * row.mean_mm2 for row, factor in rows)
    below = math.hypot(*(factor * _g(row.dof) * row.mean_mm2 for row, factor in rows))
    above = math.hypot(*(factor * _h(row.dof) * row.mean_mm2 for row, factor in rows))
    return _roots(best, best - below, best + above)


def difference_interval(first: AnovaRow, second: AnovaRow, factor: float) -> SpreadInterval:
    """Return the interval of root(c (MS1 - MS2)), nought where the difference is below it (Ting et al.)."""
    one, two = first.mean_mm2, second.mean_mm2
    g1, h1, g2, h2 = _g(first.dof), _h(first.dof), _g(second.dof), _h(second.dof)
    most, least = (f_quantile(p, first.dof, second.dof) for p in (1 - _TAIL, _TAIL))
    g12 = ((most - 1) ** 2 - (g1 * most) ** 2 - h2**2) / most
    h12 = ((1 - least) ** 2 - (h1 * least) ** 2 - g2**2) / least
    below = (g1 * one) ** 2 + (h2 * two) ** 2 + g12 * one * two
    above = (h1 * one) ** 2 + (g2 * two) ** 2 + h12 * one * two
    best = one - two
    return _roots(
        factor * best, factor * (best - math.sqrt(max(below, 0.0))), factor * (best + math.sqrt(max(above, 0.0)))
    )


def _g(dof: float) -> float:
    return 1 - dof / chi_square_quantile(1 - _TAIL, dof)


def _h(dof: float) -> float:
    return dof / chi_square_quantile(_TAIL, dof) - 1


def _roots(best: float, lower: float, upper: float) -> SpreadInterval:
    return SpreadInterval(*(math.sqrt(max(value, 0.0)) for value in (best, lower, upper)))
