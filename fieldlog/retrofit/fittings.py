"""What else to look at before buying: check valves, rated pressure, and what no figure on paper tells."""

from fieldlog.measure.rounding import mm_text
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.link_facts import RETROFITTED, LinkFacts

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
