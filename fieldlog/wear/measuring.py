"""When a joint is to be measured next, and why then.

At once where the verdict waits for it. Else the earliest of: the interval in hours (the machine's own, else 250 h; on a
joint that digs, carries or tows never more than that), a season, half of the lower bound of the hours to the watch
line, and the first look within 50 h after something was made new. Common practice, no source.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.records.days import day_text
from fieldlog.records.machine import JointKind
from fieldlog.wear.axis import rounded
from fieldlog.wear.forecast_words import done_text, unit_of
from fieldlog.wear.states import Finding, Verdict
from fieldlog.wear.trend_records import Trend
from fieldlog.wear.usage import Usage

USUAL_INTERVAL_HOURS = 250.0
SEASON_DAYS = 400  # a season and a little
_AT_ONCE = "the verdict waits for it"


@dataclass(frozen=True, slots=True)
class MeasuringDue:
    """When to measure next: a date and, with a meter, the hours; why then; whether that is past.

    `why` goes on after "Measure again".
    """

    day: datetime.date
    hours: float | None
    why: str
    is_overdue: bool


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
