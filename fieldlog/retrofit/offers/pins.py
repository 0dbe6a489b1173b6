"""Does a cylinder's eye go on the pin that is there: fits, ream, drill, loose, sleeve, or cannot.

The clearances are those that a hitch hole has when new (standards/joints.py). A seller who writes 3/4 in for a hole
means the pin, so a stated hole that is a pin's nominal size is read as made for that pin.

Both eyes of a cylinder against the pins and gaps at both ends of the link, either way round.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.source import limit
from fieldlog.records.offer import EndKind, Offer
from fieldlog.retrofit.offers.link_facts import LinkEnd, PinThere
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure
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


class Fit(StrEnum):
    """How an eye goes on a pin, best first."""

    FITS = "fits"
    LOOSE = "fits loosely"
    REAM = "needs reaming"
    SLEEVE = "needs a sleeve"
    DRILL = "needs drilling"
    UNKNOWN = "not known"
    CANNOT = "cannot"

    @property
    def rank(self) -> int:
        """0 for fits up to 6 for cannot."""
        return tuple(Fit).index(self)


@dataclass(frozen=True, slots=True)
class PinFit:
    """One eye on one pin. `part` is a line for the order, empty when nothing is needed.

    `opening` is the eye with its hole opened, where that is needed and the eye is known.
    """

    fit: Fit
    sentence: str
    wall_mm: float | None = None
    tool: Tool | None = None
    part: str = ""
    opening: Opening | None = None


@dataclass(frozen=True, slots=True)
class Eye:
    """One end of the cylinder: its hole; how wide it is along the pin, and its outside across the hole."""

    end: str
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
    def missing(self) -> str:
        """What is to be asked for before the metal left can be worked out."""
        words = (("outside across the hole", self.outside), ("width along the pin", self.width))
        return " and ".join(word for word, figure in words if figure is None)


def pin_fit(eye: Eye, pin: PinThere, units: Units) -> PinFit:
    """Return how an eye goes on a pin.

    Room = hole - pin. Below zero, doubt included, the hole is made larger; up to the 1.0 mm of a new joint it fits; up
    to the watch line it fits loosely; above, a sleeve whose wall is half the room less half the running clearance,
    2 mm or, thin, 1.5 mm. Holds for round holes. Common practice, no source.
    """
    if eye.hole is None:
        text = f"The hole at the {eye.end} is not known: ask for the pin it takes, here {pin.name}."
        return PinFit(Fit.UNKNOWN, text)
    named = _named_pins(eye.hole)
    if any(is_one_size(name, pin.name) or abs(mm - pin.mm) < _NAMED_WITHIN_MM for name, mm in named):
        return PinFit(Fit.FITS, f"Its {eye.end} is made for a {named[0][0]} pin, as is there ({pin.name}).")
    itself = _by_size(eye, eye.hole.size, pin, units)
    if not named:
        return itself
    for_pin = _by_size(eye, _made_for(named[0][1]), pin, units)
    if for_pin.fit is itself.fit:
        return for_pin
    text = (
        f"{eye.hole.typed} at the {eye.end}: as the pin it takes it {for_pin.fit.value} on {pin.name}, as the hole "
        f"itself it {itself.fit.value}. Ask which is meant, or measure it."
    )
    return PinFit(Fit.UNKNOWN, text)


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


def _by_size(eye: Eye, hole: Estimate, pin: PinThere, units: Units) -> PinFit:
    room_mm, doubt_mm = hole.value_mm - pin.mm, hole.expanded_mm
    what = f"Hole {size_text(hole, units)} at the {eye.end} on a {pin.name} pin"
    if room_mm < -doubt_mm:
        return _too_small(eye, hole, pin, units)
    if room_mm < min(doubt_mm, _NEW.new_least_mm):
        tool = tool_for(pin.name, pin.mm)
        text = f"{what}: hardly any room. Try the pin; where it binds, {tool.words} ({tool.size_text(units)})."
        return PinFit(Fit.REAM, text, tool=tool)
    room = f"{mm_text(room_mm, units)} of room"
    if room_mm <= _NEW.new_most_mm:
        tight = " (tight, but it goes)" if room_mm < _NEW.new_least_mm else ""
        return PinFit(Fit.FITS, f"{what}: {room}{tight}.")
    if room_mm <= LOOSE_MOST_MM:
        text = f"{what}: {room}, more than a good joint has when new: it starts half worn."
        return PinFit(Fit.LOOSE, text)
    return _sleeved(eye, hole, pin, units)


def _too_small(eye: Eye, hole: Estimate, pin: PinThere, units: Units) -> PinFit:
    what = f"The {pin.name} pin does not enter the {size_text(hole, units)} hole at the {eye.end}"
    if eye.kind in _BALLS:
        text = f"{what}, and a hardened {eye.kind} is never drilled: ask for another end, or for this pin's size."
        return PinFit(Fit.CANNOT, text)
    tool = tool_for(pin.name, pin.mm)
    opening = eye.opened_to(hole, tool.mm, pin.mm)
    grown = tool.mm / hole.value_mm - 1
    if opening is None and grown > MOST_GROWTH:
        text = (
            f"{what}; to {tool.size_text(units)} is {100 * grown:.0f} % more hole, which leaves too little eye unless "
            f"its {eye.missing} says otherwise. Not this one."
        )
        return PinFit(Fit.CANNOT, text)
    is_reamed = tool.mm - hole.value_mm <= REAM_MOST_MM
    text = f"{what}: {tool.words if is_reamed else tool.drill_words} ({tool.size_text(units)})"
    if opening is None:
        text += f", after the metal left around the hole is checked: ask for the eye's {eye.missing}."
        return PinFit(Fit.REAM if is_reamed else Fit.DRILL, text, tool=tool)
    word, left = opening_text(opening, units)
    if word is MetalWord.TOO_LITTLE:
        return PinFit(Fit.CANNOT, f"{what}; opened to {tool.size_text(units)}: {left}. Not this one.", opening=opening)
    return PinFit(Fit.REAM if is_reamed else Fit.DRILL, f"{text}; {left}.", tool=tool, opening=opening)


def _sleeved(eye: Eye, hole: Estimate, pin: PinThere, units: Units) -> PinFit:
    wall_mm = (hole.value_mm - pin.mm - _NEW.new_least_mm) / 2
    what = f"Hole {size_text(hole, units)} at the {eye.end} is {mm_text(hole.value_mm - pin.mm, units)} over {pin.name}"
    if wall_mm >= SLEEVE_WALL_LEAST_MM:
        thin = ", thin" if wall_mm < SLEEVE_WALL_GOOD_MM else ""
        sizes = f"outside {mm_text(hole.value_mm, units)}, inside for {pin.name}"
        text = (
            f"{what}: a sleeve with a wall of {mm_text(wall_mm, units, _one(units))}{thin}; keep it from walking out."
        )
        return PinFit(Fit.SLEEVE, text, wall_mm, part=f"sleeve for the {eye.end}: {sizes}, as long as the eye is wide")
    if eye.kind in _BALLS:
        text = f"{what}: too loose, too thin for a sleeve, and a hardened {eye.kind} is never drilled. Not this end."
        return PinFit(Fit.CANNOT, text, wall_mm)
    bore_mm = pin.mm + _NEW.new_least_mm + 2 * SLEEVE_WALL_GOOD_MM
    loose = f"{what}: too loose, and only {mm_text(wall_mm, units, _one(units))} of wall for a sleeve"
    bored = f"{loose}. Bore the eye to {mm_text(bore_mm, units)} for a sleeve of 2 mm"
    part = f"sleeve for the {eye.end}: wall 2 mm, inside for {pin.name}"
    opening = eye.opened_to(hole, bore_mm, pin.mm)
    if opening is None:
        text = f"{bored}, after the metal left is checked (ask for the eye's {eye.missing}), or ask for the right eye."
        return PinFit(Fit.DRILL, text, wall_mm, part=part)
    word, left = opening_text(opening, units)
    if word is MetalWord.TOO_LITTLE:
        text = f"{loose}; bored to {mm_text(bore_mm, units)} for one: {left}. Ask for the right eye."
        return PinFit(Fit.CANNOT, text, wall_mm, opening=opening)
    return PinFit(Fit.DRILL, f"{bored}; {left}. Or ask for the right eye.", wall_mm, part=part, opening=opening)


def _one(units: Units) -> int:
    return 1 if units == "mm" else 3


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
_SAME_PIN = "All holes that share a pin get the same pin, and the weaker part's rating counts."


@dataclass(frozen=True, slots=True)
class WayRound:
    """The cylinder one way round: which of its ends is at the tractor (or up), with the points about its eyes."""

    near_end: str
    points: tuple[Check, ...]


def eye_of(offer: Offer, figures: Mapping[str, OfferFigure], end: str) -> Eye:
    """Return one end of a cylinder ("cap end" or "rod end") as far as it is known."""
    key = end.replace(" ", "_")
    hole, width, outside = (figures.get(f"{key}_{what}") for what in ("hole", "width", "outside"))
    return Eye(end, hole, offer.cap_end if end == "cap end" else offer.rod_end, width, outside)


def way_round(
    offer: Offer, figures: Mapping[str, OfferFigure], ends: tuple[LinkEnd, LinkEnd], units: Units
) -> WayRound:
    """Return the way round in which the worst eye is better; with the cap end at the tractor where both are alike."""
    cap, rod = eye_of(offer, figures, "cap end"), eye_of(offer, figures, "rod end")
    ways = []
    for near, far in ((cap, rod), (rod, cap)):
        points = [
            point
            for eye, end in ((near, ends[0]), (far, ends[1]))
            for point in (pin_point(eye, end, units), width_point(eye, eye.width, end, units))
            if point is not None
        ]
        ways.append(WayRound(near.end, tuple(points)))
    return min(ways, key=_badness)


def _badness(way: WayRound) -> tuple[int, int]:
    levels = [point.level for point in way.points]
    return max(levels), sum(levels)


def pin_point(eye: Eye, end: LinkEnd, units: Units) -> Check:
    """Return how an eye goes on the pin at an end of the link; a pin that is not settled is tried in every size."""
    topic = f"pin, {end.name}"
    if not end.pins:
        return Check(topic, Level.ASK, f"The pin at the {end.name} is not known: {end.settle}.")
    fits = [pin_fit(eye, pin, units) for pin in end.pins]
    worst = max(fits, key=lambda fit: fit.fit.rank)
    if len(fits) == 1:
        return _point(topic, worst, end.pins[0].origin)
    names = " or ".join(pin.name for pin in end.pins)
    if all(fit.fit is worst.fit for fit in fits):
        return _point(topic, worst, f"the pin is {names}; the answer is the same")
    each = "; ".join(f"on {pin.name} it {fit.fit.value}" for pin, fit in zip(end.pins, fits, strict=True))
    text = f"The pin at the {end.name} is {names}: {each}. First {end.settle or 'measure the pin'}."
    return Check(topic, Level.ASK, text)


def _point(topic: str, fit: PinFit, origin: str) -> Check:
    why = f"Pin: {origin}."
    if fit.fit in {Fit.REAM, Fit.DRILL, Fit.SLEEVE}:
        why = f"{why} {_SAME_PIN}"
    return Check(topic, _LEVELS[fit.fit], fit.sentence, why, part=fit.part)


def width_point(eye: Eye, width: OfferFigure | None, end: LinkEnd, units: Units) -> Check | None:
    """Return whether an eye enters the gap at an end of the link; None where neither is known."""
    topic = f"width, {end.name}"
    if width is None and end.gap is None:
        return None
    if width is None or end.gap is None:
        missing = f"the width of the eye at the {eye.end}" if width is None else f"the gap at the {end.name}"
        verb = "ask for" if width is None else "measure"
        return Check(topic, Level.ASK, f"{verb.capitalize()} {missing}: an eye too wide does not enter.")
    room = end.gap - width.size
    room_mm, doubt_mm = room.value_mm, room.expanded_mm
    what = f"Eye {width.typed} wide at the {eye.end}, gap {mm_text(end.gap.value_mm, units)} at the {end.name}"
    if room_mm < -doubt_mm:
        text = f"{what}: {mm_text(-room_mm, units)} too wide, it does not enter."
        return Check(topic, Level.NO, text, "Another end, or another bracket; an eye is not ground down.")
    if room_mm <= doubt_mm:
        return Check(topic, Level.ASK, f"{what}: within doubt; try it, or measure both.")
    if room_mm > _WASHERS_FROM_MM:
        part = f"washers for the {end.name}: {mm_text(room_mm / 2, units)} each side"
        return Check(topic, Level.NOTE, f"{what}: washers of {mm_text(room_mm / 2, units)} each side.", part=part)
    return Check(topic, Level.GOOD, f"{what}: {mm_text(room_mm, units)} of play.")
