"""Forces of a hitch opened up: weight, centre of gravity, push and every lever length, each with its share."""

from collections.abc import Iterator
from functools import partial

from fieldlog.retrofit.carried import Values
from fieldlog.retrofit.forces import BEHIND_MM, lift_rods_kn, lift_share, pushed_kn
from fieldlog.retrofit.linkage import Offset
from fieldlog.retrofit.loads import load_of_values, push_of_values
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.opened import Opener
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import linkage_of
from fieldlog.wear.numbers import Number

_TOP = "Force = moments of weight and push about the balls / the balls' distance from the top link's line."
_RODS = "Force = moments of all that the lower links carry about their pivot / its distance from the rods' line."
_PUSHES = (
    ("top link carried", "Top link, carried and standing still; pull +", 0.0),
    ("top link, pushed forward", "Top link with the ground pushing the implement forward; pull +", -1.0),
    ("top link, pushed back", "Top link with the ground pushing the implement back; pull +", 1.0),
)


def top_link_answer(values: Values, height_mm: float, way: float) -> float | CannotReach:
    """Return the top link's force at a height: carried (0), pushed forward (-1) or back (1) by the ground, in kN."""
    load = load_of_values(values)
    if load is None:
        return _NO_LOAD
    push_kn, at = push_of_values(values)
    return pushed_kn(linkage_of(values), height_mm, load, way * push_kn, at)


def rods_answer(values: Values, height_mm: float) -> float | CannotReach:
    """Return the force in both lift rods together at a height, in kN."""
    load = load_of_values(values)
    return _NO_LOAD if load is None else lift_rods_kn(linkage_of(values), height_mm, load)


_NO_LOAD = CannotReach(0.0, why="the implement's weight or centre is not written")


def force_numbers(look: Look, opener: Opener) -> Iterator[Number]:
    """Return the forces at the height looked at, and what the hitch lifts there."""
    height_mm = look.setting.height_mm
    if "weight" in opener.figures:
        for word, about, way in _PUSHES:
            if way and not opener.figures["push"].value:
                continue
            yield from opener.number(word, about, "kN", partial(top_link_answer, height_mm=height_mm, way=way), _TOP)
        about = "Both lift rods together, carried and standing still; pull +"
        yield from opener.number("lift rods", about, "kN", partial(rods_answer, height_mm=height_mm), _RODS)
    heights = look.heights_mm
    if isinstance(heights, CannotReach):
        return
    lowest_mm = heights[0]

    def share(values: Values) -> float | CannotReach:
        found = lift_share(linkage_of(values), height_mm, lowest_mm, Offset(BEHIND_MM, 0.0))
        return found if isinstance(found, CannotReach) else 100 * found

    about = (
        f"What it lifts {BEHIND_MM:.0f} mm behind the balls here, of what it lifts at the balls when they are lowest"
    )
    yield from opener.number("lifts", about, "%", share, "Lift times rise is the same at every height (virtual work).")
