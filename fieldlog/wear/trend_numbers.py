"""A rate opened up: the line's own doubt, the days that it goes through, and the readings of each."""

from fieldlog.measure.figure import Figure, FigurePart
from fieldlog.records.entries import PinReading
from fieldlog.records.log import MachineLog
from fieldlog.wear.numbers import Number
from fieldlog.wear.states import JointState
from fieldlog.wear.trend_records import Trend, TrendPoint
from fieldlog.wear.usage import UNITS

_PER = 100.0  # rates are said per 100 hours or days


def trend_numbers(state: JointState, log: MachineLog) -> list[Number]:
    """Return each rate of a joint, and after it the value on each day that its line goes through."""
    return [number for trend in state.trends for number in _of_trend(trend, state, log)]


def _of_trend(trend: Trend, state: JointState, log: MachineLog) -> list[Number]:
    if trend.line is None:
        return []
    unit = UNITS[trend.axis]
    days = trend.fitted
    source = (
        f"weighted least squares through {len(days)} days; their scatter about the line, and never less than "
        "their own measuring doubt gives"
    )
    part = FigurePart("the line through the days", trend.line.slope_u * _PER, trend.line.dof, source)
    rate = Number(
        f"rate, {trend.of}",
        f"Wear per {_PER:.0f} {unit}: {trend.of}, {days[0].day.isoformat()} to {days[-1].day.isoformat()}",
        Figure(trend.line.slope * _PER, f"mm per {_PER:.0f} {unit}", (part,)),
        tuple(key for point in days for key in _keys(point, trend, state, log)),
        is_change=True,
    )
    return [rate, *(_on_day(point, trend, state, log) for point in days)]


def _on_day(point: TrendPoint, trend: Trend, state: JointState, log: MachineLog) -> Number:
    about = f"{trend.of[:1].upper()}{trend.of[1:]} on {point.day.isoformat()}, as the line takes it"
    return Number(point.day.isoformat(), about, point.value, _keys(point, trend, state, log))


def _keys(point: TrendPoint, trend: Trend, state: JointState, log: MachineLog) -> tuple[str, ...]:
    """Return the readings of a hole, or of the joint's pin, on the day of a point."""
    hole = next((hole for hole in state.holes if hole.hole.id == trend.hole), None)
    if hole is not None:
        return tuple(key for size in hole.history if size.day == point.day for key in size.keys)
    pins = log.standing(PinReading)
    return tuple(pin.key for pin in pins if pin.joint == state.joint.id and pin.day == point.day)
