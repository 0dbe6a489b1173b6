"""How much a machine works, opened up to its meter readings: what hours are turned into dates by."""

import datetime

from fieldlog.measure.figure import Figure, Step
from fieldlog.records.days import day_text
from fieldlog.records.entries import Event, MeterReading
from fieldlog.records.log import MachineLog
from fieldlog.wear.meter import Hours, hours_of
from fieldlog.wear.numbers import Number
from fieldlog.wear.season import Season, work_hours
from fieldlog.wear.spans import moment
from fieldlog.wear.usage import Usage, first_recent, years_between

WORK_WORD = "work a year"
_FORMULA = "Hours between the two readings over the years of work between them; the last three years at most."


def work_number(usage: Usage, log: MachineLog) -> Number | None:
    """Return the hours a year that dates rest on; None without a meter, or where nothing tells."""
    if usage.axis != "hours" or usage.per_year is None:
        return None
    hours = _hours(log)
    first, last = first_recent(hours), len(hours.days) - 1
    years = years_between(hours.days[first], hours.days[last], usage.in_use)
    months = f"in its months of work, {usage.in_use.typed}" if usage.in_use is not None else "of 365.25 days"
    steps = [*(_reading(hours, at) for at in (first, last)), Step("years between", Figure(years, ""), months)]
    if years > 0:
        own = float(hours.totals[last] - hours.totals[first]) / years
        steps.append(Step("as its meter says", Figure(own, "h a year")))
    if usage.planned is not None:
        steps.append(Step("counted with", Figure(usage.planned, "h a season"), usage.origin))
    return Number(
        WORK_WORD,
        f"Work of a year, {usage.origin}",
        Figure(usage.per_year, "h a year"),
        _keys(log, (hours.days[first], hours.days[last])),
        steps=tuple(steps),
        formula=_FORMULA,
    )


def season_work(season: Season, log: MachineLog) -> Number | None:
    """Return the hours worked in a season; None where the meter does not tell."""
    hours = _hours(log)
    worked = work_hours(hours, season)
    if worked is None:
        return None
    last = max(n for n, day in enumerate(hours.days) if day <= season.end)
    before = [n for n, day in enumerate(hours.days) if day <= season.start]
    first = before[-1] if before else next(n for n, day in enumerate(hours.days) if season.holds(day))
    return Number(
        "work, this season",
        f"Work of the machine, {day_text(season.start)} to {day_text(season.end)}",
        Figure(worked, "h"),
        _keys(log, (hours.days[first], hours.days[last])),
        steps=tuple(_reading(hours, at) for at in (first, last)),
        formula="The last reading in the season, less the last one up to its first day, else the first in it.",
    )


def _hours(log: MachineLog) -> Hours:
    return hours_of(log.standing(MeterReading), sorted(log.standing(Event), key=moment))


def _reading(hours: Hours, at: int) -> Step:
    return Step(f"meter {day_text(hours.days[at])}", Figure(float(hours.totals[at]), "h"), "through all its meters")


def _keys(log: MachineLog, days: tuple[datetime.date, ...]) -> tuple[str, ...]:
    return tuple(reading.key for reading in log.standing(MeterReading) if reading.day in days)
