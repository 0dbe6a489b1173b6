"""A hole's state, and its verdict against the limits in force."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.hole import FaceShape, HoleSize, growth
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_text, mm_text
from fieldlog.records.entries import Sign
from fieldlog.records.machine import Hole, Logbook, Machine, shown_name
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.history import Index, bore_cuts, hole_history
from fieldlog.wear.judge import Judged, Measured, is_beyond_doubt, judge
from fieldlog.wear.limits import LimitBasis, limits_in_force
from fieldlog.wear.pin_size import JointPin, clearance_days
from fieldlog.wear.signs import bush_seat
from fieldlog.wear.states import Finding, HoleState
from fieldlog.wear.verdicts import LimitInForce, Verdict

CLEAN_AND_REPEAT = "Clean the hole, check the caliper's zero and measure again; strike the one that was wrong."

_OF_MANY = 1.31  # 99 % over 95 % of a normal distribution: every hole that did not wear is compared, every season

BOTH_AGAIN = "Measure the pin at its unworn end and the hole again; one of them is not what it is taken for."


def hole_state(hole: Hole, index: Index, signs: tuple[Sign, ...]) -> HoleState:
    """Return a hole with its history, its worn size, its identity size and what is odd about it."""
    cuts = bore_cuts(index.events, hole, index.machine)
    return with_history(hole, hole_history(index.bores.get(hole.id, []), cuts, index.instruments), index, signs)


def with_history(
    hole: Hole, history_and_start: tuple[tuple[HoleSize, ...], int], index: Index, signs: tuple[Sign, ...]
) -> HoleState:
    """Return a hole's state from its sizes, oldest first, and the index of the first since its last renewal."""
    history, start = history_and_start
    span = history[start:]
    return HoleState(
        hole=hole,
        history=history,
        span_start=start,
        worn=span[-1].largest if span else None,
        identity=min((size.smallest for size in span), key=lambda size: size.value, default=None),
        change=growth(span[-1].seen, span[-2].seen) if len(span) > 1 else None,
        signs=signs,
        remarks=_remarks(span, index.units),
        bush=bush_seat(hole, index),
    )


def _remarks(span: Sequence[HoleSize], units: Units) -> tuple[str, ...]:
    remarks = [f"Measured along too few lines: {span[-1].missing}."] if span and span[-1].missing else []
    shrunk = shrunk_text(span, units)
    remarks += [shrunk] if shrunk else []
    remarks += [f"{text[:1].upper()}{text[1:]}." for text in (span[-1].remarks if span else ())]
    return tuple(remarks)


def shrunk_text(span: Sequence[HoleSize], units: Units) -> str:
    """Return the sentence for a hole that reads smaller than last time beyond doubt (99 %), else nothing.

    Compared is the face where the hole was largest last time, and only when the new readings see as much of it:
    a shape against a shape, or at least the same lines.
    """
    if len(span) < 2:
        return ""
    before = max(span[-2].faces, key=lambda face: face.largest.value)
    now = next((face for face in span[-1].faces if face.face == before.face), None)
    if now is None or not _sees_as_much(now, before):
        return ""
    gap = growth(span[-2].seen._replace(size=before.largest), span[-1].seen._replace(size=now.largest))
    if not is_beyond_doubt(gap.value / _OF_MANY, gap):
        return ""
    return f"Reads {mm_text(gap.value, units)} less than last time; a bore can only grow, so one of them is wrong."


def _sees_as_much(now: FaceShape, before: FaceShape) -> bool:
    if now.shape is not None:
        return True
    lines = {group.angle_deg for group in now.groups}
    return before.shape is None and lines >= {group.angle_deg for group in before.groups}


@dataclass(frozen=True, slots=True)
class HoleCase:
    """A hole to be judged: its state, its joint's pin, whether the joint has other holes to tell it from, its parts."""

    state: HoleState
    pin: JointPin
    is_one_of_many: bool
    order: str = ""


def hole_finding(case: HoleCase, machine: Machine, logbook: Logbook) -> Finding:
    """Return the verdict on one hole by the worst of its limits."""
    units = logbook.units
    state, joint = case.state, case.pin.joint
    span = state.history[state.span_start :]
    if not span:
        return replace(never_measured(state), hole=state.hole.id)
    days = clearance_days(span, case.pin)
    basis = LimitBasis(case.pin.nominal_mm, state.identity.value if state.identity else None)
    limits = limits_in_force(joint, state.hole.id, machine, logbook, basis)
    found = [_judged(limit, span, days, case, units) for limit in limits]
    judged = [finding for finding in found if finding is not None]
    if not judged:
        return replace(_pin_unknown(case, units), hole=state.hole.id)
    worst = max(judged, key=lambda finding: (finding.severity, finding.share))
    worst = replace(worst, clearance=days[-1].value if days else None, hole=state.hole.id)
    return _with_remarks(_unless_doubted(worst, span, case, units), case)


def never_measured(state: HoleState) -> Finding:
    """Return what is said of a hole without a reading since its last renewal."""
    name = shown_name(state.hole)
    if state.history:
        reason = f"{name}: not measured since it was renewed."
        return Finding(Verdict.REMEASURE, reason, "Measure it within 50 hours of work, then once a season.")
    return Finding(Verdict.REMEASURE, f"{name}: never measured.", "Measure it and its pin on the next walk.")


def _pin_unknown(case: HoleCase, units: Units) -> Finding:
    worn = case.state.worn
    size = f" Largest {both_text(worn, units)}." if worn is not None else ""
    next_step = case.pin.answer.next_measurement or "measure the pin at its unworn end"
    reason = f"The pin's size is not known, so its clearance is not either.{size}"
    return Finding(Verdict.REMEASURE, reason, f"{next_step[:1].upper()}{next_step[1:]}.")


def _judged(
    limit: LimitInForce, span: Sequence[HoleSize], clearances: Sequence[Measured], case: HoleCase, units: Units
) -> Finding | None:
    """Judge what a limit is about; None when it is not about a hole, or nothing was measured of it."""
    days: Sequence[Measured] = ()
    if limit.of == "clearance":
        days = clearances
    elif limit.of == "bore":
        days = [Measured(size.day, size.largest) for size in span]
    elif limit.of == "ovality":
        shapes = [(size.day, size.best_face.shape) for size in span]
        days = [Measured(day, shape.ovality) for day, shape in shapes if shape is not None]
    if not days:
        return None
    return judge(Judged(limit.of, case.pin.joint.kind in SAFETY_KINDS, days, limit, order=case.order), units)


def _unless_doubted(finding: Finding, span: Sequence[HoleSize], case: HoleCase, units: Units) -> Finding:
    """Believe nothing milder than "renew" when the hole shrank or the pin cannot be what it is said to be."""
    if finding.verdict is Verdict.RENEW:
        return finding
    shrunk = shrunk_text(span, units)
    if shrunk:
        reason = f"{shrunk} {finding.reason}"
        return replace(finding, verdict=Verdict.REMEASURE, is_at_watch=False, reason=reason, next_step=CLEAN_AND_REPEAT)
    clearance = finding.clearance
    if clearance is not None and is_beyond_doubt(-clearance.value, clearance):
        reason = f"Clearance {both_text(clearance, units)}: a pin cannot be larger than its hole."
        return replace(finding, verdict=Verdict.REMEASURE, is_at_watch=False, reason=reason, next_step=BOTH_AGAIN)
    grave = next((c for c in case.pin.answer.contradictions if c.is_grave), None)
    if grave is not None and finding.verdict is Verdict.SOUND:
        settles = grave.settles
        return replace(
            finding, verdict=Verdict.REMEASURE, is_at_watch=False, next_step=f"{settles[:1].upper()}{settles[1:]}."
        )
    return finding


def _with_remarks(finding: Finding, case: HoleCase) -> Finding:
    """Add to a reason which hole it is, what the pin was taken from, and what an unseen oval means."""
    reason, next_step = finding.reason, finding.next_step
    if case.is_one_of_many:
        reason = f"{shown_name(case.state.hole)}: {reason[:1].lower()}{reason[1:]}"
    pin = case.pin.now
    extra = [pin.origin] if pin is not None and not pin.is_measured else []
    latest = case.state.latest
    extra += [latest.missing] if latest is not None and latest.missing else []
    extra += [contradiction.said for contradiction in case.pin.answer.contradictions[:1]]
    said = "".join(f" {text[:1].upper()}{text[1:]}." for text in extra)
    is_assumed = pin is not None and not pin.is_measured and case.pin.joint.pin is None
    if is_assumed and finding.verdict is not Verdict.SOUND and case.pin.answer.next_action:
        first = case.pin.answer.next_action
        next_step = f"{first[:1].upper()}{first[1:]}; then {next_step[:1].lower()}{next_step[1:]}"
    return replace(finding, reason=f"{reason}{said}", next_step=next_step)
