"""What to tell the person who still stands at the hole, after each reading.

The work of one reading does not grow with the seasons behind it: what came before is worked out once, on
coming to the hole.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.depth import DepthShape, depth_shape
from fieldlog.measure.doubtful import Mark, hole_marks
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.flags import Flag, bore_flags, repeats_agree_mm
from fieldlog.measure.growth import growth
from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm
from fieldlog.measure.pin_evidence import HoleDay, PinAnswer, PinEvidence
from fieldlog.measure.pins import identify_pin
from fieldlog.records.entries import BoreReading
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import HitchCategory, Hole, Instrument, Logbook, Machine
from fieldlog.records.quantities import Units
from fieldlog.wear.assess import joint_pin
from fieldlog.wear.clearance import JointPin
from fieldlog.wear.holes import HoleCase, hole_finding, hole_state
from fieldlog.wear.index import index_of
from fieldlog.wear.parts import parts_text
from fieldlog.wear.states import Finding, HoleState, JointState


@dataclass(frozen=True, slots=True)
class Judging:
    """What it takes to judge the hole while it is measured: its pin and where its limits stand."""

    state: HoleState
    pin: JointPin
    machine: Machine
    logbook: Logbook


@dataclass(frozen=True, slots=True)
class Before:
    """What was known of the hole on coming to it, this round left out."""

    sizes: tuple[HoleSize, ...]
    joint: JointState | None
    category: HitchCategory | None
    judging: Judging | None = None

    @property
    def last(self) -> HoleSize | None:
        """The hole as measured last time, since its last renewal."""
        return self.sizes[-1] if self.sizes else None

    @property
    def expected_mm(self) -> float | None:
        """About how large the hole is, None when nothing tells."""
        if self.last is not None:
            return self.last.largest.value_mm
        if self.joint is not None and self.joint.pin_size is not None:
            return self.joint.pin_size.value_mm
        if self.joint is not None and self.joint.joint.pin is not None:
            return float(self.joint.joint.pin.mm)
        return None


@dataclass(frozen=True, slots=True)
class Sight:
    """The hole now, the change since last time, the pin it fits, and what is doubtful about the last reading.

    `finding` is the hole's verdict as it would stand with these readings, None without `Before.judging`.
    """

    now: HoleSize
    change: Estimate | None
    pin: PinAnswer | None
    flags: tuple[Flag, ...]
    marks: tuple[Mark, ...] = ()
    depth: DepthShape | None = None
    finding: Finding | None = None


@dataclass(frozen=True, slots=True)
class PinSight:
    """A pin as measured in this round, which pin it is by all that is known, and what is to be said of the caliper."""

    worn: Estimate | None
    unworn: Estimate | None
    answer: PinAnswer | None
    remarks: tuple[str, ...] = ()


def look_at_pin(worn: Estimate | None, unworn: Estimate | None, known: PinEvidence | None, units: Units) -> PinSight:
    """Return what this round's readings of a pin say together with what is known of its joint."""
    if known is None:
        return PinSight(worn, unworn, None)
    found = replace(known, measured_pin=unworn or known.measured_pin, worn_pin=worn or known.worn_pin)
    return PinSight(worn, unworn, identify_pin(found, units))


def judging_of(hole: Hole, log: MachineLog, logbook: Logbook) -> Judging | None:
    """Return what it takes to judge a hole, None when it belongs to no joint; the other holes are not worked out."""
    joint = log.machine.joint_of(hole.id)
    if joint is None:
        return None
    index = index_of(log, logbook)
    state = hole_state(hole, index, ())
    return Judging(state, joint_pin(joint, (state,), index)[0], log.machine, logbook)


def before_this_round(
    state: HoleState,
    joint: JointState | None,
    category: HitchCategory | None,
    round_id: str,
    judging: Judging | None = None,
) -> Before:
    """Return what was known of a hole before a round."""
    span = state.history[state.span_start :]
    return Before(tuple(size for size in span if size.round != round_id), joint, category, judging)


def look(
    readings: Sequence[BoreReading],
    before: Before,
    instruments: Mapping[str, Instrument],
    units: Units,
    kept: frozenset[str] = frozenset(),
) -> Sight:
    """Return what the standing readings of one hole in this round say; at least one reading, the last one newest.

    `kept` are the keys of readings that stand apart and that somebody decided to keep.
    """
    now = hole_size(readings, instruments)
    newest = readings[-1]
    tool = instruments.get(newest.instrument, UNKNOWN_CALIPER)
    agree_mm = repeats_agree_mm(tool.kind, step_mm(newest.size, tool))
    change = growth(now.seen, before.last.seen) if before.last is not None else None
    pin = _pin(now, before, units)
    marks = tuple(mark for mark in hole_marks(now, readings, instruments) if mark.key not in kept)
    return Sight(
        now=now,
        change=change,
        pin=pin,
        flags=bore_flags(float(newest.size.mm), now, before.sizes, agree_mm, units, marks),
        marks=marks,
        depth=depth_shape(now, readings, instruments),
        finding=_finding(now, before, pin),
    )


def last_line(readings: Sequence[BoreReading], instruments: Mapping[str, Instrument]) -> HoleSize:
    """Return the line of the newest reading alone, as if nothing else of the hole had been measured."""
    newest = readings[-1]
    here = (newest.face, newest.clock.angle_deg)
    return hole_size([reading for reading in readings if (reading.face, reading.clock.angle_deg) == here], instruments)


def _pin(now: HoleSize, before: Before, units: Units) -> PinAnswer | None:
    if before.joint is None:
        return None
    holes = []
    for state in before.joint.holes:
        identity = state.identity
        if state.hole.id == now.hole:
            seen = [now.smallest, *(size.smallest for size in before.sizes)]
            identity = min(seen, key=lambda size: size.value_mm)
        if identity is not None:
            holes.append((state.hole, identity))
    known = before.joint.evidence or PinEvidence(before.joint.joint, (), None, before.category)
    unmeasured = tuple(hole for hole in known.unmeasured if hole.id != now.hole)
    earlier = (day for day in known.days if (day.hole, day.day) != (now.hole, now.day))
    days = (*earlier, HoleDay(now.hole, now.day, now.smallest))
    return identify_pin(replace(known, holes=tuple(holes), unmeasured=unmeasured, days=days), units)


def _finding(now: HoleSize, before: Before, pin: PinAnswer | None) -> Finding | None:
    if before.judging is None:
        return None
    judging = before.judging
    history = (*before.sizes, now)
    identity = min((size.smallest for size in history), key=lambda size: size.value_mm)
    state = replace(judging.state, history=history, span_start=0, worn=now.largest, identity=identity)
    known = replace(judging.pin, answer=pin) if pin is not None else judging.pin
    order = parts_text(known.joint, judging.machine)
    return hole_finding(HoleCase(state, known, is_one_of_many=False, order=order), judging.machine, judging.logbook)
