"""Room to cab, tyre and ground for a cylinder over its whole range and the whole lift.

A cylinder can be run to either end at any height of the hitch. Where that comes too near, the height is worked out
below which it does not: a lift stop that must be set and written on the machine.
"""

from collections.abc import Mapping
from itertools import pairwise

from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.clearances import WANTED_MM, Clearance, Field, Obstacle, Worst, clearances_at, least_rooms
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.linkage import pose_at, with_top_link
from fieldlog.retrofit.offer_on_hitch import room_doubt_mm
from fieldlog.retrofit.on_hitch import OnHitch, height_words
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.repair_records import sure_text

TYRE_LEAST_MM = 50.0  # room to a tyre that nothing moves against; 100 mm is the standard's, both from memory
_HEIGHTS = 16
_LENGTHS = 12
_STOP_WITHIN_MM = 1.0
_STOP_DOWN_MM = 5.0  # a lift stop is set a little lower than worked out, to a round figure
_ANY_HEIGHT = "A hydraulic link can be run to either end at any height of the hitch, not only where you work."


def room_checks(hitch: OnHitch, field: Field, figures: Mapping[str, OfferFigure], units: Units) -> list[Check]:
    """Return the least room to cab, tyre and ground over all lengths and heights, and what cures too little."""
    if not hitch.points:
        return []
    found = least_rooms(hitch.linkage, field, hitch.points, hitch.around)
    return [_room(worst, hitch, field, _doubt_mm(hitch, figures, worst), units) for worst in found]


def _doubt_mm(hitch: OnHitch, figures: Mapping[str, OfferFigure], worst: Worst) -> float:
    return room_doubt_mm(hitch.setup, figures, worst) if hitch.setup is not None else 0.0


def _room(worst: Worst, hitch: OnHitch, field: Field, doubt_mm: float, units: Units) -> Check:
    clear = worst.clearance
    topic = f"room to the {clear.obstacle}"
    where = f"link {height_words(worst.length_mm, units)}, balls at {height_words(worst.height_mm, units)}"
    room, wanted = _sure(abs(clear.room_mm), doubt_mm, units), height_words(WANTED_MM[clear.obstacle], units)
    if clear.obstacle == "ground":
        return _ground(topic, clear, f"{room} {{}} ({where})")
    if clear.spare_mm >= 0:
        return Check(topic, Level.GOOD, f"{clear.point} stays {room} away at worst ({where}).", _ANY_HEIGHT)
    if clear.obstacle == "tyre" and clear.room_mm >= TYRE_LEAST_MM:
        text = f"{clear.point} stays {room} away ({where}), under the {wanted} of the standard."
        return Check(topic, Level.NOTE, text, _ANY_HEIGHT)
    state = f"stays {room} away, {wanted} wanted" if clear.room_mm > 0 else f"would be {room} inside it"
    level, cure = _cure(hitch, field, clear.obstacle, units)
    return Check(topic, level, f"{clear.point} {state} ({where}). {cure}", _ANY_HEIGHT)


def _sure(mm: float, doubt_mm: float, units: Units) -> str:
    return sure_text(mm, doubt_mm, units, 0) if doubt_mm > 0 else height_words(mm, units)


def _ground(topic: str, clear: Clearance, room: str) -> Check:
    """An implement is there to meet the ground: that is a remark, never a fault."""
    if clear.room_mm >= 0:
        return Check(topic, Level.GOOD, f"{clear.point} stays {room.format('above the ground')} at worst.")
    text = f"{clear.point} goes {room.format('into the ground')}: do not run it there."
    return Check(topic, Level.NOTE, text, "Over-long only risks the ground and the shaft; flow and habit limit it.")


def _cure(hitch: OnHitch, field: Field, obstacle: Obstacle, units: Units) -> tuple[Level, str]:
    stop_mm = lift_stop_mm(hitch, field, obstacle)
    if stop_mm is None or stop_mm < max(hitch.work_mm):
        return Level.NO, "No lift stop above the working height cures it."
    return Level.LIMIT, f"Only with the lift stopped at {height_words(stop_mm, units)}, set and written on the machine."


def lift_stop_mm(hitch: OnHitch, field: Field, obstacle: Obstacle) -> float | None:
    """Return the greatest height of the balls up to which everything clears an obstacle by the room wanted.

    The lift is walked up in steps to the first height that does not clear, then halved; every length of a grid counts
    at each height. Rounded down to 5 mm. None where even the lowest position does not clear it.
    """
    steps = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _HEIGHTS for step in range(_HEIGHTS + 1)]
    if not _clears(hitch, field, obstacle, steps[0]):
        return None
    low, high = steps[0], steps[-1]
    for below, above in pairwise(steps):
        if not _clears(hitch, field, obstacle, above):
            low, high = below, above
            break
    while high - low > _STOP_WITHIN_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if _clears(hitch, field, obstacle, middle) else (low, middle)
    return low // _STOP_DOWN_MM * _STOP_DOWN_MM


def _clears(hitch: OnHitch, field: Field, obstacle: Obstacle, height_mm: float) -> bool:
    for step in range(_LENGTHS + 1):
        length_mm = field.closed_mm + (field.open_mm - field.closed_mm) * step / _LENGTHS
        pose = pose_at(with_top_link(hitch.linkage, length_mm), height_mm)
        if isinstance(pose, CannotReach):
            continue
        rooms = clearances_at(pose, hitch.points, hitch.around)
        if any(clear.spare_mm < 0 for clear in rooms if clear.obstacle == obstacle):
            return False
    return True
