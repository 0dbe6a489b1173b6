"""What rules a cylinder out whatever else speaks for it: its range misses the link's or keeps too little, or its force.

A range counts as kept by its lengths as they stand; the doubt of a tape does not bring back what misses.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Units
from fieldlog.retrofit.offers.link_facts import LinkFacts
from fieldlog.retrofit.offers.reach import about_text
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure
from fieldlog.retrofit.offers.work import FORCE

LEAST_KEPT = 0.5  # of the link's own travel that a cylinder must keep: our judgement, common practice
_TOPIC = "range, link"
_MISS_WHY = "At no length does it do what the link does. Another cylinder, or the link measured anew."
_KEPT_WHY = "At least half, unless the range needed is worked out from a measured hitch and is all there."


class Miss(NamedTuple):
    """By how much two ranges miss each other; `is_long` where the cylinder is too long, else it is too short."""

    gap_mm: float
    is_long: bool


def miss_of(closed_mm: float, open_mm: float, facts: LinkFacts) -> Miss | None:
    """Return by how much a range misses the link's; None where they meet, or where the link's end is not known."""
    if facts.open is not None and closed_mm > facts.open.value_mm:
        return Miss(closed_mm - facts.open.value_mm, is_long=True)
    if facts.closed is not None and open_mm < facts.closed.value_mm:
        return Miss(facts.closed.value_mm - open_mm, is_long=False)
    return None


def range_guard(
    figures: Mapping[str, OfferFigure], facts: LinkFacts, units: Units, needs: Sequence[Check] = ()
) -> tuple[Check, ...]:
    """Return the point that rules an offer out by its range, none where the range may do.

    `needs` are the points about the range needed or the roll wanted. A need that is met excuses a range kept by less
    than half, and that of a top link a range that misses the link's; a need within its doubt excuses nothing. The
    point costs reach only where no other one does: for a lift rod with neither its set length nor the other rod known.
    """
    is_rod, is_met = facts.link.position == "lift rod", _is_met(needs)
    miss = miss_of(figures["closed"].mm, figures["open"].mm, facts)
    if miss is not None:
        cost_mm = miss.gap_mm if is_rod and facts.other_rod is None and facts.as_set is None else 0.0
        found = (Check(_TOPIC, Level.NO, f"It is {_miss(miss, units)}.", _MISS_WHY, cost_mm),)
        return () if is_met and not is_rod else found
    if is_met or facts.closed is None or facts.open is None or any(need.level is Level.NO for need in needs):
        return ()
    return _kept(figures, (facts.closed, facts.open), units)


def _is_met(needs: Iterable[Check]) -> bool:
    found = tuple(needs)
    return any(need.meets_need for need in found) and all(need.level <= Level.NOTE for need in found)


def _miss(miss: Miss, units: Units) -> str:
    gap = about_text(miss.gap_mm, units)
    ends = "longer closed than the link is open" if miss.is_long else "shorter open than the link is closed"
    return f"{gap} {ends}: the ranges do not meet"


def _kept(figures: Mapping[str, OfferFigure], link: tuple[Estimate, Estimate], units: Units) -> tuple[Check, ...]:
    low_mm, high_mm = (end.value_mm for end in link)
    travel_mm = high_mm - low_mm
    kept_mm = min(figures["open"].mm, high_mm) - max(figures["closed"].mm, low_mm)
    if kept_mm >= LEAST_KEPT * travel_mm:
        return ()
    text = f"It keeps only {about_text(kept_mm, units)} of the link's {about_text(travel_mm, units)} of travel."
    return (Check(_TOPIC, Level.NO, text, _KEPT_WHY),)


def held_guard(figures: Mapping[str, OfferFigure], facts: LinkFacts, units: Units) -> tuple[Check, ...]:
    """Return the same for an offer whose closed and stroke are not its open: ruled out if every reading of it misses.

    A stroke that does not even go into its closed length is a slip of the pen and rules nothing out.
    """
    closed, opened, stroke = (figures[key].mm for key in ("closed", "open", "stroke"))
    if stroke >= closed:
        return ()
    readings = ((closed, opened), (closed, closed + stroke), (opened - stroke, opened))
    misses = [miss for low, high in readings if (miss := miss_of(low, high, facts)) is not None]
    if len(misses) < len(readings):
        return ()
    text = f"Whichever of its three lengths is wrong, it is at least {_miss(min(misses), units)}."
    return (Check(_TOPIC, Level.NO, text, _MISS_WHY),)


def work_guard(points: Sequence[Check]) -> tuple[Check, ...]:
    """Return what of the page of force and oil belongs to the verdict: what rules out, and a force that is not enough.

    What is only asked for there, and what to mind at the plumbing, stays on that page.
    """
    return tuple(p for p in points if p.level is Level.NO or (p.topic == FORCE and p.level is Level.LIMIT))
