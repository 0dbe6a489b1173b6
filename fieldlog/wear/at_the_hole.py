"""What to tell the person who still stands at the hole, after each reading.

The verdict is that of the joint's page, asked again with the readings so far. No reading of another round is worked
out again for it; what grows with the seasons is only the line through the joint's measuring days.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.depth import DepthShape, depth_shape
from fieldlog.measure.flags import Flag, bore_flags, repeats_agree_mm
from fieldlog.measure.hole import HoleSize, growth, hole_size
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.measure.pins import identify_pin
from fieldlog.measure.suspect import Mark, hole_marks
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import BoreReading, MachineLog
from fieldlog.records.machine import Hole, Instrument, Logbook
from fieldlog.wear.assess import JointCase, joint_case, judged_joint, work_of
from fieldlog.wear.history import Moment, bore_cuts, hole_history, index_of
from fieldlog.wear.holes import with_history
from fieldlog.wear.states import Finding, HoleState, JointState, MachineState
from fieldlog.wear.trends.rates import kinds_that_speed_up
from fieldlog.wear.trends.series import moment_of


@dataclass(frozen=True, slots=True)
class Judging:
    """What it takes to judge the hole's joint while it is measured: all that is on file but this round's readings.

    `elsewhere` are the sizes of the hole in other rounds, `cuts` the moments at which it was made new, `others` the
    other joints of the machine as they stood when the round was begun.
    """

    hole: Hole
    case: JointCase
    elsewhere: tuple[HoleSize, ...]
    cuts: tuple[Moment, ...]
    others: tuple[JointState, ...]


@dataclass(frozen=True, slots=True)
class Before:
    """What was known of the hole on coming to it, this round left out."""

    sizes: tuple[HoleSize, ...]
    joint: JointState | None
    judging: Judging | None = None

    @property
    def last(self) -> HoleSize | None:
        """The hole as measured last time, since its last renewal."""
        return self.sizes[-1] if self.sizes else None

    @property
    def expected_mm(self) -> float | None:
        """About how large the hole is, None when nothing tells."""
        if self.last is not None:
            return self.last.largest.value
        if self.joint is not None and self.joint.pin_size is not None:
            return self.joint.pin_size.value
        if self.joint is not None and self.joint.joint.pin is not None:
            return float(self.joint.joint.pin.mm)
        return None


@dataclass(frozen=True, slots=True)
class Sight:
    """The hole now, the change since last time, the pin it fits, and what is doubtful about the last reading.

    `finding` is the joint's verdict with these readings, as its page says it; None without `Before.judging`.
    """

    now: HoleSize
    change: Value | None
    pin: PinAnswer | None
    flags: tuple[Flag, ...]
    marks: tuple[Mark, ...] = ()
    depth: DepthShape | None = None
    finding: Finding | None = None


@dataclass(frozen=True, slots=True)
class PinSight:
    """A pin as measured in this round, which pin it is by all that is known, and what is to be said of the caliper."""

    worn: Value | None
    unworn: Value | None
    answer: PinAnswer | None
    remarks: tuple[str, ...] = ()


def look_at_pin(worn: Value | None, unworn: Value | None, known: PinEvidence | None, units: Units) -> PinSight:
    """Return what this round's readings of a pin say together with what is known of its joint."""
    if known is None:
        return PinSight(worn, unworn, None)
    found = replace(known, measured_pin=unworn or known.measured_pin, worn_pin=worn or known.worn_pin)
    return PinSight(worn, unworn, identify_pin(found, units))


def judging_of(
    hole: Hole, round_id: str, log: MachineLog, logbook: Logbook, others: MachineState, today: datetime.date
) -> Judging | None:
    """Return what it takes to judge a hole's joint in a round, None when it belongs to none."""
    joint = log.machine.joint_of(hole.id)
    if joint is None:
        return None
    index = index_of(log, logbook)
    case = joint_case(joint, index, work_of(index, today), today)
    history = next(state.history for state in case.holes if state.hole.id == hole.id)
    return Judging(
        hole=hole,
        case=case,
        elsewhere=tuple(size for size in history if size.round != round_id),
        cuts=bore_cuts(index.events, hole, log.machine),
        others=tuple(state for state in others.joints if state.joint.id != joint.id),
    )


def before_this_round(
    state: HoleState,
    joint: JointState | None,
    round_id: str,
    judging: Judging | None = None,
) -> Before:
    """Return what was known of a hole before a round."""
    span = state.history[state.span_start :]
    return Before(tuple(size for size in span if size.round != round_id), joint, judging)


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
    joint = judged(before.judging, readings) if before.judging is not None else None
    marks = tuple(mark for mark in hole_marks(now, readings, instruments) if mark.key not in kept)
    return Sight(
        now=now,
        change=change,
        pin=joint.pin_answer if joint is not None else None,
        flags=bore_flags(float(newest.size.mm), now, before.sizes, agree_mm, units, marks),
        marks=marks,
        depth=depth_shape(now, readings, instruments),
        finding=joint.finding if joint is not None else None,
    )


def last_line(readings: Sequence[BoreReading], instruments: Mapping[str, Instrument]) -> HoleSize:
    """Return the line of the newest reading alone, as if nothing else of the hole had been measured."""
    newest = readings[-1]
    here = (newest.face, newest.clock.angle_deg)
    return hole_size([reading for reading in readings if (reading.face, reading.clock.angle_deg) == here], instruments)


def judged(judging: Judging, readings: Sequence[BoreReading]) -> JointState:
    """Return the state of the hole's joint with a round's readings of the hole: the judge of its page asked again.

    The sizes of other rounds are not worked out again. Whether its kind wears faster and faster rests on the other
    joints as they stood when the round was begun.
    """
    case = _with(judging, readings)
    found = judged_joint(case)
    kinds = kinds_that_speed_up((*judging.others, found))
    return judged_joint(replace(case, work=replace(case.work, speeding=kinds))) if found.joint.kind in kinds else found


def _with(judging: Judging, readings: Sequence[BoreReading]) -> JointCase:
    case, cuts = judging.case, judging.cuts
    own, _ = hole_history(list(readings), cuts, case.index.instruments)
    placed = [(sum(1 for cut in cuts if cut < moment_of(size)), size) for size in (*judging.elsewhere, *own)]
    placed.sort(key=lambda pair: (pair[0], pair[1].day, pair[1].round))
    start = sum(1 for part, _ in placed if part < len(cuts))
    history = tuple(size for _, size in placed), start
    holes = (
        with_history(state.hole, history, case.index, state.signs) if state.hole.id == judging.hole.id else state
        for state in case.holes
    )
    return replace(case, holes=tuple(holes))
