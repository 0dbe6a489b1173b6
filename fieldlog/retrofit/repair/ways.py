"""What can be done about a worn hole: renew, ream to the next pin, bush down, weld up; and what is no repair at all.

The choice and its rules are common practice unless a source is named. Nothing here clears a part that somebody's
safety hangs on: those are refused, whatever their numbers say.

From what is known of a hole to the case that its repair is worked out from.

Repair numbers never clear a part that is cracked, tows, steers, is hardened or cast: `retrofit/repairs.refusals`
comes first, and what it refuses has one way left, renewal.
"""

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.records.entries import UNSAFE_SIGNS
from fieldlog.retrofit.offers.pins import SLEEVE_WALL_LEAST_MM
from fieldlog.retrofit.repair.bush import bushed_down, metal_after
from fieldlog.retrofit.repair.numbers import repair_numbers
from fieldlog.retrofit.repair.records import (
    MOST_PIN_STEP,
    OVAL_NEEDS_WELD_MM,
    NextPin,
    Repair,
    RepairWord,
    WornHole,
    next_pin,
)
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS
from fieldlog.wear.states import HoleState, JointState, MachineState

SLEEVE_ROUND_MM = 0.2


def refusals(hole: WornHole) -> tuple[Said, ...]:
    """Return why a hole is not repaired at all; empty when it may be."""
    found = [said("repair.stop_using_it", sign=sign) for sign in hole.stops]
    if hole.joint_kind == "drawbar":
        found.append(said("repair.no_drawbar"))
    if hole.hole_kind == "ball":
        found.append(said("repair.no_ball"))
    if hole.made_of in {"cast", "hardened"}:
        found.append(said("repair.not_this_material", made_of=hole.made_of))
    if hole.joint_kind == "pivot" and hole.hole_kind != "bushed":
        found.append(said("repair.no_pivot"))
    return tuple(found)


def repairs(hole: WornHole, numbers: Numbers | None = None) -> tuple[Repair, ...]:
    """Return the ways to repair a worn hole, best first; only renewal where anything else is refused.

    `numbers` are those of `repair_numbers`; without them the hole's own sizes are taken as they stand.
    """
    no = refusals(hole)
    if no:
        return (_renewed(hole, no),)
    ways = [_renewed(hole, ())]
    if hole.joint_kind == "pivot":  # steering, axle, swing: bush and pin by the manual, nothing of one's own making
        return tuple(ways)
    known = numbers if numbers is not None else repair_numbers(hole)
    if hole.hole_kind == "bushed":
        ways.append(_oversize_pin(hole, known))
    else:
        ways += [_sleeved(hole, known), _next_pin(hole, known), bushed_down(hole, known)]
    ways.append(_welded(hole))
    return tuple(sorted(ways, key=lambda way: tuple(RepairWord).index(way.word)))


def _renewed(hole: WornHole, refused: tuple[Said, ...]) -> Repair:
    because = tuple(said("repair.refused", reason=reason) for reason in refused)
    if hole.hole_kind == "bushed" and not hole.stops:
        why = (*because, said("repair.both_together"))
        sets = (said("repair.part_set", pin=hole.pin_name),)
        name = said("repair.way_new_bush")
        return Repair(name, RepairWord.GOOD, why, sets, caution=said("repair.caution_pressing"))
    if hole.is_of_link and not refused:
        parts = (said("repair.part_link", pin=hole.pin_name),)
        return Repair(said("repair.way_new_link"), RepairWord.GOOD, (said("repair.best_renewed"),), parts)
    return Repair(said("repair.way_renew"), RepairWord.GOOD, because, (said("repair.part_itself", pin=hole.pin_name),))


def _sleeved(hole: WornHole, numbers: Numbers) -> Repair:
    name, wall = said("repair.way_sleeve"), numbers.value("sleeve's wall")
    if wall.value < SLEEVE_WALL_LEAST_MM:
        why = said("repair.sleeve_too_thin", wall=wall, least_mm=SLEEVE_WALL_LEAST_MM)
        return Repair(name, RepairWord.NO, (why,))
    if hole.oval_mm > SLEEVE_ROUND_MM:
        why = said("repair.oval_for_sleeve", oval=numbers.value("oval"), most_mm=SLEEVE_ROUND_MM)
        return Repair(name, RepairWord.NO, (why,))
    part = said("repair.part_sleeve", outside_mm=hole.largest_mm, pin=hole.pin_name)
    return Repair(name, RepairWord.GOOD, (said("repair.keep_from_walking"),), (part,))


def _next_pin(hole: WornHole, numbers: Numbers) -> Repair:
    name = said("repair.way_ream")
    if hole.oval_mm > OVAL_NEEDS_WELD_MM:
        return Repair(name, RepairWord.NO, (said("repair.oval_for_reamer", oval=numbers.value("oval")),))
    pin = next_pin(hole)
    return _reamed(hole, pin, numbers) if pin else Repair(name, RepairWord.NO, (said("repair.no_larger_pin"),))


def _reamed(hole: WornHole, pin: NextPin, numbers: Numbers) -> Repair:
    name, tool = said("repair.way_ream_for", pin=pin.name), pin.tool
    if pin.mm > hole.pin_mm * MOST_PIN_STEP:
        return Repair(name, RepairWord.NO, (said("repair.next_pin_too_large", pin=pin.name),))
    word, why = metal_after(hole, (tool.mm, pin.mm), numbers, "reamed")
    why = (*why, said("repair.every_hole", tool=tool))
    shop = said("repair.shop_open", tool=tool), said("repair.shop_keep_centre", shift_mm=hole.oval_mm / 2)
    parts = (said("repair.part_pin_and_keeper", pin=pin.name),)
    return Repair(name, word, why, parts, shop, said("repair.caution_drilling"))


def _oversize_pin(hole: WornHole, numbers: Numbers) -> Repair:
    name = said("repair.way_oversize_pin")
    if hole.oval_mm > JOINT_DEFAULTS["bushed"].new_most_mm:
        return Repair(name, RepairWord.NO, (said("repair.oval_for_pin", oval=numbers.value("oval")),))
    part = said("repair.part_turned_pin", size=numbers.value("oversize pin"))
    return Repair(name, RepairWord.ASK, (said("repair.odd_spare"),), (part,))


def _welded(hole: WornHole) -> Repair:
    why = [said("repair.weld_up"), said("repair.weld_standard"), said("repair.weld_shrinks")]
    if hole.made_of is None:
        why.append(said("repair.material_not_known"))
    bore_mm = hole.pin_mm + JOINT_DEFAULTS["hitch"].new_least_mm
    shop = (said("repair.shop_weld", bore_mm=bore_mm),)
    return Repair(said("repair.way_weld"), RepairWord.ASK, tuple(why), (), shop, said("repair.caution_welding"))


def worn_hole(machine: MachineState, joint: JointState, hole: HoleState) -> WornHole | Said:
    """Return the hole's case, or what has to be measured first."""
    latest = hole.latest
    if latest is None or hole.worn is None or hole.identity is None:
        return said("repair.measure_first")
    pin = _pin(joint)
    if pin is None:
        return said("repair.which_pin")
    shape = latest.best_face.shape
    record = hole.hole
    return WornHole(
        joint_kind=joint.joint.kind,
        hole_kind=record.kind,
        made_of=record.made_of,
        pin_name=pin[0],
        pin_mm=pin[1],
        pin_doubt=pin[2],
        made_mm=max(hole.identity.value, pin[1]),
        largest_mm=hole.worn.value,
        oval_mm=shape.ovality.value if shape is not None else hole.worn.value - latest.smallest.value,
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
