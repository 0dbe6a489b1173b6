"""A joint's season opened up: its wear, its rate, the season before, and whether the two rates differ."""

import math
from collections.abc import Iterator

from fieldlog.measure.distributions import t_quantile
from fieldlog.measure.figure import Figure, FigurePart, Step, as_figure
from fieldlog.records.days import day_text
from fieldlog.records.log import MachineLog
from fieldlog.wear.greasing import LATE
from fieldlog.wear.numbers import Number
from fieldlog.wear.rate_numbers import change_numbers
from fieldlog.wear.season import JointSeason, Season, Wear, rates_apart
from fieldlog.wear.trend_behind import PER, Behind, day_number
from fieldlog.wear.work_numbers import season_work

_GROWN = (
    "Last day less first day. What both share, such as one caliper's error, cancels; each day's own scatter is the one "
    "that the line through all its days found."
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
    steps = [Step("greased", Figure(float(grease.times), "times"), "as far as it is written down")]
    if grease.every is not None:
        most = Figure(LATE * grease.every.amount, grease.unit)
        steps += [
            Step("asked for", grease.every.typed, grease.origin),
            Step("kept up to", most, "a quarter of the interval late still counts"),
        ]
    kept = {True: "Kept.", False: "Not kept.", None: "Whether it was kept is not said."}[grease.is_kept]
    return Number(
        "longest without grease",
        "Longest stretch of the season without grease",
        Figure(grease.longest, grease.unit),
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
                Step("work between the two days", Figure(wear.work, behind.unit)),
            ),
            formula=f"Wear times {PER:.0f} over the work between the two days.",
        )


def _rate(wear: Wear, behind: Behind) -> Figure | None:
    if wear.rate is None:
        return None
    length = as_figure(wear.rate)
    return Figure(length.value, behind.rate_unit, length.parts)


def _apart(behind: Behind, season: JointSeason) -> Iterator[Number]:
    """Yield the difference of the two rates, with why it counts as proved or not."""
    found = rates_apart(season.wear, season.before)
    now, before = season.wear, season.before
    if found is None or now is None or before is None:
        return
    part = FigurePart("both seasons' rates", math.sqrt(found.variance), found.dof, "the day they share counts in both")
    t = t_quantile(0.975, found.dof)
    rates = [(word, _rate(wear, behind)) for word, wear in (("this season", now), ("season before", before))]
    yield Number(
        "difference of rates",
        f"{behind.about}: rate this season less the rate the season before",
        Figure(found.value, behind.rate_unit, (part,), joint_dof=found.dof),
        behind.keys([p for p in behind.trend.points if p.day in {now.first, now.last, before.first, before.last}]),
        is_change=True,
        steps=(
            *(Step(f"rate, {word}", rate, "", f"rate, {word}") for word, rate in rates if rate is not None),
            Step("Student's t for 95 %", Figure(t, ""), "at the fewer degrees of freedom of both rates"),
        ),
        formula="The day that ends one season begins the other: its scatter makes one rate larger, the other smaller.",
        said=f"The difference is {'proved' if season.is_other_rate else 'not proved'}.",
    )
