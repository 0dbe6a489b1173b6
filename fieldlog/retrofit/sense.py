"""Do an offer's own figures make sense? What contradicts itself is named, and nothing is worked out from it."""

from collections.abc import Mapping
from dataclasses import dataclass

from fieldlog.measure.rounding import mm_text
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.figures import LENGTHS_AGREE_MM, OfferFigure, disagreements, figures_of

_WALL_LEAST_MM = 1.0  # a rod this little under the bore leaves no room for oil on its side: common practice


@dataclass(frozen=True, slots=True)
class Sense:
    """What of an offer can be used, the points about the offer itself, and its dead length where that is known.

    `has_range` is False where closed and open are missing or contradict each other.
    """

    figures: Mapping[str, OfferFigure]
    points: tuple[Check, ...]
    has_range: bool
    dead_mm: float | None


def make_sense(offer: Offer, units: Units) -> Sense:
    """Check an offer against itself.

    Open minus closed must be the stroke within 3 mm (1/8 in): a stop tube, cushions, other pin centres or a slip of
    the catalogue hide behind a larger difference. Dead length is closed minus stroke. Common practice, no source.
    """
    figures = figures_of(offer)
    points = [*_set_aside(offer), *_range_points(figures, units), *_inside_points(figures, units)]
    has_range = "closed" in figures and "open" in figures and not any(p.topic == "range" for p in points)
    points += _eyes_in_line(figures, units)
    points += [Check("in hand", Level.NOTE, f"{text}.") for text in disagreements(offer, units)]
    is_clear = all(point.level < Level.UNCLEAR for point in points)
    return Sense(figures, tuple(points), has_range, _dead_mm(figures) if has_range and is_clear else None)


def faults_of(offer: Offer) -> tuple[tuple[str, str, str], ...]:
    """Return what cannot be in an offer's own file: key, what is wrong, what would be accepted."""
    found: list[tuple[str, str, str]] = []
    closed, opened, bore, rod = offer.closed, offer.open, offer.bore, offer.rod
    if closed is not None and opened is not None and opened.mm <= closed.mm:
        found.append(
            ("open", f"{opened.typed} is not longer than closed, {closed.typed}", "ask the seller which is which")
        )
    if bore is not None and rod is not None and rod.mm >= bore.mm:
        found.append(("rod", f"{rod.typed} does not go into a bore of {bore.typed}", "a rod is thinner than its bore"))
    if offer.stroke is not None and offer.stroke.mm == 0:
        found.append(("stroke", "a stroke of nothing", "leave the key out where the stroke is not known"))
    return tuple(found)


def _set_aside(offer: Offer) -> list[Check]:
    return [Check("set aside", Level.NO, f"Set aside: {offer.set_aside}.")] if offer.set_aside else []


def _range_points(figures: Mapping[str, OfferFigure], units: Units) -> list[Check]:
    closed, opened, stroke = (figures.get(key) for key in ("closed", "open", "stroke"))
    if closed is None or opened is None:
        missing = " and ".join(key for key in ("closed", "open") if key not in figures)
        return [
            Check("range", Level.UNCLEAR, f"The {missing} length is not known: ask for it, pin to pin.", _RANGE_WHY)
        ]
    if opened.mm <= closed.mm:
        text = f"Open, {opened.typed}, is not longer than closed, {closed.typed}: ask which is which."
        return [Check("range", Level.UNCLEAR, text, "Nothing is worked out from lengths that cannot be.")]
    if stroke is None:
        return [Check("stroke", Level.NOTE, f"No stroke is stated; open less closed is {_gap(opened, closed, units)}.")]
    apart_mm = opened.mm - closed.mm - stroke.mm
    if abs(apart_mm) <= LENGTHS_AGREE_MM + 1e-9:
        return []
    text = (
        f"Open {opened.typed} less closed {closed.typed} is {_gap(opened, closed, units)}, but the stroke is "
        f"{stroke.typed}: {mm_text(abs(apart_mm), units, 1 if units == 'mm' else 2)} apart, 3 mm (1/8 in) allowed."
    )
    ask = "Ask which of the three is measured, pin centre to pin centre, and whether a stop tube is in it."
    return [Check("stroke", Level.UNCLEAR, f"{text} {ask}", _STROKE_WHY)]


_RANGE_WHY = "Stroke alone never decides: the same stroke comes in long and short cylinders."
_STROKE_WHY = "One of the three is wrong, or the pins were measured otherwise; held as unclear until it is told."


def _gap(opened: OfferFigure, closed: OfferFigure, units: Units) -> str:
    return mm_text(opened.mm - closed.mm, units, 1 if units == "mm" else 2)


def _inside_points(figures: Mapping[str, OfferFigure], units: Units) -> list[Check]:
    bore, rod, closed, stroke = (figures.get(key) for key in ("bore", "rod", "closed", "stroke"))
    points: list[Check] = []
    if bore is not None and rod is not None and rod.mm > bore.mm - _WALL_LEAST_MM:
        text = f"A rod of {rod.typed} does not go into a bore of {bore.typed}: ask for both again."
        points.append(Check("rod", Level.UNCLEAR, text, "No force is worked out from them."))
    if closed is not None and stroke is not None and stroke.mm >= closed.mm:
        text = f"A stroke of {stroke.typed} does not fit into a closed length of {closed.typed}: ask for both again."
        points.append(Check("stroke", Level.UNCLEAR, text, "The closed length holds the stroke and the ends."))
    return points


def _eyes_in_line(figures: Mapping[str, OfferFigure], units: Units) -> list[Check]:
    """Name a hole so large that the two eyes would overlap or lie in the barrel: a slip of unit or finger."""
    dead_mm = _dead_mm(figures)
    points = []
    for key in ("rod_end_hole", "cap_end_hole"):
        hole = figures.get(key)
        if hole is not None and dead_mm is not None and hole.mm > dead_mm / 2:
            end = "rod" if key.startswith("rod") else "cap"
            text = f"A hole of {hole.typed} at the {end} end cannot be on a cylinder this short: ask again."
            points.append(Check("holes", Level.UNCLEAR, text))
        outside = figures.get(key.replace("hole", "outside"))
        if hole is not None and outside is not None and outside.mm <= hole.mm:
            end = "rod" if key.startswith("rod") else "cap"
            text = f"An eye of {outside.typed} outside holds no hole of {hole.typed} at the {end} end: ask for both."
            points.append(Check("eyes", Level.UNCLEAR, text))
    return points


def _dead_mm(figures: Mapping[str, OfferFigure]) -> float | None:
    """Return closed minus stroke, the stroke being open minus closed where none is stated."""
    closed, opened, stroke = (figures.get(key) for key in ("closed", "open", "stroke"))
    if closed is None or (stroke is None and opened is None):
        return None
    stroke_mm = stroke.mm if stroke is not None else (opened.mm - closed.mm if opened is not None else 0.0)
    dead_mm = closed.mm - stroke_mm
    return dead_mm if stroke_mm > 0 and dead_mm > 0 else None
