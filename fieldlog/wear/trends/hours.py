"""What wear is reckoned along: hours of the meter, days of the calendar or days in use, and how they come to a date.

A machine's working hours through all the meters it has had.

How much a machine works, and so the date when a place on its axis is reached.

Without a meter days in use count, those of the months (and days a week) that the owner gives; an axis of its own, so
that a kind never mixes them with calendar days. What stands for 100 h is 100 days of its months, scaled by the days a
week. A meter's hours come to their date through the same months.
"""

import datetime
import math
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from fieldlog.quantity.said import Said, said
from fieldlog.records.entries import Event, MeterReading
from fieldlog.records.machine import Machine
from fieldlog.records.seasons import InUse
from fieldlog.wear.history import Index, moment

Axis = Literal["hours", "days", "days in use"]
UNITS: Mapping[str, str] = MappingProxyType({"hours": "h", "days": "calendar days", "days in use": "days in use"})
DAYS_A_YEAR = 365.25
FEWEST_DAYS = 3  # measuring days from which on a line foretells anything
_FARTHEST = datetime.date(2200, 1, 1)


def day_after(start: datetime.date, years: float, in_use: InUse | None) -> datetime.date | None:
    """Return the day by which so many years of work lie after a day, None when it lies too far."""
    if in_use is not None:
        found = in_use.day_after(start, years * in_use.per_year)
        return found if found is not None and found <= _FARTHEST else None
    days = years * DAYS_A_YEAR
    if days > (_FARTHEST - start).days or days < (datetime.date.min - start).days:
        return None
    return start + datetime.timedelta(days=round(days))


def unit_of(axis: Axis) -> str:
    """Return the unit of the axis."""
    return UNITS[axis]


def rounded(x: float) -> str:
    """Return hours or days as they are said: to two digits, three from 1000 on."""
    if x < 10:
        return f"{x:.0f}"
    digits = math.floor(math.log10(x)) + 1
    step = 10 ** max(digits - (3 if x >= 1000 else 2), 0)
    return f"{round(x / step) * step:.0f}"


@dataclass(frozen=True, slots=True)
class Hours:
    """The machine's hours after each reading, oldest first, and what is odd about them."""

    days: tuple[date, ...]
    totals: tuple[Decimal, ...]
    remarks: tuple[Said, ...]

    @property
    def now(self) -> Decimal | None:
        """The hours at the last reading, None when the meter was never read."""
        return self.totals[-1] if self.totals else None

    def on(self, day: date | None) -> Decimal | None:
        """Return the hours as last read on or before a day."""
        at = bisect_right(self.days, day) if day is not None else 0
        return self.totals[at - 1] if at else None

    def between(self, day: date, in_use: InUse | None = None) -> float | None:
        """Return the hours on a day, reckoned between the readings before and after; None outside them.

        Evenly over the days between, or over those of its months of work where these are known.
        """
        at = bisect_right(self.days, day)
        if at and self.days[at - 1] == day:
            return float(self.totals[at - 1])
        if not 0 < at < len(self.days):
            return None
        before, after = self.days[at - 1], self.days[at]
        low, high = float(self.totals[at - 1]), float(self.totals[at])
        if in_use is not None and (worked := in_use.between(before, after)) > 0:
            return low + (high - low) * in_use.between(before, day) / worked
        return low + (high - low) * (day - before).days / (after - before).days


def machine_hours(index: Index) -> Hours:
    """Return the hours of a machine from its standing entries."""
    return hours_of(index.meter, index.events)


def hours_of(readings: Iterable[MeterReading], events: Iterable[Event]) -> Hours:
    """Return the hours; a replaced meter adds what the old one last showed less what the new one starts with."""
    replaced = [event for event in events if event.deed == "meter replaced"]
    steps: Sequence[MeterReading | Event] = sorted((*readings, *replaced), key=moment)
    days: list[date] = []
    totals: list[Decimal] = []
    remarks: list[Said] = []
    offset, shown = Decimal(0), None
    for step in steps:
        if isinstance(step, Event):
            start = step.hours if step.hours is not None else Decimal(0)
            offset += (shown if shown is not None else start) - start
            shown = start
            continue
        if shown is not None and step.hours < shown:
            remarks.append(said("season.meter_ran_backwards", day=step.day, before=shown, after=step.hours))
        shown = step.hours
        days.append(step.day)
        totals.append(offset + step.hours)
    return Hours(tuple(days), tuple(totals), tuple(remarks))


LEAST_SPAN = 100.0  # hours, or days where there is no meter: common practice, no source
_LOOK_BACK_DAYS = 3 * DAYS_A_YEAR  # older work says little about next season: common practice, no source
_STALE_HOURS = 50.0
_FEWEST_DAYS = 90  # less than a season's work is no year's work: common practice, no source


@dataclass(frozen=True, slots=True)
class Usage:
    """A machine's work along its axis: where it stands, how much a year, and how much is planned for a season.

    `now` is the meter at its last reading, on `as_of`; for a machine without a meter days count, from `as_of` on:
    those of the calendar, or those in use where it is known when it works.
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
    origin: Said
    in_use: InUse | None = None
    why_days: Said | None = None

    @property
    def least_span(self) -> float:
        """What must lie between the first and the last measuring day for a forecast, in hours or days.

        100 h, or 100 days in the months of its work; of a machine in use on two days a week, 29 days in use.
        """
        return LEAST_SPAN * (self.in_use.share_of_week if self.axis == "days in use" and self.in_use else 1.0)

    @property
    def first_look(self) -> float:
        """Within how many hours or days something made new is looked at first."""
        return self.least_span / 2

    def place_of(self, day: datetime.date) -> float:
        """Return where a day stands for a machine without a meter: days from `as_of`, before it negative."""
        return self.in_use.between(self.as_of, day) if self.in_use is not None else float((day - self.as_of).days)

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
        return day_after(self.as_of, (x - self.now) / self.per_year, self.in_use)


def usage_of(machine: Machine, hours: Hours, today: datetime.date) -> Usage:
    """Return a machine's work in hours, or in days when it has no meter or its meter was never read twice."""
    in_use = machine.in_use
    if not uses_hours(machine, hours):
        why, start = said("season.days_count", meter=machine.meter, in_use=in_use), today.replace(day=1)
        if in_use is None:
            return Usage("days", 0.0, start, 0.0, DAYS_A_YEAR, DAYS_A_YEAR, said("season.of_a_year"), None, why)
        each = in_use.per_year
        return Usage(
            "days in use", 0.0, start, 0.0, each, each, said("season.in_its_months", in_use=in_use), in_use, why
        )
    now, as_of = float(hours.totals[-1]), hours.days[-1]
    own = _own_per_year(hours, in_use)
    since = now + years_between(as_of, today.replace(day=1), in_use) * (own or 0.0)
    if machine.planned_hours is not None:
        planned = float(machine.planned_hours)
        return Usage("hours", now, as_of, since, planned or own, planned, said("season.as_planned"), in_use)
    origin = said("season.as_it_worked") if own is not None else said("season.work_not_known")
    return Usage("hours", now, as_of, since, own, own, origin, in_use)


def years_between(first: datetime.date, last: datetime.date, in_use: InUse | None) -> float:
    """Return how many years of work lie between two days, none backwards."""
    if last <= first:
        return 0.0
    if in_use is not None:
        return in_use.between(first, last) / in_use.per_year
    return (last - first).days / DAYS_A_YEAR


def month_end(day: datetime.date) -> datetime.date:
    """Return the last day of a day's month."""
    return (day.replace(day=1) + datetime.timedelta(days=32)).replace(day=1) - datetime.timedelta(days=1)


def uses_hours(machine: Machine, hours: Hours) -> bool:
    """Tell whether wear is reckoned over the meter's hours: it has one, and it was read on two days."""
    return machine.meter == "hours" and len(set(hours.days)) > 1


def first_recent(hours: Hours) -> int:
    """Return the number of the first reading of the last three years, from which work is reckoned."""
    return next(n for n, day in enumerate(hours.days) if (hours.days[-1] - day).days <= _LOOK_BACK_DAYS)


def _own_per_year(hours: Hours, in_use: InUse | None) -> float | None:
    """Return the hours a year over the last three years, None from less than a season."""
    last, first = hours.days[-1], first_recent(hours)
    days = (last - hours.days[first]).days
    worked = float(hours.totals[-1] - hours.totals[first])
    years = years_between(hours.days[first], last, in_use)
    return worked / years if days >= _FEWEST_DAYS and worked > 0 and years > 0 else None
