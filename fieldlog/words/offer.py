"""Cylinders on offer against a link: what each point is about, what it says and why, and what is ordered for it."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import OpenStop
from fieldlog.retrofit.offers.compare import Miss
from fieldlog.retrofit.offers.link_facts import EndOfLink, Mast
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, Check, CylinderEnd, OfferFigure, Topic, figure_origin
from fieldlog.words.eye import ENDS, ENDS_OF_LINK

_TOPICS: Mapping[Topic, str] = MappingProxyType(
    {
        Topic.SET_ASIDE: "set aside",
        Topic.IN_HAND: "in hand",
        Topic.RANGE: "range",
        Topic.RANGE_OF_LINK: "range, link",
        Topic.CLOSED_TO_LINK: "closed end, link",
        Topic.OPEN_TO_LINK: "open end, link",
        Topic.CLOSED_TO_NEED: "closed end, need",
        Topic.OPEN_TO_NEED: "open end, need",
        Topic.LENGTH_IN_USE: "length in use",
        Topic.MID_STROKE: "mid stroke",
        Topic.STROKE: "stroke",
        Topic.ROD: "rod",
        Topic.HOLES: "holes",
        Topic.EYES: "eyes",
        Topic.PIN: "pin, {at}",
        Topic.WIDTH: "width, {at}",
        Topic.JOINT: "joint, {at}",
        Topic.CHECK_VALVE: "check valve",
        Topic.RATED_PRESSURE: "rated pressure",
        Topic.RELIEF_PRESSURE: "relief pressure",
        Topic.RAISED_PRESSURE: "raised pressure",
        Topic.FORCE: "force",
        Topic.HOLDING: "holding",
        Topic.WARMED_OIL: "warmed oil",
        Topic.BUCKLING: "buckling",
        Topic.SPEED: "speed",
        Topic.HOSE: "hose",
        Topic.REMOTES: "remotes",
        Topic.PITCH: "pitch, fore-aft",
        Topic.ROLL: "roll, side to side",
        Topic.ROOM: "room to the {at}",
        Topic.SHAFT: "PTO shaft",
    }
)
_STOPS: Mapping[OpenStop, str] = MappingProxyType(
    {"thread": "the thread that must stay in", "groove": "its groove", "stop pin": "its stop pin"}
)


def topic_words(check: Check) -> str:
    """Return what a point is about; under the implement's name where there are several."""
    topic = _TOPICS[check.topic].format(at=ENDS_OF_LINK.get(check.at, check.at))
    return f"{topic}, {check.implement}" if check.implement else topic


def stop_words(stop: OpenStop) -> str:
    """Return what ends a link's opening."""
    return _STOPS[stop]


def _about(mm: float, units: Units) -> str:
    """A length to a tenth of a millimetre or a hundredth of an inch."""
    return mm_text(mm, units, 1 if units == "mm" else 2)


# the offer in itself


def set_aside(units: Units, *, why: str) -> str:
    """Somebody took it out of the running."""
    return f"Set aside: {why}."


def measured_otherwise(units: Units, *, stated: str, measured: OfferFigure, apart_mm: float) -> str:
    """What was measured in hand is not what the seller states."""
    side = "more" if apart_mm > 0 else "less"
    return (
        f"{FIGURE_WORDS[measured.key]}: stated {stated}, {figure_origin(measured)} {measured.typed}, "
        f"{_about(abs(apart_mm), units)} {side}; the measured one is used."
    )


def length_not_known(units: Units, *, missing: tuple[str, ...]) -> str:
    """Closed or open is missing."""
    return f"The {' and '.join(missing)} length is not known: ask for it, pin to pin."


def why_stroke_never_decides(units: Units) -> str:
    """Why closed and open are asked for."""
    return "Stroke alone never decides: the same stroke comes in long and short cylinders."


def open_not_longer(units: Units, *, closed: OfferFigure, opened: OfferFigure) -> str:
    """Closed and open are mixed up."""
    return f"Open, {opened.typed}, is not longer than closed, {closed.typed}: ask which is which."


def why_lengths_cannot_be(units: Units) -> str:
    """What follows from lengths that cannot be."""
    return "Nothing is worked out from lengths that cannot be."


def no_stroke(units: Units, *, closed: OfferFigure, opened: OfferFigure) -> str:
    """The stroke is not stated."""
    return f"No stroke is stated; open less closed is {_about(opened.mm - closed.mm, units)}."


def stroke_apart(units: Units, *, closed: OfferFigure, opened: OfferFigure, stroke: OfferFigure) -> str:
    """The three lengths contradict each other."""
    travel_mm = opened.mm - closed.mm
    return (
        f"Open {opened.typed} less closed {closed.typed} is {_about(travel_mm, units)}, but the stroke is "
        f"{stroke.typed}: {_about(abs(travel_mm - stroke.mm), units)} apart, 3 mm (1/8 in) allowed. "
        "Ask which of the three is measured, pin centre to pin centre, and whether a stop tube is in it."
    )


def why_held(units: Units) -> str:
    """What a contradiction means."""
    return "One of the three is wrong, or the pins were measured otherwise; held as unclear until it is told."


def rod_over_bore(units: Units, *, rod: OfferFigure, bore: OfferFigure) -> str:
    """The rod does not go into the bore."""
    return f"A rod of {rod.typed} does not go into a bore of {bore.typed}: ask for both again."


def why_no_force(units: Units) -> str:
    """What follows from such a rod."""
    return "No force is worked out from them."


def stroke_over_closed(units: Units, *, stroke: OfferFigure, closed: OfferFigure) -> str:
    """The stroke does not go into the closed length."""
    return f"A stroke of {stroke.typed} does not fit into a closed length of {closed.typed}: ask for both again."


def why_closed_holds_stroke(units: Units) -> str:
    """Why it must."""
    return "The closed length holds the stroke and the ends."


def hole_too_large(units: Units, *, hole: OfferFigure, end: CylinderEnd) -> str:
    """The eyes would overlap."""
    return f"A hole of {hole.typed} at the {ENDS[end]} cannot be on a cylinder this short: ask again."


def outside_holds_no_hole(units: Units, *, outside: OfferFigure, hole: OfferFigure, end: CylinderEnd) -> str:
    """The eye is smaller than its hole."""
    return f"An eye of {outside.typed} outside holds no hole of {hole.typed} at the {ENDS[end]}: ask for both."


# its range against the link's


def misses(units: Units, *, miss: Miss) -> str:
    """Its range and the link's do not meet."""
    return f"It is {_miss(miss, units)}."


def misses_either_way(units: Units, *, miss: Miss) -> str:
    """Nor do they by any reading of its three lengths."""
    return f"Whichever of its three lengths is wrong, it is at least {_miss(miss, units)}."


def _miss(miss: Miss, units: Units) -> str:
    ends = "longer closed than the link is open" if miss.is_long else "shorter open than the link is closed"
    return f"{_about(miss.gap_mm, units)} {ends}: the ranges do not meet"


def why_misses(units: Units) -> str:
    """What that means."""
    return "At no length does it do what the link does. Another cylinder, or the link measured anew."


def keeps_little(units: Units, *, kept_mm: float, travel_mm: float) -> str:
    """It keeps too little of the link's travel."""
    return f"It keeps only {_about(kept_mm, units)} of the link's {_about(travel_mm, units)} of travel."


def why_half_is_kept(units: Units) -> str:
    """How much it should keep."""
    return "At least half, unless the range needed is worked out from a measured hitch and is all there."


def link_not_taped(units: Units) -> str:
    """There is nothing to hold it against."""
    return "The link is not taped: measure it closed and open, pin to pin."


def closes(units: Units, *, gap: Value, mast: Mast | None) -> str:
    """It closes as short as the link, or shorter."""
    return f"Closes {_gap(gap, units)}{_gained(gap, mast, 'nose-down')}."


def why_closing_short_is_free(units: Units) -> str:
    """What closing short costs."""
    return "Closing short costs nothing: the stroke left over rests. Only clearance with it fully in is to check."


def closes_long(units: Units, *, gap: Value, mast: Mast | None) -> str:
    """It does not close as short as the link."""
    return f"Closes {_gap(gap, units)}: {_lost(gap.value, mast, 'nose-down', units)}."


def why_closing_long_costs(units: Units) -> str:
    """What closing long costs."""
    return "Closing long costs for good: what is lost there cannot be had back by any setting."


def opens(units: Units, *, gap: Value, mast: Mast | None, limit: OpenStop | None) -> str:
    """It opens as far as the link, or farther."""
    return f"Opens {_gap(gap, units)}{_gained(gap, mast, 'nose-up')}{_limit(limit)}."


def opens_short(units: Units, *, gap: Value, mast: Mast | None, limit: OpenStop | None) -> str:
    """It does not open as far as the link."""
    return f"Opens {_gap(gap, units)}{_limit(limit)}: {_lost(-gap.value, mast, 'nose-up', units)}."


def why_long_end_is_seldom_used(units: Units) -> str:
    """What opening short costs."""
    return "The long end is seldom used to the last; look at the longest setting you truly use."


def _limit(limit: OpenStop | None) -> str:
    return f" (the link's limit: {stop_words(limit)})" if limit is not None else ""


def _gap(gap: Value, units: Units) -> str:
    """'6.0 ± 1.4 mm shorter', or 'the same within 1.4 mm'."""
    if abs(gap.value) <= gap.plus_minus:
        return f"the same within {_about(gap.plus_minus, units)}"
    side = "longer" if gap.value > 0 else "shorter"
    return f"{_size(gap, units)} {side}"


def _size(gap: Value, units: Units) -> str:
    return size_text(gap if gap.value >= 0 else -gap, units)


def _gained(gap: Value, mast: Mast | None, way: str) -> str:
    if abs(gap.value) <= gap.plus_minus:
        return " as the link"
    return f", about {abs(gap.value) * mast.deg_per_mm:.1f} degrees more {way}" if mast is not None else ""


def _lost(mm: float, mast: Mast | None, way: str, units: Units) -> str:
    if mast is None:
        return "that much of its range is lost"
    height = mm_text(mast.mm, units, 0 if units == "mm" else 1)
    return f"about {mm * mast.deg_per_mm:.1f} degrees of {way} pitch lost (mast {height}, {mast.origin})"


# the length it is set to


def set_length_out_of_reach(units: Units, *, end: str, room: Value, now: Estimate) -> str:
    """It never gets there."""
    wrong = "longer than" if end == "closed" else "shorter than"
    return f"Even {end} it is {_about(-room.value, units)} {wrong} {_now(now, units)}."


def set_length_near_end(units: Units, *, end: str, room: Value, now: Estimate, wanted_mm: float) -> str:
    """It gets there with hardly any stroke left."""
    in_hand, wanted = _about(room.value, units), _about(wanted_mm, units)
    return f"Only {in_hand} in hand {end}, at {_now(now, units)}; {wanted} is wanted."


def why_piston_is_no_stop(units: Units) -> str:
    """Why there must be a reserve."""
    return "The piston must not be the stop."


def reaches_set_length(units: Units, *, room: Value, now: Estimate) -> str:
    """It gets there."""
    return f"Reaches {_now(now, units)} with {_about(room.value, units)} in hand."


def _now(now: Estimate, units: Units) -> str:
    return f"the {size_text(now, units)} it is set to now"


# what else there is to look at


def worn_end(units: Units, *, at: EndOfLink, wear: str) -> str:
    """The joint at one end is worn out."""
    return f"The joint at the {ENDS_OF_LINK[at]} is to be put right first. {wear}"


def why_worn_ends_first(units: Units) -> str:
    """Why it comes first."""
    return "A new eye on a worn pin, or a new pin in a worn hole, wears out at once."


def double_valve(units: Units) -> str:
    """It holds."""
    return "Double pilot-operated check valve: holds both ways."


def single_valve(units: Units) -> str:
    """It holds one way."""
    return "Single check valve: holds one way only; a double one is wanted."


def no_valve(units: Units) -> str:
    """It drifts."""
    return "No check valve: it drifts. Add a double pilot-operated check valve at the cylinder."


def part_double_valve(units: Units) -> str:
    """The valve as it is ordered."""
    return "double pilot-operated check valve for the cylinder"


def valve_not_stated(units: Units) -> str:
    """Nobody stated it."""
    return "Check valve not stated: ask; a double pilot-operated one is wanted."


def why_check_valve(units: Units) -> str:
    """Why both sides are closed in."""
    return (
        "Loads on a hitch link reverse, and a tractor's spool leaks: both sides of the piston must be closed in. "
        "Even so a cylinder is no prop."
    )


def rated_not_stated(units: Units) -> str:
    """Nobody stated what it is rated for."""
    return "Rated pressure not stated: ask; it must be over the tractor's relief."


def category_mast(units: Units, *, category: str, standing: str) -> str:
    """Where a mast's height comes from."""
    return f"category {category}, {standing}"


def category_pin(units: Units, *, category: str) -> str:
    """Where a pin's size comes from."""
    return f"upper pin of category {category}, not measured"


def measure_the_pin(units: Units) -> str:
    """What settles which pin it is."""
    return "measure the pin there"


def link_ended_by(units: Units, *, stop: OpenStop) -> str:
    """What ended the link's opening."""
    return f"link open: ended by {stop_words(stop)}"
