"""What a link must hold, from the implements that hang on this hitch."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

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
    found = [(forces, setup.implement) for setup in setups if (forces := _forces_kn(setup, position)).every]
    if not found:
        return None
    most = [most_of(forces.every) for forces, _ in found]
    carried = max(most_of(forces.carried)[0] for forces, _ in found)
    worst = max(zip(most, found, strict=True), key=lambda pair: max(pair[0]))[1][1]
    name = (worst.name or worst.id) if worst is not None else "the implement"
    return Demand(max(m[0] for m in most), max(m[1] for m in most), carried, f"worst with {name}, over all heights")


class _Forces(NamedTuple):
    """Forces in a link over the heights, tension positive: with and without the ground's push."""

    every: list[float]
    carried: list[float]


def _forces_kn(setup: HitchSetup, position: LinkPosition) -> _Forces:
    start = first_setting(setup)
    heights = look(setup, start).heights_mm
    if isinstance(heights, CannotReach):
        return _Forces([], [])
    low, high = heights
    steps = [low + (high - low) * step / (_HEIGHTS - 1) for step in range(_HEIGHTS)]
    looks = [look(setup, replace(start, height_mm=height)) for height in steps]
    if position == "lift rod":
        rods = [item.rods_kn for item in looks if isinstance(item.rods_kn, float)]
        return _Forces(rods, rods)
    tops = [item.top_link for item in looks if isinstance(item.top_link, TopLinkForces)]
    return _Forces([force for top in tops for force in top], [top.carried_kn for top in tops])
