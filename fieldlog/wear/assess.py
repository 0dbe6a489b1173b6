"""From everything entered for a machine to what is known about it today."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fieldlog.measure.estimate import Estimate, difference, exactly
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.lengths import LinkLength, link_length
from fieldlog.measure.pins import PinAnswer, PinEvidence, identify_pin
from fieldlog.measure.rounding import mm_text
from fieldlog.records.entries import BoreReading, Event, LengthReading, LinkState, MeterReading, PinReading
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Hole, Instrument, Joint, Link, Logbook, shown_name
from fieldlog.records.quantities import Units
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.judge import STOP_USING, Judged, Measured, judge
from fieldlog.wear.limits import default_pin_wear, limits_in_force
from fieldlog.wear.pin_size import PinDay, PinSize, pin_days, pin_size
from fieldlog.wear.signs import open_notes, signs_on_hole, signs_on_joint, unsafe_finding
from fieldlog.wear.spans import bore_cuts, hole_history, moment, pin_cut
from fieldlog.wear.states import (
    Finding,
    HoleState,
    JointState,
    LimitInForce,
    LinkReport,
    MachineState,
    Verdict,
)

_SHRANK_COVERAGE = 1.96


@dataclass(frozen=True, slots=True)
class _Known:
    """What every part of the assessment needs at hand, sorted once."""

    log: MachineLog
    logbook: Logbook
    instruments: Mapping[str, Instrument]
    bores: Mapping[str, tuple[BoreReading, ...]]
    pins: tuple[PinReading, ...]

    @property
    def units(self) -> Units:
        return self.logbook.units


def assess_machine(log: MachineLog, logbook: Logbook, today: datetime.date) -> MachineState:
    """Return the states of all joints and links of a machine, worked out from its standing entries."""
    known = _known(log, logbook)
    machine = log.machine
    joints = tuple(_joint_state(joint, known) for joint in machine.joints)
    hours, remarks = meter_hours(log)
    days = [head.date for head in log.rounds]
    return MachineState(
        machine=machine,
        joints=joints,
        links=tuple(_link_report(link, known, joints) for link in machine.links),
        meter_hours=hours,
        last_day=max(days, default=None),
        limits=machine.limits,
        remarks=(*remarks, *_clock_remarks(days, today)),
    )


def _known(log: MachineLog, logbook: Logbook) -> _Known:
    bores: dict[str, list[BoreReading]] = {}
    for reading in log.standing(BoreReading):
        bores.setdefault(reading.hole, []).append(reading)
    instruments = {instrument.id: instrument for instrument in logbook.instruments}
    grouped = {hole: tuple(readings) for hole, readings in bores.items()}
    return _Known(log, logbook, instruments, grouped, log.standing(PinReading))


def _clock_remarks(days: Sequence[datetime.date], today: datetime.date) -> tuple[str, ...]:
    newest = max(days, default=today)
    if newest <= today:
        return ()
    return (
        f"The newest round is of {newest.isoformat()}, after today {today.isoformat()}: check this computer's clock.",
    )


def assess_hole(hole: Hole, log: MachineLog, logbook: Logbook) -> HoleState:
    """Return the state of one hole alone."""
    return _hole_state(hole, log.machine.joint_of(hole.id), _known(log, logbook))


def _hole_state(hole: Hole, joint: Joint | None, known: _Known) -> HoleState:
    history, start = hole_history(known.bores.get(hole.id, ()), bore_cuts(known.log, hole), known.instruments)
    span = history[start:]
    change = difference(span[-1].largest, span[-2].largest) if len(span) > 1 else None
    return HoleState(
        hole=hole,
        history=history,
        span_start=start,
        worn=span[-1].largest if span else None,
        identity=min((size.smallest for size in span), key=lambda size: size.value_mm) if span else None,
        change=change,
        signs=signs_on_hole(known.log, hole, joint),
        remarks=_hole_remarks(span, known.units),
    )


def _hole_remarks(span: Sequence[HoleSize], units: Units) -> tuple[str, ...]:
    if not span:
        return ()
    remarks = [f"Measured along too few lines: {span[-1].missing}."] if span[-1].missing else []
    if has_shrunk(span):
        gap = span[-2].largest.value_mm - span[-1].largest.value_mm
        remarks.append(
            f"Reads {mm_text(gap, units)} less than last time; a bore can only grow, so one of them is wrong."
        )
    return tuple(remarks)


def has_shrunk(span: Sequence[HoleSize]) -> bool:
    """Tell whether a hole reads smaller than last time beyond doubt."""
    if len(span) < 2:
        return False
    gap = difference(span[-2].largest, span[-1].largest)
    return gap.value_mm > _SHRANK_COVERAGE * gap.u_mm


def _joint_state(joint: Joint, known: _Known) -> JointState:
    machine = known.log.machine
    holes = tuple(_hole_state(hole, joint, known) for hole in machine.holes if hole.joint == joint.id)
    cut = pin_cut(known.log, joint)
    pins = [p for p in known.pins if p.joint == joint.id and (cut is None or moment(p) > cut)]
    worn, unworn = (pin_days(pins, place, known.instruments) for place in ("worn", "unworn"))
    evidence = PinEvidence(
        joint,
        tuple((state.hole, state.identity) for state in holes if state.identity is not None),
        unworn[-1].size if unworn else None,
        machine.hitch_category,
    )
    answer = identify_pin(evidence, known.units)
    size = pin_size(joint, worn, unworn, answer, None)
    signs = signs_on_joint(known.log, joint)
    return JointState(
        joint=joint,
        holes=holes,
        pin_answer=answer,
        pin_size=size.size if size else None,
        pin_origin=size.origin if size else "",
        signs=signs,
        finding=_joint_finding(_Joint(joint, holes, worn, unworn, answer, size), known),
        last_day=max((state.history[-1].day for state in holes if state.history), default=None),
        last_hours=None,
    )


@dataclass(frozen=True, slots=True)
class _Joint:
    joint: Joint
    holes: tuple[HoleState, ...]
    worn: tuple[PinDay, ...]
    unworn: tuple[PinDay, ...]
    answer: PinAnswer
    size: PinSize | None


def _joint_finding(this: _Joint, known: _Known) -> Finding:
    """Return the worst of what is unsafe on sight, what the pin says and what each hole says."""
    signs = signs_on_joint(known.log, this.joint)
    days = sorted({note.day for note in open_notes(known.log, this.joint)})
    unsafe = unsafe_finding(signs, days[-1].isoformat() if days else "")
    if unsafe is not None:
        return unsafe
    findings = [_hole_finding(state, this, known) for state in this.holes if state.latest is not None]
    pin = _pin_finding(this, known)
    if pin is not None:
        findings.append(pin)
    if not findings:
        return _never_measured(this)
    return max(findings, key=lambda finding: (finding.verdict.rank, _amount(finding)))


def _amount(finding: Finding) -> float:
    if finding.clearance is None or finding.limit is None:
        return 0.0
    return finding.clearance.value_mm / finding.limit.renew_mm


def _never_measured(this: _Joint) -> Finding:
    if any(state.history for state in this.holes):
        reason = "Not measured since it was renewed."
        return Finding(Verdict.REMEASURE, reason, "Measure it within 50 hours of work, then once a season.")
    return Finding(Verdict.REMEASURE, "Never measured.", "Measure its holes and its pin on the next walk.")


def _hole_finding(state: HoleState, this: _Joint, known: _Known) -> Finding:
    span = state.history[state.span_start :]
    if has_shrunk(span):
        reason = f"{shown_name(state.hole)}: {state.remarks[-1]}"
        return Finding(Verdict.REMEASURE, reason, "Clean the hole, check the caliper's zero, measure again.")
    if this.size is None:
        return Finding(
            Verdict.REMEASURE, "The pin's size is not known.", this.answer.next_measurement.capitalize() + "."
        )
    pin_mm = _nominal_mm(this)
    limits = limits_in_force(this.joint, state.hole.id, known.log.machine, known.logbook, pin_mm)
    found = [
        judge(Judged(word, this.joint.kind in SAFETY_KINDS, days, limit), known.units)
        for limit in limits
        if (what := _what_is_judged(limit, span, this)) is not None
        for word, days in [what]
    ]
    worst = max(found, key=lambda finding: (finding.verdict.rank, _amount(finding)))
    return _with_remarks(worst, state, this)


def _nominal_mm(this: _Joint) -> float:
    if this.joint.pin is not None:
        return float(this.joint.pin.mm)
    if this.unworn:
        return this.unworn[-1].size.value_mm
    return this.size.size.value_mm if this.size is not None else 0.0


def _what_is_judged(
    limit: LimitInForce, span: Sequence[HoleSize], this: _Joint
) -> tuple[str, tuple[Measured, ...]] | None:
    """Return the word and the days of what a limit is about, None when it is not about a hole."""
    if limit.of == "clearance":
        return "clearance", tuple(Measured(size.day, _clearance(size, this)) for size in span)
    if limit.of == "bore":
        return "bore", tuple(Measured(size.day, size.largest) for size in span)
    if limit.of == "ovality":
        ovals = [(size.day, size.best_face.shape) for size in span]
        days = tuple(Measured(day, shape.ovality) for day, shape in ovals if shape is not None)
        return ("ovality", days) if days else None
    return None


def _clearance(size: HoleSize, this: _Joint) -> Estimate:
    pin = pin_size(this.joint, this.worn, this.unworn, this.answer, size.day)
    return difference(size.largest, pin.size if pin is not None else exactly(0.0))


def _with_remarks(finding: Finding, state: HoleState, this: _Joint) -> Finding:
    """Add to a reason which hole it is, what the pin was taken from, and what an unseen oval means."""
    several = f"{shown_name(state.hole)}: " if len(this.holes) > 1 else ""
    reason = f"{several}{finding.reason[:1].lower() if several else finding.reason[:1]}{finding.reason[1:]}"
    if this.size is not None and not this.size.is_measured:
        reason += f" {this.size.origin[:1].upper()}{this.size.origin[1:]}."
    latest = state.latest
    if latest is not None and latest.missing:
        reason += f" {latest.missing[:1].upper()}{latest.missing[1:]}."
    if this.answer.contradiction:
        reason += f" {this.answer.contradiction[:1].upper()}{this.answer.contradiction[1:]}."
    return replace(finding, reason=reason)


def _pin_finding(this: _Joint, known: _Known) -> Finding | None:
    """Judge what is worn off the pin; a pin proved at its limit stops the joint."""
    if not this.worn or (this.joint.pin is None and not this.unworn):
        return None
    nominal_mm = _nominal_mm(this)
    own = [limit for limit in limits_in_force(this.joint, "", known.log.machine, known.logbook, nominal_mm)]
    limit = next((_worn_off(limit, nominal_mm) for limit in own if limit.of == "pin"), default_pin_wear(nominal_mm))
    days = tuple(Measured(pin.day, _off_the_pin(pin.size, nominal_mm)) for pin in this.worn)
    finding = judge(Judged("wear of the pin", this.joint.kind in SAFETY_KINDS, days, limit), known.units)
    if finding.verdict is Verdict.RENEW:
        return replace(finding, verdict=Verdict.STOP, next_step="Fit a new pin.", caution=STOP_USING)
    return finding


def _worn_off(limit: LimitInForce, nominal_mm: float) -> LimitInForce:
    """Turn a least diameter of the pin into the most that may be worn off it."""
    watch_mm = nominal_mm - limit.watch_mm if limit.watch_mm is not None else None
    return LimitInForce("pin", watch_mm, nominal_mm - limit.renew_mm, limit.origin)


def _off_the_pin(size: Estimate, nominal_mm: float) -> Estimate:
    return Estimate(nominal_mm - size.value_mm, size.parts)


def meter_hours(log: MachineLog) -> tuple[Decimal | None, tuple[str, ...]]:
    """Return the machine's hours now, with replaced meters added up, and remarks on a meter that ran backwards."""
    offset, last, remarks = Decimal(0), None, []
    steps = (entry for entry in log.entries if isinstance(entry, MeterReading | Event) and entry.key not in log.struck)
    for entry in sorted(steps, key=moment):
        if isinstance(entry, MeterReading):
            if last is not None and entry.hours < last:
                remarks.append(f"The hour meter ran backwards on {entry.day.isoformat()}: {last} to {entry.hours} h.")
            last = entry.hours
        elif entry.deed == "meter replaced":
            offset += (last or Decimal(0)) - (entry.hours or Decimal(0))
            last = entry.hours or Decimal(0)
    return (last + offset if last is not None else None), tuple(remarks)


def _link_report(link: Link, known: _Known, joints: Sequence[JointState]) -> LinkReport:
    holes = {state.hole.id: state for joint in joints for state in joint.holes}
    near, far = (holes[end].worn if end in holes else None for end in (link.near_hole, link.far_hole))
    readings = [reading for reading in known.log.standing(LengthReading) if reading.link == link.id]

    def latest(state: LinkState) -> LinkLength | None:
        taped = [reading for reading in readings if reading.state == state]
        newest = max(((reading.day, reading.round) for reading in taped), default=None)
        return link_length([r for r in taped if (r.day, r.round) == newest], near, far, known.instruments)

    closed, opened, as_set = latest("closed"), latest("open"), latest("as set")
    remarks = tuple(
        f"{word}: {remark}"
        for word, length in (("Closed", closed), ("Open", opened), ("As set", as_set))
        if length is not None
        for remark in length.remarks
    )
    if closed and opened and closed.centres and opened.centres and opened.centres.value_mm < closed.centres.value_mm:
        remarks = (
            *remarks,
            "It opens shorter than it closes: closed and open are mixed up, or an edge is wrong.",
        )
    return LinkReport(link, closed, opened, as_set, remarks)
