"""How far a link opens: taped, and counted in turns of its body, each a check on the other."""

import math
from dataclasses import replace

from fieldlog.measure.estimate import Estimate, difference, difference_named, limit_of, scaled
from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.taping import Taped
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Link
from fieldlog.records.threads import Thread, Turns

TURN_BY_EYE = 0.25  # half-width of a counted number of turns: common practice, no source


@dataclass(frozen=True, slots=True)
class Screwing:
    """How a link screws: the share of its travel at each end, and what one turn of the body makes it longer."""

    near_share: float
    far_share: float
    per_turn_mm: float

    @property
    def is_two_ended(self) -> bool:
        """True when both ends screw."""
        return self.near_share > 0 and self.far_share > 0


def screwing(thread: Thread, link: Link) -> Screwing | str:
    """Return how the link screws, or the sentence that says why that cannot be told.

    A body between a left and a right hand thread gives two leads a turn, half at each end; with a thread at one end
    only it is one lead.
    """
    lead_mm = float(thread.lead_mm)
    hands = (link.near_hand, link.far_hand)
    if None in hands:
        end = "either end" if hands == (None, None) else "one end"
        return (
            f"The hand of the thread at {end} is not written down, so it is not known whether a turn moves it by one "
            "lead or by two: look which way each thread climbs; none is an end without thread."
        )
    if hands == ("none", "none"):
        return "Neither end is said to have a thread, but a thread is given: look at both ends again."
    if "none" in hands:
        near = 1.0 if link.near_hand != "none" else 0.0
        return Screwing(near, 1.0 - near, lead_mm)
    if link.near_hand == link.far_hand:
        return (
            f"Both ends are said to be {link.near_hand}-handed; turning the body would not change the length. Look "
            "which way each thread climbs."
        )
    return Screwing(0.5, 0.5, 2 * lead_mm)


def taped_travel(closed: LinkLength | None, opened: LinkLength | None) -> Estimate | None:
    """Return open minus closed from the tape; None when one of them was not taped.

    Taped the same way at the same edges, the holes drop out whatever they are, and so does what the tape does to
    both; its class limit counts once, as it does between any two marks.
    """
    if closed is None or opened is None:
        return None
    first = {taped.way: taped for taped in closed.taped}
    second = {taped.way: taped for taped in opened.taped}
    both = [(first[way], second[way]) for way in first if way in second]
    if both:
        return _by_ways(both)
    if closed.centres is None or opened.centres is None:
        return None
    return difference_named((opened.centres, "open"), (closed.centres, "closed"))


def _by_ways(both: list[tuple[Taped, Taped]]) -> Estimate:
    value = math.fsum(opened.value_mm - closed.value_mm for closed, opened in both) / len(both)
    commons = [taped.common for pair in both for taped in pair]
    common = max(commons, key=lambda parts: math.fsum(part.u_mm**2 for part in parts))
    named = (("closed", closed) for closed, _ in both), (("open", opened) for _, opened in both)
    parts = (replace(p, name=f"{p.name}, {state}") for side in named for state, taped in side for p in taped.own)
    own = Estimate(0.0, tuple(parts))
    return Estimate(value, (*common, *scaled(own, 1 / len(both)).parts))


def turned_travel(turns: Turns, screw: Screwing) -> Estimate:
    """Return the travel that a count of turns makes, in mm, doubtful by a quarter of a turn."""
    half_mm = TURN_BY_EYE * screw.per_turn_mm
    source = f"± {TURN_BY_EYE:g} turn, common practice"
    return Estimate(float(turns) * screw.per_turn_mm, (limit_of("turns counted", half_mm, source),))


def turns_disagree(taped: Estimate, turns: Turns, screw: Screwing) -> str:
    """Return the sentence for turns that do not make the travel that was taped, empty when they do."""
    turned = turned_travel(turns, screw)
    gap = difference(taped, turned)
    if abs(gap.value_mm) <= gap.expanded_mm:
        return ""
    said = (
        f"{turns} turns at {screw.per_turn_mm:.4g} mm make {turned.value_mm:.0f} mm, but the tape says "
        f"{taped.value_mm:.0f} mm"
    )
    if screw.is_two_ended and abs(taped.value_mm - turned.value_mm / 2) <= gap.expanded_mm:
        return f"{said}: as if one end alone had turned. Free the other end, or write down that it has no thread."
    if not screw.is_two_ended and abs(taped.value_mm - turned.value_mm * 2) <= gap.expanded_mm:
        return f"{said}: as if both ends had a thread, left and right hand. Look at the end without thread again."
    return f"{said}. Count the turns again, tape closed and open again, and measure the pitch over ten crests."
