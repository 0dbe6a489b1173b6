"""A hitch with an implement on it as it bears on a cylinder: the length needed there, and what must be cleared.

A tilt cylinder on a hitch whose geometry is known: degrees of roll each way, and whether that is what is wanted.

An offer in the link's place on a measured hitch: how sure its rooms are, and every number of it opened up.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import exactly
from fieldlog.retrofit.carried import Carried, Measure, Opener, Values, of_estimate
from fieldlog.retrofit.hitch.clearances import ClearPoint, Need, Surroundings, Worst
from fieldlog.retrofit.hitch.field import FieldLook, field_look, room_carried, with_ranges
from fieldlog.retrofit.hitch.lift import arm_at, levelling
from fieldlog.retrofit.hitch.look import first_setting, look, roll_of
from fieldlog.retrofit.hitch.numbers import field_shaft_numbers, least_room_numbers
from fieldlog.retrofit.hitch.plane import CannotReach, Linkage, Offset, Point, pitch_deg, with_top_link
from fieldlog.retrofit.hitch.setup import HitchSetup, LinkRange, Setting, figures_for, linkage_of
from fieldlog.retrofit.offers.demand import offer_measure
from fieldlog.retrofit.offers.reach import Wanted
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure, Topic

_NOTHING_AROUND = Surroundings()


@dataclass(frozen=True, slots=True)
class OnHitch:
    """A hitch with an implement: holes in use, heights of the balls, and what must be cleared.

    `work_mm` are the working heights, `need` the length needed there, `need_sizes` the same with the
    doubt that the hitch's figures leave in both ends.
    `stub` and `joint` are the ends of the PTO shaft where there is one; `name` and `roll_deg` are the implement's
    name and the roll each way that it asks. `setup` is what all that comes from, with the doubt of each figure.
    """

    linkage: Linkage
    heights_mm: tuple[float, float]
    work_mm: tuple[float, float]
    need: Need | None = None
    need_sizes: tuple[Carried, Carried] | None = None
    need_words: Said | str = ""
    points: tuple[ClearPoint, ...] = ()
    around: Surroundings = _NOTHING_AROUND
    stub: Point | None = None
    joint: Offset | None = None
    name: str = ""
    roll_deg: float | None = None
    setup: HitchSetup | None = None


def wanted_of(hitch: OnHitch) -> Wanted | None:
    """Return the lengths that the work on this hitch needs; None where that is not known."""
    need = hitch.need
    if need is None:
        return None

    def lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
        closed = pitch_deg(with_top_link(hitch.linkage, closed_mm), need.shortest_at_mm)
        opened = pitch_deg(with_top_link(hitch.linkage, open_mm), need.longest_at_mm)
        down = None if isinstance(closed, CannotReach) else closed - need.down_deg
        return down, None if isinstance(opened, CannotReach) else need.up_deg - opened

    sizes = hitch.need_sizes
    low, high = (exactly(0.0, "mm") if sizes is None else sizes[n].length for n in (0, 1))
    least, most = replace(low, value=need.shortest_mm), replace(high, value=need.longest_mm)
    return Wanted(least, most, hitch.need_words, lost, behind=sizes)


UNEVEN_DEG = 1.0  # difference of roll both ways that is worth a word: common practice, no source


def roll_checks(
    linkage: Linkage, height_mm: float, wanted_deg: float | None, figures: dict[str, OfferFigure]
) -> tuple[Check, ...]:
    """Return the roll (side to side) of a cylinder in the place of one lift rod, at a height of the balls.

    The linkage's rod is the other one, which keeps its length and sets the height.
    """
    topic, arm = Topic.ROLL, arm_at(linkage, height_mm)
    found = arm if isinstance(arm, CannotReach) else levelling(linkage, arm, figures["closed"].mm, figures["open"].mm)
    if isinstance(found, CannotReach):
        return (Check(topic, Level.ASK, said("corner.no_roll", height_mm=height_mm)),)
    up_deg, down_deg, least_deg = found.up_deg, found.down_deg, min(found.up_deg, found.down_deg)
    rolls = said("corner.roll", up_deg=up_deg, down_deg=down_deg, height_mm=height_mm)
    if wanted_deg is not None and least_deg < wanted_deg:
        short = said("corner.roll_short", rolls=rolls, wanted_deg=wanted_deg, least_deg=least_deg)
        return (Check(topic, Level.LIMIT, short, cost_mm=wanted_deg - least_deg),)
    is_met = wanted_deg is not None
    if abs(found.uneven_deg) > UNEVEN_DEG:
        uneven = said("corner.roll_uneven", rolls=rolls, uneven_deg=found.uneven_deg)
        return (Check(topic, Level.NOTE, uneven, meets_need=is_met),)
    return (Check(topic, Level.GOOD, rolls, meets_need=is_met),)


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
