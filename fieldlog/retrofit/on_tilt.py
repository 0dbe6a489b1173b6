"""A tilt cylinder on a hitch whose geometry is known: degrees of roll each way, and whether that is what is wanted."""

from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.lift import arm_at
from fieldlog.retrofit.linkage import Linkage
from fieldlog.retrofit.on_hitch import height_words
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.roll import levelling

ROLL = "roll, side to side"
UNEVEN_DEG = 1.0  # difference of roll both ways that is worth a word: common practice, no source


def roll_checks(
    linkage: Linkage, height_mm: float, wanted_deg: float | None, figures: dict[str, OfferFigure], units: Units
) -> tuple[Check, ...]:
    """Return the roll (side to side) of a cylinder in the place of one lift rod, at a height of the balls.

    The linkage's rod is the other one, which keeps its length and sets the height.
    """
    topic, where = ROLL, f"balls at {height_words(height_mm, units)}"
    arm = arm_at(linkage, height_mm)
    found = arm if isinstance(arm, CannotReach) else levelling(linkage, arm, figures["closed"].mm, figures["open"].mm)
    if isinstance(found, CannotReach):
        return (Check(topic, Level.ASK, f"The roll cannot be worked out with the {where}: the links do not meet."),)
    said = f"{found.up_deg:+.1f} degrees closed, {-found.down_deg:+.1f} open ({where}; this side up is +)."
    least = min(found.up_deg, found.down_deg)
    if wanted_deg is not None and least < wanted_deg:
        text = f"{said} {wanted_deg:g} degrees each way are wanted: {wanted_deg - least:.1f} short one way."
        return (Check(topic, Level.LIMIT, text, cost_mm=wanted_deg - least),)
    is_met = wanted_deg is not None
    if abs(found.uneven_deg) > UNEVEN_DEG:
        text = f"{said} Uneven: {abs(found.uneven_deg):.1f} degrees more one way."
        return (Check(topic, Level.NOTE, text, meets_need=is_met),)
    return (Check(topic, Level.GOOD, said, meets_need=is_met),)
