"""One bad day among the others: found by the line through the medians, which it cannot move."""

import datetime
from dataclasses import dataclass
from statistics import median

from fieldlog.errors import MeasureError
from fieldlog.measure.line_fit import Straight, fit_points
from fieldlog.measure.median_line import median_line
from fieldlog.wear.trend import rate_half_width
from fieldlog.wear.trend_records import Trend

FEWEST_DAYS = 4  # of three points any one may be the bad one
_APART = 3.5  # robust standard deviations: Iglewicz & Hoaglin (1993), from memory
_TO_SD = 1.4826  # median absolute deviation to standard deviation, for a normal scatter


@dataclass(frozen=True, slots=True)
class MedianCheck:
    """The median line beside the least-squares one: whether they disagree, and the day that stands apart, if one does.

    `off_mm` is how far that day lies off the median line, `slope_without` the least-squares slope without it.
    """

    slope: float
    disagrees: bool
    day: datetime.date | None = None
    off_mm: float = 0.0
    slope_without: float | None = None


def median_check(trend: Trend) -> MedianCheck | None:
    """Return the check of a trend's line; None with fewer than four days, or where the line is bent or a curve."""
    if trend.line is None or trend.fit is None or trend.days < FEWEST_DAYS or trend.curve is not None:
        return None
    if trend.rate_change is not None and trend.rate_change.is_proved:
        return None
    points = [(point.x, point.value.value_mm) for point in trend.fitted if point.x is not None]
    line = median_line([x for x, _ in points], [y for _, y in points])
    disagrees = abs(line.slope - trend.line.slope) > rate_half_width(trend.line)
    worst = _worst(trend, line.slope)
    if worst is None:
        return MedianCheck(line.slope, disagrees)
    number, off_mm = worst
    return MedianCheck(line.slope, disagrees, trend.fitted[number].day, off_mm, _slope_without(trend, number))


def _worst(trend: Trend, slope: float) -> tuple[int, float] | None:
    """Return the day farthest off the others along the median slope, when it stands apart from the scatter of all."""
    heights = [point.value.value_mm - slope * (point.x or 0.0) for point in trend.fitted]
    off = [height - median(heights) for height in heights]
    usual = _TO_SD * median(abs(gap) for gap in off)
    own = median(point.value.u_mm for point in trend.fitted)
    number = max(range(len(off)), key=lambda n: abs(off[n]))
    return (number, off[number]) if abs(off[number]) > _APART * max(usual, own) else None


def _slope_without(trend: Trend, number: int) -> float | None:
    points = [point for n, point in enumerate(trend.fit_points) if n != number]
    try:
        line: Straight = fit_points(points).straight(0.0)
    except MeasureError:
        return None
    return line.slope
