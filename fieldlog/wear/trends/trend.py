"""How fast a thing wears and when it reaches its limits, or why that cannot be said yet.

Nothing is foretold from fewer than three measuring days, from less than 100 hours (or days) between them, or from a
slope that may be nil (Fieller's g of 1 and more). Wear that is proved to speed up (the squared term of a parabola, or
the rate after a change of greasing) shortens the forecast.

One bad day among the others: found by the line through the medians, which it cannot move.

Fieller, not the delta method, for when a line reaches a limit; g >= 1 means no forecast. A proved upward bend (t of
the squared term, 5 % on that side) gives the earlier of line and curve at all three places. Wear that slows down
(bedding-in) keeps its line, which errs early. Speeding up is seen in 4 of 10 joints that do it, in 8 of 10 where four
like joints of a machine are tested together (`wear/rates.py`, Stouffer's rule at 2.5 %). Beside a forecast by the
line stands what a rate that doubles on the way would make of its earliest: of joints alone 6 in 10 that speed up come
sooner than the line's interval says, but 1 in 10 sooner than that. A proved change of greasing is a bend in the line
at that day; its tail goes on.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from fieldlog.errors import MeasureError
from fieldlog.measure.crossing import Crossing, crossing, curve_crossing, median_line, slope_doubt
from fieldlog.measure.line_fit import Fit, Point, Straight, fit_points
from fieldlog.quantity.distributions import t_cdf, t_quantile
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import Value
from fieldlog.records.machine import LimitOf
from fieldlog.wear.trends.hours import FEWEST_DAYS, Usage
from fieldlog.wear.trends.records import Mark, PartBefore, RateChange, Trend
from fieldlog.wear.trends.series import Series
from fieldlog.wear.verdicts import LimitInForce

_READ_WRONG = 0.99  # how sure it must be that a hole shrank before somebody is said to have read it wrong
_HABITS = ("greasing changed",)
_FEWEST_FOR_SHAPE = 4  # days; three lie on a parabola whatever they are
_FARTHEST_SPANS = 50.0  # a curve is followed this many times the measured span and no farther


def trend_of(
    of: LimitOf, hole: str, series: Series, limit: LimitInForce | None, usage: Usage, *, likes_speed_up: bool = False
) -> Trend:
    """Return what a series says about rate and limits; `likes_speed_up` where like joints together wear ever faster."""
    trend = Trend(of, hole, usage, series.points, series.marks, limit, fit_points=series.fit)
    points = series.fit
    reason = _no_rate(trend, points)
    if reason is not None:
        return replace(trend, no_rate=reason, no_forecast=reason)
    try:
        fit = fit_points(points)
    except MeasureError:
        reason = said("trend.all_at_one_place")
        return replace(trend, no_rate=reason, no_forecast=reason)
    change, bent = _changed(points, trend)
    is_bent = change is not None and change.is_proved
    line = bent.straight(points[-1].x) if bent is not None and is_bent else fit.straight(fit.centre)
    trend = replace(trend, fit=fit, line=line, rate_change=change, before=_part_before(series, trend))
    if not is_bent and line.slope > 0 and slope_doubt(line) < 1:
        trend = _with_curve(trend, points, likes_speed_up=likes_speed_up)
    if limit is None:
        return replace(trend, no_forecast=said("trend.no_limit"))
    return _with_forecast(replace(trend, no_forecast=_no_forecast(trend, line)))


def _part_before(series: Series, trend: Trend) -> PartBefore | None:
    """Return what the part before the last cut wore by, None with fewer than three days or no rate."""
    days = {point.day for point in trend.points if point.part == trend.last_part - 1 and not point.left_out}
    cut = next((mark for mark in reversed(trend.marks) if mark.is_cut), None)
    if cut is None or len(days) < FEWEST_DAYS:
        return None
    try:
        fit = fit_points(series.before)
    except MeasureError:
        return None
    xs = [point.x for point in series.before]
    return PartBefore(cut, fit.straight(fit.centre), len(days), max(xs) - min(xs), fit, series.before)


def _no_rate(trend: Trend, points: Sequence[Point]) -> Said | None:
    if not points:
        since = next((mark for mark in reversed(trend.marks) if mark.is_cut), None)
        if any(point.part == trend.last_part for point in trend.points):
            return said("trend.meter_not_read")
        return said("trend.not_measured", since=since)
    return said("trend.one_day_only") if trend.days < 2 else None


def _no_forecast(trend: Trend, line: Straight) -> Said | None:
    if trend.days < FEWEST_DAYS:
        return said("trend.too_few_days", days=trend.days)
    least = trend.usage.least_span
    if trend.span < least:
        return said("trend.too_short_a_span", span=trend.span, least=least, axis=trend.axis)
    if line.slope > 0 and slope_doubt(line) < 1:
        return None
    if line.slope > 0:
        return said("trend.wear_may_be_none")
    return said("trend.heals") if slope_doubt(line, _READ_WRONG) < 1 else said("trend.no_wear")


def _changed(points: Sequence[Point], trend: Trend) -> tuple[RateChange | None, Fit | None]:
    """Return the rates before and after the last change of habit that has two measuring days on either side."""
    xs = [point.x for point in points]
    habits = [mark for mark in trend.marks if mark.deed in _HABITS and mark.x is not None]
    for mark in reversed(habits):
        assert mark.x is not None
        if len({x for x in xs if x <= mark.x}) < 2 or len({x for x in xs if x > mark.x}) < 2:
            continue
        try:
            fit = fit_points(points, "bend", knot=mark.x)
        except MeasureError:
            continue
        return _rate_change(fit, mark, xs), fit
    return None, None


def _rate_change(fit: Fit, mark: Mark, xs: Sequence[float]) -> RateChange:
    before, after = fit.straight(xs[0], is_tail=False), fit.straight(xs[-1])
    change, change_u = fit.extra
    return RateChange(
        mark=mark,
        before=before.slope,
        before_u=before.slope_u,
        after=after.slope,
        after_u=after.slope_u,
        change=change,
        change_u=change_u,
        dof=fit.dof,
        is_proved=fit.is_extra_proved,
    )


def _with_curve(trend: Trend, points: Sequence[Point], *, likes_speed_up: bool) -> Trend:
    """Add the parabola when it is proved to bend upwards, by its own days or by those of its like.

    What slows down stays on its line, which errs early.
    """
    if trend.days < _FEWEST_FOR_SHAPE:
        return trend
    try:
        curve = fit_points(points, "curve")
    except MeasureError:
        return trend
    value, u = curve.extra
    trend = replace(trend, bend=(value / u, curve.dof) if u > 0 else None)
    by_like = likes_speed_up and not curve.bends_up and value > 0
    return replace(trend, curve=curve, is_curve_by_like=by_like) if curve.bends_up or by_like else trend


def _with_forecast(trend: Trend) -> Trend:
    """Add when the watch and renew lines are reached, and the chances that the limit is passed."""
    limit, line = trend.limit, trend.line
    if limit is None or line is None or trend.no_forecast:
        return trend
    end = trend.usage.season_end
    return replace(
        trend,
        watch=_reached(trend, limit.watch_mm) if limit.watch_mm is not None else None,
        renew=_reached(trend, limit.renew_mm),
        chance_now=chance_over(trend, trend.usage.today, limit.renew_mm),
        chance_later=chance_over(trend, end, limit.renew_mm) if end is not None else None,
    )


def _reached(trend: Trend, limit_mm: float) -> Crossing | None:
    """Return when a height is reached: by the line, and by the curve where that is earlier."""
    assert trend.line is not None
    straight = crossing(trend.line, limit_mm)
    if trend.curve is None or straight is None:
        return straight
    start = max(point.x for point in trend.fitted if point.x is not None)
    curved = curve_crossing(trend.curve, limit_mm, start, start + _FARTHEST_SPANS * trend.span)
    return Crossing(
        min(curved.at, straight.at), min(curved.earliest, straight.earliest), min(curved.latest, straight.latest)
    )


def chance_over(trend: Trend, x: float, limit_mm: float) -> float | None:
    """Return the chance that the thing is over a limit at a place on the axis; by the curve where it speeds up."""
    if trend.line is None:
        return None
    straight = trend.line.chance_over(x, limit_mm)
    if trend.curve is None:
        return straight
    u_mm = trend.curve.u_at(x)
    gap_mm = trend.curve.value_at(x) - limit_mm
    return max(straight, t_cdf(gap_mm / u_mm, trend.curve.dof)) if u_mm > 0 else float(gap_mm > 0)


PER = 100  # rates are given per 100 hours or days


def rate_of(slope: float, slope_u: float, dof: float) -> Value:
    """Return a rate as a number with its doubt, mm per 100 hours or days."""
    line = Source("rate", "line", label="rate", why="line through the measuring days", dof=dof)
    return Value(PER * slope, "mm", (Term(line, PER * slope_u),))


def rate_half_width(line: Straight) -> float:
    """Return the 95 % half-width of a rate, mm per hour or day."""
    return t_quantile(0.975, line.dof) * line.slope_u


FEWEST_DAYS_WITH_AN_ODD_ONE = 4  # of three points any one may be the bad one
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
    if trend.line is None or trend.fit is None or trend.days < FEWEST_DAYS_WITH_AN_ODD_ONE or trend.curve is not None:
        return None
    if trend.rate_change is not None and trend.rate_change.is_proved:
        return None
    points = [(point.x, point.value.value) for point in trend.fitted if point.x is not None]
    line = median_line([x for x, _ in points], [y for _, y in points])
    disagrees = abs(line.slope - trend.line.slope) > rate_half_width(trend.line)
    worst = _worst(trend, line.slope)
    if worst is None:
        return MedianCheck(line.slope, disagrees)
    number, off_mm = worst
    return MedianCheck(line.slope, disagrees, trend.fitted[number].day, off_mm, _slope_without(trend, number))


def _worst(trend: Trend, slope: float) -> tuple[int, float] | None:
    """Return the day farthest off the others along the median slope, when it stands apart from the scatter of all."""
    heights = [point.value.value - slope * (point.x or 0.0) for point in trend.fitted]
    off = [height - median(heights) for height in heights]
    usual = _TO_SD * median(abs(gap) for gap in off)
    own = median(point.value.u for point in trend.fitted)
    number = max(range(len(off)), key=lambda n: abs(off[n]))
    return (number, off[number]) if abs(off[number]) > _APART * max(usual, own) else None


def _slope_without(trend: Trend, number: int) -> float | None:
    points = [point for n, point in enumerate(trend.fit_points) if n != number]
    try:
        line: Straight = fit_points(points).straight(0.0)
    except MeasureError:
        return None
    return line.slope
