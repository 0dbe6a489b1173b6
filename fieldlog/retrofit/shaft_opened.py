"""The PTO shaft opened up: its length and joints as the hitch stands, and what it must take up over the whole field."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from fieldlog.retrofit.carried import Values
from fieldlog.retrofit.driveline import Shaft, residual_deg, shaft_at, unevenness
from fieldlog.retrofit.field_look import FieldLook, ShaftPlaces, shaft_places
from fieldlog.retrofit.loads import joint_of_values
from fieldlog.retrofit.look import Look, stub_of_values
from fieldlog.retrofit.opened import Opener
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import figures_for, linkage_of
from fieldlog.wear.numbers import Number

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
