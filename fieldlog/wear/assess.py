"""From everything entered for a machine to what is known about it today."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.measure.pins import identify_pin
from fieldlog.quantity.said import Said, said
from fieldlog.records.entries import MachineLog
from fieldlog.records.machine import Hole, Joint, Logbook
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.history import Index, index_of, moment, pin_cut, still_put_off
from fieldlog.wear.holes import HoleCase, hole_finding, hole_state
from fieldlog.wear.judge import Judged, Measured, judge
from fieldlog.wear.links import link_report
from fieldlog.wear.other_evidence import with_other_evidence
from fieldlog.wear.parts import parts_on
from fieldlog.wear.pin_size import JointPin, WithPin, agreed, hanging, pin_days
from fieldlog.wear.signs import OpenSign, only_signs, open_signs, unsafe_finding
from fieldlog.wear.states import Finding, HoleState, JointState, MachineState, MeasuringDue
from fieldlog.wear.tool_slack import with_tool_slack
from fieldlog.wear.trends.hours import machine_hours, usage_of
from fieldlog.wear.trends.of_joint import Work, joint_trends, limit_of_pin, wall_days
from fieldlog.wear.trends.planning import LastMeasured, longest_interval, measure_again, measuring_due, with_forecast
from fieldlog.wear.trends.rates import kinds_that_speed_up
from fieldlog.wear.trends.records import Trend
from fieldlog.wear.verdicts import Severity, Verdict


@dataclass(frozen=True, slots=True)
class JointCase:
    """All that a joint is judged by: its holes as measured, what was seen of it, everything entered, the work done."""

    joint: Joint
    holes: tuple[HoleState, ...]
    signs: tuple[OpenSign, ...]
    index: Index
    work: Work
    today: datetime.date


def assess_machine(log: MachineLog, logbook: Logbook, today: datetime.date) -> MachineState:
    """Return the states of all joints and links of a machine, worked out from its standing entries."""
    index, machine = index_of(log, logbook), log.machine
    work = work_of(index, today)
    joints = tuple(_joint_state(joint, index, work, today) for joint in machine.joints)
    joints = _with_their_like(joints, index, work, today)
    holes = {state.hole.id: state for joint in joints for state in joint.holes}
    holes.update(_holes_of_no_joint(index))
    days = [head.date for head in log.rounds]
    return MachineState(
        machine=machine,
        joints=with_tool_slack(joints, machine),
        links=tuple(link_report(link, joints, holes, index) for link in machine.links),
        meter_hours=work.hours.now,
        last_day=max(days, default=None),
        limits=machine.limits,
        remarks=(*work.hours.remarks, *_clock_remarks(days, today), *_not_judged(index)),
    )


def work_of(index: Index, today: datetime.date) -> Work:
    """Return how a machine worked, by its meter or by the days it was in use."""
    hours = machine_hours(index)
    return Work(usage_of(index.machine, hours, today), hours)


def _with_their_like(
    joints: tuple[JointState, ...], index: Index, work: Work, today: datetime.date
) -> tuple[JointState, ...]:
    """Return the joints again, those of a kind that wears faster and faster, taken together, with that in mind."""
    kinds = kinds_that_speed_up(joints)
    work = replace(work, speeding=kinds)
    return tuple(
        _joint_state(state.joint, index, work, today) if state.joint.kind in kinds else state for state in joints
    )


def assess_hole(hole: Hole, log: MachineLog, logbook: Logbook) -> HoleState:
    """Return the state of one hole alone; no other hole's readings are worked out."""
    index = index_of(log, logbook)
    joint = log.machine.joint_of(hole.id)
    signs = only_signs(open_signs(joint, index), hole.id) if joint is not None else ()
    return hole_state(hole, index, signs)


def _holes_of_no_joint(index: Index) -> dict[str, HoleState]:
    known = {joint.id for joint in index.machine.joints}
    loose = (hole for hole in index.machine.holes if hole.joint not in known)
    return {hole.id: hole_state(hole, index, ()) for hole in loose}


def _clock_remarks(days: Sequence[datetime.date], today: datetime.date) -> tuple[Said, ...]:
    newest = max(days, default=today)
    if newest <= today:
        return ()
    return (said("finding.clock_is_wrong", newest=newest, today=today),)


def _not_judged(index: Index) -> tuple[Said, ...]:
    """A limit on a bush's wall that nothing can be held against must not look as if it were watched."""
    walls = [limit for limit in index.machine.limits if limit.of == "bush wall"]
    if not walls or any(hole.bush_wall or hole.bush_outside or hole.id in index.walls for hole in index.machine.holes):
        return ()
    return tuple(said("finding.wall_limit_not_judged", limit=limit) for limit in walls)


def joint_case(joint: Joint, index: Index, work: Work, today: datetime.date) -> JointCase:
    """Return a joint as everything that is on file tells it."""
    signs = open_signs(joint, index)
    own = [hole for hole in index.machine.holes if hole.joint == joint.id]
    holes = tuple(hole_state(hole, index, only_signs(signs, hole.id)) for hole in own)
    return JointCase(joint, holes, signs, index, work, today)


def _joint_state(joint: Joint, index: Index, work: Work, today: datetime.date) -> JointState:
    return judged_joint(joint_case(joint, index, work, today))


def judged_joint(case: JointCase) -> JointState:
    """Return a joint's state: the one judge, for the machine's page and for who stands at one of its holes."""
    joint, holes, index, work = case.joint, case.holes, case.index, case.work
    pin, evidence = joint_pin(joint, holes, index)
    days = [state.history[-1].day for state in holes if state.history]
    days += [reading.day for reading in index.pins.get(joint.id, ())]
    last_day = max(days, default=None)
    size = pin.now
    trends = joint_trends(pin, holes, index, work)
    finding = _verdict(pin, trends, case)
    last_hours = work.hours.on(last_day)
    every = longest_interval(joint.kind, index.machine.measure_every_hours)
    measuring = measuring_due(trends, LastMeasured(last_day, last_hours, finding, every), case.today)
    return JointState(
        joint=joint,
        holes=holes,
        pin_answer=pin.answer,
        pin_size=size.size if size else None,
        pin_origin=size.origin if size else None,
        signs=only_signs(case.signs),
        finding=_aged(finding, measuring),
        last_day=last_day,
        last_hours=last_hours,
        evidence=evidence,
        trends=trends,
        measuring=measuring,
        put_off=still_put_off(joint, index),
    )


def joint_pin(joint: Joint, holes: Sequence[HoleState], index: Index) -> tuple[JointPin, PinEvidence]:
    """Return a joint's pin in every way it is known, and the evidence that its name rests on."""
    cut = pin_cut(index.events, joint, index.machine)
    readings = [p for p in index.pins.get(joint.id, ()) if cut is None or moment(p) > cut]
    worn, unworn = (pin_days(readings, place, index.instruments) for place in ("worn", "unworn"))
    evidence = PinEvidence(
        joint=joint,
        holes=tuple((state.hole, state.identity) for state in holes if state.identity is not None),
        measured_pin=unworn[-1].size if unworn else None,
        category=index.machine.hitch_category,
        worn_pin=worn[-1].size if worn else None,
        unmeasured=tuple(state.hole for state in holes if state.identity is None),
    )
    evidence = with_other_evidence(evidence, holes, index)
    return JointPin(joint, worn, unworn, identify_pin(evidence, index.units)), evidence


def _verdict(pin: JointPin, trends: Sequence[Trend], case: JointCase) -> Finding:
    """Return the verdict with its forecast; with a pin that nobody knows only what all that it may be agree on."""
    index, holes, parts = case.index, case.holes, parts_on(case.joint, case.index.machine)
    several = {state.hole.id: state.hole for state in holes} if len(holes) > 1 else {}
    found = [WithPin(one, _joint_finding(one, holes, case.signs, index)) for one in pin.every]
    told = agreed(found)
    if told is None:
        return hanging(found, several)
    ahead = with_forecast(told, trends, parts)
    if len(found) == 1 or ahead.verdict is told.verdict:
        return ahead
    later = [WithPin(one, with_forecast(now, joint_trends(one, holes, index, case.work), parts)) for one, now in found]
    return agreed(later) or hanging(later, several)


def _joint_finding(pin: JointPin, holes: Sequence[HoleState], signs: tuple[OpenSign, ...], index: Index) -> Finding:
    """Return the worst of what is unsafe on sight, what the pin says and what each hole says."""
    # a hole that is not in daily use need not be measured for the joint to be sound
    measured = [state for state in holes if state.latest is not None]
    judged = [state for state in holes if state.latest is not None or (measured and state.hole.use == "daily")]
    parts = parts_on(pin.joint, index.machine)
    cases = (HoleCase(state, pin, len(holes) > 1, parts) for state in judged)
    findings = [hole_finding(case, index.machine, index.logbook) for case in cases]
    of_pin = _pin_finding(pin, index)
    findings += [of_pin] if of_pin is not None else []
    walls = [(state.hole.id, _wall_finding(state, pin.joint, index)) for state in holes]
    findings += [replace(finding, hole=hole) for hole, finding in walls if finding is not None]
    if not measured:
        findings.append(_nothing_measured(holes))
    worst = max(findings, key=lambda finding: (finding.severity, finding.share))
    unsafe = unsafe_finding(signs)
    return (
        replace(unsafe, clearance=worst.clearance, share=worst.share, hole=worst.hole) if unsafe is not None else worst
    )


def _nothing_measured(holes: Sequence[HoleState]) -> Finding:
    if not holes:
        return Finding(Verdict.REMEASURE, (said("finding.no_hole"),), (said("step.add_holes"),))
    if any(state.history for state in holes):
        return Finding(Verdict.REMEASURE, (said("finding.not_measured_since"),), (said("step.measure_soon"),))
    return Finding(Verdict.REMEASURE, (said("finding.never_measured"),), (said("step.measure_all"),))


def _pin_finding(pin: JointPin, index: Index) -> Finding | None:
    """Judge what is worn off the pin; a pin proved at its limit on two days stops the joint."""
    nominal_mm, limit = pin.nominal_mm, limit_of_pin(pin, index)
    if not pin.worn or nominal_mm is None or limit is None:
        return None
    days = [Measured(day.day, nominal_mm - day.size) for day in pin.worn]
    return judge(Judged(pin.joint.kind in SAFETY_KINDS, days, limit, Verdict.STOP))


def _wall_finding(state: HoleState, joint: Joint, index: Index) -> Finding | None:
    """Judge what is worn off a bush's wall."""
    days, limit = wall_days(state, joint, index)
    if not days or limit is None:
        return None
    parts = parts_on(joint, index.machine)
    return judge(Judged(joint.kind in SAFETY_KINDS, days, limit, parts=parts, hole=state.hole))


def _aged(finding: Finding, measuring: MeasuringDue | None) -> Finding:
    """Say when what is sound is to be measured again, or that it is due now."""
    if finding.severity != Severity.SOUND or measuring is None:
        return finding
    return replace(finding, next_steps=(measure_again(measuring),))
