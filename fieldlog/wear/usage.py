"""How much a machine works: hours a year from its own meter, or as planned; and so the date when hours are reached."""

import datetime
from dataclasses import dataclass
from typing import Literal

from fieldlog.records.machine import Machine
from fieldlog.wear.meter import Hours

Axis = Literal["hours", "days"]
DAYS_A_YEAR = 365.25
_LOOK_BACK_DAYS = 3 * DAYS_A_YEAR  # older work says little about next season: common practice, no source
_STALE_HOURS = 50.0
_FEWEST_DAYS = 90  # less than a season's work is no year's work: common practice, no source
_FARTHEST = datetime.date(2200, 1, 1)


@dataclass(frozen=True, slots=True)
class Usage:
    """A machine's work along its axis: where it stands, how much a year, and how much is planned for a season.

    `now` is the meter at its last reading, on `as_of`; for a machine without a meter days count, from `as_of` on.
    `today` is where the axis stands by now, or at the beginning of this month, had it gone on working as usual: what is
    worked out then holds for the month. `planned` is None when nothing tells it;
    `origin` says where it comes from.
    """

    axis: Axis
    now: float
    as_of: datetime.date
    today: float
    per_year: float | None
    planned: float | None
    origin: str

    @property
    def season_end(self) -> float | None:
        """Where the axis will stand at the end of the coming season, None when nothing tells."""
        return self.today + self.planned if self.planned is not None else None

    @property
    def is_stale(self) -> bool:
        """Tell whether the meter has not been read for so long that hours from its last reading would mislead."""
        return self.today - self.now > _STALE_HOURS

    def date_at(self, x: float) -> datetime.date | None:
        """Return the date on which a place on the axis is reached, None when nothing tells or it lies too far."""
        if not self.per_year or not abs(x) < 1e7:
            return None
        days = (x - self.now) / self.per_year * DAYS_A_YEAR
        if days > (_FARTHEST - self.as_of).days or days < (datetime.date.min - self.as_of).days:
            return None
        return self.as_of + datetime.timedelta(days=round(days))


def usage_of(machine: Machine, hours: Hours, today: datetime.date) -> Usage:
    """Return a machine's work in hours, or in days when it has no meter or its meter was never read twice."""
    if not uses_hours(machine, hours):
        return Usage("days", 0.0, today.replace(day=1), 0.0, DAYS_A_YEAR, DAYS_A_YEAR, "a year")
    now, as_of = float(hours.totals[-1]), hours.days[-1]
    own = _own_per_year(hours)
    since = now + max((today.replace(day=1) - as_of).days, 0) * (own or 0.0) / DAYS_A_YEAR
    if machine.planned_hours is not None:
        planned = float(machine.planned_hours)
        return Usage("hours", now, as_of, since, planned or own, planned, "as planned for the machine")
    origin = "as it worked in its last years" if own is not None else "not known: type the planned hours"
    return Usage("hours", now, as_of, since, own, own, origin)


def month_end(day: datetime.date) -> datetime.date:
    """Return the last day of a day's month."""
    return (day.replace(day=1) + datetime.timedelta(days=32)).replace(day=1) - datetime.timedelta(days=1)


def uses_hours(machine: Machine, hours: Hours) -> bool:
    """Tell whether wear is reckoned over the meter's hours: it has one, and it was read on two days."""
    return machine.meter == "hours" and len(set(hours.days)) > 1


def _own_per_year(hours: Hours) -> float | None:
    """Return the hours a year over the last three years, None from less than a season."""
    last = hours.days[-1]
    recent = [n for n, day in enumerate(hours.days) if (last - day).days <= _LOOK_BACK_DAYS]
    first = recent[0]
    days = (last - hours.days[first]).days
    worked = float(hours.totals[-1] - hours.totals[first])
    return worked / days * DAYS_A_YEAR if days >= _FEWEST_DAYS and worked > 0 else None
