"""How much a machine works, opened up to its meter readings: what hours are turned into dates by.

A joint's season opened up: its wear, its rate, the season before, and whether the two rates differ.
"""

import datetime
import math
from collections.abc import Iterator

from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.estimate import Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.entries import Event, MachineLog, MeterReading
from fieldlog.wear.history import moment
from fieldlog.wear.numbers.rates import PER, Behind, change_numbers, day_number
from fieldlog.wear.season import LATE, JointSeason, Season, Wear, rates_apart, work_hours
from fieldlog.wear.trends.hours import Hours, Usage, first_recent, hours_of, years_between

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
    steps = [*(_reading(hours, at) for at in (first, last)), Step("years between", exactly(years, ""), months)]
    if years > 0:
        own = float(hours.totals[last] - hours.totals[first]) / years
        steps.append(Step("as its meter says", exactly(own, "h a year")))
    if usage.planned is not None:
        steps.append(Step("counted with", exactly(usage.planned, "h a season"), usage.origin))
    return Number(
        WORK_WORD,
        said("season.work_of_a_year", origin=usage.origin),
        exactly(usage.per_year, "h a year"),
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
        exactly(worked, "h"),
        _keys(log, (hours.days[first], hours.days[last])),
        steps=tuple(_reading(hours, at) for at in (first, last)),
        formula="The last reading in the season, less the last one up to its first day, else the first in it.",
    )


def _hours(log: MachineLog) -> Hours:
    return hours_of(log.standing(MeterReading), sorted(log.standing(Event), key=moment))


def _reading(hours: Hours, at: int) -> Step:
    return Step(f"meter {day_text(hours.days[at])}", exactly(float(hours.totals[at]), "h"), "through all its meters")


def _keys(log: MachineLog, days: tuple[datetime.date, ...]) -> tuple[str, ...]:
    return tuple(reading.key for reading in log.standing(MeterReading) if reading.day in days)


_GROWN = (
    "Last day less first day. What both share, such as one caliper's error, cancels; a day's scatter is that which the "
    "line through all its days found, a pin's is that of its own readings."
)


def season_numbers(season: JointSeason, when: Season, log: MachineLog) -> list[Number]:
    """Return what a joint wore in a season and in the one before, the rates, grease, and what new greasing did."""
    worked = [number for number in (_grease(season), season_work(when, log)) if number is not None]
    if season.trend is None:
        return worked
    behind = Behind(season.trend, season.state)
    found = [*_of_season(behind, season.wear, "this season"), *_of_season(behind, season.before, "season before")]
    wears = [wear for wear in (season.wear, season.before) if wear is not None]
    ends = {day for wear in wears for day in (wear.first, wear.last)}
    days = [day_number(point, behind) for point in behind.trend.points if point.day in ends]
    return [*found, *_apart(behind, season), *change_numbers(behind), *worked, *days]


def _grease(season: JointSeason) -> Number | None:
    """Return the longest stretch without grease against what is asked for; None where nothing tells it."""
    grease = season.grease
    if grease.longest is None or (grease.every is None and not grease.times):
        return None
    steps = [Step("greased", exactly(float(grease.times), "times"), "as far as it is written down")]
    if grease.every is not None:
        most = exactly(LATE * grease.every.amount, grease.unit)
        steps += [
            Step("asked for", grease.every.typed, grease.origin or ""),
            Step("kept up to", most, "a quarter of the interval late still counts"),
        ]
    kept = {True: "Kept.", False: "Not kept.", None: "Whether it was kept is not said."}[grease.is_kept]
    return Number(
        "longest without grease",
        "Longest stretch of the season without grease",
        exactly(grease.longest, grease.unit),
        tuple(event.key for event in grease.written),
        steps=tuple(steps),
        formula="From the last greasing before the season, else its first day, to the last day anything is known of.",
        said=kept,
    )


def _of_season(behind: Behind, wear: Wear | None, when: str) -> Iterator[Number]:
    if wear is None:
        return
    points = [point for point in behind.trend.points if point.day in {wear.first, wear.last}]
    heights = tuple(Step(f"measured {day_text(p.day)}", p.value, "", behind.day_word(p)) for p in points)
    span = f"{day_text(wear.first)} to {day_text(wear.last)}"
    keys = behind.keys(points)
    yield Number(
        f"wear, {when}",
        f"{behind.about}: what it grew {when}, {span}",
        wear.change,
        keys,
        is_change=True,
        steps=heights,
        formula=_GROWN,
    )
    rate = _rate(wear, behind)
    if rate is not None and wear.work is not None:
        yield Number(
            f"rate, {when}",
            f"{behind.about}: wear per {PER:.0f} {behind.unit} {when}, {span}",
            rate,
            keys,
            is_change=True,
            steps=(
                Step("wear", wear.change, "", f"wear, {when}"),
                Step("work between the two days", exactly(wear.work, behind.unit)),
            ),
            formula=f"Wear times {PER:.0f} over the work between the two days.",
        )


def _rate(wear: Wear, behind: Behind) -> Value | None:
    return wear.rate.as_unit(behind.rate_unit, 1.0) if wear.rate is not None else None


def _apart(behind: Behind, season: JointSeason) -> Iterator[Number]:
    """Yield the difference of the two rates, with why it counts as proved or not."""
    found = rates_apart(season.wear, season.before)
    now, before = season.wear, season.before
    if found is None or now is None or before is None:
        return
    both = Source(
        f"{behind.id}/two seasons", "line", label="both seasons' rates", why="the day they share counts in both",
        dof=found.dof,
    )  # fmt: skip
    t = t_quantile(0.975, found.dof)
    rates = [(word, _rate(wear, behind)) for word, wear in (("this season", now), ("season before", before))]
    yield Number(
        "difference of rates",
        f"{behind.about}: rate this season less the rate the season before",
        Value(found.value, behind.rate_unit, (Term(both, math.sqrt(found.variance)),), whole_dof=found.dof),
        behind.keys([p for p in behind.trend.points if p.day in {now.first, now.last, before.first, before.last}]),
        is_change=True,
        steps=(
            *(Step(f"rate, {word}", rate, "", f"rate, {word}") for word, rate in rates if rate is not None),
            Step("Student's t for 95 %", exactly(t, ""), "at the fewer degrees of freedom of both rates"),
        ),
        formula="The day that ends one season begins the other: its scatter makes one rate larger, the other smaller.",
        said=f"The difference is {'proved' if season.is_other_rate else 'not proved'}.",
    )
