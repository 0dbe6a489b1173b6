"""What the trend adds to a verdict: a joint that may not last the coming season is planned for while it is sound.

The order of the due list: what a careful mechanic would see to first.

When a joint is to be measured next, and why then.

Plan while sound, or only in doubt of the watch line, from 5 % chance of being over at the season's end; it rests on
three days at least. What is re-measured for its limit and may be over by then is told what to ask for. Neither ever
makes a "renew".
"""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fieldlog.quantity.said import Said, said
from fieldlog.records.machine import JointKind
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.parts import Parts
from fieldlog.wear.states import Finding, JointState, MeasuringDue
from fieldlog.wear.trends.hours import Usage
from fieldlog.wear.trends.records import Trend, forecast_told, rate_told, season_told
from fieldlog.wear.verdicts import Severity, Verdict

ORDER_AT = 0.05  # order when the 5 % lower bound of the hours left is under the season's: common practice


def lead_trend(trends: Iterable[Trend]) -> Trend | None:
    """Return the trend that runs out first: the one with the least left, then one with a rate, then the first."""
    return min(trends, key=_rank, default=None)


def _rank(trend: Trend) -> tuple[bool, float, bool, bool]:
    left = trend.least_left
    return left is None, left if left is not None else 0.0, trend.limit is None, trend.line is None


def with_forecast(finding: Finding, trends: Sequence[Trend], parts: Parts) -> Finding:
    """Return "plan" for a joint that is sound, or only in doubt of its watch line, and may pass its limit this season.

    One day's readings foretell nothing, so this rests on three measuring days at least. `parts` are the joint's.
    """
    if finding.verdict is Verdict.REMEASURE and finding.limit is not None and not finding.is_at_watch:
        return _planned_anyway(finding, trends, parts)
    is_open = finding.is_at_watch or (finding.verdict is Verdict.PLAN and finding.is_unproved)
    if finding.verdict is not Verdict.SOUND and not is_open:
        return finding
    worst = max(filter(may_not_last, trends), key=lambda trend: trend.chance_later or 0.0, default=None)
    if worst is None:
        return finding
    ahead = (rate_told(worst), forecast_told(worst), season_told(worst.usage, worst.chance_later))
    reasons = (said("finding.may_not_last", of=worst.of), *(one for one in ahead if one is not None))
    return replace(
        finding,
        verdict=Verdict.PLAN,
        is_unproved=False,
        reasons=(*finding.reasons, *reasons),
        next_steps=(said("step.order_before_season", parts=parts), said("step.measure_half_way")),
    )


def may_not_last(trend: Trend) -> bool:
    """Tell whether the limit may be passed by the end of the coming season."""
    return trend.chance_later is not None and trend.chance_later >= ORDER_AT


def _planned_anyway(finding: Finding, trends: Sequence[Trend], parts: Parts) -> Finding:
    """Say to plan for a joint that is measured again, where the season takes it over its limit whatever that shows."""
    near = [t for t in trends if t.limit == finding.limit and may_not_last(t)]
    if not near:
        return finding
    over = near[0].chance_later or 0.0
    is_sure = over >= 1 - ORDER_AT
    plan = said("step.plan_for_it", days=near[0].days, over=over, is_sure=is_sure, parts=parts)
    return replace(finding, next_steps=(*finding.next_steps, plan))


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
    slack_mm = state.slack.own.value if state.slack is not None else 0.0
    return -float(severity), 0.0 if is_safety else 1.0, _quarters_left(state), -slack_mm, -finding.share


def _quarters_left(state: JointState) -> float:
    """Return the lower bound of what is left in quarters of a year, 0 where it may be used up already."""
    finding = state.finding
    if finding.severity >= Severity.MAY_BE_OVER:
        return 0.0
    trend = lead_trend(state.trends)
    years = _years_left(trend) if trend is not None else None
    if years is None:
        years = _years_by_share(finding)
    return float(math.floor(min(years, 100.0) * _BUCKETS_A_YEAR))


def _years_left(trend: Trend) -> float | None:
    """Return the lower bound of what is left in years of its usual work."""
    least, per_year = trend.least_left, trend.usage.per_year
    return least / per_year if least is not None and per_year else None


def _years_by_share(finding: Finding) -> float:
    return max(1.0 - finding.share, 0.0) * _USUAL_YEARS


USUAL_INTERVAL_HOURS = 250.0
SEASON_DAYS = 400  # a season and a little


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
        return MeasuringDue(today, None, said("season.verdict_waits"), is_overdue=True)
    usage = trends[0].usage
    season = last.day + datetime.timedelta(days=SEASON_DAYS)
    is_new = all(_is_not_measured_since(trend) for trend in trends if trend.hole)
    why = said("season.once_a_season", last=last.day)
    found = [] if is_new else [MeasuringDue(season, None, why, today > season)]
    for at, why in _places(trends, last, usage, is_new=is_new):
        day = usage.date_at(at)
        if day is not None:
            hours = at if usage.axis == "hours" else None
            found.append(MeasuringDue(day, hours, why, usage.today >= at and day <= today))
    return min(found, key=lambda due: due.day, default=None)


def measure_again(due: MeasuringDue) -> Said:
    """Say when to measure next and why."""
    return said("step.measure_again", due=due, why=due.why)


def _is_not_measured_since(trend: Trend) -> bool:
    """Tell whether a thing was made new and not measured since."""
    return trend.last_part > 0 and not any(point.part == trend.last_part for point in trend.points)


def _places(trends: Sequence[Trend], last: LastMeasured, usage: Usage, *, is_new: bool) -> list[tuple[float, Said]]:
    """Return the places on the axis at which a measuring is due, each with its reason."""
    found: list[tuple[float, Said]] = []
    if usage.axis == "hours" and last.hours is not None and not is_new:
        found.append((float(last.hours) + last.every_hours, said("season.every_so_many_hours", hours=last.every_hours)))
    for trend in trends:
        cut = next((mark for mark in reversed(trend.marks) if mark.is_cut and mark.x is not None), None)
        if cut is not None and cut.x is not None and _is_not_measured_since(trend):
            why = said("season.first_look", within=usage.first_look, axis=usage.axis, deed=cut.deed)
            found.append((cut.x + usage.first_look, why))
        newest = max((point.x for point in trend.fitted if point.x is not None), default=None)
        if trend.watch is not None and newest is not None and trend.watch.earliest > newest:
            half = max((trend.watch.earliest - newest) / 2, usage.first_look)
            found.append((newest + half, said("season.half_way_to_watch", half=half, axis=usage.axis)))
    return found
