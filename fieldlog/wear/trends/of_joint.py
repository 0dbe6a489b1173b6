"""What is left of a bush's wall: measured at its thinnest, or reckoned from what the hole has grown.

A pin wears one side of its bush, so the wall there has lost what the hole has grown over its size as made. Judged is
the wear of the wall against its own limit; half of it gone is the usual end (a loader manual; a third is watched).

All that wears on a joint over time: each hole's clearance, bore and bush wall, and the pin, against their limits.

A bush's wall lost what the hole grew over its smallest size, when it was not measured itself: a pin wears one side.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from fieldlog.measure.checks import worth_of
from fieldlog.measure.instruments import UNKNOWN_CALIPER, size_of_mean, step_mm
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import said
from fieldlog.quantity.value import Value
from fieldlog.records.entries import WallReading
from fieldlog.records.machine import Hole, Joint, JointKind, Logbook, Machine, Share
from fieldlog.standards.joints import BUSH_WALL_RENEW, BUSH_WALL_WATCH
from fieldlog.wear.history import Index, Moment, bore_cuts, moment
from fieldlog.wear.judge import Measured
from fieldlog.wear.limits import LimitBasis, limits_in_force, nearest_first, pin_limit
from fieldlog.wear.pin_size import JointPin
from fieldlog.wear.states import HoleState
from fieldlog.wear.trends.hours import Hours, Usage
from fieldlog.wear.trends.records import Trend
from fieldlog.wear.trends.series import (
    Axes,
    DayValue,
    PinParts,
    bore_series,
    clearance_series,
    hole_value,
    pin_parts,
    pin_series,
    value_of,
    wall_series,
)
from fieldlog.wear.trends.trend import trend_of
from fieldlog.wear.verdicts import LimitInForce


@dataclass(frozen=True, slots=True)
class BushWall:
    """A bush's wall: as new (None when nothing tells), and what is worn off it on each day of the last part."""

    new_mm: float | None
    worn: tuple[DayValue, ...]
    is_measured: bool

    @property
    def latest(self) -> Value | None:
        """What is worn off it now."""
        return self.worn[-1].value if self.worn else None


def bush_wall(state: HoleState, index: Index) -> BushWall | None:
    """Return a bush's wall over time; None for a hole without a bush, or where nothing tells its wall.

    Readings of the wall itself come first. Without them the wall has lost what the hole grew over its smallest
    size since it was new.
    """
    if state.hole.kind != "bushed":
        return None
    new_mm = _as_new_mm(state)
    readings = index.walls.get(state.hole.id, ())
    cut = max(bore_cuts(index.events, state.hole, index.machine), default=None)
    since = [reading for reading in readings if cut is None or moment(reading) > cut]
    if since:
        return _from_readings(since, new_mm, index)
    if new_mm is None or state.identity is None:
        return None
    made_mm = state.identity.value
    span = state.history[state.span_start :]
    grown = [hole_value(size, size.largest - made_mm) for size in span]
    return BushWall(new_mm, tuple(grown), is_measured=False)


def _as_new_mm(state: HoleState) -> float | None:
    """Return a bush's wall when new: as stated, or half of what its outside is over the hole as made."""
    hole = state.hole
    if hole.bush_wall is not None:
        return float(hole.bush_wall.mm)
    if hole.bush_outside is None or state.identity is None:
        return None
    wall_mm = (float(hole.bush_outside.mm) - state.identity.value) / 2
    return wall_mm if wall_mm > 0 else None


def _from_readings(readings: Sequence[WallReading], new_mm: float | None, index: Index) -> BushWall:
    """Return what is worn off under the wall as new, or under the thickest ever read where that is not known."""
    days: list[tuple[Moment, Value, tuple[str, ...]]] = []
    for _, group in groupby(sorted(readings, key=lambda r: (r.day, r.round, r.at)), key=lambda r: (r.day, r.round)):
        together = tuple(group)
        places: dict[str, list[WallReading]] = {}
        for reading in together:
            places.setdefault(reading.clock.typed if reading.clock else "", []).append(reading)
        sizes = [(_thickness(place, index), tuple(r.key for r in place)) for place in places.values()]
        thinnest, keys = min(sizes, key=lambda pair: pair[0].value)
        days.append((moment(together[0]), thinnest, keys))
    whole_mm = new_mm if new_mm is not None else max(size.value for _, size, _ in days)
    worn = tuple(value_of(when, whole_mm - size, keys) for when, size, keys in days)
    return BushWall(new_mm, worn, is_measured=True)


def _thickness(readings: Sequence[WallReading], index: Index) -> Value:
    used = [index.instruments.get(reading.instrument, UNKNOWN_CALIPER) for reading in readings]
    triples = [(i, float(r.size.mm), step_mm(r.size, i)) for r, i in zip(readings, used, strict=True)]
    first = readings[0]
    clock = f"{first.clock.angle_deg:g}" if first.clock else ""
    whose = f"{first.round or first.day.isoformat()}/wall of {first.hole}/{clock}"
    worth = worth_of(triples, "outside", first.day, whose)
    return size_of_mean(whose, [mm for _, mm, _ in triples], worth.terms, worth.usual_mm, worth.step_mm)


def wall_limit(
    joint: Joint, hole: Hole, new_mm: float | None, machine: Machine, logbook: Logbook
) -> LimitInForce | None:
    """Return how much may be worn off a bush's wall: the nearest limit given, else half of it by usual practice.

    A limit in mm is the least wall to be left, a share that of the wall as new worn away. None without a wall as new.
    """
    if new_mm is None:
        return None
    limits = nearest_first(joint, hole.id, machine, logbook)
    own = next((limit for limit in limits if limit.of == "bush wall"), None)
    if own is None:
        origin = said("finding.usual_half_wall", wall_mm=new_mm)
        return LimitInForce("bush wall", BUSH_WALL_WATCH * new_mm, BUSH_WALL_RENEW * new_mm, origin)
    watch_mm = _worn_mm(own.watch, new_mm) if own.watch is not None else None
    return LimitInForce("bush wall", watch_mm, _worn_mm(own.renew, new_mm), own.origin)


def _worn_mm(value: Length | Share, new_mm: float) -> float:
    return new_mm - float(value.mm) if isinstance(value, Length) else float(value.percent) / 100 * new_mm


@dataclass(frozen=True, slots=True)
class Work:
    """How the machine worked: what places days on the axis of hours.

    `speeding` are the kinds of its joints that are proved, all together, to wear faster and faster.
    """

    usage: Usage
    hours: Hours
    speeding: frozenset[JointKind] = frozenset()


def joint_trends(pin: JointPin, holes: Sequence[HoleState], index: Index, work: Work) -> tuple[Trend, ...]:
    """Return the trends of a joint: for each hole its clearance, its bore and its bush's wall, then the pin's.

    What was never measured has none, and a bore without a limit of its own none where the pin was never measured.
    """
    axes = Axes(work.usage, work.hours)
    pins = pin_parts(pin, index)
    trends: list[Trend] = []
    for state in holes:
        trends += _hole_trends(state, pins, index, axes, likes_speed_up=pin.joint.kind in work.speeding)
    of_pin = _pin_trend(pins, index, axes)
    return (*trends, of_pin) if of_pin is not None else tuple(trends)


def _hole_trends(state: HoleState, pins: PinParts, index: Index, axes: Axes, *, likes_speed_up: bool) -> list[Trend]:
    if not state.history:
        return []
    joint, hole, usage = pins.pin.joint, state.hole, axes.usage
    basis = LimitBasis(pins.pin.nominal_mm, state.identity.value if state.identity else None)
    limits = {limit.of: limit for limit in limits_in_force(joint, hole.id, index.machine, index.logbook, basis)}
    clearance = clearance_series(state, pins, index, axes)
    limit = limits.get("clearance")
    of_clearance = trend_of("clearance", hole.id, clearance, limit, usage, likes_speed_up=likes_speed_up)
    trends = [of_clearance] if clearance.points else []
    if "bore" in limits or any(pins.worn) or not trends:  # else the clearance says the same: its pin does not change
        trends.append(trend_of("bore", hole.id, bore_series(state, joint, index, axes), limits.get("bore"), usage))
    wall = bush_wall(state, index)
    if wall is not None:
        trends.append(_wall_trend(wall, state, joint, index, axes))
    return trends


def _wall_trend(wall: BushWall, state: HoleState, joint: Joint, index: Index, axes: Axes) -> Trend:
    limit = wall_limit(joint, state.hole, wall.new_mm, index.machine, index.logbook)
    series = wall_series(wall.worn, state.hole, joint, index, axes)
    return trend_of("bush wall", state.hole.id, series, limit, axes.usage)


def wall_days(state: HoleState, joint: Joint, index: Index) -> tuple[tuple[Measured, ...], LimitInForce | None]:
    """Return what is worn off a bush's wall day by day, and how much may be."""
    wall = bush_wall(state, index)
    if wall is None:
        return (), None
    limit = wall_limit(joint, state.hole, wall.new_mm, index.machine, index.logbook)
    return tuple(Measured(value.at[0], value.value) for value in wall.worn), limit


def _pin_trend(pins: PinParts, index: Index, axes: Axes) -> Trend | None:
    nominal_mm = pins.pin.nominal_mm
    if nominal_mm is None or not any(pins.worn):
        return None
    series = pin_series(pins, nominal_mm, index, axes)
    return trend_of("pin", "", series, limit_of_pin(pins.pin, index), axes.usage)


def limit_of_pin(pin: JointPin, index: Index) -> LimitInForce | None:
    """Return how much may be worn off a joint's pin; None when its name is only a guess."""
    nominal_mm, joint = pin.nominal_mm, pin.joint
    if nominal_mm is None or not (joint.pin is not None or pin.unworn):
        return None
    limits = limits_in_force(joint, "", index.machine, index.logbook, LimitBasis(nominal_mm, None))
    return pin_limit(joint, limits, nominal_mm)
