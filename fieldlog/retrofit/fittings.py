"""What else to look at before buying: check valves, rated pressure, and what no figure on paper tells."""

from fieldlog.records.offer import Offer
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.link_facts import RETROFITTED, LinkFacts

_LOADS_REVERSE = (
    "Loads on a hitch link reverse, and a tractor's spool leaks: both sides of the piston must be closed in. "
    "Even so a cylinder is no prop."
)
LOOK_AT = (
    "With it in hand: barrel (about bore + 12 to 16 mm) clear of fender, seat bracket and PTO shield as it turns; "
    "ports face up or sideways; pins and keepers with it; hoses long enough in every corner."
)


def fitting_points(offer: Offer, facts: LinkFacts) -> tuple[Check, ...]:
    """Return the points about valves and pressure; for the links that a cylinder usually replaces."""
    if facts.link.position not in RETROFITTED:
        return ()
    return (_check_valve(offer), *_pressure(offer))


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
