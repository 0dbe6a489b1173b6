"""A hole's state, and its verdict against the limits in force.

A hole has shrunk at 99 %, not 95: every hole that did not wear is compared every season, and the sentence is strong.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.hole import FaceShape, HoleSize, growth
from fieldlog.quantity.said import Said, said
from fieldlog.records.entries import Sign
from fieldlog.records.machine import Hole, Logbook, Machine
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.history import Index, bore_cuts, hole_history
from fieldlog.wear.judge import Judged, Measured, is_beyond_doubt, judge
from fieldlog.wear.limits import LimitBasis, limits_in_force
from fieldlog.wear.parts import Parts
from fieldlog.wear.pin_size import JointPin, clearance_days
from fieldlog.wear.signs import bush_seat
from fieldlog.wear.states import Finding, HoleState
from fieldlog.wear.verdicts import LimitInForce, Verdict

_OF_MANY = 1.31  # 99 % over 95 % of a normal distribution: every hole that did not wear is compared, every season


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
        remarks=_remarks(span),
        bush=bush_seat(hole, index),
    )


def _remarks(span: Sequence[HoleSize]) -> tuple[Said, ...]:
    if not span:
        return ()
    shrunk = shrinking(span)
    return (
        *((said("finding.too_few_lines", missing=span[-1].missing),) if span[-1].missing else ()),
        *((shrunk,) if shrunk is not None else ()),
        *(said("finding.besides", remark=remark) for remark in span[-1].remarks),
    )


def shrinking(span: Sequence[HoleSize]) -> Said | None:
    """Say that a hole reads smaller than last time beyond doubt (99 %), None where it does not.

    Compared is the face where the hole was largest last time, and only when the new readings see as much of it:
    a shape against a shape, or at least the same lines.
    """
    if len(span) < 2:
        return None
    before = max(span[-2].faces, key=lambda face: face.largest.value)
    now = next((face for face in span[-1].faces if face.face == before.face), None)
    if now is None or not _sees_as_much(now, before):
        return None
    gap = growth(span[-2].seen._replace(size=before.largest), span[-1].seen._replace(size=now.largest))
    if not is_beyond_doubt(gap.value / _OF_MANY, gap):
        return None
    return said("finding.shrunk", gap=gap)


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
    parts: Parts = ()


def hole_finding(case: HoleCase, machine: Machine, logbook: Logbook) -> Finding:
    """Return the verdict on one hole by the worst of its limits."""
    state, joint = case.state, case.pin.joint
    span = state.history[state.span_start :]
    if not span:
        return replace(never_measured(state), hole=state.hole.id)
    days = clearance_days(span, case.pin)
    basis = LimitBasis(case.pin.nominal_mm, state.identity.value if state.identity else None)
    limits = limits_in_force(joint, state.hole.id, machine, logbook, basis)
    found = [_judged(limit, span, days, case) for limit in limits]
    judged = [finding for finding in found if finding is not None]
    if not judged:
        return replace(_pin_unknown(case), hole=state.hole.id)
    worst = max(judged, key=lambda finding: (finding.severity, finding.share))
    worst = replace(worst, clearance=days[-1].value if days else None, hole=state.hole.id)
    return _with_remarks(_unless_doubted(worst, span, case), case)


def never_measured(state: HoleState) -> Finding:
    """Return what is said of a hole without a reading since its last renewal."""
    if state.history:
        reason = said("finding.hole_not_measured_since", hole=state.hole)
        return Finding(Verdict.REMEASURE, (reason,), (said("step.measure_soon"),))
    reason = said("finding.hole_never_measured", hole=state.hole)
    return Finding(Verdict.REMEASURE, (reason,), (said("step.measure_with_pin"),))


def _pin_unknown(case: HoleCase) -> Finding:
    reason = said("finding.pin_unknown", worn=case.state.worn)
    next_step = said("step.settle_pin", action=case.pin.answer.next_measurement)
    return Finding(Verdict.REMEASURE, (reason,), (next_step,))


def _judged(
    limit: LimitInForce, span: Sequence[HoleSize], clearances: Sequence[Measured], case: HoleCase
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
    return judge(Judged(case.pin.joint.kind in SAFETY_KINDS, days, limit, parts=case.parts))


def _unless_doubted(finding: Finding, span: Sequence[HoleSize], case: HoleCase) -> Finding:
    """Believe nothing milder than "renew" when the hole shrank or the pin cannot be what it is said to be."""
    if finding.verdict is Verdict.RENEW:
        return finding
    shrunk = shrinking(span)
    if shrunk is not None:
        return _again(finding, (shrunk, *finding.reasons), said("step.clean_and_repeat"))
    clearance = finding.clearance
    if clearance is not None and is_beyond_doubt(-clearance.value, clearance):
        reason = said("finding.pin_larger", clearance=clearance)
        return _again(finding, (reason,), said("step.measure_both"))
    grave = next((c for c in case.pin.answer.contradictions if c.is_grave), None)
    if grave is not None and finding.verdict is Verdict.SOUND:
        return _again(finding, finding.reasons, said("step.settle_pin", action=grave.settles))
    return finding


def _again(finding: Finding, reasons: tuple[Said, ...], next_step: Said) -> Finding:
    return replace(finding, verdict=Verdict.REMEASURE, is_at_watch=False, reasons=reasons, next_steps=(next_step,))


def _with_remarks(finding: Finding, case: HoleCase) -> Finding:
    """Add to a reason which hole it is, what the pin was taken from, and what an unseen oval means."""
    reasons, next_steps = finding.reasons, finding.next_steps
    if case.is_one_of_many:
        first, *rest = reasons
        reasons = (said("finding.at_hole", hole=case.state.hole, what=first), *rest)
    pin, latest = case.pin.now, case.state.latest
    extra: list[str | Said] = [pin.origin] if pin is not None and not pin.is_measured else []
    extra += [latest.missing] if latest is not None and latest.missing else []
    extra += [contradiction.said for contradiction in case.pin.answer.contradictions[:1]]
    reasons = (*reasons, *(said("finding.besides", remark=remark) for remark in extra))
    is_assumed = pin is not None and not pin.is_measured and case.pin.joint.pin is None
    if is_assumed and finding.verdict is not Verdict.SOUND and case.pin.answer.next_action:
        then, *later = next_steps
        next_steps = (said("step.first_and_then", action=case.pin.answer.next_action, then=then), *later)
    return replace(finding, reasons=reasons, next_steps=next_steps)
