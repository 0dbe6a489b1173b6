"""Whether a joint was greased as often as it should be, as far as that is written down.

A season's wear, greasing, work done and work put off, joint by joint.

Wear of a season is a difference of two days, not a stretch of the line: what both days share, such as one caliper's
error, cancels; each day's own scatter is the one that the line (or the proved curve) found. So with three days a
change of rate is scatter and is called not proved.

Grease is kept by the longest stretch without, a quarter late at most. A change of habit without single greasings says
nothing either way: not everybody writes each one down.
"""

import datetime
import math
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Term, scatter
from fieldlog.quantity.value import Value, difference_of_days
from fieldlog.records.entries import Event
from fieldlog.records.machine import Joint, Logbook
from fieldlog.records.seasons import GreaseEvery, InUse, SeasonStart
from fieldlog.wear.history import PUT_OFF, Index, moment, touches_joint
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.trends.hours import Hours, machine_hours
from fieldlog.wear.trends.rates import main_trend
from fieldlog.wear.trends.records import Trend, TrendPoint

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
    origin: Said | None
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
        origin=None if every is None else _asked_of(joint),
        times=len(within),
        longest=longest,
        unit="h" if in_hours else "days",
        is_kept=is_kept,
        habit=habits[-1] if habits else None,
        written=tuple(event for event in written if season[0] <= event.day <= season[1]),
    )


def _asked_of(joint: Joint) -> Said:
    return said("season.asked_of_joint") if joint.grease_every is not None else said("season.asked_of_machine")


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


USUAL_START = SeasonStart("1 March", 3, 1)
_PER = 100
_LEAST_WORK = 10.0  # hours or days between two measurings under which a rate means nothing: judgement


@dataclass(frozen=True, slots=True)
class Season:
    """From its first day to its last; `origin` says who says so."""

    start: datetime.date
    end: datetime.date
    origin: Said

    def holds(self, day: datetime.date) -> bool:
        """Tell whether a day lies in it."""
        return self.start <= day <= self.end


@dataclass(frozen=True, slots=True)
class Wear:
    """What a joint's clearance grew between two measuring days, and the hours or days of work between them."""

    change: Value
    first: datetime.date
    last: datetime.date
    work: float | None

    @property
    def rate(self) -> Value | None:
        """Wear per 100 hours or days; None from next to no work.

        A change of two days stretched by a plain number, so its doubt has the shape of the change's: the limits of two
        calipers stay rectangles. A line through days has Student's t instead; see `Behind`.
        """
        return self.change * (_PER / self.work) if self.work is not None and self.work >= _LEAST_WORK else None


@dataclass(frozen=True, slots=True)
class JointSeason:
    """One joint's season; `no_wear` says why its wear is not known, `before` and `kept_before` are of the one before.

    `is_other_rate` tells whether the two rates are proved to differ.
    """

    state: JointState
    trend: Trend | None
    wear: Wear | None
    no_wear: Said | None
    before: Wear | None
    is_other_rate: bool
    grease: Grease
    kept_before: bool | None
    done: tuple[Event, ...]
    put_off: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class MachineSeason:
    """One machine's season."""

    state: MachineState
    work_hours: float | None
    joints: tuple[JointSeason, ...]


def season_of(logbook: Logbook, today: datetime.date, back: int = 0) -> Season:
    """Return the season that a day lies in, or the one so many before it."""
    start = logbook.season_start or USUAL_START
    year = today.year - (today < start.in_year(today.year)) - back
    origin = said("season.as_set") if logbook.season_start is not None else said("season.as_usual")
    return Season(start.in_year(year), start.in_year(year + 1) - datetime.timedelta(days=1), origin)


def machine_season(state: MachineState, index: Index, season: Season, earlier: Season) -> MachineSeason:
    """Return the season of a machine; `earlier` is the one before, to compare rates with."""
    hours = machine_hours(index)
    joints = tuple(_joint_season(joint, index, hours, (season, earlier)) for joint in state.joints)
    return MachineSeason(state, work_hours(hours, season), joints)


def work_hours(hours: Hours, season: Season) -> float | None:
    """Return the meter's hours from the last reading before the season, or the first in it, to the last in it."""
    last = hours.on(season.end)
    first = hours.on(season.start)
    if first is None:
        first = next((total for day, total in zip(hours.days, hours.totals, strict=True) if season.holds(day)), None)
    return float(last - first) if last is not None and first is not None else None


def _joint_season(state: JointState, index: Index, hours: Hours, seasons: tuple[Season, Season]) -> JointSeason:
    season, earlier = seasons
    trend = main_trend(state)
    wear, reason = season_wear(trend, season)
    before, _ = season_wear(trend, earlier)
    events = sorted((e for e in index.events if touches_joint(e, state.joint, index.machine)), key=moment)
    within = [event for event in events if season.holds(event.day)]
    return JointSeason(
        state=state,
        trend=trend,
        wear=wear,
        no_wear=reason,
        before=before,
        is_other_rate=is_other_rate(wear, before),
        grease=greasing(state.joint, index, hours, (season.start, season.end)),
        kept_before=greasing(state.joint, index, hours, (earlier.start, earlier.end)).is_kept,
        done=tuple(event for event in within if event.deed not in {GREASED, PUT_OFF}),
        put_off=tuple(dict.fromkeys([*(e for e in within if e.deed == PUT_OFF), *_still(state, season)])),
    )


def _still(state: JointState, season: Season) -> list[Event]:
    return [event for event in state.put_off if event.day <= season.end]


def season_wear(trend: Trend | None, season: Season) -> tuple[Wear | None, Said | None]:
    """Return what a clearance grew in a season, or why that is not known.

    From the last measuring before the season, else the first in it, to the last in it, both since it was made new.
    """
    points = [p for p in trend.points if not p.left_out and p.day <= season.end] if trend is not None else []
    if trend is None or not points or points[-1].day < season.start:
        return None, said("season.not_measured")
    last = points[-1]
    alike = [point for point in points[:-1] if point.part == last.part and point.day < last.day]
    before = [point for point in alike if point.day < season.start]
    first = before[-1] if before else alike[0] if alike else None
    if first is None:
        return None, said("season.measured_on_one_day", is_since_new=last.part > 0)
    return _wear(trend, first, last), None


def _wear(trend: Trend, first: TrendPoint, last: TrendPoint) -> Wear:
    work = last.x - first.x if first.x is not None and last.x is not None else None
    change = grown((first, _scatter(trend, first)), (last, _scatter(trend, last)))
    return Wear(change, first.day, last.day, work)


def _scatter(trend: Trend, wanted: TrendPoint) -> Term:
    """Return a day's scatter as the line (or the proved curve) found it; a day of an older part has its own."""
    source_id = f"{wanted.keys[0] if wanted.keys else wanted.day.isoformat()}/scatter of the day"
    for point, fitted in zip(trend.fitted, trend.fit_points, strict=True):
        if point is wanted:
            scale = max(min((fit.scale for fit in (trend.fit, trend.curve) if fit is not None), default=1.0), 1.0)
            variance = scale * fitted.u_mm**2 - math.fsum([term.u**2 for term in fitted.alone])
            return scatter(source_id, math.sqrt(max(variance, 0.0)), fitted.dof, why="its readings")
    own = Value(0.0, "mm", tuple([term for term in wanted.value.terms if term.source.id in wanted.own]))
    return scatter(source_id, own.u, own.dof, why="its readings")


def grown(first: tuple[TrendPoint, Term], last: tuple[TrendPoint, Term]) -> Value:
    """Return last less first, each with its scatter; what both days share, such as one caliper's error, cancels."""
    (before, before_scatter), (now, now_scatter) = first, last
    change = difference_of_days((_without_own(now), now.day), (_without_own(before), before.day))
    return change.within(
        before_scatter.times(-1.0).called("scatter, first day"), now_scatter.called("scatter, last day")
    )


def _without_own(point: TrendPoint) -> Value:
    terms = [term for term in point.value.terms if term.source.id not in point.own]
    return Value(point.value.value, point.value.unit, tuple(terms))


class Apart(NamedTuple):
    """How far two rates lie apart, with the variance and the degrees of freedom of that."""

    value: float
    variance: float
    dof: float


def rates_apart(now: Wear | None, before: Wear | None) -> Apart | None:
    """Return this rate less the one before; the day they share counts in both. None without both rates."""
    if now is None or before is None or now.rate is None or before.rate is None:
        return None
    gap = now.rate - before.rate
    return Apart(gap.value, gap.u**2, max(min(now.rate.dof, before.rate.dof), 1.0))


def is_other_rate(now: Wear | None, before: Wear | None) -> bool:
    """Tell whether the rate is proved to differ from the one before, at 95 %."""
    found = rates_apart(now, before)
    return found is not None and abs(found.value) > t_quantile(0.975, found.dof) * math.sqrt(found.variance)
