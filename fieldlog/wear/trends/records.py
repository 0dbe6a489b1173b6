"""What is known of one wearing thing over time: its points, what cut its history, its rate, when limits are reached.

Plain data, so that pages, pictures and the season's sums can be drawn from it.

What a trend has to tell: rate, forecast, chances, what cut its history, how it stands to its meter.
"""

import datetime
import math
from dataclasses import dataclass

from fieldlog.measure.crossing import Crossing
from fieldlog.measure.line_fit import Fit, Point, Straight
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Deed
from fieldlog.records.machine import LimitOf
from fieldlog.wear.trends.hours import Axis, Usage
from fieldlog.wear.verdicts import LimitInForce


@dataclass(frozen=True, slots=True)
class TrendPoint:
    """One measuring day: where it stands on the axis (None when no meter tells), its value, more being worse.

    `part` counts the parts of the history, 0 first; `left_out` says why a point of the last part is not in the fit;
    `keys` are the readings behind it, `own` the sources that are this day's own scatter, for which the line finds one.
    """

    day: datetime.date
    x: float | None
    value: Value
    part: int
    left_out: Said | None = None
    keys: tuple[str, ...] = ()
    own: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mark:
    """What was done: `is_cut` where it began a new part of the history, else a mark only."""

    day: datetime.date
    x: float | None
    deed: Deed
    is_cut: bool
    text: str = ""


@dataclass(frozen=True, slots=True)
class RateChange:
    """The rates before and after a change of habit, and the difference, with standard uncertainties, mm per x."""

    mark: Mark
    before: float
    before_u: float
    after: float
    after_u: float
    change: float
    change_u: float
    dof: float
    is_proved: bool


@dataclass(frozen=True, slots=True)
class PartBefore:
    """How the part of the history before the last cut wore: its line, measuring days, and what lies between them.

    `points` are its days as the line takes them, `fit` the line as it was fitted.
    """

    cut: Mark
    line: Straight
    days: int
    span: float
    fit: Fit
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Trend:
    """The history of one thing: clearance or bore or wall of a hole, or the pin of a joint.

    `fit_points` are the points of `fitted` as the line takes them, with one scatter for all days.

    `line` is the straight line that goes on: of the last part, after a proved change of habit. `curve` is there when
    wear is proved to speed up, by its own days or (`is_curve_by_like`) by those of like joints on its machine together;
    the forecast is then the earlier of both. `bend` is the squared term over its doubt, with its degrees of freedom.
    `no_rate` and `no_forecast` are reasons, None when there is one. Chances are of the limit being passed by now and
    by the season's end.
    """

    of: LimitOf
    hole: str
    usage: Usage
    points: tuple[TrendPoint, ...]
    marks: tuple[Mark, ...]
    limit: LimitInForce | None
    fit: Fit | None = None
    line: Straight | None = None
    curve: Fit | None = None
    rate_change: RateChange | None = None
    watch: Crossing | None = None
    renew: Crossing | None = None
    chance_now: float | None = None
    chance_later: float | None = None
    fit_points: tuple[Point, ...] = ()
    before: PartBefore | None = None
    bend: tuple[float, float] | None = None
    is_curve_by_like: bool = False
    no_rate: Said | None = None
    no_forecast: Said | None = None

    @property
    def axis(self) -> Axis:
        """Hours of the meter, or days where there is none."""
        return self.usage.axis

    @property
    def fitted(self) -> tuple[TrendPoint, ...]:
        """The points that the line goes through."""
        last_part = self.last_part
        return tuple(p for p in self.points if not p.left_out and p.x is not None and p.part == last_part)

    @property
    def last_part(self) -> int:
        """The number of the part that goes on today, which may not be measured yet."""
        return sum(mark.is_cut for mark in self.marks)

    @property
    def days(self) -> int:
        """How many measuring days the line rests on."""
        return len({point.day for point in self.fitted})

    @property
    def span(self) -> float:
        """From the first to the last of them, in hours or days."""
        xs = [point.x for point in self.fitted if point.x is not None]
        return max(xs) - min(xs) if xs else 0.0

    @property
    def if_faster(self) -> float | None:
        """Where the limit is reached at the earliest if the rate doubles on the way, in step with the wear.

        dc/dt = r (1 + (c - c0) / G) over the gap G takes G ln 2 / r, so 0.69 of the way at an even rate. That joints
        wear faster as they get loose is common knowledge of the trade; that it is twice as fast is a judgement. None
        where nothing lies ahead, or where the forecast follows a curve already.
        """
        today = self.usage.today
        if self.renew is None or self.curve is not None or self.renew.earliest <= today:
            return None
        return today + math.log(2.0) * (self.renew.earliest - today)

    @property
    def least_left(self) -> float | None:
        """The lower bound of what is left until the limit, in hours or days, never below 0; None without a forecast."""
        return max(self.renew.earliest - self.usage.today, 0.0) if self.renew is not None else None


def rate_told(trend: Trend) -> Said:
    """Say how fast a thing wears and what that rests on, or why that is not known."""
    if trend.line is None and trend.no_rate is not None:
        return trend.no_rate
    return said("trend.rate", trend=trend)


def forecast_told(trend: Trend) -> Said | None:
    """Say when the limit is reached, or why that is not foretold; None without a limit."""
    if trend.limit is None:
        return None
    if trend.renew is None:
        return said("trend.no_forecast", why=trend.no_forecast) if trend.line is not None else None
    return said("trend.forecast", trend=trend)


def watch_told(trend: Trend) -> Said | None:
    """Say when the watch line is reached, None when that is past or not foretold."""
    if trend.watch is None or trend.limit is None or trend.limit.watch_mm is None:
        return None
    return said("trend.watch", trend=trend) if trend.watch.latest > trend.usage.today else None


def season_told(usage: Usage, over: float | None) -> Said | None:
    """Say with which chance the limit is passed by the end of the coming season, None where nothing tells."""
    if over is None or usage.planned is None:
        return None
    return said("trend.season", usage=usage, origin=usage.origin, over=over)


def stale_told(trend: Trend) -> Said | None:
    """Say that hours are reckoned on from a meter reading of long ago; None while it is fresh."""
    if not trend.usage.is_stale or trend.line is None:
        return None
    return said("season.stale", usage=trend.usage)


def before_told(trend: Trend) -> Said | None:
    """Say how the part before the last cut wore, None where that is not known."""
    return said("trend.before", before=trend.before, axis=trend.axis) if trend.before is not None else None


def change_told(trend: Trend) -> Said | None:
    """Say what a change of greasing did to the rate, None where there was none."""
    change = trend.rate_change
    return said("trend.change", change=change, axis=trend.axis) if change is not None else None


def life_told(trend: Trend | None) -> Said | None:
    """Say what is left in a few words, None without a forecast."""
    if trend is None or trend.least_left is None:
        return None
    return said("trend.left", least=trend.least_left, axis=trend.axis)


def outlook(trend: Trend) -> tuple[Said, ...]:
    """Return rate, forecast and the chance at the season's end of one trend, nothing when there is no rate."""
    if trend.line is None:
        return ()
    rate = rate_told(trend)
    first = rate if trend.of == "clearance" else said("trend.about", of=trend.of, what=rate)
    found = (first, forecast_told(trend), season_told(trend.usage, trend.chance_later), stale_told(trend))
    return tuple(one for one in found if one is not None)
