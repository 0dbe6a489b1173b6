"""When a joint is to be measured next, and why then.

The earliest of: the interval in hours (the machine's own, else 250 h), a season, half of the lower bound of the hours
to the watch line, and the first look within 50 h after something was made new. Common practice, no source.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.wear.forecast_words import rounded, unit_of
from fieldlog.wear.trend_records import Trend
from fieldlog.wear.usage import Usage

USUAL_INTERVAL_HOURS = 250.0
FIRST_LOOK_HOURS = 50.0
SEASON_DAYS = 400  # a season and a little


@dataclass(frozen=True, slots=True)
class MeasuringDue:
    """When to measure next: a date and, with a meter, the hours; why then; whether that is past.

    `why` goes on after "Measure again".
    """

    day: datetime.date
    hours: float | None
    why: str
    is_overdue: bool


def measuring_due(
    trends: Sequence[Trend],
    last_day: datetime.date | None,
    last_hours: Decimal | None,
    interval: Decimal | None,
    today: datetime.date,
) -> MeasuringDue | None:
    """Return when a joint is to be measured next; None for one that was never measured."""
    if last_day is None or not trends:
        return None
    usage = trends[0].usage
    season = last_day + datetime.timedelta(days=SEASON_DAYS)
    found = [MeasuringDue(season, None, f"once a season; last measured {last_day.isoformat()}", today > season)]
    for at, why in _places(trends, last_hours, interval, usage):
        day = usage.date_at(at)
        if day is not None:
            hours = at if usage.axis == "hours" else None
            found.append(MeasuringDue(day, hours, why, usage.today >= at and day <= today))
    return min(found, key=lambda due: due.day)


def _places(
    trends: Sequence[Trend], last_hours: Decimal | None, interval: Decimal | None, usage: Usage
) -> list[tuple[float, str]]:
    """Return the places on the axis at which a measuring is due, each with its reason."""
    found: list[tuple[float, str]] = []
    unit = unit_of(usage.axis)
    if usage.axis == "hours" and last_hours is not None:
        every = float(interval) if interval else USUAL_INTERVAL_HOURS
        found.append((float(last_hours) + every, f"every {every:.0f} h at the longest"))
    for trend in trends:
        cut = next((mark for mark in reversed(trend.marks) if mark.is_cut and mark.x is not None), None)
        if cut is not None and cut.x is not None and not any(p.part == trend.last_part for p in trend.points):
            found.append((cut.x + FIRST_LOOK_HOURS, f"a first look within 50 {unit} after it was {_done(cut.deed)}"))
        last = max((point.x for point in trend.fitted if point.x is not None), default=None)
        if trend.watch is not None and last is not None and trend.watch.earliest > last:
            half = max((trend.watch.earliest - last) / 2, FIRST_LOOK_HOURS)
            reason = f"half-way to the earliest that its watch line is reached, {rounded(half)} {unit} after the last"
            found.append((last + half, reason))
    return found


def _done(deed: str) -> str:
    return {"new pin": "given a new pin", "link replaced": "replaced"}.get(deed, deed)
