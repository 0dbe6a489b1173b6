"""Both eyes of a cylinder against the pins and gaps at both ends of the link, either way round."""

from collections.abc import Mapping
from dataclasses import dataclass

from fieldlog.measure.estimate import difference
from fieldlog.measure.rounding import mm_text
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.link_facts import LinkEnd
from fieldlog.retrofit.pin_fit import Eye, Fit, PinFit, pin_fit

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
    room = difference(end.gap, width.size)
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
