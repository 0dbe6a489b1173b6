"""An offer's closed and open length against what the link does now, and against what the work needs.

Closing short costs nothing but a clearance to check; closing long costs pitch that cannot be had back.

The tilt side: a cylinder in the place of one lift rod rolls the implement side to side.

What else to look at before buying: check valves, rated pressure, and what no figure on paper tells.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import Value
from fieldlog.records.offer import Offer
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.offers.link_facts import RETROFITTED, LinkFacts
from fieldlog.retrofit.offers.sense import Check, Level, Topic

RESERVE_MM = 10.0  # stroke in hand at each end, so that the piston never sits on its stop: 10 to 15 mm, common practice
SMALL_LOSS_MM = 10.0  # reach lost that is noted but not held against an offer: 1.2 degrees on a 460 mm mast
CLOSED_COUNTS = 3  # reach lost at the closed end against the open one, which is seldom used to the last: our judgement


@dataclass(frozen=True, slots=True)
class Wanted:
    """The lengths that the work asks for, with their doubt, and where that comes from.

    `lost` gives the degrees lost at the closed and at the open end for a closed and an open length, below zero what is
    gained over the need, None where the links cannot be pinned at all. `behind` are both with each figure's share.
    """

    least: Estimate
    most: Estimate
    origin: Said | str
    lost: Callable[[float, float], tuple[float | None, float | None]]
    behind: tuple[Carried, Carried] | None = None


def link_points(numbers: Numbers, facts: LinkFacts, *, is_second: bool, has_need: bool) -> tuple[Check, ...]:
    """Return the points of an offer's range against the link's own.

    `is_second`: something else decides, then these only inform. Where the link is not taped and the needed range is
    not known either (`has_need`), nobody can say that an offer fits.
    """
    found = [_closed_point(numbers, facts), _open_point(numbers, facts)]
    points = [point for point in found if point is not None]
    if not points:
        level = Level.ASK if has_need else Level.UNCLEAR
        return (Check(Topic.RANGE, level, said("offer.link_not_taped")),)
    if is_second:
        points = [Check(p.topic, min(p.level, Level.NOTE), p.said, p.why) for p in points]
    return (*points, *_as_set_points(numbers, facts))


def _closed_point(numbers: Numbers, facts: LinkFacts) -> Check | None:
    """Closing short costs nothing: the stroke left over rests. Closing long costs for good."""
    if facts.closed is None:
        return None
    gap = numbers.value("closed_to_link")
    if gap.value <= gap.plus_minus:
        same = said("offer.closes", gap=gap, mast=facts.mast)
        return Check(Topic.CLOSED_TO_LINK, Level.GOOD, same, said("offer.why_closing_short_is_free"))
    level = Level.NOTE if gap.value <= SMALL_LOSS_MM else Level.LIMIT
    lost = said("offer.closes_long", gap=gap, mast=facts.mast)
    why = said("offer.why_closing_long_costs")
    return Check(Topic.CLOSED_TO_LINK, level, lost, why, cost_mm=CLOSED_COUNTS * gap.value)


def _open_point(numbers: Numbers, facts: LinkFacts) -> Check | None:
    if facts.open is None:
        return None
    gap = numbers.value("open_to_link")
    if gap.value >= -gap.plus_minus:
        same = said("offer.opens", gap=gap, mast=facts.mast, limit=facts.open_limit)
        return Check(Topic.OPEN_TO_LINK, Level.GOOD, same)
    level = Level.NOTE if -gap.value <= SMALL_LOSS_MM else Level.LIMIT
    lost = said("offer.opens_short", gap=gap, mast=facts.mast, limit=facts.open_limit)
    return Check(Topic.OPEN_TO_LINK, level, lost, said("offer.why_long_end_is_seldom_used"), cost_mm=-gap.value)


def _as_set_points(numbers: Numbers, facts: LinkFacts) -> Sequence[Check]:
    """A cylinder must reach the length the link is set to now, with reserve, whatever else it does."""
    if facts.as_set is None:
        return ()
    below, above = numbers.value("in_hand_closed"), numbers.value("in_hand_open")
    room = min(below, above, key=lambda one: one.value)
    end = "closed" if room is below else "open"
    if room.value < 0:
        beyond = said("offer.set_length_out_of_reach", end=end, room=room, now=facts.as_set)
        return (Check(Topic.LENGTH_IN_USE, Level.NO, beyond, cost_mm=-room.value),)
    if room.value < RESERVE_MM:
        little = said("offer.set_length_near_end", end=end, room=room, now=facts.as_set, wanted_mm=RESERVE_MM)
        return (Check(Topic.LENGTH_IN_USE, Level.LIMIT, little, said("offer.why_piston_is_no_stop")),)
    return (Check(Topic.LENGTH_IN_USE, Level.GOOD, said("offer.reaches_set_length", room=room, now=facts.as_set)),)


def need_points(numbers: Numbers, wanted: Wanted) -> tuple[Check, Check]:
    """Return the points of an offer's range against the needed one: degrees lost, or what is in hand."""
    lost = wanted.lost(numbers.value("closed").value, numbers.value("open").value)
    return (
        _need_point("closed", numbers.value("closed_to_need"), lost[0], wanted),
        _need_point("open", numbers.value("open_to_need"), lost[1], wanted),
    )


def _need_point(end: Literal["closed", "open"], in_hand: Value, lost_deg: float | None, wanted: Wanted) -> Check:
    is_closed = end == "closed"
    topic, origin = (
        Topic.CLOSED_TO_NEED if is_closed else Topic.OPEN_TO_NEED,
        said("corner.needed", origin=wanted.origin),
    )
    needed = wanted.least if is_closed else wanted.most
    if in_hand.value < -in_hand.plus_minus:
        short = said("corner.misses_need", end=end, in_hand=in_hand, needed=needed, lost_deg=lost_deg)
        why, weight = (said("offer.why_closing_long_costs"), CLOSED_COUNTS) if is_closed else (origin, 1)
        return Check(topic, Level.NO, short, why, cost_mm=-in_hand.value * weight)
    if in_hand.value <= in_hand.plus_minus:
        doubt = said("corner.need_in_doubt", end=end, in_hand=in_hand, needed=needed, usual=_usual_most(in_hand))
        return Check(topic, Level.ASK, doubt, origin)
    if in_hand.value < RESERVE_MM:
        barely = said("corner.meets_need_barely", end=end, in_hand=in_hand, wanted_mm=RESERVE_MM)
        return Check(topic, Level.NOTE, barely, origin, meets_need=True)
    return Check(topic, Level.GOOD, said("corner.meets_need", end=end, in_hand=in_hand), origin, meets_need=True)


def _usual_most(in_hand: Value) -> str:
    """Return what a usual figure is called that most of the doubt comes from; empty where that is not one."""
    largest = max(in_hand.rows, key=lambda row: row.u).source
    return largest.label if largest.kind == "usual" else ""


LEVEL_WITHIN_MM = 5.0  # mid stroke off the other rod that is not worth a word: 0.7 degrees at ratio 1.84, derived
UNEVEN_FROM_MM = 15.0  # from here the roll one way is clearly less than the other: common practice


def tilt_points(numbers: Numbers, facts: LinkFacts) -> tuple[Check, ...]:
    """Return whether the cylinder's mid stroke is the other rod's length, and how far it moves each way from level."""
    topic, why, rod = Topic.MID_STROKE, said("corner.why_mid_stroke"), facts.other_rod
    if rod is None:
        return (Check(topic, Level.ASK, said("corner.other_rod_not_known"), why),)
    off = numbers.value("mid_stroke")
    down_mm, up_mm = (numbers.value(key).value for key in ("shorter_from_level", "longer_from_level"))
    if min(down_mm, up_mm) < 0:
        never = said("corner.never_level", down_mm=down_mm, up_mm=up_mm, rod=rod)
        return (Check(topic, Level.NO, never, why, cost_mm=-min(down_mm, up_mm)),)
    if min(down_mm, up_mm) < RESERVE_MM:
        hardly = said("corner.hardly_any_roll", down_mm=down_mm, up_mm=up_mm)
        return (Check(topic, Level.LIMIT, hardly, why, cost_mm=abs(off.value)),)
    if abs(off.value) <= LEVEL_WITHIN_MM + off.plus_minus:
        return (Check(topic, Level.GOOD, said("corner.level_at_mid", down_mm=down_mm, up_mm=up_mm, rod=rod), why),)
    level = Level.NOTE if abs(off.value) <= UNEVEN_FROM_MM else Level.LIMIT
    unequal = said("corner.unequal_roll", off=off, down_mm=down_mm, up_mm=up_mm, rod=rod)
    return (Check(topic, level, unequal, why, cost_mm=abs(off.value)),)


def fitting_points(offer: Offer, facts: LinkFacts) -> tuple[Check, ...]:
    """Return the points about valves and pressure; for the links that a cylinder usually replaces."""
    if facts.link.position not in RETROFITTED:
        return ()
    return (_check_valve(offer), *_pressure(offer), *_worn_ends(facts))


def _worn_ends(facts: LinkFacts) -> tuple[Check, ...]:
    """Return the joints at both ends that are worn out: a new cylinder on one starts worn."""
    why = said("offer.why_worn_ends_first")
    return tuple(
        Check(Topic.JOINT, Level.NOTE, said("offer.worn_end", at=end.at, wear=end.wear), why, at=end.at)
        for end in facts.ends
        if end.wear
    )


def _check_valve(offer: Offer) -> Check:
    topic, why = Topic.CHECK_VALVE, said("offer.why_check_valve")
    if offer.check_valve == "double":
        return Check(topic, Level.GOOD, said("offer.double_valve"), why)
    if offer.check_valve == "single":
        return Check(topic, Level.NOTE, said("offer.single_valve"), why)
    if offer.check_valve == "none":
        return Check(topic, Level.NOTE, said("offer.no_valve"), why, part=said("offer.part_double_valve"))
    return Check(topic, Level.ASK, said("offer.valve_not_stated"), why)


def _pressure(offer: Offer) -> tuple[Check, ...]:
    if offer.rated_pressure is not None:
        return ()
    return (Check(Topic.RATED_PRESSURE, Level.ASK, said("offer.rated_not_stated")),)
