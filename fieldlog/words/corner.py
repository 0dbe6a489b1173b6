"""What the hitch's geometry says of a cylinder: the length needed, mid stroke, pitch, roll, rooms, the PTO shaft."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.retrofit.hitch.clearances import WANTED_MM, PitchSpan, Worst
from fieldlog.retrofit.hitch.forces import AngleWord, Slip, angle_word
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.repair.metal import sure_text

_ANGLES: Mapping[AngleWord, str] = MappingProxyType(
    {
        "good": "good everywhere",
        "allowed": "allowed at work",
        "PTO off": "PTO off before it is lifted",
        "too much": "more than a joint takes even at rest",
    }
)


def _about(mm: float, units: Units) -> str:
    """A length to a tenth of a millimetre or a hundredth of an inch."""
    return mm_text(mm, units, 1 if units == "mm" else 2)


def _height(mm: float, units: Units) -> str:
    """A height or length as it is said of a position: to a millimetre or a tenth of an inch."""
    return mm_text(mm, units, 0 if units == "mm" else 1)


# the length needed


def needed(units: Units, *, origin: str) -> str:
    """Where the need comes from."""
    return f"Needed: {origin}."


def need(
    units: Units, *, ask: tuple[float, float], name: str, heights_mm: tuple[float, ...], usual: tuple[str, str]
) -> str:
    """What is needed: degrees down and up, with what, at which heights; the category and names of usual figures."""
    at = " and ".join(_height(height, units) for height in heights_mm)
    category, names = usual
    stand_in = f"; usual figures of category {category} for {names}" if names else ""
    return f"{-ask[0]:g} degrees nose down and {ask[1]:g} up with {name}, balls at {at}{stand_in}"


def needs(units: Units, *, closed: str, opened: str) -> str:
    """Two implements need the two ends."""
    return f"closed, {closed}; open, {opened}"


def misses_need(units: Units, *, end: str, in_hand: Value, needed: Estimate, lost_deg: float | None) -> str:
    """It does not reach what is needed."""
    wrong = "too long for" if end == "closed" else "short of"
    degrees = f"{lost_deg:.1f} degrees of " if lost_deg is not None else ""
    way = "nose-down" if end == "closed" else "nose-up"
    return f"{_verb(end)} {_size(in_hand, units)} {wrong} the {_needed(needed, units)} needed: {degrees}{way} lost."


def need_in_doubt(units: Units, *, end: str, in_hand: Value, needed: Estimate, usual: str) -> str:
    """Whether it reaches what is needed is within the doubt; `usual` is a usual figure that most of it comes from."""
    doubt = f"within the {_about(in_hand.plus_minus, units)} of doubt"
    most = f"Most of it is a usual figure: first measure {usual} on the hitch." if usual else "Measure it in hand."
    return f"{_verb(end)} at the {_needed(needed, units)} needed, {doubt}. {most}"


def meets_need_barely(units: Units, *, end: str, in_hand: Value, wanted_mm: float) -> str:
    """It reaches it with too little reserve."""
    return f"Meets the need {end}, {_size(in_hand, units)} in hand; {_about(wanted_mm, units)} is wanted."


def meets_need(units: Units, *, end: str, in_hand: Value) -> str:
    """It reaches it."""
    return f"Meets the need {end} with {_size(in_hand, units)} in hand."


def _verb(end: str) -> str:
    return "Closes" if end == "closed" else "Opens"


def _needed(needed: Estimate, units: Units) -> str:
    return mm_text(needed.value, units, 0 if units == "mm" else 2)


def _size(in_hand: Value, units: Units) -> str:
    return size_text(in_hand if in_hand.value >= 0 else -in_hand, units)


# mid stroke and roll


def why_mid_stroke(units: Units) -> str:
    """What mid stroke is for."""
    return "At mid stroke the cylinder should be as long as the other rod: then the roll is the same both ways."


def other_rod_not_known(units: Units) -> str:
    """Nobody taped the other rod."""
    return "The other lift rod's length is not known: tape it as it is set; the cylinder is level at that length."


def never_level(units: Units, *, down_mm: float, up_mm: float, rod: Estimate) -> str:
    """It does not get to the other rod's length."""
    state, side = ("closed", "longer") if down_mm < 0 else ("open", "shorter")
    off = _about(-min(down_mm, up_mm), units)
    return f"Even {state} it is {off} {side} than {_rod(rod, units)}: it can never be level."


def hardly_any_roll(units: Units, *, down_mm: float, up_mm: float) -> str:
    """It gets there with its last millimetres."""
    return f"Hardly any roll one way: {_ways(down_mm, up_mm, units)}."


def level_at_mid(units: Units, *, down_mm: float, up_mm: float, rod: Estimate) -> str:
    """It is level at mid stroke."""
    return f"Mid stroke is {_rod(rod, units)}, within doubt: {_ways(down_mm, up_mm, units)}."


def unequal_roll(units: Units, *, off: Value, down_mm: float, up_mm: float, rod: Estimate) -> str:
    """It is level off mid stroke."""
    where = "over" if off.value > 0 else "under"
    far = f"{_about(abs(off.value), units)} {where} {_rod(rod, units)}"
    return f"Mid stroke is {far}: {_ways(down_mm, up_mm, units)}, unequal roll."


def _ways(down_mm: float, up_mm: float, units: Units) -> str:
    return f"{_about(down_mm, units)} shorter and {_about(up_mm, units)} longer from level"


def _rod(rod: Estimate, units: Units) -> str:
    return f"the other rod, {size_text(rod, units)}"


def no_roll(units: Units, *, height_mm: float) -> str:
    """The links do not meet."""
    where = f"balls at {_height(height_mm, units)}"
    return f"The roll cannot be worked out with the {where}: the links do not meet."


def roll(units: Units, *, up_deg: float, down_deg: float, height_mm: float) -> str:
    """The roll both ways."""
    where = f"balls at {_height(height_mm, units)}"
    return f"{up_deg:+.1f} degrees closed, {-down_deg:+.1f} open ({where}; this side up is +)."


def roll_short(units: Units, *, rolls: str, wanted_deg: float, least_deg: float) -> str:
    """It rolls less than is wanted one way."""
    short = f"{wanted_deg - least_deg:.1f} short one way"
    return f"{rolls} {wanted_deg:g} degrees each way are wanted: {short}."


def roll_uneven(units: Units, *, rolls: str, uneven_deg: float) -> str:
    """It rolls more one way."""
    return f"{rolls} Uneven: {abs(uneven_deg):.1f} degrees more one way."


# pitch, rooms and shaft


def pitch(units: Units, *, spans: tuple[PitchSpan, ...]) -> str:
    """The pitch closed and open at each height."""
    parts = []
    for span in spans:
        closed, opened = (_degrees(angle) for angle in (span.closed_deg, span.open_deg))
        parts.append(f"balls at {_height(span.height_mm, units)}: {closed} closed, {opened} open")
    return f"Degrees, nose up +; {'; '.join(parts)}."


def _degrees(angle: float | CannotReach) -> str:
    return "cannot reach" if isinstance(angle, CannotReach) else f"{angle:+.1f}"


def why_any_height(units: Units) -> str:
    """Why every corner counts."""
    return "A hydraulic link can be run to either end at any height of the hitch, not only where you work."


def above_ground(units: Units, *, worst: Worst, doubt_mm: float) -> str:
    """It stays above the ground."""
    room = f"{_room(worst, doubt_mm, units)} above the ground ({_where(worst, units)})"
    return f"{worst.clearance.point} stays {room} at worst."


def into_ground(units: Units, *, worst: Worst, doubt_mm: float) -> str:
    """It goes into the ground."""
    room = f"{_room(worst, doubt_mm, units)} into the ground ({_where(worst, units)})"
    return f"{worst.clearance.point} goes {room}: do not run it there."


def why_ground_is_no_fault(units: Units) -> str:
    """What that means."""
    return "Over-long only risks the ground and the shaft; flow and habit limit it."


def clears(units: Units, *, worst: Worst, doubt_mm: float) -> str:
    """There is room enough."""
    return f"{_stays(worst, doubt_mm, units)} at worst ({_where(worst, units)})."


def under_standard(units: Units, *, worst: Worst, doubt_mm: float) -> str:
    """There is room, less than the standard asks."""
    return (
        f"{_stays(worst, doubt_mm, units)} ({_where(worst, units)}), under the {_wanted(worst, units)} of the standard."
    )


def too_near(units: Units, *, worst: Worst, doubt_mm: float, cure: str) -> str:
    """There is too little room."""
    wanted = f"{_wanted(worst, units)} wanted ({_where(worst, units)})"
    return f"{_stays(worst, doubt_mm, units)}, {wanted}. {cure}"


def inside(units: Units, *, worst: Worst, doubt_mm: float, cure: str) -> str:
    """It would hit."""
    room = f"{_room(worst, doubt_mm, units)} inside it ({_where(worst, units)})"
    return f"{worst.clearance.point} would be {room}. {cure}"


def _stays(worst: Worst, doubt_mm: float, units: Units) -> str:
    return f"{worst.clearance.point} stays {_room(worst, doubt_mm, units)} away"


def _room(worst: Worst, doubt_mm: float, units: Units) -> str:
    mm = abs(worst.clearance.room_mm)
    return sure_text(mm, doubt_mm, units, 0) if doubt_mm > 0 else _height(mm, units)


def _wanted(worst: Worst, units: Units) -> str:
    return _height(WANTED_MM[worst.clearance.obstacle], units)


def _where(worst: Worst, units: Units) -> str:
    return f"link {_height(worst.length_mm, units)}, balls at {_height(worst.height_mm, units)}"


def no_lift_stop_cures(units: Units) -> str:
    """Nothing helps."""
    return "No lift stop above the working height cures it."


def with_lift_stop(units: Units, *, stop_mm: float) -> str:
    """A lift stop helps."""
    return f"Only with the lift stopped at {_height(stop_mm, units)}, set and written on the machine."


def shaft(units: Units, *, slip: Slip) -> str:
    """What the PTO shaft must take."""
    ends = f"{_height(slip.shortest_mm, units)} to {_height(slip.longest_mm, units)}"
    return (
        f"Steepest joint {slip.steepest_deg:.1f} degrees: {_ANGLES[angle_word(slip.steepest_deg)]}. The shaft works "
        f"from {ends}, {_height(slip.slip_mm, units)} of slip; check overlap and room to close again."
    )


def why_shaft(units: Units) -> str:
    """What a joint takes."""
    return "Trade figures: 15 degrees if you can, 25 at work, 45 for a moment unloaded. PTO off before lifting."
