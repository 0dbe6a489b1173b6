"""Room to cab, tyre and ground opened up: here, at the four corners, and where it is least anywhere."""

from collections.abc import Iterator
from functools import partial

from fieldlog.retrofit.carried import Carried, Values
from fieldlog.retrofit.clearances import Clearance, Worst, nearest_of_each
from fieldlog.retrofit.field_look import CORNER_NAMES, FieldLook, room_carried
from fieldlog.retrofit.linkage import pitch_deg
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.opened import Opener, of_carried
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import linkage_of
from fieldlog.wear.numbers import Number


def room_numbers(look: Look, field: FieldLook | CannotReach | None) -> Iterator[Number]:
    """Return the nearest point to each obstacle as the hitch stands now, then where it is least anywhere."""
    setting = look.setting
    for near in nearest_of_each(look.rooms):
        here = Worst(near, setting.top_link_mm, setting.height_mm)
        yield from _room(look, here, f"{near.obstacle} here", "here")
    if isinstance(field, FieldLook):
        yield from least_room_numbers(look, field)


def least_room_numbers(look: Look, field: FieldLook) -> Iterator[Number]:
    """Return the least room to each obstacle over all lengths and heights."""
    for worst in field.least:
        where = f"least anywhere: link {worst.length_mm:.0f} mm, balls {worst.height_mm:.0f} mm"
        yield from _room(look, worst, f"{worst.clearance.obstacle}, least", where)


def _room(look: Look, worst: Worst, word: str, where: str) -> Iterator[Number]:
    found = room_carried(look.setup, look.setting, worst)
    if isinstance(found, Carried):
        yield of_carried(word, _about(worst.clearance, where), found)


def _about(clear: Clearance, where: str) -> str:
    inside = " (below nought it is inside)" if clear.obstacle != "ground" else " (below nought it is under it)"
    return f"Room from {clear.point} to the {clear.obstacle}, {where}{inside}"


def corner_numbers(look: Look, field: FieldLook | CannotReach | None) -> Iterator[Number]:
    """Return pitch and least room at the four corners; there the taping of link and lift counts too."""
    if not isinstance(field, FieldLook):
        return
    ends = (field.link.closed, field.link.open)
    heights = ("ball_lowest", "ball_highest")
    places = [(end, height) for end in ends for height in heights]
    is_taped = look.setting.rod_hole == look.setup.heights_hole
    for name, (end, height), corner in zip(CORNER_NAMES, places, field.corners, strict=True):
        opener = Opener({**look.figures, "top_link": end})
        height_mm = corner.corner.height_mm
        answer = partial(_pitch_at, key=height) if is_taped else partial(_pitch_at, height_mm=height_mm)
        yield from opener.number(name, f"Pitch (fore-aft), nose up +, link and balls {name}", "deg", answer)
        if corner.worst is not None:
            worst = Worst(corner.worst, corner.corner.length_mm, height_mm)
            yield from _room(look, worst, f"{corner.worst.obstacle}, {name}", f"link and balls {name}")


def _pitch_at(values: Values, key: str = "", height_mm: float = 0.0) -> float | CannotReach:
    """Return the pitch at a height, or at one of the heights that were taped, whose own doubt then counts."""
    return pitch_deg(linkage_of(values), values[key] if key else height_mm)
