"""The tilt side: a cylinder in the place of one lift rod rolls the implement side to side.

It is level where the cylinder is as long as the other rod; at mid stroke the roll is the same both ways.
"""

from fieldlog.measure.estimate import Estimate, difference, scaled
from fieldlog.measure.rounding import size_text
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.link_facts import LinkFacts
from fieldlog.retrofit.reach import RESERVE_MM, about_text

LEVEL_WITHIN_MM = 5.0  # mid stroke off the other rod that is not worth a word: 0.7 degrees at ratio 1.84, derived
UNEVEN_FROM_MM = 15.0  # from here the roll one way is clearly less than the other: common practice
_MID_WHY = "At mid stroke the cylinder should be as long as the other rod: then the roll is the same both ways."


def mid_stroke(closed: Estimate, opened: Estimate) -> Estimate:
    """Return the length half-way between closed and open, each end with half its doubt."""
    return Estimate((closed.value_mm + opened.value_mm) / 2, (*scaled(closed, 0.5).parts, *scaled(opened, 0.5).parts))


def tilt_points(figures: dict[str, OfferFigure], facts: LinkFacts, units: Units) -> tuple[Check, ...]:
    """Return whether the cylinder's mid stroke is the other rod's length, and how far it moves each way from level."""
    topic = "mid stroke"
    if facts.other_rod is None:
        text = "The other lift rod's length is not known: tape it as it is set; the cylinder is level at that length."
        return (Check(topic, Level.ASK, text, _MID_WHY),)
    closed, opened = figures["closed"], figures["open"]
    off = difference(mid_stroke(closed.size, opened.size), facts.other_rod)
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
