"""What can be done about a worn hole: renew, ream to the next pin, bush down, weld up; and what is no repair at all.

The choice and its rules are common practice unless a source is named. Nothing here clears a part that somebody's
safety hangs on: those are refused, whatever their numbers say.

From what is known of a hole to the case that its repair is worked out from.
"""

from types import MappingProxyType

from fieldlog.quantity.lengths import Length, Units
from fieldlog.quantity.rounding import both_plain_text, mm_text
from fieldlog.records.entries import UNSAFE_SIGNS
from fieldlog.retrofit.offers.pins import SLEEVE_WALL_LEAST_MM
from fieldlog.retrofit.repair.bush import CLEANS_UP_MM, PRESSING, bushed_down, metal_after
from fieldlog.retrofit.repair.metal import sure_text
from fieldlog.retrofit.repair.records import Doubts, Repair, RepairWord, WornHole, tool_for
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS
from fieldlog.wear.states import HoleState, JointState, MachineState

NO_DOUBTS: Doubts = MappingProxyType({})
OVAL_NEEDS_WELD_MM = 0.5  # an unbushed bore more oval than this is welded and bored, not reamed
SLEEVE_ROUND_MM = 0.2
MOST_PIN_STEP = 1.35  # a pin more than a third thicker is another joint

WELDING = (
    "Welding is a qualified welder's work: battery off, earth beside the weld, seals out, fuel and hoses away; "
    "alignment bar through both sides."
)
DRILLING = "Clamp it on a jig; a cutter or reamer, never a hand-held drill that follows the oval. Eye protection."


def refusals(hole: WornHole) -> tuple[str, ...]:
    """Return why a hole is not repaired at all; empty when it may be."""
    found = [f"{stop}: stop using it; the machine's manual and a qualified person decide" for stop in hole.stops]
    if hole.joint_kind == "drawbar":
        found.append("a drawbar or towing eye is renewed with the maker's part, never drilled, sleeved or welded")
    if hole.hole_kind == "ball":
        found.append("a hardened ball or its socket is renewed whole")
    if hole.made_of in {"cast", "hardened"}:
        found.append(f"{hole.made_of} parts are not welded, drilled or sleeved by hand; renew it or ask a shop")
    if hole.joint_kind == "pivot" and hole.hole_kind != "bushed":
        found.append("steering, axle and swing pivots are renewed by the machine's manual")
    return tuple(found)


def repairs(hole: WornHole, units: Units, doubts: Doubts = NO_DOUBTS) -> tuple[Repair, ...]:
    """Return the ways to repair a worn hole, best first; only renewal where anything else is refused.

    `doubts` are 95 % half-widths by the words of `repair_numbers`; what is not in it is said without.
    """
    no = refusals(hole)
    if no:
        return (_renewed(hole, no),)
    ways = [_renewed(hole, ())]
    if hole.joint_kind == "pivot":  # steering, axle, swing: bush and pin by the manual, nothing of one's own making
        return tuple(ways)
    if hole.hole_kind == "bushed":
        ways.append(_oversize_pin(hole, units, doubts))
    else:
        ways += [_sleeved(hole, units, doubts), _next_pin(hole, units, doubts), bushed_down(hole, units, doubts)]
    ways.append(_welded(hole, units))
    return tuple(sorted(ways, key=lambda way: tuple(RepairWord).index(way.word)))


def _renewed(hole: WornHole, refused: tuple[str, ...]) -> Repair:
    because = tuple(f"No repair: {reason}." for reason in refused)
    if hole.hole_kind == "bushed" and not hole.stops:
        why = (
            *because,
            "Bush and pin are made to be renewed, both together: a new bush wears at once on a stepped pin.",
        )
        sets = (f"pin {hole.pin_name}", "bushes, both sides", "seals", "shims and washers", "grease fitting", "keeper")
        return Repair("new bush and pin", RepairWord.GOOD, why, sets, caution=PRESSING)
    if hole.is_of_link and not refused:
        why = ("A screwed link or lift rod is nearly always cheapest and best renewed.",)
        parts = (f"link by pins ({hole.pin_name}), closed and open length, thread hand, hitch category", "keepers")
        return Repair("new link", RepairWord.GOOD, why, parts)
    return Repair("renew the part", RepairWord.GOOD, because, (f"the part with its {hole.pin_name} pin and keeper",))


def _sleeved(hole: WornHole, units: Units, doubts: Doubts) -> Repair:
    name = "sleeve"
    wall_mm = (hole.largest_mm - hole.pin_mm - JOINT_DEFAULTS["hitch"].new_least_mm) / 2
    wall = sure_text(max(wall_mm, 0.0), doubts.get("sleeve's wall", 0.0), units)
    oval = sure_text(hole.oval_mm, doubts.get("oval by", 0.0), units)
    if wall_mm < SLEEVE_WALL_LEAST_MM:
        why = f"Only {wall} of wall would be left; {SLEEVE_WALL_LEAST_MM:g} mm is the least."
        return Repair(name, RepairWord.NO, (why,))
    if hole.oval_mm > SLEEVE_ROUND_MM:
        why = f"Oval by {oval}: a sleeve sits in a hole round within {SLEEVE_ROUND_MM:g} mm."
        return Repair(name, RepairWord.NO, (why,))
    part = f"sleeve, outside {both_plain_text(hole.largest_mm, units)}, inside for a {hole.pin_name} pin"
    return Repair(name, RepairWord.GOOD, ("Keep it from walking out: a collar, a tack or the keeper.",), (part,))


def _next_pin(hole: WornHole, units: Units, doubts: Doubts) -> Repair:
    name = "ream for the next pin"
    if hole.oval_mm > OVAL_NEEDS_WELD_MM:
        oval = sure_text(hole.oval_mm, doubts.get("oval by", 0.0), units)
        return Repair(name, RepairWord.NO, (f"Oval by {oval}: a reamer would follow it off the centre.",))
    least_mm = hole.largest_mm + CLEANS_UP_MM
    for pin in NOMINAL_PINS:
        tool = tool_for(pin.name, float(pin.mm))
        if float(pin.mm) > hole.pin_mm * 1.02 and tool.mm >= least_mm:
            return _reamed(hole, (pin.name, float(pin.mm)), (tool.name, tool.mm), units, doubts)
    return Repair(name, RepairWord.NO, ("No pin in the list is large enough.",))


def _reamed(hole: WornHole, pin: tuple[str, float], tool: tuple[str, float], units: Units, doubts: Doubts) -> Repair:
    name = f"ream for a {pin[0]} pin"
    if pin[1] > hole.pin_mm * MOST_PIN_STEP:
        return Repair(name, RepairWord.NO, (f"The next pin that cleans it up is {pin[0]}: too much more.",))
    metal, word, why = metal_after(hole, (tool[1], pin[1]), units, doubts, "reamed")
    why = (*why, f"Every hole on this pin gets the same one. Hole to {tool[0]}, {both_plain_text(tool[1], units)}.")
    shop = (
        f"open to {tool[0]} ({both_plain_text(tool[1], units)}), square to the eye, both sides in one setting",
        f"keep the hole's centre: an oval made round shifts it by up to {mm_text(hole.oval_mm / 2, units)}; "
        "both links of a pair within 1 mm pin to pin, 0.5 mm on loaders",
    )
    return Repair(name, word, why, (f"{pin[0]} pin and keeper",), shop, DRILLING, metal)


def _oversize_pin(hole: WornHole, units: Units, doubts: Doubts) -> Repair:
    new = JOINT_DEFAULTS["bushed"]
    pin_mm = hole.largest_mm - new.new_most_mm
    if hole.oval_mm > new.new_most_mm:
        oval = sure_text(hole.oval_mm, doubts.get("oval by", 0.0), units)
        why = (f"Oval by {oval}: a round pin does not fill it.",)
        return Repair("oversize pin", RepairWord.NO, why)
    why = ("Only while the bush is sound and round; an odd spare for ever, so mark it on the machine's page.",)
    return Repair("oversize pin", RepairWord.ASK, why, (f"pin turned to {both_plain_text(pin_mm, units)}",))


def _welded(hole: WornHole, units: Units) -> Repair:
    why = [
        "Weld up and bore, or weld a boss in, on arms and buckets.",
        "AWS D14.3 governs welding on such machines (from memory).",
        "A boss bored 0.2 to 0.25 mm large beforehand shrinks, or bore it last.",
    ]
    if hole.made_of is None:
        why.append("What it is made of is not known: a shop tells plain steel from what must not be welded.")
    bore_mm = hole.pin_mm + JOINT_DEFAULTS["hitch"].new_least_mm
    shop = (f"weld up, bore in line to {both_plain_text(bore_mm, units)} or as the pin measures, plus running room",)
    return Repair("weld up and bore", RepairWord.ASK, tuple(why), (), shop, WELDING)


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
