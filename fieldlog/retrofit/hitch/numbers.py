"""The numbers of a hitch as they are declared: forces, room to cab, tyre and ground, and the PTO shaft.

Each rests on the hitch's figures, on those of what hangs on it, and on the lengths that are looked at.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from types import MappingProxyType

from fieldlog.quantity.number import Behind, Found, Number, Numbers
from fieldlog.quantity.page_number import Number as PageNumber
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Unsound
from fieldlog.quantity.value import Value, carried
from fieldlog.retrofit.carried import Answer, Carried, Given, Opener, Values
from fieldlog.retrofit.hitch.clearances import Worst, nearest_of_each
from fieldlog.retrofit.hitch.field import CORNER_NAMES, FieldLook, ShaftPlaces, room_answer, room_figures, shaft_places
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

Figures = Mapping[str, Given]


@dataclass(frozen=True, slots=True)
class Told:
    """A declared number, the figures it rests on by the ids of its inputs, what it is called and what it is."""

    number: Number
    givens: Figures
    about: Said
    called: Said


@dataclass(frozen=True, slots=True)
class HitchNumbers:
    """The numbers of a hitch by id, and what is said of each that a page tells, in its order."""

    numbers: Numbers
    told: Mapping[str, Told]

    def __contains__(self, number_id: str) -> bool:
        """Tell whether a number is there, with a value."""
        return number_id in self.told and isinstance(self.numbers[number_id], Value)

    def value(self, number_id: str) -> Value:
        """Return a number that must have a value here; an unknown id raises."""
        return self.numbers.value(number_id)

    def refusal(self, number_id: str) -> CannotReach:
        """Return why a number that was declared has no value here."""
        found = self.numbers[number_id]
        if not isinstance(found, CannotReach):
            raise Unsound(f"{number_id} is not out of reach: {found}")
        return found


def numbers_of(all_told: list[Told]) -> HitchNumbers:
    """Return declared numbers, each worked out when it is asked for."""
    givens = {given_id: given for told in all_told for given_id, given in told.givens.items()}
    known: dict[str, Found] = {given_id: given.size for given_id, given in givens.items()}
    behind = {given_id: Behind(given.keys, given.typed) for given_id, given in givens.items()}
    return HitchNumbers(
        Numbers([told.number for told in all_told], known, behind), {told.number.id: told for told in all_told}
    )


def worked_out(
    number_id: str, unit: str, answer: Answer, figures: Figures, formula: str = ""
) -> tuple[Number, Figures]:
    """Return a number that figures are carried into, and they by its ids; what carries no doubt is taken as it is."""
    doubtful = {key: f"{number_id}: {key}" for key, given in figures.items() if given.u > 0}
    exact = {key: given.value for key, given in figures.items() if key not in doubtful}

    def bound(values: Values) -> float | CannotReach:
        found = answer({**exact, **values} if exact else values)
        return _NO_END if found in (math.inf, -math.inf) else found

    def of_inputs(inputs: Mapping[str, Value]) -> Found:
        return carried(bound, {key: inputs[given_id] for key, given_id in doubtful.items()}, unit)

    number = Number(number_id, unit, tuple(doubtful.values()), of_inputs, formula)
    return number, {given_id: figures[key] for key, given_id in doubtful.items()}


_NO_END = CannotReach(0.0, why=said("hitch.no_end"))


def known(number_id: str, found: Carried, formula: str = "") -> tuple[Number, Figures]:
    """Return a number that was worked out already, with what it rests on."""
    givens = {f"{number_id}: {given.id}": given for given in found.behind}
    return Number(number_id, found.unit, tuple(givens), lambda _: found, formula), givens


def called(number_id: str) -> Said:
    """Return what a number is called that has one name only."""
    return said("hitch.called", number=number_id)


_PUSHES = (("top link carried", 0.0), ("top link, pushed forward", -1.0), ("top link, pushed back", 1.0))


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


_NO_LOAD = CannotReach(0.0, why=said("hitch.no_load"))


def force_numbers(look: Look, figures: Figures) -> Iterator[Told]:
    """Return the forces at the height looked at, and what the hitch lifts there."""
    height_mm = look.setting.height_mm
    if "weight" in figures:
        for number_id, way in _PUSHES:
            if way and not figures["push"].value:
                continue
            answer = partial(top_link_answer, height_mm=height_mm, way=way)
            about = said("hitch.about_top_link", way=way)
            yield Told(*worked_out(number_id, "kN", answer, figures, "top link"), about, called(number_id))
        answer = partial(rods_answer, height_mm=height_mm)
        number = worked_out("lift rods", "kN", answer, figures, "lift rods")
        yield Told(*number, said("hitch.about_lift_rods"), called("lift rods"))
    heights = look.heights_mm
    if isinstance(heights, CannotReach):
        return
    lowest_mm = heights[0]

    def share(values: Values) -> float | CannotReach:
        found = lift_share(linkage_of(values), height_mm, lowest_mm, Offset(BEHIND_MM, 0.0))
        return found if isinstance(found, CannotReach) else 100 * found

    yield Told(*worked_out("lifts", "%", share, figures, "lifts"), said("hitch.about_lifts"), called("lifts"))


def room_numbers(look: Look, field: FieldLook | CannotReach | None) -> Iterator[Told]:
    """Return the nearest point to each obstacle as the hitch stands now, then where it is least anywhere."""
    setting = look.setting
    for near in nearest_of_each(look.rooms):
        here = Worst(near, setting.top_link_mm, setting.height_mm)
        yield _room(look, here, "here", said("hitch.place_here"))
    if isinstance(field, FieldLook):
        for worst, room in zip(field.least, field.rooms, strict=True):
            where = said("hitch.place_least", length_mm=worst.length_mm, height_mm=worst.height_mm)
            yield _told_room(worst, "least", where, known(f"{worst.clearance.obstacle}, least", room))


def _room(look: Look, worst: Worst, place: str, where: Said) -> Told:
    figures = room_figures(look.setup, look.setting, worst)
    number_id = f"{worst.clearance.obstacle}, {place}"
    return _told_room(worst, place, where, worked_out(number_id, "mm", room_answer(look.setup, worst), figures))


def _told_room(worst: Worst, place: str, where: Said, number: tuple[Number, Figures]) -> Told:
    about = said("hitch.about_room", clear=worst.clearance, where=where)
    return Told(*number, about, said("hitch.called_room", obstacle=worst.clearance.obstacle, place=place))


def corner_numbers(look: Look, field: FieldLook | CannotReach | None) -> Iterator[Told]:
    """Return pitch and least room at the four corners; there the taping of link and lift counts too."""
    if not isinstance(field, FieldLook):
        return
    ends = (field.link.closed, field.link.open)
    heights = ("ball_lowest", "ball_highest")
    places = [(end, height) for end in ends for height in heights]
    is_taped = look.setting.rod_hole == look.setup.heights_hole
    for name, (end, height), corner in zip(CORNER_NAMES, places, field.corners, strict=True):
        height_mm = corner.corner.height_mm
        answer = partial(_pitch_at, key=height) if is_taped else partial(_pitch_at, height_mm=height_mm)
        number = worked_out(name, "deg", answer, {**look.figures, "top_link": end})
        yield Told(*number, said("hitch.about_corner", corner=name), called(name))
        if corner.worst is not None:
            worst = Worst(corner.worst, corner.corner.length_mm, height_mm)
            yield _room(look, worst, name, said("hitch.place_corner", corner=name))


def _pitch_at(values: Values, key: str = "", height_mm: float = 0.0) -> float | CannotReach:
    """Return the pitch at a height, or at one of the heights that were taped, whose own doubt then counts."""
    return pitch_deg(linkage_of(values), values[key] if key else height_mm)


_NONE = CannotReach(0.0, why=said("hitch.no_pto_joint"))


def shaft_numbers(look: Look, field: FieldLook | CannotReach | None, figures: Figures) -> Iterator[Told]:
    """Return length, angles and unevenness here; then the shaft at its shortest, longest and steepest anywhere."""
    if not isinstance(look.shaft, Shaft):
        return
    height_mm = look.setting.height_mm
    for number_id, unit, take in _HERE:
        number = worked_out(number_id, unit, _answer(height_mm, take), figures)
        yield Told(*number, said("hitch.about_shaft", number=number_id), called(number_id))
    if isinstance(field, FieldLook):
        yield from _field_shaft(look, field)


def _answer(height_mm: float, take: Callable[[Shaft], float]) -> Answer:
    def answer(values: Values) -> float | CannotReach:
        joint = joint_of_values(values)
        shaft = shaft_at(linkage_of(values), height_mm, stub_of_values(values), joint) if joint is not None else _NONE
        return take(shaft) if isinstance(shaft, Shaft) else shaft

    return answer


def _unevenness(shaft: Shaft) -> float:
    return 100 * unevenness(residual_deg(shaft.tractor_deg, shaft.implement_deg))


_HERE: tuple[tuple[str, str, Callable[[Shaft], float]], ...] = (
    ("PTO shaft", "mm", lambda shaft: shaft.length_mm),
    ("PTO, tractor's joint", "deg", lambda shaft: shaft.tractor_deg),
    ("PTO, implement's joint", "deg", lambda shaft: shaft.implement_deg),
    ("PTO, unevenness", "%", _unevenness),
)


@dataclass(frozen=True, slots=True)
class _Worst:
    """A number of the PTO shaft where it is worst: its unit, how it follows, on what, and where that is."""

    id: str
    unit: str
    answer: Answer
    figures: Figures
    place: tuple[float, float]


def _shaft_worst(look: Look, field: FieldLook) -> Iterator[_Worst]:
    """Yield each where it is worst; the shaft's own sizes count in overlap and in what is left to close."""
    places = shaft_places(look.setup, look.linkage, field.field)
    if places is None:
        return
    rows = (
        ("PTO shaft, shortest", places.shortest, "mm", lambda shaft: shaft.length_mm),
        ("PTO shaft, longest", places.longest, "mm", lambda shaft: shaft.length_mm),
        ("PTO joint, steepest", places.steepest, "deg", lambda shaft: shaft.steepest_deg),
    )
    for number_id, place, unit, take in rows:
        yield _Worst(number_id, unit, _answer(place[1], take), _at(look, place[0]), place)
    yield _Worst("PTO slip", "mm", _slip(places), _at(look, places.longest[0]), places.longest)
    if {"shaft_closed", "shaft_overlap"} <= look.setup.on_it.keys():
        yield _left(look, places.longest, "overlap left", _overlap)
        yield _left(look, places.shortest, "left to close", _to_close)


def _field_shaft(look: Look, field: FieldLook) -> Iterator[Told]:
    for worst in _shaft_worst(look, field):
        number = worked_out(worst.id, worst.unit, worst.answer, worst.figures)
        length_mm, height_mm = worst.place
        about = said("hitch.about_shaft_worst", number=worst.id, length_mm=length_mm, height_mm=height_mm)
        yield Told(*number, about, called(worst.id))


def _at(look: Look, length_mm: float) -> Figures:
    figures = figures_for(look.setup, replace(look.setting, top_link_mm=length_mm))
    return {**figures, **look.setup.on_it}


def _slip(places: ShaftPlaces) -> Answer:
    """Return longest less shortest by the same figures, so that what both share cancels."""
    (short_link, short_balls), (long_link, long_balls) = places.shortest, places.longest
    long_answer, short_answer = (_answer(height_mm, lambda s: s.length_mm) for height_mm in (long_balls, short_balls))

    def answer(values: Values) -> float | CannotReach:
        longest = long_answer(values)
        shortest = short_answer({**values, "top_link": values["top_link"] + short_link - long_link})
        if isinstance(longest, CannotReach):
            return longest
        return shortest if isinstance(shortest, CannotReach) else longest - shortest

    return answer


def _left(look: Look, place: tuple[float, float], number_id: str, take: Callable[[float, Values], float]) -> _Worst:
    long_answer = _answer(place[1], lambda shaft: shaft.length_mm)

    def answer(values: Values) -> float | CannotReach:
        found = long_answer(values)
        return found if isinstance(found, CannotReach) else take(found, values)

    return _Worst(number_id, "mm", answer, _at(look, place[0]), place)


def _overlap(length_mm: float, values: Values) -> float:
    return values["shaft_overlap"] - (length_mm - values["shaft_closed"])


def _to_close(length_mm: float, values: Values) -> float:
    return length_mm - values["shaft_closed"]


# What follows is how offers ask for rooms and shaft, as numbers with words.

_SHAFT_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "PTO slip": "How far the PTO shaft must telescope over all lengths and heights",
        "overlap left": "Overlap left at its longest",
        "left to close": "Left to close at its shortest",
    }
)


def least_room_numbers(look: Look, field: FieldLook) -> Iterator[PageNumber]:
    """Return the least room to each obstacle over all lengths and heights."""
    for worst in field.least:
        clear, figures = worst.clearance, room_figures(look.setup, look.setting, worst)
        where = f"least anywhere: link {worst.length_mm:.0f} mm, balls {worst.height_mm:.0f} mm"
        below = "inside" if clear.obstacle != "ground" else "under it"
        about = f"Room from {clear.point} to the {clear.obstacle}, {where} (below nought it is {below})"
        yield from Opener(figures).number(f"{clear.obstacle}, least", about, "mm", room_answer(look.setup, worst))


def field_shaft_numbers(look: Look, field: FieldLook) -> Iterator[PageNumber]:
    """Return what the PTO shaft must take up over all lengths and heights."""
    for worst in _shaft_worst(look, field):
        length_mm, height_mm = worst.place
        at = f"{worst.id} of all lengths and heights: link {length_mm:.0f} mm, balls {height_mm:.0f} mm"
        about = _SHAFT_WORDS.get(worst.id, at)
        yield from Opener(worst.figures).number(worst.id, about, worst.unit, worst.answer)
