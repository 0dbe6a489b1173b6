"""Does a cylinder's eye go on the pin that is there: fits, ream, drill, loose, sleeve, or cannot.

The clearances are those that a hitch hole has when new (standards/joints.py). A seller who writes 3/4 in for a hole
means the pin, so a stated hole that is a pin's nominal size is read as made for that pin.

Both eyes of a cylinder against the pins and gaps at both ends of the link, either way round.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import limit
from fieldlog.records.offer import EndKind, Offer
from fieldlog.retrofit.offers.link_facts import LinkEnd, PinThere
from fieldlog.retrofit.offers.sense import Check, CylinderEnd, Level, OfferFigure, Topic
from fieldlog.retrofit.repair.metal import MetalWord, Opening, opening_text
from fieldlog.retrofit.repair.records import Tool, tool_for
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS, is_one_size

SLEEVE_WALL_GOOD_MM = 2.0  # common practice, no source
SLEEVE_WALL_LEAST_MM = 1.5  # common practice, no source
MOST_GROWTH = 0.20  # a hole drilled up by more leaves too little eye: 19.5 to 22.6 doubtful, to 25.7 not, derived
REAM_MOST_MM = 0.8  # 1/32 in: what a reamer takes out in one go: common practice, no source
LOOSE_MOST_MM = 1.6  # 1/16 in, the room of rough work when new: common practice, no source
_NAMED_WITHIN_MM = 0.06  # how near a stated hole is to a pin's nominal size to be read as that pin
_NEW = JOINT_DEFAULTS["hitch"]
_BALLS: frozenset[EndKind] = frozenset({"ball", "swivel"})


class EyeOnPin(NamedTuple):
    """A hole as it is likely to be, at an end of the cylinder, and the pin that is there."""

    hole: Estimate
    end: CylinderEnd
    pin: PinThere


class Fit(StrEnum):
    """How an eye goes on a pin, best first."""

    FITS = "fits"
    LOOSE = "loose"
    REAM = "ream"
    SLEEVE = "sleeve"
    DRILL = "drill"
    UNKNOWN = "unknown"
    CANNOT = "cannot"

    @property
    def rank(self) -> int:
        """0 for fits up to 6 for cannot."""
        return tuple(Fit).index(self)


@dataclass(frozen=True, slots=True)
class PinFit:
    """One eye on one pin. `part` is a line for the order, None when nothing is needed.

    `opening` is the eye with its hole opened, where that is needed and the eye is known.
    """

    fit: Fit
    said: Said
    wall_mm: float | None = None
    tool: Tool | None = None
    part: Said | None = None
    opening: Opening | None = None


@dataclass(frozen=True, slots=True)
class Eye:
    """One end of the cylinder: its hole; how wide it is along the pin, and its outside across the hole."""

    end: CylinderEnd
    hole: OfferFigure | None
    kind: EndKind | None = None
    width: OfferFigure | None = None
    outside: OfferFigure | None = None

    def opened_to(self, hole: Estimate, to_mm: float, pin_mm: float) -> Opening | None:
        """Return the eye with its hole opened; None where its outside or its width is not known."""
        if self.outside is None or self.width is None:
            return None
        return Opening(self.outside.size, self.width.size, hole, to_mm, pin_mm)

    @property
    def missing(self) -> tuple[str, ...]:
        """What is to be asked for before the metal left can be worked out."""
        return tuple(key for key, figure in (("outside", self.outside), ("width", self.width)) if figure is None)


def pin_fit(eye: Eye, pin: PinThere) -> PinFit:
    """Return how an eye goes on a pin.

    Room = hole - pin. Below zero, doubt included, the hole is made larger; up to the 1.0 mm of a new joint it fits; up
    to the watch line it fits loosely; above, a sleeve whose wall is half the room less half the running clearance,
    2 mm or, thin, 1.5 mm. Holds for round holes. Common practice, no source.
    """
    if eye.hole is None:
        return PinFit(Fit.UNKNOWN, said("eye.hole_not_known", end=eye.end, pin=pin))
    named = _named_pins(eye.hole)
    if any(is_one_size(name, pin.name) or abs(mm - pin.mm) < _NAMED_WITHIN_MM for name, mm in named):
        return PinFit(Fit.FITS, said("eye.made_for_pin", end=eye.end, named=named[0][0], pin=pin))
    itself = _by_size(eye, eye.hole.size, pin)
    if not named:
        return itself
    for_pin = _by_size(eye, _made_for(named[0][1]), pin)
    if for_pin.fit is itself.fit:
        return for_pin
    asked = said("eye.pin_or_hole", hole=eye.hole, end=eye.end, pin=pin, for_pin=for_pin.fit, itself=itself.fit)
    return PinFit(Fit.UNKNOWN, asked)


def _named_pins(hole: OfferFigure) -> list[tuple[str, float]]:
    """Return the pins that a stated hole may name; a measured hole is a hole."""
    if hole.source == "measured":
        return []
    near = [(abs(float(p.mm) - hole.mm), p.name, float(p.mm)) for p in NOMINAL_PINS]
    return [(name, mm) for gap, name, mm in sorted(near) if gap <= _NAMED_WITHIN_MM]


def as_hole(hole: OfferFigure) -> Estimate:
    """Return a hole as it is likely to be: one that a seller names by its pin is made for that pin."""
    named = _named_pins(hole)
    return _made_for(named[0][1]) if named else hole.size


def _made_for(pin_mm: float) -> Estimate:
    """Return the hole that is made for a pin: anything between the least and the most clearance of a new joint."""
    half_mm = (_NEW.new_most_mm - _NEW.new_least_mm) / 2
    why = f"± {half_mm:g} mm, clearance when new"
    made = limit(f"hole for a pin of {pin_mm:g}", half_mm, "usual", label="hole not measured", why=why)
    return Estimate(pin_mm + _NEW.new_least_mm + half_mm, "mm", (made,))


def _by_size(eye: Eye, hole: Estimate, pin: PinThere) -> PinFit:
    on = EyeOnPin(hole, eye.end, pin)
    room_mm, doubt_mm = hole.value - pin.mm, hole.plus_minus
    if room_mm < -doubt_mm:
        return _too_small(eye, hole, pin)
    if room_mm < min(doubt_mm, _NEW.new_least_mm):
        tool = tool_for(pin.name, pin.mm)
        return PinFit(Fit.REAM, said("eye.hardly_any_room", on=on, tool=tool), tool=tool)
    if room_mm <= _NEW.new_most_mm:
        is_tight = room_mm < _NEW.new_least_mm
        return PinFit(Fit.FITS, said("eye.room", on=on, is_tight=is_tight))
    if room_mm <= LOOSE_MOST_MM:
        return PinFit(Fit.LOOSE, said("eye.half_worn", on=on))
    return _sleeved(eye, hole, pin)


def _too_small(eye: Eye, hole: Estimate, pin: PinThere) -> PinFit:
    on = EyeOnPin(hole, eye.end, pin)
    if eye.kind in _BALLS:
        return PinFit(Fit.CANNOT, said("eye.hardened_too_small", on=on, kind=eye.kind))
    tool = tool_for(pin.name, pin.mm)
    opening = eye.opened_to(hole, tool.mm, pin.mm)
    is_reamed = tool.mm - hole.value <= REAM_MOST_MM
    fit = Fit.REAM if is_reamed else Fit.DRILL
    if opening is None and tool.mm / hole.value - 1 > MOST_GROWTH:
        too_much = said("eye.too_much_more_hole", on=on, tool=tool, missing=eye.missing)
        return PinFit(Fit.CANNOT, too_much)
    if opening is None:
        how = said("eye.open_unseen", on=on, tool=tool, is_reamed=is_reamed, missing=eye.missing)
        return PinFit(fit, how, tool=tool)
    if metal_word(opening) is MetalWord.TOO_LITTLE:
        never = said("eye.opened_too_far", on=on, tool=tool, opening=opening)
        return PinFit(Fit.CANNOT, never, opening=opening)
    how = said("eye.open_it", on=on, tool=tool, is_reamed=is_reamed, opening=opening)
    return PinFit(fit, how, tool=tool, opening=opening)


def metal_word(opening: Opening) -> MetalWord:
    """Return what the metal left around an opened hole says."""
    return opening_text(opening, "mm")[0]


def _sleeved(eye: Eye, hole: Estimate, pin: PinThere) -> PinFit:
    on, wall_mm = EyeOnPin(hole, eye.end, pin), (hole.value - pin.mm - _NEW.new_least_mm) / 2
    if wall_mm >= SLEEVE_WALL_LEAST_MM:
        is_thin = wall_mm < SLEEVE_WALL_GOOD_MM
        sleeve = said("eye.sleeve", on=on, wall_mm=wall_mm, is_thin=is_thin)
        return PinFit(Fit.SLEEVE, sleeve, wall_mm, part=said("eye.part_sleeve", on=on))
    if eye.kind in _BALLS:
        never = said("eye.hardened_too_loose", on=on, kind=eye.kind)
        return PinFit(Fit.CANNOT, never, wall_mm)
    bore_mm = pin.mm + _NEW.new_least_mm + 2 * SLEEVE_WALL_GOOD_MM
    part = said("eye.part_bored_sleeve", end=eye.end, pin=pin)
    opening = eye.opened_to(hole, bore_mm, pin.mm)
    if opening is None:
        how = said("eye.bore_unseen", on=on, wall_mm=wall_mm, bore_mm=bore_mm, missing=eye.missing)
        return PinFit(Fit.DRILL, how, wall_mm, part=part)
    if metal_word(opening) is MetalWord.TOO_LITTLE:
        never = said("eye.bored_too_far", on=on, wall_mm=wall_mm, opening=opening)
        return PinFit(Fit.CANNOT, never, wall_mm, opening=opening)
    how = said("eye.bore_it", on=on, wall_mm=wall_mm, opening=opening)
    return PinFit(Fit.DRILL, how, wall_mm, part=part, opening=opening)


_WASHERS_FROM_MM = 3.0  # gap less eye from which washers or spacers centre the eye: common practice
_LEVELS: Mapping[Fit, Level] = {
    Fit.FITS: Level.GOOD,
    Fit.LOOSE: Level.NOTE,
    Fit.REAM: Level.WORK,
    Fit.SLEEVE: Level.WORK,
    Fit.DRILL: Level.WORK,
    Fit.UNKNOWN: Level.ASK,
    Fit.CANNOT: Level.NO,
}


@dataclass(frozen=True, slots=True)
class WayRound:
    """The cylinder one way round: which end is at the tractor, or up; the points about its eyes; its numbers."""

    near_end: CylinderEnd
    points: tuple[Check, ...]
    numbers: Numbers


def eye_of(offer: Offer, figures: Mapping[str, OfferFigure], end: CylinderEnd) -> Eye:
    """Return one end of a cylinder as far as it is known."""
    hole, width, outside = (figures.get(f"{end}_{what}") for what in ("hole", "width", "outside"))
    return Eye(end, hole, offer.cap_end if end is CylinderEnd.CAP else offer.rod_end, width, outside)


def way_round(
    offer: Offer,
    figures: Mapping[str, OfferFigure],
    ends: tuple[LinkEnd, LinkEnd],
    numbers_of: Callable[[CylinderEnd], Numbers],
) -> WayRound:
    """Return the way round in which the worst eye is better; with the cap end at the tractor where both are alike.

    `numbers_of` gives the offer's numbers by which end of it is at the tractor.
    """
    cap, rod = eye_of(offer, figures, CylinderEnd.CAP), eye_of(offer, figures, CylinderEnd.ROD)
    ways = []
    for near, far in ((cap, rod), (rod, cap)):
        numbers = numbers_of(near.end)
        points = [
            point
            for eye, end in ((near, ends[0]), (far, ends[1]))
            for point in (pin_point(eye, end), width_point(eye, end, numbers))
            if point is not None
        ]
        ways.append(WayRound(near.end, tuple(points), numbers))
    return min(ways, key=_badness)


def _badness(way: WayRound) -> tuple[int, int]:
    levels = [point.level for point in way.points]
    return max(levels), sum(levels)


def pin_point(eye: Eye, end: LinkEnd) -> Check:
    """Return how an eye goes on the pin at an end of the link; a pin that is not settled is tried in every size."""
    if not end.pins:
        return Check(Topic.PIN, Level.ASK, said("eye.pin_not_known", at=end.at, settle=end.settle), at=end.at)
    fits = [pin_fit(eye, pin) for pin in end.pins]
    worst = max(fits, key=lambda fit: fit.fit.rank)
    if len(fits) == 1:
        return _point(worst, end.pins[0].origin, end)
    if all(fit.fit is worst.fit for fit in fits):
        return _point(worst, said("eye.answer_is_the_same", pins=end.pins), end)
    each = tuple(fit.fit for fit in fits)
    differ = said("eye.pins_differ", at=end.at, pins=end.pins, fits=each, settle=end.settle)
    return Check(Topic.PIN, Level.ASK, differ, at=end.at)


def _point(fit: PinFit, origin: Said | str, end: LinkEnd) -> Check:
    is_worked = fit.fit in {Fit.REAM, Fit.DRILL, Fit.SLEEVE}
    why = said("eye.why_worked_on", origin=origin) if is_worked else said("eye.why_pin", origin=origin)
    return Check(Topic.PIN, _LEVELS[fit.fit], fit.said, why, part=fit.part, at=end.at)


def width_point(eye: Eye, end: LinkEnd, numbers: Numbers) -> Check | None:
    """Return whether an eye enters the gap at an end of the link; None where neither is known."""
    topic, at, width = Topic.WIDTH, end.at, eye.width
    if width is None and end.gap is None:
        return None
    if width is None:
        return Check(topic, Level.ASK, said("eye.width_not_known", end=eye.end), at=at)
    if end.gap is None:
        return Check(topic, Level.ASK, said("eye.gap_not_known", at=at), at=at)
    room = numbers.value(f"room_in_gap/{at}")
    what = said("eye.in_gap", width=width, end=eye.end, gap=numbers.value(f"gap/{at}"), at=at)
    if room.value < -room.plus_minus:
        return Check(topic, Level.NO, said("eye.too_wide", what=what, room=room), said("eye.why_no_grinding"), at=at)
    if room.value <= room.plus_minus:
        return Check(topic, Level.ASK, said("eye.width_in_doubt", what=what), at=at)
    if room.value > _WASHERS_FROM_MM:
        part = said("eye.part_washers", at=at, room=room)
        return Check(topic, Level.NOTE, said("eye.washers", what=what, room=room), part=part, at=at)
    return Check(topic, Level.GOOD, said("eye.play", what=what, room=room), at=at)
