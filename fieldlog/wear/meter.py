"""A machine's working hours through all the meters it has had."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fieldlog.records.days import day_text
from fieldlog.records.entries import Event, MeterReading
from fieldlog.records.in_use import InUse
from fieldlog.wear.index import Index
from fieldlog.wear.spans import moment


@dataclass(frozen=True, slots=True)
class Hours:
    """The machine's hours after each reading, oldest first, and what is odd about them."""

    days: tuple[date, ...]
    totals: tuple[Decimal, ...]
    remarks: tuple[str, ...]

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
    remarks: list[str] = []
    offset, shown = Decimal(0), None
    for step in steps:
        if isinstance(step, Event):
            start = step.hours if step.hours is not None else Decimal(0)
            offset += (shown if shown is not None else start) - start
            shown = start
            continue
        if shown is not None and step.hours < shown:
            remarks.append(f"The hour meter ran backwards on {day_text(step.day)}: from {shown} to {step.hours} h.")
        shown = step.hours
        days.append(step.day)
        totals.append(offset + step.hours)
    return Hours(tuple(days), tuple(totals), tuple(remarks))
