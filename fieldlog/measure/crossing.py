"""When a fitted line reaches a limit: Fieller's interval, or none when the slope is not known well enough.

The line through the medians, which one bad day cannot move: a check beside the least-squares line.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from fieldlog.errors import MeasureError
from fieldlog.measure.line_fit import Fit, Straight
from fieldlog.quantity.distributions import t_quantile

_HALVINGS = 80


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a line reaches a limit: best estimate, and the interval that holds the true place."""

    at: float
    earliest: float
    latest: float


def slope_doubt(line: Straight, share: float = 0.95) -> float:
    """Return Fieller's g: the squared ratio of the slope's half-width to the slope. At 1 and over the slope may be nil.

    g = t^2 u(slope)^2 / slope^2; infinite for a level line.
    """
    return (line.t(share) * line.slope_u / line.slope) ** 2 if line.slope else math.inf


def crossing(line: Straight, limit_mm: float, *, reading_u_mm: float = 0.0, share: float = 0.95) -> Crossing | None:
    """Return where a line reaches a height, with Fieller's interval; None when the slope may be nil (g >= 1).

    All x at which the line's height agrees with the limit: (level + slope d - limit)^2 = t^2 (variance of the
    height at d + reading_u^2), a quadratic in the distance d from the line's centre. `reading_u_mm` is the doubt
    of the height itself when that was measured (inverse prediction); a limit has none. Where part of the height's
    variance is known beforehand, t has the effective degrees of freedom of where the line itself reaches it.

    Source: E. C. Fieller, J. Royal Statist. Soc. B 16 (1954) 175-185.
    """
    if slope_doubt(line, share) >= 1:
        return None
    gap = line.level_mm - limit_mm
    at = line.centre - gap / line.slope
    tt = line.t_at(at, share) ** 2
    a = line.slope**2 - tt * line.slope_variance
    half_b = gap * line.slope - tt * line.covariance
    c = gap**2 - tt * (line.level_variance + reading_u_mm**2)
    root = math.sqrt(max(half_b**2 - a * c, 0.0))
    ends = sorted(line.centre + (-half_b + sign * root) / a for sign in (-1, 1))
    return Crossing(at, ends[0], ends[1])


def curve_crossing(curve: Fit, limit_mm: float, start: float, most: float, share: float = 0.95) -> Crossing:
    """Return where a fitted curve reaches a limit between `start` and `most`, by the edges of its band.

    The earliest is where the upper edge of the band of height reaches the limit, the latest where the lower edge
    does; `most` stands for what is not reached before. An edge over the limit at the start gives the start.
    """
    t = t_quantile((1 + share) / 2, curve.dof)

    def first(edge: float) -> float:
        def gap(x: float) -> float:
            return curve.value_at(x) + edge * t * curve.u_at(x) - limit_mm

        return _first_over(gap, start, most)

    return Crossing(first(0.0), first(1.0), first(-1.0))


def _first_over(gap: Callable[[float], float], start: float, most: float) -> float:
    """Return where a gap first turns positive, looked for in steps and then by halving."""
    if gap(start) >= 0:
        return start
    steps = 64
    before = start
    for number in range(1, steps + 1):
        x = start + (most - start) * number / steps
        if gap(x) < 0:
            before = x
            continue
        after = x
        for _ in range(_HALVINGS):
            middle = (before + after) / 2
            before, after = (middle, after) if gap(middle) < 0 else (before, middle)
        return after
    return most


@dataclass(frozen=True, slots=True)
class MedianLine:
    """A slope and a height at x = 0."""

    slope: float
    intercept: float

    def value_at(self, x: float) -> float:
        """The line's height at x."""
        return self.intercept + self.slope * x


def median_line(xs: Sequence[float], ys: Sequence[float]) -> MedianLine:
    """Return the Theil-Sen line: the median of the slopes between all pairs, through the medians of x and y.

    Pairs at the same x say nothing and are left out. Up to 29 % of the days may be wrong without moving it far.
    Source: P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389; the height as in W. J. Conover (1980).

    Raises:
        MeasureError: all points lie at the same x.
    """
    pairs = list(zip(xs, ys, strict=True))
    slopes = [(y2 - y1) / (x2 - x1) for n, (x1, y1) in enumerate(pairs) for x2, y2 in pairs[n + 1 :] if x1 != x2]
    if not slopes:
        raise MeasureError("All points lie at the same hours; nothing tells a rate.")
    slope = median(slopes)
    return MedianLine(slope, median(ys) - slope * median(xs))
