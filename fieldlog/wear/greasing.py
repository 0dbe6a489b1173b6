"""Whether a joint was greased as often as it should be, as far as that is written down."""

import datetime
from dataclasses import dataclass
from itertools import pairwise

from fieldlog.records.entries import Event
from fieldlog.records.in_use import InUse
from fieldlog.records.machine import Joint
from fieldlog.records.seasons import GreaseEvery
from fieldlog.wear.index import Index
from fieldlog.wear.meter import Hours
from fieldlog.wear.spans import moment, touches_joint

GREASED = "greased"
HABIT = "greasing changed"
LATE = 1.25  # a greasing up to a quarter of the interval late still counts as kept: judgement


@dataclass(frozen=True, slots=True)
class Grease:
    """How often a joint was greased in a season; `every` is what was asked for and `longest` the longest without.

    `longest` is in `unit`, None where nothing tells it. `is_kept` is None where nothing was asked for or nothing tells.
    `habit` is the last change of habit up to the season's end; where it is all that is written down of greasing, it is
    not said whether the interval was kept. `written` are the greasings of the season.
    """

    every: GreaseEvery | None
    origin: str
    times: int
    longest: float | None
    unit: str
    is_kept: bool | None
    habit: Event | None
    written: tuple[Event, ...] = ()


def greasing(joint: Joint, index: Index, hours: Hours, season: tuple[datetime.date, datetime.date]) -> Grease:
    """Return how a joint was greased between two days; a greasing of the whole machine counts for every joint.

    The longest without grease is reckoned from the last greasing before the season (else from its first day) to the
    last day that anything is known of. Kept is what was never more than a quarter of the interval late. Days are those
    in the months of the machine's work, where these are known.
    """
    about = [e for e in index.events if touches_joint(e, joint, index.machine) or _is_whole(e)]
    written = sorted((event for event in about if event.deed == GREASED), key=moment)
    greased = [event.day for event in written]
    within = [day for day in greased if season[0] <= day <= season[1]]
    every = joint.grease_every or index.machine.grease_every
    in_hours = every.unit == "h" if every is not None else bool(hours.days)
    axis = hours if in_hours else index.machine.in_use
    longest = _longest(greased, within, season, axis, _last_known(index, hours))
    habits = sorted((e for e in about if e.deed == HABIT and e.day <= season[1]), key=moment)
    is_told = every is not None and longest is not None and bool(within or not habits)
    is_kept = longest <= LATE * every.amount if is_told and every is not None and longest is not None else None
    return Grease(
        every=every,
        origin="" if every is None else "this joint" if joint.grease_every is not None else "the machine",
        times=len(within),
        longest=longest,
        unit="h" if in_hours else "days",
        is_kept=is_kept,
        habit=habits[-1] if habits else None,
        written=tuple(event for event in written if season[0] <= event.day <= season[1]),
    )


def _is_whole(event: Event) -> bool:
    return not (event.hole or event.joint or event.link)


def _last_known(index: Index, hours: Hours) -> datetime.date | None:
    """Return the last day on which anything was measured or done."""
    days = [reading.day for group in index.bores.values() for reading in group]
    days += [reading.day for group in index.pins.values() for reading in group]
    return max([*days, *(event.day for event in index.events), *hours.days], default=None)


def _longest(
    greased: list[datetime.date],
    within: list[datetime.date],
    season: tuple[datetime.date, datetime.date],
    axis: Hours | InUse | None,
    last_known: datetime.date | None,
) -> float | None:
    """Return the longest stretch without grease, in hours of the meter or in days."""
    if last_known is None or last_known < season[0]:
        return None
    before = [day for day in greased if day < season[0]]
    days = [before[-1] if before else season[0], *within, min(season[1], last_known)]
    places = [_place(day, axis) for day in days]
    known = [place for place in places if place is not None]
    gaps = [later - earlier for earlier, later in pairwise(known)]
    return max(gaps, default=None)


def _place(day: datetime.date, axis: Hours | InUse | None) -> float | None:
    if axis is None:
        return float(day.toordinal())
    if isinstance(axis, InUse):
        return float(axis.season_days(day))
    hours = axis
    between = hours.between(day)
    if between is not None:
        return between
    last = hours.on(day)
    return float(last) if last is not None else float(hours.totals[0]) if hours.totals else None
