"""Repairs of a worn hole: the ways, why and why not, what to order, what the shop does."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from fieldlog.quantity.rounding import both_plain_text, mm_text, other_units
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.retrofit.repair.records import RepairWord, Tool
from fieldlog.standards.fits import StockBush
from fieldlog.words.metal import sure

WAYS: Mapping[RepairWord, str] = MappingProxyType(
    {RepairWord.GOOD: "good", RepairWord.ASK: "ask a shop", RepairWord.NO: "not here"}
)
STANDING = (
    "These numbers come from your own readings and usual practice. Static strength is not fatigue strength: nothing "
    "here clears a joint that is cracked, shock-loaded or that safety hangs on. The machine's manual and a qualified "
    "person decide."
)


def case(units: Units, *, pin: str, made: Value, largest: Value) -> str:
    """What the hole was made for, and what it is now."""
    both = [f"{sure(size, units)} ({sure(size, other_units(units))})" for size in (made, largest)]
    return f"Made for {pin}, as made {both[0]}; largest now {both[1]}."


def pin_not_settled(units: Units, *, why: str, pin: str) -> str:
    """Which pin is not settled."""
    return f"Which pin is not settled ({why}); worked out for {pin}. Measure the pin first."


def measure_first(units: Units) -> str:
    """Nothing is known of the hole."""
    return "Measure this hole first: the repair depends on its largest size and how oval it is."


def which_pin(units: Units) -> str:
    """No pin is known."""
    return "Nothing tells which pin it was made for; measure the pin, then come back."


# Why not


def refused(units: Units, *, reason: str) -> str:
    """It is not repaired at all."""
    return f"No repair: {reason}."


def stop_using_it(units: Units, *, sign: str) -> str:
    """A sign ends all arithmetic."""
    return f"{sign}: stop using it; the machine's manual and a qualified person decide"


def no_drawbar(units: Units) -> str:
    """A drawbar is renewed."""
    return "a drawbar or towing eye is renewed with the maker's part, never drilled, sleeved or welded"


def no_ball(units: Units) -> str:
    """A ball is renewed."""
    return "a hardened ball or its socket is renewed whole"


def not_this_material(units: Units, *, made_of: str) -> str:
    """It is cast or hardened."""
    return f"{made_of} parts are not welded, drilled or sleeved by hand; renew it or ask a shop"


def no_pivot(units: Units) -> str:
    """A pivot goes by its manual."""
    return "steering, axle and swing pivots are renewed by the machine's manual"


# Ways


def way_new_bush(units: Units) -> str:
    """Renew what is made to be renewed."""
    return "new bush and pin"


def way_new_link(units: Units) -> str:
    """Renew the link."""
    return "new link"


def way_renew(units: Units) -> str:
    """Renew the part."""
    return "renew the part"


def way_sleeve(units: Units) -> str:
    """A sleeve in the hole."""
    return "sleeve"


def way_ream(units: Units) -> str:
    """A larger pin."""
    return "ream for the next pin"


def way_ream_for(units: Units, *, pin: str) -> str:
    """This larger pin."""
    return f"ream for a {pin} pin"


def way_oversize_pin(units: Units) -> str:
    """A pin that fills the bush."""
    return "oversize pin"


def way_bush(units: Units) -> str:
    """A bush in the eye."""
    return "bore out and press a bush in"


def way_this_bush(units: Units, *, bush: StockBush) -> str:
    """This bush in the eye."""
    return f"bore out, bush {bush.name}"


def way_weld(units: Units) -> str:
    """Weld up."""
    return "weld up and bore"


# Why, or why not this way


def both_together(units: Units) -> str:
    """Bush and pin."""
    return "Bush and pin are made to be renewed, both together: a new bush wears at once on a stepped pin."


def best_renewed(units: Units) -> str:
    """A link is cheap."""
    return "A screwed link or lift rod is nearly always cheapest and best renewed."


def sleeve_too_thin(units: Units, *, wall: Value, least_mm: float) -> str:
    """No room for a sleeve."""
    left = replace(wall, value=max(wall.value, 0.0))
    return f"Only {sure(left, units)} of wall would be left; {least_mm:g} mm is the least."


def oval_for_sleeve(units: Units, *, oval: Value, most_mm: float) -> str:
    """Too oval for a sleeve."""
    return f"Oval by {sure(oval, units)}: a sleeve sits in a hole round within {most_mm:g} mm."


def oval_for_reamer(units: Units, *, oval: Value) -> str:
    """Too oval for a reamer."""
    return f"Oval by {sure(oval, units)}: a reamer would follow it off the centre."


def oval_for_pin(units: Units, *, oval: Value) -> str:
    """Too oval for a turned pin."""
    return f"Oval by {sure(oval, units)}: a round pin does not fill it."


def keep_from_walking(units: Units) -> str:
    """What a sleeve needs."""
    return "Keep it from walking out: a collar, a tack or the keeper."


def no_larger_pin(units: Units) -> str:
    """The list ends."""
    return "No pin in the list is large enough."


def next_pin_too_large(units: Units, *, pin: str) -> str:
    """Another joint."""
    return f"The next pin that cleans it up is {pin}: too much more."


def every_hole(units: Units, *, tool: Tool) -> str:
    """One pin, one size."""
    return f"Every hole on this pin gets the same one. Hole to {tool.name}, {both_plain_text(tool.mm, units)}."


def odd_spare(units: Units) -> str:
    """A pin of its own size."""
    return "Only while the bush is sound and round; an odd spare for ever, so mark it on the machine's page."


def no_bush(units: Units, *, pin: str, least_mm: float) -> str:
    """No bush is thick enough."""
    return f"No bush of the usual series for a {pin} pin is {mm_text(least_mm, units)} or more outside."


def shop_can_turn_one(units: Units) -> str:
    """A bush that nobody stocks."""
    return "A shop can turn one."


def weld_up(units: Units) -> str:
    """Where it is done."""
    return "Weld up and bore, or weld a boss in, on arms and buckets."


def weld_standard(units: Units) -> str:
    """By what it is done."""
    return "AWS D14.3 governs welding on such machines (from memory)."


def weld_shrinks(units: Units) -> str:
    """What welding does to a bore."""
    return "A boss bored 0.2 to 0.25 mm large beforehand shrinks, or bore it last."


def material_not_known(units: Units) -> str:
    """Nobody wrote what it is made of."""
    return "What it is made of is not known: a shop tells plain steel from what must not be welded."


# The shop


def shop_open(units: Units, *, tool: Tool) -> str:
    """How the hole is opened."""
    size = both_plain_text(tool.mm, units)
    return f"open to {tool.name} ({size}), square to the eye, both sides in one setting"


def shop_keep_centre(units: Units, *, shift_mm: float) -> str:
    """Where its centre goes."""
    return (
        f"keep the hole's centre: an oval made round shifts it by up to {mm_text(shift_mm, units)}; "
        "both links of a pair within 1 mm pin to pin, 0.5 mm on loaders"
    )


def shop_weld(units: Units, *, bore_mm: float) -> str:
    """What is bored after welding."""
    return f"weld up, bore in line to {both_plain_text(bore_mm, units)} or as the pin measures, plus running room"


# What to order


def part_set(units: Units, *, pin: str) -> str:
    """All that goes with a bushed pin."""
    return f"pin {pin}, bushes, both sides, seals, shims and washers, grease fitting, keeper"


def part_link(units: Units, *, pin: str) -> str:
    """A link."""
    return f"link by pins ({pin}), closed and open length, thread hand, hitch category, keepers"


def part_itself(units: Units, *, pin: str) -> str:
    """The worn part."""
    return f"the part with its {pin} pin and keeper"


def part_sleeve(units: Units, *, outside_mm: float, pin: str) -> str:
    """A sleeve."""
    return f"sleeve, outside {both_plain_text(outside_mm, units)}, inside for a {pin} pin"


def part_pin_and_keeper(units: Units, *, pin: str) -> str:
    """A larger pin."""
    return f"{pin} pin and keeper"


def part_turned_pin(units: Units, *, size: Value) -> str:
    """A pin of its own size."""
    return f"pin turned to {both_plain_text(size.value, units)}"


def part_bush(units: Units, *, bush: StockBush) -> str:
    """A bush."""
    return f"bush {bush.name} ({bush.series}), one each eye"


def part_pin(units: Units, *, pin: str) -> str:
    """Its pin."""
    return f"{pin} pin"


def part_keeper(units: Units) -> str:
    """What keeps it in."""
    return "keeper"


# What to watch


def caution_pressing(units: Units) -> str:
    """Pressing."""
    return "Eye protection; press or draw it in, never hammer a hardened bush or pin; keep the eye under 200 degC."


def caution_drilling(units: Units) -> str:
    """Opening a hole."""
    return "Clamp it on a jig; a cutter or reamer, never a hand-held drill that follows the oval. Eye protection."


def caution_welding(units: Units) -> str:
    """Welding."""
    return (
        "Welding is a qualified welder's work: battery off, earth beside the weld, seals out, fuel and hoses away; "
        "alignment bar through both sides."
    )
