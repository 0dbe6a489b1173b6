"""How much is worked, when to measure next, and what a season was."""

import datetime
from decimal import Decimal

from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Deed
from fieldlog.records.machine import MeterKind
from fieldlog.records.seasons import InUse
from fieldlog.wear.states import MeasuringDue
from fieldlog.wear.trends.hours import Axis, Usage, rounded, unit_of
from fieldlog.words.trend import done_text

# How much is worked.


def stale(units: Units, *, usage: Usage) -> str:
    """Hours are reckoned on from a meter reading of long ago."""
    since = f"about {rounded(usage.today - usage.now)} h since are reckoned on as usual"
    return f"The meter was last read {day_text(usage.as_of)}, {usage.now:.0f} h; {since}."


def meter_ran_backwards(units: Units, *, day: datetime.date, before: Decimal, after: Decimal) -> str:
    """A slip, or another meter."""
    return f"The hour meter ran backwards on {day_text(day)}: from {before} to {after} h."


def days_count(units: Units, *, meter: MeterKind, in_use: InUse | None) -> str:
    """Why days count and no hours."""
    why = "No hour meter" if meter == "none" else "The hour meter was not read on two days"
    if in_use is None:
        return f"{why} and nothing says when it works, so every day of the calendar counts; c on the machine says it."
    return f"{why}: days in use count ({in_use.typed})."


def of_a_year(units: Units) -> str:
    """Where the work of a season comes from."""
    return "a year"


def in_its_months(units: Units, *, in_use: InUse) -> str:
    """Where the work of a season comes from."""
    return in_use.typed


def as_planned(units: Units) -> str:
    """Where the work of a season comes from."""
    return "as planned for the machine"


def as_it_worked(units: Units) -> str:
    """Where the work of a season comes from."""
    return "as it worked in its last years"


def work_not_known(units: Units) -> str:
    """Nothing tells the work of a season."""
    return "not known: type the planned hours"


def makes_the_dates(units: Units, *, origin: str, usage: Usage) -> str:
    """What work dates rest on."""
    if usage.axis == "days in use":
        return f"{origin}; makes the dates"
    return f"{origin}; its meter was read last on {day_text(usage.as_of)}, {usage.now:.0f} h; makes the dates"


def work_of_a_year(units: Units, *, origin: str) -> str:
    """What hours a year are."""
    return f"Work of a year, {origin}"


# When to measure next, and why then.


def verdict_waits(units: Units) -> str:
    """At once."""
    return "the verdict waits for it"


def once_a_season(units: Units, *, last: datetime.date) -> str:
    """At the latest."""
    return f"once a season; last measured {day_text(last)}"


def every_so_many_hours(units: Units, *, hours: float) -> str:
    """By the meter."""
    return f"every {hours:.0f} h at the longest"


def first_look(units: Units, *, within: float, axis: Axis, deed: Deed) -> str:
    """Soon after something was made new."""
    return f"a first look within {within:.0f} {unit_of(axis)} after it was {done_text(deed)}"


def half_way_to_watch(units: Units, *, half: float, axis: Axis) -> str:
    """Before its watch line is reached."""
    unit = unit_of(axis)
    return f"half-way to the earliest that its watch line is reached, {rounded(half)} {unit} after the last"


def measure_by(units: Units, *, due: MeasuringDue, why: str) -> str:
    """When to measure next, as a number."""
    return f"By {day_text(due.day)}{f' or at {due.hours:.0f} h' if due.hours is not None else ''}: {why}."


# A season.


def as_set(units: Units) -> str:
    """When a season begins."""
    return "as set for the logbook"


def as_usual(units: Units) -> str:
    """When a season begins where nobody said so."""
    return "usual start; set your own with c"


def not_measured(units: Units) -> str:
    """No wear is known of it."""
    return "Not measured this season."


def measured_on_one_day(units: Units, *, is_since_new: bool) -> str:
    """No wear is known of it."""
    return f"Measured on one day only{' since it was made new' if is_since_new else ''}."


def asked_of_joint(units: Units) -> str:
    """Whose greasing is asked for."""
    return "this joint"


def asked_of_machine(units: Units) -> str:
    """Whose greasing is asked for."""
    return "the machine"
