"""All that wears on a joint over time: each hole's clearance, bore and bush wall, and the pin, against their limits."""

from collections.abc import Sequence

from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Joint, JointKind
from fieldlog.wear.bush_wall import BushWall, bush_wall, wall_limit
from fieldlog.wear.clearance import JointPin
from fieldlog.wear.index import Index
from fieldlog.wear.judge import Measured
from fieldlog.wear.limits import LimitBasis, limits_in_force, pin_limit
from fieldlog.wear.meter import Hours
from fieldlog.wear.series import Axes, PinParts, bore_series, clearance_series, pin_parts, pin_series, wall_series
from fieldlog.wear.states import HoleState, LimitInForce
from fieldlog.wear.trend import trend_of
from fieldlog.wear.trend_records import Trend
from fieldlog.wear.usage import Usage


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
    basis = LimitBasis(pins.pin.nominal_mm, state.identity.value_mm if state.identity else None)
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
