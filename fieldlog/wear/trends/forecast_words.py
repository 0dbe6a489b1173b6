"""Rate and forecast in the trade's short sentences."""

import datetime
import math

from fieldlog.measure.crossing import Crossing
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import month_text
from fieldlog.quantity.value import Value
from fieldlog.wear.trends.hours import UNITS, Axis, Usage, rounded
from fieldlog.wear.trends.records import RateChange, Trend
from fieldlog.wear.verdicts import LimitInForce

_PER = 100
_FAR_YEARS = 20  # beyond that a date is only a number
_FAR_SPANS = 50.0  # what is foretold farther than this many times the measured span is no bound
_SURE = 0.995
WORDS = {"clearance": "clearance", "bore": "bore", "pin": "pin", "bush wall": "wall of the bush"}


def rate_of(slope: float, slope_u: float, dof: float) -> Value:
    """Return a rate as a number with its doubt, mm per 100 hours or days."""
    line = Source("rate", "line", label="rate", why="line through the measuring days", dof=dof)
    return Value(_PER * slope, "mm", (Term(line, _PER * slope_u),))


def rate_text(slope: float, slope_u: float, dof: float, units: Units, axis: Axis) -> str:
    """Return '0.067 ± 0.018 mm per 100 h'."""
    return f"{size_text(rate_of(slope, slope_u, dof), units)} per {_PER} {unit_of(axis)}"


def unit_of(axis: Axis) -> str:
    """Return the unit of the axis."""
    return UNITS[axis]


def rate_sentence(trend: Trend, units: Units) -> str:
    """Return how fast a thing wears and what that rests on, or why that is not known."""
    if trend.line is None:
        return trend.no_rate
    line, axis = trend.line, trend.axis
    change = trend.rate_change
    of_part = f" since {_day(change.mark.day)}" if change is not None and change.is_proved else ""
    days = f"{trend.days} measuring days" if trend.days != 1 else "1 measuring day"
    rate = rate_text(line.slope, line.slope_u, line.dof, units, axis)
    return f"Wears {rate}{of_part} ({days}, {trend.span:.0f} {span_unit(trend.usage)})."


def span_unit(usage: Usage) -> str:
    """Return the unit of the axis, with the months that days in use are counted in."""
    months = f", {usage.in_use.typed}" if usage.axis == "days in use" and usage.in_use is not None else ""
    return f"{unit_of(usage.axis)}{months}"


def forecast_sentence(trend: Trend, units: Units) -> str:
    """Return when the limit is reached, or why that is not foretold; empty without a limit."""
    if trend.limit is None:
        return ""
    if trend.renew is None:
        return f"No forecast: {trend.no_forecast[:1].lower()}{trend.no_forecast[1:]}" if trend.line else ""
    limit = f"{_limit_text(trend, units)} ({origin_text(trend.limit)})"
    said = f"Reaches its limit {limit}{_on_the_meter(trend, trend.renew)} {when_text(trend, trend.renew)}."
    if trend.curve is not None:
        who = "Like joints on this machine, taken together, wear" if trend.is_curve_by_like else "It wears"
        return f"{said} {who} faster and faster: the forecast follows the curve, which comes sooner than the line."
    return f"{said}{_faster_text(trend)}"


def _faster_text(trend: Trend) -> str:
    """Return the earliest if it wears faster as it gets loose, which nothing shows before it does."""
    faster, usage = trend.if_faster, trend.usage
    if faster is None or faster - usage.today > _FAR_YEARS * (usage.per_year or math.inf):
        return ""
    left = f"{rounded(faster - usage.today)} {unit_of(trend.axis)}"
    return f" Should it wear faster as it gets loose, twice as fast at the end: in {left} at the earliest."


def _on_the_meter(trend: Trend, reached: Crossing) -> str:
    """Return the interval as the meter will show it, where its last reading is of long ago."""
    if not trend.usage.is_stale or reached.latest > trend.usage.now + _FAR_SPANS * trend.span:
        return ""
    return f" at {max(reached.earliest, 0.0):.0f} to {reached.latest:.0f} h on the meter,"


def watch_sentence(trend: Trend, units: Units) -> str:
    """Return when the watch line is reached, empty when that is past or not foretold."""
    if trend.watch is None or trend.limit is None or trend.limit.watch_mm is None:
        return ""
    if trend.watch.latest <= trend.usage.today:
        return ""
    return f"Watch line {mm_text(trend.limit.watch_mm, units)}: {when_text(trend, trend.watch)}."


def origin_text(limit: LimitInForce) -> str:
    """Return who says so in a word or two: what the owner typed, or 'default'."""
    return limit.origin.partition(":" if limit.origin.startswith("default:") else ";")[0]


def _limit_text(trend: Trend, units: Units) -> str:
    assert trend.limit is not None
    worn = " of wear" if trend.of in {"pin", "bush wall"} else ""
    return f"{mm_text(trend.limit.renew_mm, units)}{worn}"


def when_text(trend: Trend, reached: Crossing) -> str:
    """Return when a line is reached: 'in 450 to 870 h, most likely 610 (Jun 2028 to Nov 2030)'."""
    now, unit = trend.usage.today, unit_of(trend.axis)
    far = _FAR_YEARS * (trend.usage.per_year or math.inf)
    if reached.earliest - now > far:
        return f"not within the next {_FAR_YEARS} years of its usual work"
    least, most = reached.earliest - now, reached.latest - now
    if most <= 0:
        return "by now, as far as its days tell"
    at = max(reached.at - now, 0.0)
    if math.isinf(most) or most > _FAR_SPANS * trend.span:
        if least <= 0:
            return "perhaps already; nothing tells how late"
        return f"in {rounded(least)} {unit} at the earliest{_dates(trend, reached.earliest, None)}"
    dates = _dates(trend, reached.earliest, reached.latest)
    if least <= 0:
        return f"perhaps already, at the latest in {rounded(most)} {unit}{dates}"
    return f"in {rounded(least)} to {rounded(most)} {unit}, most likely {rounded(at)}{dates}"


def _dates(trend: Trend, earliest: float, latest: float | None) -> str:
    """Return the months of an interval, empty when nothing tells or when it lies too far to mean anything."""
    usage = trend.usage
    first, today = usage.date_at(earliest), usage.date_at(usage.today) or usage.as_of
    if first is None or first.year - today.year > _FAR_YEARS:
        return ""
    if latest is None:
        return f" ({month_text(first)})"
    last = usage.date_at(latest)
    if last is None or last.year - today.year > _FAR_YEARS:
        return f" (from {month_text(max(first, today))})"
    if first <= today:
        return f" ({month_text(last)})"
    months = dict.fromkeys((month_text(first), month_text(last)))
    return f" ({' to '.join(months)})"


def _day(day: datetime.date) -> str:
    return f"{day.day} {month_text(day)}"


def season_sentence(trend: Trend) -> str:
    """Return the chance that the limit is passed by the end of the coming season."""
    return season_text(trend, trend.chance_later)


def season_text(trend: Trend, later: float | None) -> str:
    """Return the same for a chance that was worked out elsewhere; without a meter the season is a year's work."""
    usage = trend.usage
    if later is None or usage.planned is None:
        return ""
    season = f"a season of {rounded(usage.planned)} {unit_of(usage.axis)} ({usage.origin})"
    if usage.axis == "days":
        season = "a year"
    return f"After {season}: {chance_text(later)}."


def chance_text(over: float) -> str:
    """Return a chance of being over in words: the likelier side is said."""
    share, side = (over, "over") if over >= 0.5 else (1 - over, "still under")
    number = f"about {share * 100:.0f} %" if share < _SURE else "more than 99 %"
    return f"{number} chance that it is {side} its limit"


def change_sentence(change: RateChange, units: Units, axis: Axis) -> str:
    """Return what a change of greasing did to the rate."""
    before = rate_text(change.before, change.before_u, change.dof, units, axis)
    after = rate_text(change.after, change.after_u, change.dof, units, axis)
    habit = f"{change.mark.deed}{': ' if change.mark.text else ''}{change.mark.text}"
    said = f"{habit[:1].upper()}{habit[1:]}, {_day(change.mark.day)}: {before} before, {after} since;"
    if not change.is_proved:
        return f"{said} a difference is not proved yet."
    word = "slower" if change.change < 0 else "faster"
    return f"{said} it wears {word} now, and the forecast goes by the rate since."


def before_sentence(trend: Trend, units: Units) -> str:
    """Return how the part before the last cut wore, empty where that is not known."""
    found = trend.before
    if found is None:
        return ""
    rate = rate_text(found.line.slope, found.line.slope_u, found.line.dof, units, trend.axis)
    span = f"{found.span:.0f} {unit_of(trend.axis)}"
    return f"Before it was {done_text(found.cut.deed)}: {rate} ({found.days} measuring days, {span})."


def done_text(deed: str) -> str:
    """Return what was done as it follows 'it was': 're-bushed', 'given a new pin'."""
    return {"new pin": "given a new pin", "link replaced": "replaced"}.get(deed, deed)


def stale_sentence(trend: Trend) -> str:
    """Return that hours are reckoned on from a meter reading of long ago; empty while it is fresh."""
    usage = trend.usage
    if not usage.is_stale or trend.line is None:
        return ""
    since = f"about {rounded(usage.today - usage.now)} h since are reckoned on as usual"
    return f"The meter was last read {_day(usage.as_of)}, {usage.now:.0f} h; {since}."


def years_left(trend: Trend) -> float | None:
    """Return the lower bound of what is left in years of its usual work."""
    least, per_year = trend.least_left, trend.usage.per_year
    return least / per_year if least is not None and per_year else None
