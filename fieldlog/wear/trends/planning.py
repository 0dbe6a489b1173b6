"""What the trend adds to a verdict: a joint that may not last the coming season is planned for while it is sound.

The order of the due list: what a careful mechanic would see to first.

When a joint is to be measured next, and why then.
"""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fieldlog.quantity.lengths import Units
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import JointKind
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.states import Finding, JointState, MeasuringDue
from fieldlog.wear.trends.forecast_words import (
    WORDS,
    chance_text,
    done_text,
    forecast_sentence,
    rate_sentence,
    season_sentence,
    stale_sentence,
    unit_of,
    years_left,
)
from fieldlog.wear.trends.hours import Usage, rounded
from fieldlog.wear.trends.records import Trend
from fieldlog.wear.verdicts import Severity, Verdict

ORDER_AT = 0.05  # order when the 5 % lower bound of the hours left is under the season's: common practice


def lead_trend(trends: Iterable[Trend]) -> Trend | None:
    """Return the trend that runs out first: the one with the least left, then one with a rate, then the first."""
    return min(trends, key=_rank, default=None)


def _rank(trend: Trend) -> tuple[bool, float, bool, bool]:
    left = trend.least_left
    return left is None, left if left is not None else 0.0, trend.limit is None, trend.line is None


def with_forecast(finding: Finding, trends: Sequence[Trend], units: Units, order: str) -> Finding:
    """Return "plan" for a joint that is sound, or only in doubt of its watch line, and may pass its limit this season.

    One day's readings foretell nothing, so this rests on three measuring days at least. `order` are the joint's parts.
    """
    if finding.verdict is Verdict.REMEASURE and finding.limit is not None and not finding.is_at_watch:
        return _planned_anyway(finding, trends, order)
    is_open = finding.is_at_watch or (finding.verdict is Verdict.PLAN and finding.is_unproved)
    if finding.verdict is not Verdict.SOUND and not is_open:
        return finding
    worst = max(filter(may_not_last, trends), key=lambda trend: trend.chance_later or 0.0, default=None)
    if worst is None:
        return finding
    about = "" if worst.of == "clearance" else f" ({WORDS[worst.of]})"
    said = f"{rate_sentence(worst, units)} {forecast_sentence(worst, units)} {season_sentence(worst)}"
    return replace(
        finding,
        verdict=Verdict.PLAN,
        is_unproved=False,
        reason=f"{finding.reason} It may not last the season{about}. {said}",
        next_step=f"Order before the season: {order}. Measure again half-way through it.",
    )


def may_not_last(trend: Trend) -> bool:
    """Tell whether the limit may be passed by the end of the coming season."""
    return trend.chance_later is not None and trend.chance_later >= ORDER_AT


def _planned_anyway(finding: Finding, trends: Sequence[Trend], order: str) -> Finding:
    """Say to plan for a joint that is measured again, where the season takes it over its limit whatever that shows."""
    near = [t for t in trends if t.limit == finding.limit and may_not_last(t)]
    if not near:
        return finding
    over = near[0].chance_later or 0.0
    sure = "it is over" if over >= 1 - ORDER_AT else f"it has a {100 * over:.0f} % chance to be over"
    said = f"Plan for it: by its {near[0].days} measuring days {sure} before the season ends; ask now for {order}."
    return replace(finding, next_step=f"{finding.next_step} {said}")


def outlook_text(trend: Trend, units: Units) -> str:
    """Return rate, forecast and the chance at the season's end of one trend, empty when there is no rate."""
    if trend.line is None:
        return ""
    about = "" if trend.of == "clearance" else f"{WORDS[trend.of].capitalize()}: "
    forecast, season = forecast_sentence(trend, units), season_sentence(trend)
    parts = (rate_sentence(trend, units), forecast, season, stale_sentence(trend))
    return about + " ".join(part for part in parts if part)


def life_text(trend: Trend | None) -> str:
    """Return what is left in a few words for a table: '180 h left at least', empty without a forecast."""
    if trend is None or trend.least_left is None:
        return ""
    if trend.least_left <= 0:
        return "may be there already"
    return f"{rounded(trend.least_left)} {unit_of(trend.axis)} left at least"


def now_text(trend: Trend) -> str:
    """Return the chance that the limit is passed already, by the line through all its days."""
    return chance_text(trend.chance_now) if trend.chance_now is not None else ""


_USUAL_YEARS = 4.0  # what a joint without a forecast is taken to last in all: judgement, for the order only
_BUCKETS_A_YEAR = 4  # less than a season's quarter apart counts as alike


def order_of(state: JointState) -> tuple[float, ...]:
    """Return what a list is sorted by, the smallest first.

    Severity (a doubtful joint that carries people's safety counts as one that may be over); then safety joints; then
    the least that is left in quarters of a year; then the larger slack at the tool's edge, where that is known; then
    the larger share of the limit used up.
    """
    finding = state.finding
    is_safety = state.joint.kind in SAFETY_KINDS
    severity = finding.severity
    if severity == Severity.DOUBTFUL and is_safety:
        severity = Severity.MAY_BE_OVER
    slack_mm = state.slack.own.value_mm if state.slack is not None else 0.0
    return -float(severity), 0.0 if is_safety else 1.0, _quarters_left(state), -slack_mm, -finding.share


def _quarters_left(state: JointState) -> float:
    """Return the lower bound of what is left in quarters of a year, 0 where it may be used up already."""
    finding = state.finding
    if finding.severity >= Severity.MAY_BE_OVER:
        return 0.0
    trend = lead_trend(state.trends)
    years = years_left(trend) if trend is not None else None
    if years is None:
        years = _years_by_share(finding)
    return float(math.floor(min(years, 100.0) * _BUCKETS_A_YEAR))


def _years_by_share(finding: Finding) -> float:
    return max(1.0 - finding.share, 0.0) * _USUAL_YEARS


USUAL_INTERVAL_HOURS = 250.0
SEASON_DAYS = 400  # a season and a little
_AT_ONCE = "the verdict waits for it"


@dataclass(frozen=True, slots=True)
class LastMeasured:
    """When a joint was last measured, at what hours, what was found, and how often it is to be measured."""

    day: datetime.date | None
    hours: Decimal | None
    finding: Finding
    every_hours: float


def longest_interval(kind: JointKind, of_machine: Decimal | None) -> float:
    """Return how many hours may lie between two measurings; no more than 250 on what digs, carries or tows."""
    own = float(of_machine) if of_machine else USUAL_INTERVAL_HOURS
    return own if kind == "hitch" else min(own, USUAL_INTERVAL_HOURS)


def measuring_due(trends: Sequence[Trend], last: LastMeasured, today: datetime.date) -> MeasuringDue | None:
    """Return when a joint is to be measured next; None for one that was never measured, or that is to be renewed."""
    if last.day is None or not trends or last.finding.verdict in {Verdict.RENEW, Verdict.STOP}:
        return None
    if last.finding.verdict is Verdict.REMEASURE and last.finding.limit is not None:
        return MeasuringDue(today, None, _AT_ONCE, is_overdue=True)
    usage = trends[0].usage
    season = last.day + datetime.timedelta(days=SEASON_DAYS)
    is_new = all(_is_not_measured_since(trend) for trend in trends if trend.hole)
    why = f"once a season; last measured {day_text(last.day)}"
    found = [] if is_new else [MeasuringDue(season, None, why, today > season)]
    for at, why in _places(trends, last, usage, is_new=is_new):
        day = usage.date_at(at)
        if day is not None:
            hours = at if usage.axis == "hours" else None
            found.append(MeasuringDue(day, hours, why, usage.today >= at and day <= today))
    return min(found, key=lambda due: due.day, default=None)


def _is_not_measured_since(trend: Trend) -> bool:
    """Tell whether a thing was made new and not measured since."""
    return trend.last_part > 0 and not any(point.part == trend.last_part for point in trend.points)


def _places(trends: Sequence[Trend], last: LastMeasured, usage: Usage, *, is_new: bool) -> list[tuple[float, str]]:
    """Return the places on the axis at which a measuring is due, each with its reason."""
    found: list[tuple[float, str]] = []
    unit = unit_of(usage.axis)
    if usage.axis == "hours" and last.hours is not None and not is_new:
        found.append((float(last.hours) + last.every_hours, f"every {last.every_hours:.0f} h at the longest"))
    for trend in trends:
        cut = next((mark for mark in reversed(trend.marks) if mark.is_cut and mark.x is not None), None)
        if cut is not None and cut.x is not None and _is_not_measured_since(trend):
            why = f"a first look within {usage.first_look:.0f} {unit} after it was {done_text(cut.deed)}"
            found.append((cut.x + usage.first_look, why))
        newest = max((point.x for point in trend.fitted if point.x is not None), default=None)
        if trend.watch is not None and newest is not None and trend.watch.earliest > newest:
            half = max((trend.watch.earliest - newest) / 2, usage.first_look)
            reason = f"half-way to the earliest that its watch line is reached, {rounded(half)} {unit} after the last"
            found.append((newest + half, reason))
    return found
