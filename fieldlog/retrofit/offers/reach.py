"""An offer's closed and open length against what the link does now, and against what the work needs.

Closing short costs nothing but a clearance to check; closing long costs pitch that cannot be had back.

The tilt side: a cylinder in the place of one lift rod rolls the implement side to side.

What else to look at before buying: check valves, rated pressure, and what no figure on paper tells.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.records.offer import Offer
from fieldlog.retrofit.carried import USUAL, Carried
from fieldlog.retrofit.offers.link_facts import RETROFITTED, LinkFacts, Mast
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure

RESERVE_MM = 10.0  # stroke in hand at each end, so that the piston never sits on its stop: 10 to 15 mm, common practice
SMALL_LOSS_MM = 10.0  # reach lost that is noted but not held against an offer: 1.2 degrees on a 460 mm mast
CLOSED_COUNTS = 3  # reach lost at the closed end against the open one, which is seldom used to the last: our judgement
CLOSES_SHORT = "Closing short costs nothing: the stroke left over rests. Only clearance with it fully in is to check."
CLOSES_LONG = "Closing long costs for good: what is lost there cannot be had back by any setting."
OPENS_SHORT = "The long end is seldom used to the last; look at the longest setting you truly use."


@dataclass(frozen=True, slots=True)
class Wanted:
    """The lengths that the work asks for, with their doubt, and where that comes from.

    `lost` gives the degrees lost at the closed and at the open end for a closed and an open length, below zero what is
    gained over the need, None where the links cannot be pinned at all. `behind` are both with each figure's share.
    """

    least: Estimate
    most: Estimate
    origin: str
    lost: Callable[[float, float], tuple[float | None, float | None]]
    least_way: str = "nose-down"
    most_way: str = "nose-up"
    behind: tuple[Carried, Carried] | None = None


def about_text(mm: float, units: Units) -> str:
    """Return a length of this size in the person's unit: to a tenth of a millimetre or a hundredth of an inch."""
    return mm_text(mm, units, 1 if units == "mm" else 2)


def gap_at(offer: OfferFigure, link: Estimate) -> Estimate:
    """Return offer minus link, longer above zero, with the doubt of both."""
    return offer.size - link


def gap_words(gap: Estimate, units: Units) -> str:
    """Return '6.0 ± 1.4 mm shorter', or 'the same within 1.4 mm'."""
    if abs(gap.value_mm) <= gap.expanded_mm:
        return f"the same within {about_text(gap.expanded_mm, units)}"
    side = "longer" if gap.value_mm > 0 else "shorter"
    return f"{size_text(replace(gap, value=abs(gap.value)), units)} {side}"


def link_points(
    figures: dict[str, OfferFigure], facts: LinkFacts, units: Units, *, is_second: bool, has_need: bool
) -> tuple[Check, ...]:
    """Return the points of an offer's range against the link's own.

    `is_second`: something else decides, then these only inform. Where the link is not taped and the needed range is
    not known either (`has_need`), nobody can say that an offer fits.
    """
    found = [_closed_point(figures["closed"], facts, units), _open_point(figures["open"], facts, units)]
    points = [point for point in found if point is not None]
    if not points:
        level = Level.ASK if has_need else Level.UNCLEAR
        return (Check("range", level, "The link is not taped: measure it closed and open, pin to pin."),)
    if is_second:
        points = [Check(p.topic, min(p.level, Level.NOTE), p.sentence, p.why) for p in points]
    return (*points, *_as_set_points(figures, facts, units))


def _closed_point(closed: OfferFigure, facts: LinkFacts, units: Units) -> Check | None:
    if facts.closed is None:
        return None
    gap = gap_at(closed, facts.closed)
    words = gap_words(gap, units)
    topic = "closed end, link"
    if gap.value_mm <= gap.expanded_mm:
        same = _gained(gap, facts.mast, "nose-down")
        return Check(topic, Level.GOOD, f"Closes {words}{same}.", CLOSES_SHORT)
    level = Level.NOTE if gap.value_mm <= SMALL_LOSS_MM else Level.LIMIT
    text = f"Closes {words}: {_lost(gap.value_mm, facts.mast, 'nose-down', units)}."
    return Check(topic, level, text, CLOSES_LONG, cost_mm=CLOSED_COUNTS * gap.value_mm)


def _open_point(opened: OfferFigure, facts: LinkFacts, units: Units) -> Check | None:
    if facts.open is None:
        return None
    gap = gap_at(opened, facts.open)
    words, topic = gap_words(gap, units), "open end, link"
    limit = f" (the link's limit: {facts.open_limit})" if facts.open_limit else ""
    if gap.value_mm >= -gap.expanded_mm:
        return Check(topic, Level.GOOD, f"Opens {words}{_gained(gap, facts.mast, 'nose-up')}{limit}.")
    level = Level.NOTE if -gap.value_mm <= SMALL_LOSS_MM else Level.LIMIT
    text = f"Opens {words}{limit}: {_lost(-gap.value_mm, facts.mast, 'nose-up', units)}."
    return Check(topic, level, text, OPENS_SHORT, cost_mm=-gap.value_mm)


def _gained(gap: Estimate, mast: Mast | None, way: str) -> str:
    if abs(gap.value_mm) <= gap.expanded_mm:
        return " as the link"
    return f", about {abs(gap.value_mm) * mast.deg_per_mm:.1f} degrees more {way}" if mast is not None else ""


def _lost(mm: float, mast: Mast | None, way: str, units: Units) -> str:
    if mast is None:
        return "that much of its range is lost"
    height = mm_text(mast.mm, units, 0 if units == "mm" else 1)
    return f"about {mm * mast.deg_per_mm:.1f} degrees of {way} pitch lost (mast {height}, {mast.origin})"


def _as_set_points(figures: dict[str, OfferFigure], facts: LinkFacts, units: Units) -> Sequence[Check]:
    """A cylinder must reach the length the link is set to now, with reserve, whatever else it does."""
    if facts.as_set is None:
        return ()
    below = facts.as_set - figures["closed"].size
    above = figures["open"].size - facts.as_set
    short = min(below, above, key=lambda room: room.value_mm)
    side, wrong = ("closed", "longer than") if short is below else ("open", "shorter than")
    now = f"the {size_text(facts.as_set, units)} it is set to now"
    if short.value_mm < 0:
        text = f"Even {side} it is {about_text(-short.value_mm, units)} {wrong} {now}."
        return (Check("length in use", Level.NO, text, cost_mm=-short.value_mm),)
    if short.value_mm < RESERVE_MM:
        in_hand, wanted = about_text(short.value_mm, units), about_text(RESERVE_MM, units)
        text = f"Only {in_hand} in hand {side}, at {now}; {wanted} is wanted."
        return (Check("length in use", Level.LIMIT, text, "The piston must not be the stop."),)
    return (Check("length in use", Level.GOOD, f"Reaches {now} with {about_text(short.value_mm, units)} in hand."),)


def need_points(figures: dict[str, OfferFigure], wanted: Wanted, units: Units) -> tuple[Check, Check]:
    """Return the points of an offer's range against the needed one: degrees lost, or what is in hand."""
    closed, opened = figures["closed"], figures["open"]
    lost = wanted.lost(closed.mm, opened.mm)
    return (
        _need_point("closed", wanted.least - closed.size, (lost[0], wanted.least_way), wanted, units),
        _need_point("open", opened.size - wanted.most, (lost[1], wanted.most_way), wanted, units),
    )


def _need_point(side: str, in_hand: Estimate, lost: tuple[float | None, str], wanted: Wanted, units: Units) -> Check:
    topic, origin = f"{side} end, need", f"Needed: {wanted.origin}."
    needed = mm_text((wanted.least if side == "closed" else wanted.most).value_mm, units, 0 if units == "mm" else 2)
    text = size_text(replace(in_hand, value=abs(in_hand.value)), units)
    verb = {"closed": "Closes", "open": "Opens"}[side]
    wrong = {"closed": "too long for", "open": "short of"}[side]
    if in_hand.value_mm < -in_hand.expanded_mm:
        degrees = f"{lost[0]:.1f} degrees of " if lost[0] is not None else ""
        said = f"{verb} {text} {wrong} the {needed} needed: {degrees}{lost[1]} lost."
        why, weight = (CLOSES_LONG, CLOSED_COUNTS) if side == "closed" else (origin, 1)
        return Check(topic, Level.NO, said, why, cost_mm=-in_hand.value_mm * weight)
    if in_hand.value_mm <= in_hand.expanded_mm:
        said = f"{verb} at the {needed} needed, within the {about_text(in_hand.expanded_mm, units)} of doubt."
        return Check(topic, Level.ASK, f"{said} {_first(in_hand)}", origin)
    if in_hand.value_mm < RESERVE_MM:
        return Check(
            topic,
            Level.NOTE,
            f"Meets the need {side}, {text} in hand; {about_text(RESERVE_MM, units)} is wanted.",
            origin,
            meets_need=True,
        )
    return Check(topic, Level.GOOD, f"Meets the need {side} with {text} in hand.", origin, meets_need=True)


def _first(in_hand: Estimate) -> str:
    """Return what to measure where doubt leaves it open: the usual figure that weighs most, else the offer."""
    largest = max(in_hand.parts, key=lambda part: part.u_mm)
    if largest.source.startswith(USUAL):
        return f"Most of it is a usual figure: first measure {largest.name} on the hitch."
    return "Measure it in hand."


LEVEL_WITHIN_MM = 5.0  # mid stroke off the other rod that is not worth a word: 0.7 degrees at ratio 1.84, derived
UNEVEN_FROM_MM = 15.0  # from here the roll one way is clearly less than the other: common practice
_MID_WHY = "At mid stroke the cylinder should be as long as the other rod: then the roll is the same both ways."


def mid_stroke(closed: Estimate, opened: Estimate) -> Estimate:
    """Return the length half-way between closed and open, each end with half its doubt."""
    return (closed + opened) / 2


def tilt_points(figures: dict[str, OfferFigure], facts: LinkFacts, units: Units) -> tuple[Check, ...]:
    """Return whether the cylinder's mid stroke is the other rod's length, and how far it moves each way from level."""
    topic = "mid stroke"
    if facts.other_rod is None:
        text = "The other lift rod's length is not known: tape it as it is set; the cylinder is level at that length."
        return (Check(topic, Level.ASK, text, _MID_WHY),)
    closed, opened = figures["closed"], figures["open"]
    off = mid_stroke(closed.size, opened.size) - facts.other_rod
    down, up = facts.other_rod.value_mm - closed.mm, opened.mm - facts.other_rod.value_mm
    rod = f"the other rod, {size_text(facts.other_rod, units)}"
    if min(down, up) < 0:
        state, side = ("closed", "longer") if down < 0 else ("open", "shorter")
        text = f"Even {state} it is {about_text(-min(down, up), units)} {side} than {rod}: it can never be level."
        return (Check(topic, Level.NO, text, _MID_WHY, cost_mm=-min(down, up)),)
    ways = f"{about_text(down, units)} shorter and {about_text(up, units)} longer from level"
    if min(down, up) < RESERVE_MM:
        return (Check(topic, Level.LIMIT, f"Hardly any roll one way: {ways}.", _MID_WHY, cost_mm=abs(off.value_mm)),)
    if abs(off.value_mm) <= LEVEL_WITHIN_MM + off.expanded_mm:
        return (Check(topic, Level.GOOD, f"Mid stroke is {rod}, within doubt: {ways}.", _MID_WHY),)
    level = Level.NOTE if abs(off.value_mm) <= UNEVEN_FROM_MM else Level.LIMIT
    where = "over" if off.value_mm > 0 else "under"
    text = f"Mid stroke is {about_text(abs(off.value_mm), units)} {where} {rod}: {ways}, unequal roll."
    return (Check(topic, level, text, _MID_WHY, cost_mm=abs(off.value_mm)),)


_LOADS_REVERSE = (
    "Loads on a hitch link reverse, and a tractor's spool leaks: both sides of the piston must be closed in. "
    "Even so a cylinder is no prop."
)
_FIRST = "A new eye on a worn pin, or a new pin in a worn hole, wears out at once."
_BARREL_OVER_BORE_MM = (12.0, 16.0)  # how much a barrel is larger than its bore: common practice


def look_at(bore_mm: float | None, units: Units) -> str:
    """Return what is looked at with the cylinder in hand; the barrel's size where its bore is known."""
    sizes = [mm_text(bore_mm + over, units, 0 if units == "mm" else 1) for over in _BARREL_OVER_BORE_MM if bore_mm]
    barrel = f"barrel, about {' to '.join(sizes)} across," if sizes else "barrel"
    return (
        f"With it in hand: {barrel} clear of fender, seat bracket and PTO shield as it turns; ports face up or "
        "sideways; pins and keepers with it; hoses long enough in every corner."
    )


def fitting_points(offer: Offer, facts: LinkFacts) -> tuple[Check, ...]:
    """Return the points about valves and pressure; for the links that a cylinder usually replaces."""
    if facts.link.position not in RETROFITTED:
        return ()
    return (_check_valve(offer), *_pressure(offer), *_worn_ends(facts))


def _worn_ends(facts: LinkFacts) -> tuple[Check, ...]:
    """Return the joints at both ends that are worn out: a new cylinder on one starts worn."""
    return tuple(
        Check(
            f"joint, {end.name}",
            Level.NOTE,
            f"The joint at the {end.name} is to be put right first. {end.wear}",
            _FIRST,
        )
        for end in facts.ends
        if end.wear
    )


def _check_valve(offer: Offer) -> Check:
    topic = "check valve"
    if offer.check_valve == "double":
        return Check(topic, Level.GOOD, "Double pilot-operated check valve: holds both ways.", _LOADS_REVERSE)
    if offer.check_valve == "single":
        return Check(
            topic, Level.NOTE, "Single check valve: holds one way only; a double one is wanted.", _LOADS_REVERSE
        )
    if offer.check_valve == "none":
        text = "No check valve: it drifts. Add a double pilot-operated check valve at the cylinder."
        return Check(topic, Level.NOTE, text, _LOADS_REVERSE, part="double pilot-operated check valve for the cylinder")
    return Check(
        topic, Level.ASK, "Check valve not stated: ask; a double pilot-operated one is wanted.", _LOADS_REVERSE
    )


def _pressure(offer: Offer) -> tuple[Check, ...]:
    if offer.rated_pressure is not None:
        return ()
    return (
        Check("rated pressure", Level.ASK, "Rated pressure not stated: ask; it must be over the tractor's relief."),
    )
