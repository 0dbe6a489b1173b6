"""What a link must hold, from the implements that hang on this hitch."""

from collections.abc import Sequence
from dataclasses import replace

from fieldlog.records.machine import LinkPosition
from fieldlog.retrofit.at_work import Demand, most_of
from fieldlog.retrofit.forces import TopLinkForces
from fieldlog.retrofit.look import first_setting, look
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import HitchSetup

_HEIGHTS = 5  # places between the lowest and the highest at which the force is worked out


def demand_of(setups: Sequence[HitchSetup], position: LinkPosition) -> Demand | None:
    """Return the most that a link must hold with any implement at any height; None where no weight is known.

    The top link's own force; of the lift rods what both carry together, since rolled to one side one rod can take
    it all. Carried, and with the ground's push both ways where that is written down.
    """
    found: list[tuple[float, float, str]] = []
    for setup in setups:
        forces = _forces_kn(setup, position)
        if forces and setup.implement is not None:
            found.append((*most_of(forces), setup.implement.name or setup.implement.id))
    if not found:
        return None
    tension = max(item[0] for item in found)
    compression = max(item[1] for item in found)
    worst = max(found, key=lambda item: max(item[0], item[1]))
    return Demand(tension, compression, f"worst with {worst[2]}, over all heights")


def _forces_kn(setup: HitchSetup, position: LinkPosition) -> list[float]:
    start = first_setting(setup)
    heights = look(setup, start).heights_mm
    if isinstance(heights, CannotReach):
        return []
    low, high = heights
    steps = [low + (high - low) * step / (_HEIGHTS - 1) for step in range(_HEIGHTS)]
    looks = [look(setup, replace(start, height_mm=height)) for height in steps]
    if position == "lift rod":
        return [item.rods_kn for item in looks if isinstance(item.rods_kn, float)]
    return [force for item in looks if isinstance(item.top_link, TopLinkForces) for force in item.top_link]
