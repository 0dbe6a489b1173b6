"""The line through the medians, which one bad day cannot move: a check beside the least-squares line."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from fieldlog.errors import MeasureError


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
