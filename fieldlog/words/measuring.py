"""What is odd about readings, what an instrument is worth, and what the shape of a hole often means."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.measure.bore import LackOfFit
from fieldlog.measure.depth import Pattern
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.units import Units
from fieldlog.records.clock import near_clock
from fieldlog.records.entries import Face

_ONE_SIDE = "load from one side: a pin held at one end only, or holes out of line"
_ONE_END = "a stub pin held at one end, a ball that has seized, or a bent clevis"
_DEPTH_HINTS: Mapping[Pattern, str] = MappingProxyType(
    {
        Pattern.BELL: "a pin too loose or too short for its eye, or an implement that twists on it",
        Pattern.BARREL: "a bush that has come loose inside, or metal washed out at the grease hole",
        Pattern.TAPER_NEAR: _ONE_SIDE,
        Pattern.TAPER_FAR: _ONE_SIDE,
        Pattern.NEAR_ONLY: _ONE_END,
        Pattern.FAR_ONLY: _ONE_END,
        Pattern.NEAR_TIGHT: "a lip or a burr rolled over at the near mouth: file it off and measure again",
        Pattern.FAR_TIGHT: "a lip or a burr rolled over at the far mouth: file it off and measure again",
    }
)


# The shape of a hole: hints, no verdicts.


def depth_hint(units: Units, *, pattern: Pattern) -> str:
    """How a bore runs in depth, and what that often means."""
    return f"{pattern.value}: {_DEPTH_HINTS[pattern]}"


def oval_across_link(units: Units) -> str:
    """A long axis across the link."""
    return "oval across the link: side load, from slack sway chains, a side-shifting blade or a bent link"


def oval_along_link(units: Units, *, is_outer_thin: bool, is_inner_thin: bool) -> str:
    """A long axis along the link, and which wall is thinner."""
    if is_outer_thin and is_inner_thin:
        return "oval along the link, both walls thinner: load that reverses, a loose fit, or no grease"
    if is_outer_thin:
        return "oval along the link, outer wall thin: the link is mostly pulled, as by an implement that hangs on it"
    if is_inner_thin:
        return "oval along the link, inner wall thin: the link is mostly pushed, as in back-dragging or by a mower"
    return "oval along the link: measure the metal at 12 and 6; the thinner wall tells pulling from pushing"


def axis_between_lines(units: Units, *, off_mm: float, lines_deg: tuple[float, float]) -> str:
    """A long axis that no line was measured along."""
    lines = " and ".join(map(near_clock, lines_deg))
    return (
        "the long axis lies between the lines: if the pin wore one wall only, the smallest size may be off by "
        f"{mm_text(off_mm, units)}; measure along {lines} too"
    )


def hole_of_habit(units: Units) -> str:
    """The hole of a row that is used most."""
    return "the largest of its row: the hole of habit; take another one as the reference for the pin"


def bush_turns(units: Units) -> str:
    """A loose bush."""
    return "a bush that turns has lost its press fit, and its housing is what wears now: stop early"


def no_oval(units: Units, *, face: Face, misfit: LackOfFit) -> str:
    """Lines that do not fit an oval."""
    places = 2 if units == "mm" else 4
    return (
        f"The {face} face is no oval: its lines miss one by up to {mm_text(misfit.worst_mm, units, places)} while "
        f"repeats scatter by {mm_text(misfit.repeats_mm, units, places + 1)} (F = {misfit.f:.1f} with "
        f"{misfit.misfit_dof} and {misfit.pure_dof} degrees of freedom). Look for a burr, a lip or a flat; deep wear "
        "into one wall does it too. The sizes are worth less than they say."
    )
