"""From what is known of a hole to the case that its repair is worked out from."""

from fieldlog.records.entries import UNSAFE_SIGNS
from fieldlog.records.quantities import Length
from fieldlog.retrofit.repair_records import WornHole
from fieldlog.standards.pins import NOMINAL_PINS
from fieldlog.wear.states import HoleState, JointState, MachineState


def worn_hole(machine: MachineState, joint: JointState, hole: HoleState) -> WornHole | str:
    """Return the hole's case, or a sentence that says what has to be measured first."""
    latest = hole.latest
    if latest is None or hole.worn is None or hole.identity is None:
        return "Measure this hole first: the repair depends on its largest size and how oval it is."
    pin = _pin(joint)
    if pin is None:
        return "Nothing tells which pin it was made for; measure the pin, then come back."
    shape = latest.best_face.shape
    record = hole.hole
    return WornHole(
        joint_kind=joint.joint.kind,
        hole_kind=record.kind,
        made_of=record.made_of,
        pin_name=pin[0],
        pin_mm=pin[1],
        pin_doubt=pin[2],
        made_mm=max(hole.identity.value_mm, pin[1]),
        largest_mm=hole.worn.value_mm,
        oval_mm=shape.ovality.value_mm if shape is not None else hole.worn.value_mm - latest.smallest.value_mm,
        eye_width_mm=_mm(record.eye_width),
        eye_thickness_mm=_mm(record.eye_thickness),
        centre_to_end_mm=_mm(record.centre_to_end),
        is_of_link=any(record.id in {report.link.near_hole, report.link.far_hole} for report in machine.links),
        stops=tuple(sign for sign in dict.fromkeys((*joint.signs, *hole.signs)) if sign in UNSAFE_SIGNS),
    )


def _pin(joint: JointState) -> tuple[str, float, str] | None:
    """Return name, size, and what is in doubt about it; None when nothing tells."""
    if joint.joint.pin is not None:
        mm = float(joint.joint.pin.mm)
        near = min(NOMINAL_PINS, key=lambda pin: abs(float(pin.mm) - mm))
        return (near.name if abs(float(near.mm) - mm) < 0.01 else joint.joint.pin.typed), mm, ""
    answer = joint.pin_answer
    if not answer.candidates:
        return None
    best = answer.candidates[0]
    return best.name, float(best.size_mm), "" if answer.settled is not None else answer.sentence


def _mm(length: Length | None) -> float | None:
    return float(length.mm) if length is not None else None
