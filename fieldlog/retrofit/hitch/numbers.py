"""Forces of a hitch opened up: weight, centre of gravity, push and every lever length, each with its share.

Room to cab, tyre and ground opened up: here, at the four corners, and where it is least anywhere.

The PTO shaft opened up: its length and joints as the hitch stands, and what it must take up over the whole field.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from fieldlog.quantity.page_number import Number
from fieldlog.retrofit.carried import Carried, Opener, Values, of_carried
from fieldlog.retrofit.hitch.clearances import Clearance, Worst, nearest_of_each
from fieldlog.retrofit.hitch.field import CORNER_NAMES, FieldLook, ShaftPlaces, room_carried, shaft_places
from fieldlog.retrofit.hitch.forces import (
    BEHIND_MM,
    Shaft,
    joint_of_values,
    lift_rods_kn,
    lift_share,
    load_of_values,
    push_of_values,
    pushed_kn,
    residual_deg,
    shaft_at,
    unevenness,
)
from fieldlog.retrofit.hitch.look import Look, stub_of_values
from fieldlog.retrofit.hitch.plane import CannotReach, Offset, pitch_deg
from fieldlog.retrofit.hitch.setup import figures_for, linkage_of

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


_NONE = CannotReach(0.0, why="no PTO joint is written")


def shaft_numbers(look: Look, field: FieldLook | CannotReach | None, opener: Opener) -> Iterator[Number]:
    """Return length, angles and unevenness here; then the shaft at its shortest, longest and steepest anywhere."""
    if not isinstance(look.shaft, Shaft):
        return
    height_mm = look.setting.height_mm
    for word, about, unit, take in _HERE:
        yield from opener.number(word, about, unit, _answer(height_mm, take))
    if isinstance(field, FieldLook):
        yield from field_shaft_numbers(look, field)


def _answer(height_mm: float, take: Callable[[Shaft], float]) -> Callable[[Values], float | CannotReach]:
    def answer(values: Values) -> float | CannotReach:
        joint = joint_of_values(values)
        shaft = shaft_at(linkage_of(values), height_mm, stub_of_values(values), joint) if joint is not None else _NONE
        return take(shaft) if isinstance(shaft, Shaft) else shaft

    return answer


def _unevenness(shaft: Shaft) -> float:
    return 100 * unevenness(residual_deg(shaft.tractor_deg, shaft.implement_deg))


_HERE: tuple[tuple[str, str, str, Callable[[Shaft], float]], ...] = (
    ("PTO shaft", "PTO shaft from joint to joint", "mm", lambda shaft: shaft.length_mm),
    ("PTO, tractor's joint", "Angle at the tractor's joint", "deg", lambda shaft: shaft.tractor_deg),
    ("PTO, implement's joint", "Angle at the implement's joint", "deg", lambda shaft: shaft.implement_deg),
    ("PTO, unevenness", "How unevenly it turns, forks in line", "%", _unevenness),
)


def field_shaft_numbers(look: Look, field: FieldLook) -> Iterator[Number]:
    """Carry each where it is worst; the shaft's own sizes count in overlap and in what is left to close."""
    places = shaft_places(look.setup, look.linkage, field.field)
    if places is None:
        return
    rows = (
        ("PTO shaft, shortest", places.shortest, "mm", lambda shaft: shaft.length_mm),
        ("PTO shaft, longest", places.longest, "mm", lambda shaft: shaft.length_mm),
        ("PTO joint, steepest", places.steepest, "deg", lambda shaft: shaft.steepest_deg),
    )
    for word, (length_mm, height_mm), unit, take in rows:
        opener = _at(look, length_mm)
        about = f"{word} of all lengths and heights: link {length_mm:.0f} mm, balls {height_mm:.0f} mm"
        yield from opener.number(word, about, unit, _answer(height_mm, take))
    yield from _slip(look, places)
    yield from _left(look, places.longest, "overlap left", "Overlap left at its longest", _overlap)
    yield from _left(look, places.shortest, "left to close", "Left to close at its shortest", _to_close)


def _at(look: Look, length_mm: float) -> Opener:
    figures = figures_for(look.setup, replace(look.setting, top_link_mm=length_mm))
    return Opener({**figures, **look.setup.on_it})


def _slip(look: Look, places: ShaftPlaces) -> Iterator[Number]:
    """Return longest less shortest by the same figures, so that what both share cancels."""
    (short_link, short_balls), (long_link, long_balls) = places.shortest, places.longest
    long_answer, short_answer = (_answer(height_mm, lambda s: s.length_mm) for height_mm in (long_balls, short_balls))

    def answer(values: Values) -> float | CannotReach:
        longest = long_answer(values)
        shortest = short_answer({**values, "top_link": values["top_link"] + short_link - long_link})
        if isinstance(longest, CannotReach):
            return longest
        return shortest if isinstance(shortest, CannotReach) else longest - shortest

    about = "How far the PTO shaft must telescope over all lengths and heights"
    yield from _at(look, long_link).number("PTO slip", about, "mm", answer)


def _left(
    look: Look, place: tuple[float, float], word: str, about: str, take: Callable[[float, Values], float]
) -> Iterator[Number]:
    length_mm, height_mm = place
    opener = _at(look, length_mm)
    if not {"shaft_closed", "shaft_overlap"} <= opener.figures.keys():
        return
    long_answer = _answer(height_mm, lambda shaft: shaft.length_mm)

    def answer(values: Values) -> float | CannotReach:
        found = long_answer(values)
        return found if isinstance(found, CannotReach) else take(found, values)

    yield from opener.number(word, about, "mm", answer)


def _overlap(length_mm: float, values: Values) -> float:
    return values["shaft_overlap"] - (length_mm - values["shaft_closed"])


def _to_close(length_mm: float, values: Values) -> float:
    return length_mm - values["shaft_closed"]
