"""What a comparison is made of: points, each with a level, what is said and why; the worst decides the verdict.

An offer's figures with their doubt: what is measured in hand outranks what the seller states, and both are said.

Do an offer's own figures make sense? What contradicts itself is named, and nothing is worked out from it.

A seller's length is taken to be right within 1 mm or half its last digit; a hole that is a pin's nominal size is read
as made for that pin (0.2 to 1.0 mm over it), since sellers name holes by pins.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from types import MappingProxyType
from typing import Literal

from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_CALIPER, UNKNOWN_TAPE, Use, limit_term, step_mm
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import limit
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import Instrument
from fieldlog.records.offer import FIGURE_KEYS, Offer


class Level(IntEnum):
    """How much a point matters, worst last."""

    GOOD = 0
    NOTE = 1
    ASK = 2
    WORK = 3
    LIMIT = 4
    UNCLEAR = 5
    NO = 6


class Topic(StrEnum):
    """What a point is about, by code."""

    SET_ASIDE = "set_aside"
    IN_HAND = "in_hand"
    RANGE = "range"
    RANGE_OF_LINK = "range_of_link"
    CLOSED_TO_LINK = "closed_to_link"
    OPEN_TO_LINK = "open_to_link"
    CLOSED_TO_NEED = "closed_to_need"
    OPEN_TO_NEED = "open_to_need"
    LENGTH_IN_USE = "length_in_use"
    MID_STROKE = "mid_stroke"
    STROKE = "stroke"
    ROD = "rod"
    HOLES = "holes"
    EYES = "eyes"
    PIN = "pin"
    WIDTH = "width"
    JOINT = "joint"
    CHECK_VALVE = "check_valve"
    RATED_PRESSURE = "rated_pressure"
    RELIEF_PRESSURE = "relief_pressure"
    RAISED_PRESSURE = "raised_pressure"
    FORCE = "force"
    HOLDING = "holding"
    WARMED_OIL = "warmed_oil"
    BUCKLING = "buckling"
    SPEED = "speed"
    HOSE = "hose"
    REMOTES = "remotes"
    PITCH = "pitch"
    ROLL = "roll"
    ROOM = "room"
    SHAFT = "shaft"


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
    """One thing compared: what is said of it, why, and what is to be ordered for it.

    `cost_mm` is the reach lost, by which offers of one verdict are ranked. `meets_need` is true of a point that says
    that what the work asks for is there, beyond its doubt. `at` is the end of the link, or what something must clear,
    by code; `implement` is the name of the one it is about, where there are several.
    """

    topic: Topic
    level: Level
    said: Said
    why: Said | None = None
    cost_mm: float = 0.0
    part: Said | None = None
    meets_need: bool = False
    at: str = ""
    implement: str = ""


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
    """One figure of an offer as it is reckoned with; `day` and `who` are when and by whom one was measured in hand."""

    key: str
    size: Estimate
    source: Source
    typed: str
    day: datetime.date | None = None
    who: str = ""

    @property
    def mm(self) -> float:
        """The value."""
        return self.size.value


class CylinderEnd(StrEnum):
    """An end of a cylinder, as the keys of its figures begin."""

    CAP = "cap_end"
    ROD = "rod_end"


def figure_origin(figure: OfferFigure) -> str:
    """Return a label of whose a figure is."""
    if figure.day is None:
        return "as the seller states"
    return f"measured in hand {day_text(figure.day)}{f' by {figure.who}' if figure.who else ''}"


def figure_words(figure: OfferFigure) -> str:
    """Return a figure as it was typed and whose it is, as a label."""
    return f"{figure.typed}, {figure_origin(figure)}"


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
    return OfferFigure(key, _in_hand(key, length), "measured", length.typed, newest.day, newest.who)


def _stated(offer: Offer, key: str) -> OfferFigure | None:
    length: Length | None = getattr(offer, key)
    if length is None:
        return None
    least_mm = STATED_LENGTH_MM if key in _TAPED else STATED_SIZE_MM
    half_mm = max(least_mm, 0.0 if length.is_fraction else float(length.half_width_mm))
    why = f"± {half_mm:.3g} mm, common practice"
    figure = limit(f"offer/{key}", half_mm, "stated", label="seller's figure", why=why)
    return OfferFigure(key, Estimate(float(length.mm), "mm", (figure,)), "stated", length.typed)


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


def disagreements(offer: Offer) -> tuple[Said, ...]:
    """Return where what was measured in hand is not what the seller states; the measured one is used."""
    found: list[Said] = []
    for key in FIGURE_KEYS:
        stated: Length | None = getattr(offer, key)
        measured = _measured(offer, key)
        if stated is None or measured is None:
            continue
        apart_mm = measured.mm - float(stated.mm)
        if abs(apart_mm) > (LENGTHS_AGREE_MM if key in _TAPED else SIZES_AGREE_MM):
            found.append(said("offer.measured_otherwise", stated=stated.typed, measured=measured, apart_mm=apart_mm))
    return tuple(found)


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


def make_sense(offer: Offer) -> Sense:
    """Check an offer against itself.

    Open minus closed must be the stroke within 3 mm (1/8 in): a stop tube, cushions, other pin centres or a slip of
    the catalogue hide behind a larger difference. Dead length is closed minus stroke. Common practice, no source.
    """
    figures = figures_of(offer)
    points = [*_set_aside(offer), *_range_points(figures), *_inside_points(figures)]
    has_range = "closed" in figures and "open" in figures and not any(p.topic is Topic.RANGE for p in points)
    points += _eyes_in_line(figures)
    points += [Check(Topic.IN_HAND, Level.NOTE, apart) for apart in disagreements(offer)]
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
    if not offer.set_aside:
        return []
    return [Check(Topic.SET_ASIDE, Level.NO, said("offer.set_aside", why=offer.set_aside))]


def _range_points(figures: Mapping[str, OfferFigure]) -> list[Check]:
    closed, opened, stroke = (figures.get(key) for key in ("closed", "open", "stroke"))
    if closed is None or opened is None:
        missing = tuple(key for key in ("closed", "open") if key not in figures)
        unknown = said("offer.length_not_known", missing=missing)
        return [Check(Topic.RANGE, Level.UNCLEAR, unknown, said("offer.why_stroke_never_decides"))]
    if opened.mm <= closed.mm:
        wrong = said("offer.open_not_longer", closed=closed, opened=opened)
        return [Check(Topic.RANGE, Level.UNCLEAR, wrong, said("offer.why_lengths_cannot_be"))]
    if stroke is None:
        return [Check(Topic.STROKE, Level.NOTE, said("offer.no_stroke", closed=closed, opened=opened))]
    apart_mm = opened.mm - closed.mm - stroke.mm
    if abs(apart_mm) <= LENGTHS_AGREE_MM + 1e-9:
        return []
    apart = said("offer.stroke_apart", closed=closed, opened=opened, stroke=stroke)
    return [Check(Topic.STROKE, Level.UNCLEAR, apart, said("offer.why_held"))]


def _inside_points(figures: Mapping[str, OfferFigure]) -> list[Check]:
    bore, rod, closed, stroke = (figures.get(key) for key in ("bore", "rod", "closed", "stroke"))
    points: list[Check] = []
    if bore is not None and rod is not None and rod.mm > bore.mm - _WALL_LEAST_MM:
        wrong = said("offer.rod_over_bore", rod=rod, bore=bore)
        points.append(Check(Topic.ROD, Level.UNCLEAR, wrong, said("offer.why_no_force")))
    if closed is not None and stroke is not None and stroke.mm >= closed.mm:
        wrong = said("offer.stroke_over_closed", stroke=stroke, closed=closed)
        points.append(Check(Topic.STROKE, Level.UNCLEAR, wrong, said("offer.why_closed_holds_stroke")))
    return points


def _eyes_in_line(figures: Mapping[str, OfferFigure]) -> list[Check]:
    """Name a hole so large that the two eyes would overlap or lie in the barrel: a slip of unit or finger."""
    dead_mm = _dead_mm(figures)
    points = []
    for end in (CylinderEnd.ROD, CylinderEnd.CAP):
        hole, outside = figures.get(f"{end}_hole"), figures.get(f"{end}_outside")
        if hole is not None and dead_mm is not None and hole.mm > dead_mm / 2:
            points.append(Check(Topic.HOLES, Level.UNCLEAR, said("offer.hole_too_large", hole=hole, end=end)))
        if hole is not None and outside is not None and outside.mm <= hole.mm:
            wrong = said("offer.outside_holds_no_hole", outside=outside, hole=hole, end=end)
            points.append(Check(Topic.EYES, Level.UNCLEAR, wrong))
    return points


def _dead_mm(figures: Mapping[str, OfferFigure]) -> float | None:
    """Return closed minus stroke, the stroke being open minus closed where none is stated."""
    closed, opened, stroke = (figures.get(key) for key in ("closed", "open", "stroke"))
    if closed is None or (stroke is None and opened is None):
        return None
    stroke_mm = stroke.mm if stroke is not None else (opened.mm - closed.mm if opened is not None else 0.0)
    dead_mm = closed.mm - stroke_mm
    return dead_mm if stroke_mm > 0 and dead_mm > 0 else None
