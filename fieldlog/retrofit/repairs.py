"""What can be done about a worn hole: renew, ream to the next pin, bush down, weld up; and what is no repair at all.

The choice and its rules are common practice unless a source is named. Nothing here clears a part that somebody's
safety hangs on: those are refused, whatever their numbers say.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from fieldlog.errors import MeasureError
from fieldlog.measure.rounding import both_plain_text, mm_text
from fieldlog.records.machine import HoleKind, JointKind, Made
from fieldlog.records.quantities import Units
from fieldlog.retrofit.metal import Eye, MetalLeft, MetalWord, metal_left
from fieldlog.retrofit.pin_fit import SLEEVE_WALL_LEAST_MM
from fieldlog.retrofit.press_fit import (
    BRONZE,
    Bush,
    bore_to_order_mm,
    heat_degc,
    press_warnings,
    pressed,
    usual_interference_mm,
)
from fieldlog.retrofit.tools import tool_for
from fieldlog.standards.bushes import StockBush, bushes_for
from fieldlog.standards.joints import JOINT_DEFAULTS
from fieldlog.standards.pins import NOMINAL_PINS

CLEANS_UP_MM = 0.2  # more than the largest size, so that the whole circle is cut
OVAL_NEEDS_WELD_MM = 0.5  # an unbushed bore more oval than this is welded and bored, not reamed
LEAST_BUSH_WALL_MM = 2.0
SLEEVE_ROUND_MM = 0.2
MOST_PIN_STEP = 1.35  # a pin more than a third thicker is another joint
_YIELD_MPA = 250.0

WELDING = (
    "Welding is a qualified welder's work: battery off, earth beside the weld, seals out, fuel and hoses away; "
    "alignment bar through both sides."
)
PRESSING = "Eye protection; press or draw it in, never hammer a hardened bush or pin; keep the eye under 200 degC."
DRILLING = "Clamp it on a jig; a cutter or reamer, never a hand-held drill that follows the oval. Eye protection."


class RepairWord(StrEnum):
    """What to think of a way, best first."""

    GOOD = "good"
    ASK = "ask a shop"
    NO = "not here"


@dataclass(frozen=True, slots=True)
class WornHole:
    """A hole that wants repair: sizes in mm, the pin it was made for, its eye where that was measured.

    `made_mm` is the hole as made, `largest_mm` as worn. `stops` are signs that end all arithmetic,
    `pin_doubt` says what is not settled about the pin.
    """

    joint_kind: JointKind
    hole_kind: HoleKind
    made_of: Made | None
    pin_name: str
    pin_mm: float
    made_mm: float
    largest_mm: float
    oval_mm: float
    eye_width_mm: float | None = None
    eye_thickness_mm: float | None = None
    centre_to_end_mm: float | None = None
    is_of_link: bool = False
    pin_doubt: str = ""
    stops: tuple[str, ...] = ()

    def eye(self, hole_mm: float, pin_mm: float) -> Eye | None:
        """Return the eye with this hole and pin, None where it was not measured."""
        if self.eye_width_mm is None or self.eye_thickness_mm is None or self.centre_to_end_mm is None:
            return None
        return Eye(self.eye_width_mm, self.eye_thickness_mm, self.centre_to_end_mm, hole_mm, pin_mm)


@dataclass(frozen=True, slots=True)
class Repair:
    """One way: what it is called, what to think of it, why, its numbers, what to order, what to watch."""

    name: str
    word: RepairWord
    why: tuple[str, ...]
    parts: tuple[str, ...] = ()
    shop: tuple[str, ...] = ()
    caution: str = ""
    metal: MetalLeft | None = None


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


def repairs(hole: WornHole, units: Units) -> tuple[Repair, ...]:
    """Return the ways to repair a worn hole, best first; only renewal where anything else is refused."""
    no = refusals(hole)
    if no:
        return (_renewed(hole, no),)
    ways = [_renewed(hole, ())]
    if hole.joint_kind == "pivot":  # steering, axle, swing: bush and pin by the manual, nothing of one's own making
        return tuple(ways)
    if hole.hole_kind == "bushed":
        ways.append(_oversize_pin(hole, units))
    else:
        ways += [_sleeved(hole, units), _next_pin(hole, units), _bushed_down(hole, units)]
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


def _sleeved(hole: WornHole, units: Units) -> Repair:
    name = "sleeve"
    wall_mm = (hole.largest_mm - hole.pin_mm - JOINT_DEFAULTS["hitch"].new_least_mm) / 2
    if wall_mm < SLEEVE_WALL_LEAST_MM:
        why = (
            f"Only {mm_text(max(wall_mm, 0.0), units)} of wall would be left; {SLEEVE_WALL_LEAST_MM:g} mm is the least."
        )
        return Repair(name, RepairWord.NO, (why,))
    if hole.oval_mm > SLEEVE_ROUND_MM:
        why = f"Oval by {mm_text(hole.oval_mm, units)}: a sleeve sits in a hole round within {SLEEVE_ROUND_MM:g} mm."
        return Repair(name, RepairWord.NO, (why,))
    part = f"sleeve, outside {both_plain_text(hole.largest_mm, units)}, inside for a {hole.pin_name} pin"
    return Repair(name, RepairWord.GOOD, ("Keep it from walking out: a collar, a tack or the keeper.",), (part,))


def _next_pin(hole: WornHole, units: Units) -> Repair:
    name = "ream for the next pin"
    if hole.oval_mm > OVAL_NEEDS_WELD_MM:
        oval = mm_text(hole.oval_mm, units)
        return Repair(name, RepairWord.NO, (f"Oval by {oval}: a reamer would follow it off the centre.",))
    least_mm = hole.largest_mm + CLEANS_UP_MM
    for pin in NOMINAL_PINS:
        tool = tool_for(pin.name, float(pin.mm))
        if float(pin.mm) > hole.pin_mm * 1.02 and tool.mm >= least_mm:
            return _reamed(hole, (pin.name, float(pin.mm)), (tool.name, tool.mm), units)
    return Repair(name, RepairWord.NO, ("No pin in the list is large enough.",))


def _reamed(hole: WornHole, pin: tuple[str, float], tool: tuple[str, float], units: Units) -> Repair:
    name = f"ream for a {pin[0]} pin"
    if pin[1] > hole.pin_mm * MOST_PIN_STEP:
        return Repair(name, RepairWord.NO, (f"The next pin that cleans it up is {pin[0]}: too much more.",))
    metal, word, why = _metal(hole, tool[1], pin[1], units)
    why = (*why, f"Every hole on this pin gets the same one. Hole to {tool[0]}, {both_plain_text(tool[1], units)}.")
    shop = (
        f"open to {tool[0]} ({both_plain_text(tool[1], units)}), square to the eye, both sides in one setting",
        f"keep the hole's centre: an oval made round shifts it by up to {mm_text(hole.oval_mm / 2, units)}; "
        "both links of a pair within 1 mm pin to pin, 0.5 mm on loaders",
    )
    return Repair(name, word, why, (f"{pin[0]} pin and keeper",), shop, DRILLING, metal)


def _metal(
    hole: WornHole, hole_mm: float, pin_mm: float, units: Units
) -> tuple[MetalLeft | None, RepairWord, tuple[str, ...]]:
    """Return the metal left after a hole of this size, as a word and sentences."""
    try:
        made, now = hole.eye(hole.made_mm, hole.pin_mm), hole.eye(hole_mm, pin_mm)
    except MeasureError as error:
        return None, RepairWord.NO, (str(error),)
    if made is None or now is None:
        ask = "The eye was not measured: its width, thickness and the way from the hole's centre to its end decide."
        return None, RepairWord.ASK, (ask,)
    left = metal_left(made, now)
    word = {MetalWord.ENOUGH: RepairWord.GOOD, MetalWord.ASK_A_SHOP: RepairWord.ASK}.get(left.word, RepairWord.NO)
    walls = f"walls {mm_text(now.side_mm, units)} at the sides and {mm_text(now.end_mm, units)} at the end"
    numbers = f"Metal left: {walls}, {100 * left.ligament_share:.0f} % of as made; "
    numbers += f"it carries {100 * left.capacity_share:.0f} % of what it did."
    return left, word, (numbers, *(f"{reason[:1].upper()}{reason[1:]}." for reason in left.reasons))


def _bushed_down(hole: WornHole, units: Units) -> Repair:
    name = "bore out and press a bush in"
    least_mm = hole.largest_mm + CLEANS_UP_MM
    fitting = [
        bush
        for bush in bushes_for(hole.pin_mm)
        if bush.outside_mm >= least_mm and (bush.outside_mm - bush.bore_mm) / 2 >= LEAST_BUSH_WALL_MM
    ]
    if not fitting:
        why = f"No bush of the usual series for a {hole.pin_name} pin is {mm_text(least_mm, units)} or more outside."
        return Repair(name, RepairWord.ASK, (why, "A shop can turn one."))
    return _pressed_in(hole, fitting[0], units)


def _pressed_in(hole: WornHole, stock: StockBush, units: Units) -> Repair:
    metal, word, why = _metal(hole, stock.outside_mm, hole.pin_mm, units)
    new = JOINT_DEFAULTS["bushed"]
    clearance_mm = (new.new_least_mm + new.new_most_mm) / 2
    least_mm, most_mm = usual_interference_mm(stock.outside_mm)
    parts = (f"bush {stock.name} ({stock.series}), one each eye", f"{hole.pin_name} pin", "keeper")
    shop = [
        f"bore the eye to {both_plain_text(stock.outside_mm, units)} H7, round within 0.03 mm",
        "chamfer 15 to 20 degrees, start square, a split bush with its joint off the load",
        f"interference {mm_text(least_mm, units, 3)} to {mm_text(most_mm, units, 3)} (H7/p6); grease hole lined up",
    ]
    across_mm = _across_mm(hole)
    if across_mm is not None and across_mm > stock.outside_mm and hole.eye_thickness_mm:
        bush = Bush(stock.bore_mm, stock.outside_mm, hole.eye_thickness_mm, across_mm, BRONZE)
        middle_mm = (least_mm + most_mm) / 2
        shop += _pressing_lines(bush, hole.pin_mm, clearance_mm, middle_mm, units)
        against = press_warnings(bush, most_mm, _YIELD_MPA)
        why = (*why, *(f"{text[:1].upper()}{text[1:]}." for text in against))
        word = RepairWord.ASK if against and word is RepairWord.GOOD else word
    return Repair(f"bore out, bush {stock.name}", word, why, parts, tuple(shop), PRESSING, metal)


def _across_mm(hole: WornHole) -> float | None:
    """Return the outside of the ring that the eye makes at its thinnest."""
    if hole.eye_width_mm is None or hole.centre_to_end_mm is None:
        return None
    return min(hole.eye_width_mm, 2 * hole.centre_to_end_mm)


def _pressing_lines(
    bush: Bush, pin_mm: float, clearance_mm: float, interference_mm: float, units: Units
) -> Iterable[str]:
    result = pressed(bush, interference_mm)
    order_mm = bore_to_order_mm(bush, pin_mm, clearance_mm, interference_mm)
    yield (
        f"its bore closes in by about {mm_text(result.closes_in_mm, units, 3)}: order the bore "
        f"{mm_text(order_mm, units)}, or ream after pressing, for {mm_text(clearance_mm, units)} of room on the pin"
    )
    low, high = result.force_kn
    warm = heat_degc(bush.outside_mm, interference_mm + 0.05)
    yield f"press with {low:.0f} to {high:.0f} kN, or warm the eye by {warm:.0f} degC"
    yield f"pressed in, the eye is stretched with {result.hoop_mpa:.0f} MPa"


def _oversize_pin(hole: WornHole, units: Units) -> Repair:
    new = JOINT_DEFAULTS["bushed"]
    pin_mm = hole.largest_mm - new.new_most_mm
    if hole.oval_mm > new.new_most_mm:
        why = (f"Oval by {mm_text(hole.oval_mm, units)}: a round pin does not fill it.",)
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
