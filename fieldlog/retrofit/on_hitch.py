"""Offers on a hitch whose geometry is known: the length needed, pitch at both ends, corners, PTO shaft.

The length the work needs decides first; then a cylinder, which can be run to either end at any height, is looked at
over its whole range and the whole lift. Where a corner is too near, the height is given below which it is not.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.estimate import Estimate, Part
from fieldlog.measure.rounding import mm_text
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.clearances import WANTED_MM, ClearPoint, Field, Obstacle, Surroundings, Worst, least_rooms
from fieldlog.retrofit.driveline import MOMENTARY_DEG, angle_word, slip
from fieldlog.retrofit.figures import Figure
from fieldlog.retrofit.linkage import Linkage, Offset
from fieldlog.retrofit.needed import Need, against, pitch_span
from fieldlog.retrofit.plane import CannotReach, Point
from fieldlog.retrofit.reach import Wanted

_NOTHING_AROUND = Surroundings()
_STEPS = 8
_STOP_WITHIN_MM = 1.0
_STOP_DOWN_MM = 5.0  # a lift stop is set a little lower than worked out, to a round figure
_ANY_HEIGHT = "A hydraulic link can be run to either end at any height of the hitch, not only where you work."
_SHAFT_WHY = "Trade figures: 15 degrees if you can, 25 at work, 45 for a moment unloaded. PTO off before lifting."


@dataclass(frozen=True, slots=True)
class OnHitch:
    """A hitch with an implement: holes in use, heights of the balls, and what must be cleared.

    `work_mm` are the working heights, `need` the length needed there, `need_u_mm` how sure it is at both ends.
    `stub` and `joint` are the ends of the PTO shaft where there is one.
    """

    linkage: Linkage
    heights_mm: tuple[float, float]
    work_mm: tuple[float, float]
    need: Need | None = None
    need_u_mm: tuple[float, float] = (0.0, 0.0)
    need_words: str = ""
    points: tuple[ClearPoint, ...] = ()
    around: Surroundings = _NOTHING_AROUND
    stub: Point | None = None
    joint: Offset | None = None


def wanted_of(hitch: OnHitch) -> Wanted | None:
    """Return the lengths that the work on this hitch needs; None where that is not known."""
    need = hitch.need
    if need is None:
        return None

    def lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
        found = against(hitch.linkage, need, closed_mm, open_mm)
        return _number(found.lost_down_deg), _number(found.lost_up_deg)

    low, high = (
        Estimate(mm, (Part("geometry", u_mm, math.inf, "carried through the hitch"),) if u_mm else ())
        for mm, u_mm in zip((need.shortest_mm, need.longest_mm), hitch.need_u_mm, strict=True)
    )
    return Wanted(low, high, hitch.need_words, lost)


def _number(found: float | CannotReach) -> float | None:
    return None if isinstance(found, CannotReach) else found


def hitch_checks(hitch: OnHitch, figures: dict[str, Figure], units: Units) -> tuple[Check, ...]:
    """Return what the geometry says of a cylinder between its closed and open length."""
    closed_mm, open_mm = figures["closed"].mm, figures["open"].mm
    field = Field(closed_mm, open_mm, *hitch.heights_mm)
    return (_pitch(hitch, field, units), *_rooms(hitch, field, units), *_shaft(hitch, field, units))


def _pitch(hitch: OnHitch, field: Field, units: Units) -> Check:
    heights = tuple(dict.fromkeys((*hitch.work_mm, field.highest_mm)))
    parts = []
    for span in pitch_span(hitch.linkage, field.closed_mm, field.open_mm, heights):
        ends = [_degrees(angle) for angle in (span.closed_deg, span.open_deg)]
        parts.append(f"balls at {mm_text(span.height_mm, units, _places(units))}: {ends[0]} closed, {ends[1]} open")
    return Check("pitch, fore-aft", Level.GOOD, f"Degrees, nose up +; {'; '.join(parts)}.")


def _degrees(angle: float | CannotReach) -> str:
    return "cannot reach" if isinstance(angle, CannotReach) else f"{angle:+.1f}"


def _places(units: Units) -> int:
    return 0 if units == "mm" else 1


def _rooms(hitch: OnHitch, field: Field, units: Units) -> list[Check]:
    if not hitch.points:
        return []
    found = least_rooms(hitch.linkage, field, hitch.points, hitch.around)
    return [_room(worst, hitch, field, units) for worst in found]


def _room(worst: Worst, hitch: OnHitch, field: Field, units: Units) -> Check:
    clear, wanted_mm = worst.clearance, WANTED_MM[worst.clearance.obstacle]
    where = f"link {mm_text(worst.length_mm, units, _places(units))}, balls at "
    where += mm_text(worst.height_mm, units, _places(units))
    topic = f"room to the {clear.obstacle}"
    room = mm_text(abs(clear.room_mm), units, _places(units))
    if clear.obstacle == "ground":
        if clear.room_mm >= 0:
            return Check(topic, Level.GOOD, f"{clear.point} stays {room} above the ground at worst ({where}).")
        text = f"{clear.point} goes {room} into the ground ({where}): do not run it there."
        return Check(topic, Level.NOTE, text, "Over-long only risks the ground and the shaft; flow and habit limit it.")
    if clear.spare_mm >= 0:
        return Check(topic, Level.GOOD, f"{clear.point} stays {room} away at worst ({where}).", _ANY_HEIGHT)
    state = f"stays {room} away, {wanted_mm:.0f} mm wanted" if clear.room_mm > 0 else f"would be {room} inside it"
    text = f"{clear.point} {state} ({where})."
    stop_mm = lift_stop_mm(hitch, field, clear.obstacle)
    if stop_mm is None or stop_mm < max(hitch.work_mm):
        return Check(topic, Level.NO, f"{text} No lift stop above the working height cures it.", _ANY_HEIGHT)
    cure = f"Only with the lift stopped at {mm_text(stop_mm, units, _places(units))}, set and written on the machine."
    return Check(topic, Level.LIMIT, f"{text} {cure}", _ANY_HEIGHT)


def lift_stop_mm(hitch: OnHitch, field: Field, obstacle: Obstacle) -> float | None:
    """Return the greatest height of the balls up to which everything clears an obstacle by the room wanted.

    By halving the lift; rounded down to 5 mm. None where even the lowest position does not clear it.
    """
    points: Sequence[ClearPoint] = hitch.points

    def clears(height_mm: float) -> bool:
        found = least_rooms(hitch.linkage, replace(field, highest_mm=height_mm), points, hitch.around)
        return all(worst.clearance.spare_mm >= 0 for worst in found if worst.clearance.obstacle == obstacle)

    low, high = field.lowest_mm, field.highest_mm
    if not clears(low):
        return None
    while high - low > _STOP_WITHIN_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if clears(middle) else (low, middle)
    return low // _STOP_DOWN_MM * _STOP_DOWN_MM


def _shaft(hitch: OnHitch, field: Field, units: Units) -> list[Check]:
    if hitch.stub is None or hitch.joint is None:
        return []
    lengths = [field.closed_mm + (field.open_mm - field.closed_mm) * step / _STEPS for step in range(_STEPS + 1)]
    heights = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _STEPS for step in range(_STEPS + 1)]
    found = slip(hitch.linkage, lengths, heights, hitch.stub, hitch.joint)
    if found is None:
        return []
    word = angle_word(found.steepest_deg)
    level = Level.LIMIT if found.steepest_deg > MOMENTARY_DEG else Level.GOOD if word == "good" else Level.NOTE
    ends = f"{mm_text(found.shortest_mm, units, _places(units))} to {mm_text(found.longest_mm, units, _places(units))}"
    told = {
        "good": "good everywhere",
        "allowed": "allowed at work",
        "PTO off": "PTO off before it is lifted",
        "too much": "more than a joint takes even at rest",
    }[word]
    text = (
        f"Steepest joint {found.steepest_deg:.0f} degrees: {told}. The shaft works from {ends}, "
        f"{mm_text(found.slip_mm, units, _places(units))} of slip; check overlap and room to close again."
    )
    return [Check("PTO shaft", level, text, _SHAFT_WHY)]
