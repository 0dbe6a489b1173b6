"""An offer in the link's place on a measured hitch: how sure its rooms are, and every number of it opened up."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from fieldlog.measure.estimate import Estimate
from fieldlog.retrofit.carried import Carried, Measure, Values, of_estimate
from fieldlog.retrofit.clearances import Worst
from fieldlog.retrofit.field_look import FieldLook, field_look, room_carried, with_ranges
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.linkage import pitch_deg
from fieldlog.retrofit.look import first_setting, look, roll_of
from fieldlog.retrofit.offered import offer_measure
from fieldlog.retrofit.opened import Opener
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.rooms_opened import least_room_numbers
from fieldlog.retrofit.setup import HitchSetup, LinkRange, Setting, figures_for, linkage_of
from fieldlog.retrofit.shaft_opened import field_shaft_numbers
from fieldlog.wear.numbers import Number


def on_this_hitch(setup: HitchSetup, figures: Mapping[str, OfferFigure]) -> tuple[HitchSetup, Setting]:
    """Return the hitch with the offer among its links, and the setting that looks at it."""
    link = LinkRange("offer", offer_measure(figures["closed"]), offer_measure(figures["open"]))
    return with_ranges(setup, (link,)), replace(first_setting(setup), link=len(setup.ranges))


def room_doubt_mm(setup: HitchSetup, figures: Mapping[str, OfferFigure], worst: Worst) -> float:
    """Return the 95 % half-width of a least room with the offer in the link's place."""
    found = room_carried(*on_this_hitch(setup, figures), worst)
    return found.plus_minus if isinstance(found, Carried) else 0.0


def hitch_numbers_of(
    setup: HitchSetup, figures: Mapping[str, OfferFigure], other_rod: tuple[Estimate | None, str], *, is_rod: bool
) -> list[Number]:
    """Return what the hitch's geometry says of an offer, each number under the implement's name."""
    item = setup.implement
    name = f", {item.name or item.id}" if item is not None else ""
    here, setting = on_this_hitch(setup, figures)
    found = _rolls(here, setting, other_rod) if is_rod else _of_top_link(here, setting)
    return [replace(number, word=f"{number.word}{name}", about=f"{number.about}{name}") for number in found]


def _of_top_link(setup: HitchSetup, setting: Setting) -> Iterator[Number]:
    yield from _pitches(setup, setting)
    field = field_look(setup, setting)
    if isinstance(field, FieldLook):
        here = look(setup, setting)
        yield from least_room_numbers(here, field)
        yield from field_shaft_numbers(here, field)


def _pitches(setup: HitchSetup, setting: Setting) -> Iterator[Number]:
    """Return the pitch closed and open, at the working heights and with the balls highest."""
    link, item = setup.ranges[setting.link], setup.implement
    given = (
        [height for height in (item.work_lowest, item.work_highest) if height is not None] if item is not None else []
    )
    heights_mm = [float(height.mm) for height in given] or [setting.height_mm]
    for height_mm in dict.fromkeys((*heights_mm, setup.figures["ball_highest"].mm)):
        for word, end in (("closed", link.closed), ("open", link.open)):
            opener = Opener({**figures_for(setup, setting), "top_link": end})
            about = f"Pitch (fore-aft) {word}, nose up +, balls at {height_mm:.0f} mm"
            answer = partial(_pitch, height_mm=height_mm)
            yield from opener.number(f"pitch {word}, balls {height_mm:.0f} mm", about, "deg", answer)


def _pitch(values: Values, height_mm: float) -> float | CannotReach:
    return pitch_deg(linkage_of(values), height_mm)


def _rolls(setup: HitchSetup, setting: Setting, other_rod: tuple[Estimate | None, str]) -> Iterator[Number]:
    """Return the roll closed and open, the other rod keeping the length it was taped at."""
    link, figures = setup.ranges[setting.link], figures_for(setup, setting)
    size, name = other_rod
    other: Measure = of_estimate(size, name or "other lift rod") if size is not None else figures["lift_rod"]
    for word, end in (("closed", link.closed), ("open", link.open)):
        opener = Opener({**figures, "lift_rod": other, "rod": end})
        about = f"Roll (side to side) {word}, its side up +, balls at {setting.height_mm:.0f} mm"
        yield from opener.number(f"roll {word}", about, "deg", roll_of(setting))
