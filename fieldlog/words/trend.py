"""Wear over the seasons: rate and forecast, what is left, chances, and what like joints lend."""

import datetime
import math
from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.measure.crossing import Crossing
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.text import day_text, month_text
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Deed
from fieldlog.records.machine import LimitOf
from fieldlog.wear.parts import Parts
from fieldlog.wear.trends.hours import Axis, Usage, rounded, unit_of
from fieldlog.wear.trends.records import Mark, PartBefore, RateChange, Trend
from fieldlog.wear.trends.trend import PER, rate_of
from fieldlog.wear.verdicts import LimitInForce
from fieldlog.words.step import parts_text

_FAR_YEARS = 20  # beyond that a date is only a number
_FAR_SPANS = 50.0  # what is foretold farther than this many times the measured span is no bound
_SURE = 0.995
_THINGS: Mapping[LimitOf, str] = MappingProxyType(
    {"clearance": "clearance", "bore": "bore", "pin": "pin", "bush wall": "wall of the bush"}
)


def thing_text(of: LimitOf) -> str:
    """Return what wears in a word or two."""
    return _THINGS[of]


# Rate.


def rate_text(slope: float, slope_u: float, dof: float, units: Units, axis: Axis) -> str:
    """Return '0.067 ± 0.018 mm per 100 h'."""
    return f"{size_text(rate_of(slope, slope_u, dof), units)} per {PER} {unit_of(axis)}"


def rate(units: Units, *, trend: Trend) -> str:
    """How fast a thing wears and what that rests on."""
    line, axis = trend.line, trend.axis
    assert line is not None
    change = trend.rate_change
    of_part = f" since {day_text(change.mark.day)}" if change is not None and change.is_proved else ""
    days = f"{trend.days} measuring days" if trend.days != 1 else "1 measuring day"
    words = rate_text(line.slope, line.slope_u, line.dof, units, axis)
    return f"Wears {words}{of_part} ({days}, {trend.span:.0f} {span_unit(trend.usage)})."


def span_unit(usage: Usage) -> str:
    """Return the unit of the axis, with the months that days in use are counted in."""
    months = f", {usage.in_use.typed}" if usage.axis == "days in use" and usage.in_use is not None else ""
    return f"{unit_of(usage.axis)}{months}"


def about(units: Units, *, of: LimitOf, what: str) -> str:
    """A rate of something else than the clearance."""
    return f"{thing_text(of).capitalize()}: {what}"


def change(units: Units, *, change: RateChange, axis: Axis) -> str:
    """What a change of greasing did to the rate."""
    before = rate_text(change.before, change.before_u, change.dof, units, axis)
    after = rate_text(change.after, change.after_u, change.dof, units, axis)
    habit = f"{change.mark.deed}{': ' if change.mark.text else ''}{change.mark.text}"
    said = f"{habit[:1].upper()}{habit[1:]}, {day_text(change.mark.day)}: {before} before, {after} since;"
    if not change.is_proved:
        return f"{said} a difference is not proved yet."
    word = "slower" if change.change < 0 else "faster"
    return f"{said} it wears {word} now, and the forecast goes by the rate since."


def before(units: Units, *, before: PartBefore, axis: Axis) -> str:
    """How the part before the last cut wore."""
    words = rate_text(before.line.slope, before.line.slope_u, before.line.dof, units, axis)
    span = f"{before.span:.0f} {unit_of(axis)}"
    return f"Before it was {done_text(before.cut.deed)}: {words} ({before.days} measuring days, {span})."


def about_before(units: Units, *, about: str, cut: Mark) -> str:
    """A number about the part before the last cut."""
    return f"{about}, before it was {done_text(cut.deed)} {day_text(cut.day)}"


def done_text(deed: Deed) -> str:
    """Return what was done as it follows 'it was': 're-bushed', 'given a new pin'."""
    words: dict[Deed, str] = {"new pin": "given a new pin", "link replaced": "replaced"}
    return words.get(deed, deed)


def meter_not_read(units: Units) -> str:
    """No day has a place on the axis."""
    return "The hour meter was not read on its measuring days."


def not_measured(units: Units, *, since: Mark | None) -> str:
    """No day at all."""
    return f"Not measured since {since.deed} on {day_text(since.day)}." if since is not None else "Never measured."


def one_day_only(units: Units) -> str:
    """One day makes no line."""
    return "Measured on one day only; nothing tells a rate yet."


def all_at_one_place(units: Units) -> str:
    """Several days at one place make no line."""
    return "All its days lie at the same place; nothing tells a rate."


def meter_not_read_near(units: Units) -> str:
    """Why a day is not in the line."""
    return "the hour meter was not read near that day"


def too_few_lines(units: Units) -> str:
    """Why a day is not in the line."""
    return "measured along too few lines to see the oval that other days saw"


# Forecast.


def forecast(units: Units, *, trend: Trend) -> str:
    """When the limit is reached."""
    limit, renew = trend.limit, trend.renew
    assert limit is not None
    assert renew is not None
    worn = " of wear" if trend.of in {"pin", "bush wall"} else ""
    line = f"{mm_text(limit.renew_mm, units)}{worn} ({who_says(limit)})"
    said = f"Reaches its limit {line}{_on_the_meter(trend, renew)} {when_text(trend, renew)}."
    if trend.curve is not None:
        who = "Like joints on this machine, taken together, wear" if trend.is_curve_by_like else "It wears"
        return f"{said} {who} faster and faster: the forecast follows the curve, which comes sooner than the line."
    return f"{said}{_faster_text(trend)}"


def who_says(limit: LimitInForce) -> str:
    """Return who says so in a word or two: what the owner typed, or 'default'."""
    return limit.typed_by or "default"


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


def watch(units: Units, *, trend: Trend) -> str:
    """When the watch line is reached."""
    assert trend.watch is not None
    assert trend.limit is not None
    assert trend.limit.watch_mm is not None
    return f"Watch line {mm_text(trend.limit.watch_mm, units)}: {when_text(trend, trend.watch)}."


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
        return f"in {rounded(least)} {unit} at the earliest{_months(trend, reached.earliest, None)}"
    dates = _months(trend, reached.earliest, reached.latest)
    if least <= 0:
        return f"perhaps already, at the latest in {rounded(most)} {unit}{dates}"
    return f"in {rounded(least)} to {rounded(most)} {unit}, most likely {rounded(at)}{dates}"


def _months(trend: Trend, earliest: float, latest: float | None) -> str:
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


def reached(units: Units, *, trend: Trend, crossing: Crossing) -> str:
    """When a line is reached, with the days."""
    said, usage = when_text(trend, crossing), trend.usage
    earliest, likely, latest = (usage.date_at(x) for x in (crossing.earliest, crossing.at, crossing.latest))
    said = f"{said[:1].upper()}{said[1:]}."
    if earliest is None:
        return said
    most = f", most likely {day_text(likely)}" if likely is not None else ""
    to = f" to {day_text(latest)}" if latest is not None else " at the earliest"
    meter = f"; {crossing.earliest:.0f} to {crossing.latest:.0f} h on the meter" if trend.axis == "hours" else ""
    return f"{said} By date: {day_text(earliest)}{to}{most}{meter if latest is not None else ''}."


def no_forecast(units: Units, *, why: str) -> str:
    """Nothing is foretold."""
    return f"No forecast: {why[:1].lower()}{why[1:]}"


def no_limit(units: Units) -> str:
    """Nothing to be reached."""
    return "There is no limit on it."


def too_few_days(units: Units, *, days: int) -> str:
    """Two days foretell nothing."""
    count = {1: "One", 2: "Two"}.get(days, str(days))
    return f"{count} measuring days do not make a forecast; measure on one more day."


def too_short_a_span(units: Units, *, span: float, least: float, axis: Axis) -> str:
    """Days too near each other."""
    return f"Only {span:.0f} {unit_of(axis)} lie between its first and last day; a forecast needs {least:.0f}."


def wear_may_be_none(units: Units) -> str:
    """A slope within its doubt."""
    return "The wear so far is smaller than its doubt; it may be none."


def heals(units: Units) -> str:
    """A slope below nothing."""
    return "It reads less from day to day, beyond doubt, and wear does not heal: something was read wrong."


def no_wear(units: Units) -> str:
    """A slope of nothing."""
    return "No measurable wear."


def left(units: Units, *, least: float, axis: Axis) -> str:
    """What is left at least, in a few words."""
    return "may be there already" if least <= 0 else f"{rounded(least)} {unit_of(axis)} left at least"


def left_in_years(units: Units, *, left: str, least: float, axis: Axis, per_year: float | None) -> str:
    """The same, in years too."""
    said = f"{left[:1].upper()}{left[1:]}."
    if not per_year:
        return said
    return f"{said} At {rounded(per_year)} {unit_of(axis)} a year that is {least / per_year:.1f} years."


# Chances.


def season(units: Units, *, usage: Usage, origin: str, over: float) -> str:
    """The chance that the limit is passed by the end of the coming season; without a meter that is a year's work."""
    words = f"a season of {rounded(usage.planned or 0.0)} {unit_of(usage.axis)} ({origin})"
    if usage.axis == "days":
        words = "a year"
    return f"After {words}: {chance_text(over)}."


def chance(units: Units, *, over: float) -> str:
    """A chance in a sentence of its own."""
    text = chance_text(over)
    return f"{text[:1].upper()}{text[1:]}."


def chance_text(over: float) -> str:
    """Return a chance of being over in words: the likelier side is said."""
    share, side = (over, "over") if over >= 0.5 else (1 - over, "still under")
    number = f"about {share * 100:.0f} %" if share < _SURE else "more than 99 %"
    return f"{number} chance that it is {side} its limit"


# What like joints lend to one with few readings.


def on_like_machines(units: Units, *, like: str) -> str:
    """Whose joints lend."""
    return f"on machines of the kind {like}"


def on_all_machines(units: Units) -> str:
    """Whose joints lend where there are too few on like machines."""
    return "on all machines"


def from_like(units: Units, *, count: int, like: str) -> str:
    """From where it is borrowed."""
    return f"from {count} like joints {like}"


def life_by_like(units: Units, *, count: int) -> str:
    """In place of what is left."""
    return f"from {count} like joints"


def brief_by_like(units: Units, *, is_now: bool, by: datetime.date | None) -> str:
    """When to measure, in a few words."""
    return f"borrowed: {'now' if is_now else f'by {_by_text(by)}'}"


def measure_and_ask_by_like(units: Units, *, is_now: bool, by: datetime.date | None, parts: Parts) -> str:
    """A joint that is not due by its own readings."""
    return f"Measure again {'now' if is_now else f'by {_by_text(by)}'}, and {_ask_text(parts)}"


def may_not_last_by_like(units: Units, *, parts: Parts) -> str:
    """A joint that is due anyway."""
    return f"By its kind it may not last the season: {_ask_text(parts)}"


def _by_text(by: datetime.date | None) -> str:
    return month_text(by) if by is not None else "the end of the season"


def _ask_text(parts: Parts) -> str:
    return f"ask where {parts_text(parts)} can be had. Order nothing on a borrowed rate: its own readings decide."


def borrowed_from_like(units: Units, *, count: int, like: str, days: int) -> str:
    """That it is borrowed, from where and why."""
    own = {1: "one measuring day", 2: "two measuring days"}.get(days, f"{days} days")
    return f"Borrowed from {count} like joints {like}, since it has {own} of its own:"


def no_forecast_by_like(units: Units, *, head: str) -> str:
    """Nothing is foretold."""
    return f"{head} even so no forecast can be given."


def forecast_by_like(units: Units, *, head: str, left: float, axis: Axis, date: datetime.date | None) -> str:
    """When the limit may be reached."""
    if left <= 0:
        return f"{head} it may have reached its limit already."
    month = f" ({month_text(date)})" if date is not None else ""
    return f"{head} it may reach its limit in {rounded(left)} {unit_of(axis)}{month} at the earliest."


def mean_by_like(units: Units, *, count: int, like: str) -> str:
    """The mean of the kind as a number."""
    return f"{count} joints {like}, each by its own doubt and the differences"
