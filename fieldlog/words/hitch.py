"""The hitch: what cannot be reached, and the numbers of its pages as they are opened.

Pitch is fore-aft, roll is side to side, and each says which way.
"""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.units import Units
from fieldlog.retrofit.hitch.clearances import Clearance
from fieldlog.retrofit.hitch.forces import BEHIND_MM
from fieldlog.retrofit.hitch.look import Knob

KNOBS: Mapping[Knob, str] = MappingProxyType(
    {
        "height": "ball height",
        "top link": "top link",
        "top hole": "top link hole",
        "mast hole": "mast hole",
        "rod hole": "lift rod hole",
        "rod": "one lift rod",
        "cylinder": "cylinder",
    }
)


def cannot_reach(units: Units, *, why: str) -> str:
    """Something else than a length is missing."""
    return f"cannot reach: {why}"


def too_short_or_long(units: Units, *, what: str, short_mm: float) -> str:
    """Two links do not meet."""
    return f"cannot reach: {what} {max(abs(short_mm), 1):.0f} mm too {'short' if short_mm > 0 else 'long'}"


def in_one_line(units: Units) -> str:
    """The pitch cannot be had."""
    return "mast and top link would lie in one line before that"


def no_end(units: Units) -> str:
    """A number that grows without end."""
    return "two links lie in one line"


def parallel(units: Units) -> str:
    """There is no point that it swings about."""
    return "the links are parallel"


def no_load(units: Units) -> str:
    """No force can be told."""
    return "the implement's weight or centre is not written"


def no_pto_joint(units: Units) -> str:
    """No shaft can be told."""
    return "no PTO joint is written"


# What a number is called when it is opened

_CORNERS: Mapping[str, str] = MappingProxyType(
    {name: name for name in ("closed, lowest", "closed, highest", "open, lowest", "open, highest")}
)
_CALLED: Mapping[str, str] = MappingProxyType(
    {
        "pitch": "pitch",
        "pitch per cm": "pitch per cm",
        "swings about": "swings about",
        "balls lowest": "balls lowest",
        "balls highest": "balls highest",
        "roll": "roll",
        "roll, rod closed": "roll, rod closed",
        "ball moves, rod closed": "ball moves, rod closed",
        "roll, rod open": "roll, rod open",
        "ball moves, rod open": "ball moves, rod open",
        "off middle": "off middle",
        "shortest needed": "shortest needed",
        "longest needed": "longest needed",
        "in hand closed": "in hand closed",
        "in hand open": "in hand open",
        "top link carried": "top link carried",
        "top link, pushed forward": "top link, pushed forward",
        "top link, pushed back": "top link, pushed back",
        "lift rods": "lift rods",
        "lifts": "lifts",
        "PTO shaft": "PTO shaft",
        "PTO, tractor's joint": "PTO, tractor's joint",
        "PTO, implement's joint": "PTO, implement's joint",
        "PTO, unevenness": "PTO, unevenness",
        "PTO shaft, shortest": "PTO shaft, shortest",
        "PTO shaft, longest": "PTO shaft, longest",
        "PTO joint, steepest": "PTO joint, steepest",
        "PTO slip": "PTO slip",
        "overlap left": "overlap left",
        "left to close": "left to close",
        **_CORNERS,
    }
)


def called(units: Units, *, number: str) -> str:
    """A number of which there is one."""
    return _CALLED[number]


def called_room(units: Units, *, obstacle: str, place: str) -> str:
    """A room: here, at a corner, or the least anywhere."""
    return f"{obstacle} here" if place == "here" else f"{obstacle}, {_CORNERS.get(place, place)}"


def called_stroke(units: Units, *, hole: str) -> str:
    """A stroke in a hole."""
    return f"stroke, {hole}"


# What it is


def about_pitch(units: Units, *, height_mm: float, link_mm: float) -> str:
    """How far the mast leans."""
    return f"Pitch (fore-aft), nose up +, balls at {height_mm:.0f} mm, top link {link_mm:.0f} mm"


def about_pitch_rate(units: Units) -> str:
    """How much it follows the link."""
    return "Pitch for a centimetre of top link"


def about_swing(units: Units) -> str:
    """What it swings about."""
    return "How far ahead of the balls it swings about (virtual hitch point), behind them below nought"


def about_balls(units: Units, *, number: str, since: str) -> str:
    """How low or high they go; `since` is the hole in which that was taped, where it is another one."""
    taped = f", from that taped with the lift rod in its {since}" if since else ""
    return f"The balls' {'lowest' if number == 'balls lowest' else 'highest'} height{taped}"


def about_roll(units: Units, *, rod_mm: float) -> str:
    """How far it leans to a side."""
    return f"Roll (side to side), one lift rod at {rod_mm:.0f} mm, its side up +"


def about_roll_at(units: Units, *, rod: str, state: str) -> str:
    """How far it leans with the rod at an end."""
    return f"Roll with {rod} {state}, its side up +"


def about_ball_moves(units: Units, *, rod: str, state: str) -> str:
    """How far the rod moves its ball."""
    return f"How far that ball moves up with {rod} {state}, down below nought"


def about_off_middle(units: Units, *, rod: str) -> str:
    """Whether it rolls as far both ways."""
    return f"Mid stroke of {rod} less the other rod: nought rolls as far both ways"


def about_needed(units: Units, *, number: str, down_deg: float, up_deg: float) -> str:
    """How short or long the link must go."""
    end = "Shortest" if number == "shortest needed" else "Longest"
    return f"{end} top link needed for {abs(down_deg):g} deg nose down to {up_deg:g} deg nose up"


def about_in_hand(units: Units, *, number: str, link: str) -> str:
    """What a link has in hand at an end."""
    if number == "in hand closed":
        return f"Shortest length needed less {link} closed"
    return f"{link} open less the longest length needed"


def about_room(units: Units, *, clear: Clearance, where: str) -> str:
    """How much room there is."""
    below = "below nought it is inside" if clear.obstacle != "ground" else "below nought it is under it"
    return f"Room from {clear.point} to the {clear.obstacle}, {where} ({below})"


def place_here(units: Units) -> str:
    """As the hitch stands."""
    return "here"


def place_least(units: Units, *, length_mm: float, height_mm: float) -> str:
    """Where it is least."""
    return f"least anywhere: link {length_mm:.0f} mm, balls {height_mm:.0f} mm"


def place_corner(units: Units, *, corner: str) -> str:
    """At a corner."""
    return f"link and balls {_CORNERS[corner]}"


def about_corner(units: Units, *, corner: str) -> str:
    """How far the mast leans at a corner."""
    return f"Pitch (fore-aft), nose up +, link and balls {_CORNERS[corner]}"


def about_top_link(units: Units, *, way: float) -> str:
    """What the top link holds: carried, or with the ground's push."""
    if not way:
        return "Top link, carried and standing still; pull +"
    return f"Top link with the ground pushing the implement {'forward' if way < 0 else 'back'}; pull +"


def about_lift_rods(units: Units) -> str:
    """What the lift rods hold."""
    return "Both lift rods together, carried and standing still; pull +"


def about_lifts(units: Units) -> str:
    """What it lifts."""
    return f"What it lifts {BEHIND_MM:.0f} mm behind the balls here, of what it lifts at the balls when they are lowest"


_SHAFT: Mapping[str, str] = MappingProxyType(
    {
        "PTO shaft": "PTO shaft from joint to joint",
        "PTO, tractor's joint": "Angle at the tractor's joint",
        "PTO, implement's joint": "Angle at the implement's joint",
        "PTO, unevenness": "How unevenly it turns, forks in line",
    }
)
_SHAFT_WORST: Mapping[str, str] = MappingProxyType(
    {
        "PTO slip": "How far the PTO shaft must telescope over all lengths and heights",
        "overlap left": "Overlap left at its longest",
        "left to close": "Left to close at its shortest",
    }
)


def about_shaft(units: Units, *, number: str) -> str:
    """The PTO shaft here."""
    return _SHAFT[number]


def about_shaft_worst(units: Units, *, number: str, length_mm: float, height_mm: float) -> str:
    """The PTO shaft where it is worst."""
    if number in _SHAFT_WORST:
        return _SHAFT_WORST[number]
    return f"{_CALLED[number]} of all lengths and heights: link {length_mm:.0f} mm, balls {height_mm:.0f} mm"


def about_stroke(units: Units, *, each_way_deg: float, hole: str) -> str:
    """What a tilt cylinder must do."""
    return f"Stroke for {each_way_deg:g} deg of roll each way, lift rod in the {hole}"


FORMULAS: Mapping[str, str] = MappingProxyType(
    {
        "": "",
        "pitch": "The mast stands where lower link and top link let it: two circles that meet, worked out from all "
        "figures.",
        "roll": "Roll = atan(rise of one ball over the other / span of the balls).",
        "top link": "Force = moments of weight and push about the balls / "
        "the balls' distance from the top link's line.",
        "lift rods": "Force = moments of all that the lower links carry about their pivot / "
        "its distance from the rods' line.",
        "lifts": "Lift times rise is the same at every height (virtual work).",
    }
)
