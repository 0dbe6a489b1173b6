"""What a comparison is made of: points, each with a level, a sentence and why; the worst decides the verdict.

An offer's figures with their doubt: what is measured in hand outranks what the seller states, and both are said.

Do an offer's own figures make sense? What contradicts itself is named, and nothing is worked out from it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from types import MappingProxyType
from typing import Literal

from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_CALIPER, UNKNOWN_TAPE, Use, limit_term, step_mm
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Length, Units
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.source import limit
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import Instrument
from fieldlog.records.offer import FIGURE_KEYS, InHand, Offer


class Level(IntEnum):
    """How much a point matters, worst last."""

    GOOD = 0
    NOTE = 1
    ASK = 2
    WORK = 3
    LIMIT = 4
    UNCLEAR = 5
    NO = 6


class OfferVerdict(StrEnum):
    """The five answers about an offer, best first."""

    FITS = "fits"
    WORK = "with work"
    LIMITS = "with limits"
    UNCLEAR = "unclear"
    NO = "no"

    @property
    def rank(self) -> int:
        """0 for fits up to 4 for no."""
        return tuple(OfferVerdict).index(self)


_VERDICTS = (
    OfferVerdict.FITS,
    OfferVerdict.FITS,
    OfferVerdict.FITS,
    OfferVerdict.WORK,
    OfferVerdict.LIMITS,
    OfferVerdict.UNCLEAR,
    OfferVerdict.NO,
)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing compared. `cost_mm` is the reach lost, by which offers of one verdict are ranked.

    `meets_need` is true of a point that says that what the work asks for is there, beyond its doubt.
    """

    topic: str
    level: Level
    sentence: str
    why: str = ""
    cost_mm: float = 0.0
    part: str = ""
    meets_need: bool = False


def verdict_of(points: Sequence[Check]) -> OfferVerdict:
    """Return the verdict that the worst point gives."""
    return _VERDICTS[max((point.level for point in points), default=Level.ASK)]


def worst_first(points: Sequence[Check]) -> tuple[Check, ...]:
    """Return the points by how much they matter, the costliest first among equals."""
    return tuple(sorted(points, key=lambda point: (-point.level, -point.cost_mm)))


Source = Literal["stated", "measured"]
STATED_LENGTH_MM = 1.0  # half-width a seller's length is taken to be right within: common practice, no source
STATED_SIZE_MM = 0.1  # the same for a bore, a hole or a width: common practice, no source
LENGTHS_AGREE_MM = 3.0  # 1/8 in: how far open - closed may be from the stroke before the offer is unclear
SIZES_AGREE_MM = 1.0  # hole or width in hand against as stated, a hole being named by its pin: common practice
_TAPED = frozenset({"closed", "open", "stroke"})
_STATED_BY = Instrument(id="", kind="tape", name="seller", resolution=None)
FIGURE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "closed": "closed",
        "open": "open",
        "stroke": "stroke",
        "bore": "bore",
        "rod": "rod",
        "rod_end_hole": "hole at the rod end",
        "rod_end_width": "eye width at the rod end",
        "rod_end_outside": "outside of the eye at the rod end",
        "cap_end_hole": "hole at the cap end",
        "cap_end_width": "eye width at the cap end",
        "cap_end_outside": "outside of the eye at the cap end",
    }
)


@dataclass(frozen=True, slots=True)
class OfferFigure:
    """One figure of an offer as it is reckoned with."""

    key: str
    size: Estimate
    source: Source
    typed: str
    origin: str

    @property
    def mm(self) -> float:
        """The value."""
        return self.size.value_mm


def figure_words(figure: OfferFigure) -> str:
    """Return a figure as it was typed and whose it is."""
    return f"{figure.typed}, {figure.origin}"


def figures_of(offer: Offer) -> Mapping[str, OfferFigure]:
    """Return each figure that is known: as last measured in hand, else as stated. A size of nothing is left out."""
    found: dict[str, OfferFigure] = {}
    for key in FIGURE_KEYS:
        figure = _measured(offer, key) or _stated(offer, key)
        if figure is not None and figure.mm > 0:
            found[key] = figure
    return MappingProxyType(found)


def _measured(offer: Offer, key: str) -> OfferFigure | None:
    newest = max((m for m in offer.measured if getattr(m, key) is not None), key=lambda m: m.day, default=None)
    if newest is None:
        return None
    length: Length = getattr(newest, key)
    origin = f"measured in hand {day_text(newest.day)}{f' by {newest.who}' if newest.who else ''}"
    return OfferFigure(key, _in_hand(key, length), "measured", length.typed, origin)


def _stated(offer: Offer, key: str) -> OfferFigure | None:
    length: Length | None = getattr(offer, key)
    if length is None:
        return None
    least_mm = STATED_LENGTH_MM if key in _TAPED else STATED_SIZE_MM
    half_mm = max(least_mm, 0.0 if length.is_fraction else float(length.half_width_mm))
    why = f"± {half_mm:.3g} mm, common practice"
    figure = limit(f"offer/{key}", half_mm, "stated", label="seller's figure", why=why)
    size = Estimate(float(length.mm), "mm", (figure,))
    return OfferFigure(key, size, "stated", length.typed, "as the seller states")


def _in_hand(key: str, length: Length) -> Estimate:
    """A tape on two pin holes, or a caliper; which one is not asked, so the usual limits stand in."""
    value_mm = float(length.mm)
    if key not in _TAPED:
        return calipered(length, whose=f"offer/{key}")
    half_mm = 0.8 if length.is_fraction else min(step_mm(length, UNKNOWN_TAPE) / 2, 0.8)  # a tape reads to 1/16 in
    whose, practice = f"offer/{key}", "± 1 mm a set-up, common practice"
    terms = (
        limit_term(UNKNOWN_TAPE, "length", value_mm, whose),
        limit(f"{whose}/set-up", HOOK_AND_EYE_MM, "setting", label="hook and eye", why=practice),
        limit(f"{whose}/typing", half_mm, "typing", label="step of the typing", why=f"± {half_mm:.3g} mm"),
    )
    return Estimate(value_mm, "mm", terms)


def calipered(length: Length, use: Use = "inside", *, whose: str) -> Estimate:
    """Return a size that was measured with a caliper nobody named, another one for each thing; `whose` size it is."""
    half_mm = min(step_mm(length, UNKNOWN_CALIPER) / 2, 0.4)
    typing = limit(f"{whose}/typing", half_mm, "typing", label="step of the typing", why=f"± {half_mm:.3g} mm")
    return Estimate(float(length.mm), "mm", (limit_term(UNKNOWN_CALIPER, use, whose=whose), typing))


def disagreements(offer: Offer, units: Units) -> tuple[str, ...]:
    """Return where what was measured in hand is not what the seller states; the measured one is used."""
    found: list[str] = []
    for key in FIGURE_KEYS:
        stated: Length | None = getattr(offer, key)
        measured = _measured(offer, key)
        if stated is None or measured is None:
            continue
        apart_mm = measured.mm - float(stated.mm)
        if abs(apart_mm) > (LENGTHS_AGREE_MM if key in _TAPED else SIZES_AGREE_MM):
            side = "more" if apart_mm > 0 else "less"
            found.append(
                f"{FIGURE_WORDS[key]}: stated {stated.typed}, {measured.origin} {measured.typed}, "
                f"{mm_text(abs(apart_mm), units, 1 if units == 'mm' else 2)} {side}; the measured one is used"
            )
    return tuple(found)


def measured_by(offer: Offer) -> tuple[InHand, ...]:
    """Return the measurings in hand, newest first."""
    return tuple(sorted(offer.measured, key=lambda m: m.day, reverse=True))


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
