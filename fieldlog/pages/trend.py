"""Wear over the seasons in short sentences: measured, rate, forecast, chances, what cut the history, what is odd."""

from collections.abc import Sequence

from fieldlog.pages.lines import Line, Span, count_text, line, wrapped
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import change_text, mm_text, size_text
from fieldlog.quantity.text import day_text, month_text
from fieldlog.records.machine import shown_name
from fieldlog.wear.judge import Measured
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.trends.hours import unit_of
from fieldlog.wear.trends.planning import measure_again
from fieldlog.wear.trends.rates import Beside, Borrowed, borrowed, main_trend
from fieldlog.wear.trends.records import (
    Trend,
    before_told,
    change_told,
    forecast_told,
    rate_told,
    season_told,
    stale_told,
    watch_told,
)
from fieldlog.wear.trends.trend import MedianCheck, median_check, rate_of
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.speak import say, words_of
from fieldlog.words.trend import chance_text, rate_text, thing_text, when_text, who_says


def joint_trend_lines(state: JointState, beside: Beside, units: Units, width: int) -> tuple[Line, ...]:
    """Return all trends of a joint, hole by hole, then the pin, then what it may borrow and when to measure next."""
    lines: list[Line] = []
    names = {hole.hole.id: shown_name(hole.hole) for hole in state.holes}
    for trend in state.trends:
        name = names.get(trend.hole, "")
        thing = thing_text(trend.of)
        title = f"{name}, {thing}" if name and len(names) > 1 else thing
        if trend.of == "bore" and trend.limit is None:
            lines += wrapped(f"{title[:1].upper()}{title[1:]}: {_lower(say(rate_told(trend), units))}", width)
            continue
        lines.append(line(Span(f"{title[:1].upper()}{title[1:]}", "strong")))
        lines += trend_lines(trend, units, width, state.finding.verdict)
    lines += borrowed_lines(state, beside, units, width)
    for why in dict.fromkeys(trend.usage.why_days for trend in state.trends):
        lines += wrapped(words_of(why, units), width, "", "dim")
    return (*lines, *measuring_lines(state, units, width))


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def hole_trend_lines(
    state: HoleState, trends: Sequence[Trend], units: Units, width: int, verdict: Verdict | None = None
) -> tuple[Line, ...]:
    """Return the trends of one hole, as far as they have a rate; `verdict` is that of its joint."""
    lines: list[Line] = []
    for trend in trends:
        if trend.hole != state.hole.id or trend.line is None or (trend.of == "bore" and trend.limit is None):
            continue
        lines.append(line(Span(f"{thing_text(trend.of).capitalize()} over the seasons", "head")))
        lines += trend_lines(trend, units, width, verdict)
    return tuple(lines)


def trend_lines(trend: Trend, units: Units, width: int, verdict: Verdict | None = None) -> tuple[Line, ...]:
    """Return what one trend says, sentence by sentence; `verdict` is that of its joint."""
    told = (
        rate_told(trend),
        forecast_told(trend),
        watch_told(trend),
        season_told(trend.usage, trend.chance_later),
        stale_told(trend),
        before_told(trend),
        change_told(trend),
    )
    texts = (measured_sentence(trend, units, verdict), *(words_of(one, units) for one in told))
    lines = [row for text in texts if text for row in wrapped(text, width)]
    check = median_check(trend)
    if check is not None:
        lines += wrapped(odd_day_sentence(check, trend, units), width, "", "warn")
    return (*lines, *_parts_lines(trend, units, width))


def measured_sentence(trend: Trend, units: Units, verdict: Verdict | None = None) -> str:
    """Return the last measuring against its limit with the chance: 'Measured 0.97 ± 0.06 mm, limit 1.00 mm ...'.

    It ends with "measure again" where the limit is in doubt, unless the joint's verdict says more than that.
    """
    now = next((point for point in reversed(trend.points) if point.part == trend.last_part), None)
    if now is None:
        return ""
    worn = " worn off" if trend.of in {"pin", "bush wall"} else ""
    said = f"Measured {size_text(now.value, units)}{worn}"
    if trend.limit is None:
        return f"{said}."
    limit = f"limit {mm_text(trend.limit.renew_mm, units)} ({who_says(trend.limit)})"
    over = Measured(now.day, now.value).chance_over(trend.limit.renew_mm)
    is_open = verdict is None or verdict.rank <= Verdict.REMEASURE.rank
    again = " - measure again" if is_open and 0.025 < over < 0.975 else ""
    return f"{said}, {limit}: {chance_text(over)}{again}."


def odd_day_sentence(check: MedianCheck, trend: Trend, units: Units) -> str:
    """Return which day stands apart, or that the two lines disagree; empty when all is well."""
    if check.day is not None and trend.line is not None:
        rate = mm_text(100 * (check.slope_without or 0.0), units, 3 if units == "mm" else 4)
        off = mm_text(abs(check.off_mm), units)
        side = "above" if check.off_mm > 0 else "below"
        rest = (
            f"; without it the rate is {rate} per 100 {unit_of(trend.axis)}" if check.slope_without is not None else ""
        )
        return (
            f"{day_text(check.day)} lies {off} {side} the other days{rest}. Look at its readings; strike what is wrong."
        )
    if check.disagrees:
        rate = mm_text(100 * check.slope, units, 3 if units == "mm" else 4)
        return f"The line through the medians says {rate} per 100 {unit_of(trend.axis)}: some day pulls the other line."
    return ""


def _parts_lines(trend: Trend, units: Units, width: int) -> list[Line]:
    """Return what cut the history and what was left out, in a few dim lines."""
    said: list[str] = []
    unit = unit_of(trend.axis)
    for mark in trend.marks:
        at = f" at {mark.x:.0f} h" if mark.x is not None and unit == "h" else ""
        what = "begins a new part" if mark.is_cut else "a mark only"
        said.append(f"{mark.deed.capitalize()} {day_text(mark.day)}{at}: {what}.")
    older = sum(1 for point in trend.points if point.part < trend.last_part)
    if older:
        said.append(f"{count_text(older, 'measuring')} before that stay in the history and are not in this line.")
    reasons = [words_of(point.left_out, units) for point in trend.points if point.left_out is not None]
    for reason in dict.fromkeys(reasons):
        said.append(f"{count_text(reasons.count(reason), 'measuring')} left out: {reason}.")
    return [row for text in said for row in wrapped(text, width, "", "dim")]


def borrowed_lines(state: JointState, beside: Beside, units: Units, width: int) -> tuple[Line, ...]:
    """Return what a joint with few readings borrows from its kind, plainly; nothing when it speaks for itself."""
    trend, found = borrowing(state, beside)
    if trend is None or found is None:
        return ()
    return wrapped(borrowed_sentence(found, trend, units), width)


def borrowing(state: JointState, beside: Beside) -> tuple[Trend | None, Borrowed | None]:
    """Return the clearance that a joint is known by and what it borrows for it."""
    trend = main_trend(state)
    here = (beside.machine, state.joint.id)
    row = next((row for row in beside.rows if (row.machine.id, row.joint.id) == here), None)
    return trend, borrowed(trend, row, beside.rows) if trend is not None and row is not None else None


def borrowed_sentence(found: Borrowed, trend: Trend, units: Units) -> str:
    """Return 'own 0.090, kind 0.050 from 6 joints: used 0.060', and what follows from it."""
    kind, places = found.kind, 3 if units == "mm" else 4
    unit = f"{units} per 100 {unit_of(trend.axis)}"

    def number(slope: float) -> str:
        return mm_text(100 * slope, units, places).removesuffix(f" {units}")

    own = f"own {number(trend.line.slope)}" if trend.line is not None else "no rate of its own"
    used = rate_text(found.line.slope, found.line.slope_u, found.line.dof, units, trend.axis)
    said = (
        f"Few readings of its own, so it borrows from its kind: {own}, kind {number(kind.mean)} from {kind.count} "
        f"joints {say(found.like, units)} ({number(kind.between_sd)} apart): used "
        f"{used.removesuffix(unit).strip()} {unit}."
    )
    if found.renew is None:
        return f"{said} By that no forecast can be given."
    season = words_of(season_told(trend.usage, found.chance_later), units)
    is_late = found.measure_at is not None and found.measure_at <= trend.usage.today
    day = trend.usage.date_at(found.measure_at) if found.measure_at is not None else None
    when = "now" if is_late else f"by {month_text(day)}" if day is not None else ""
    look = f"By that measure it again {when}; order nothing on it." if when else ""
    parts = (f"{said} By that it reaches its limit {when_text(trend, found.renew)}.", season, look)
    return " ".join(part for part in parts if part)


def measuring_lines(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    """Return when to measure next and why."""
    due = state.measuring
    if due is None:
        return ()
    return wrapped(say(measure_again(due), units), width, "", "warn" if due.is_overdue else "")


def rate_or_dash(trend: Trend | None, units: Units) -> str:
    """Return a rate for a table, a dash without one."""
    if trend is None or trend.line is None:
        return "-"
    return change_text(rate_of(trend.line.slope, trend.line.slope_u, trend.line.dof), units)
