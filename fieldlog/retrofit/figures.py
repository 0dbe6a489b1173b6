"""An offer's figures with their doubt: what is measured in hand outranks what the seller states, and both are said."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from fieldlog.measure.estimate import Estimate, limit_of
from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_CALIPER, UNKNOWN_TAPE, Use, limit_part, step_mm
from fieldlog.measure.rounding import mm_text
from fieldlog.records.days import day_text
from fieldlog.records.machine import Instrument
from fieldlog.records.offer import FIGURE_KEYS, InHand, Offer
from fieldlog.records.quantities import Length, Units

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
    part = limit_of("seller's figure", half_mm, f"± {half_mm:.3g} mm, common practice")
    return OfferFigure(key, Estimate(float(length.mm), (part,)), "stated", length.typed, "as the seller states")


def _in_hand(key: str, length: Length) -> Estimate:
    """A tape on two pin holes, or a caliper; which one is not asked, so the usual limits stand in."""
    value_mm = float(length.mm)
    if key not in _TAPED:
        return calipered(length)
    half_mm = 0.8 if length.is_fraction else min(step_mm(length, UNKNOWN_TAPE) / 2, 0.8)  # a tape reads to 1/16 in
    parts = (
        limit_part(UNKNOWN_TAPE, "length", value_mm),
        limit_of("hook and eye", HOOK_AND_EYE_MM, "± 1 mm a set-up, common practice"),
        limit_of("step of the typing", half_mm, f"± {half_mm:.3g} mm"),
    )
    return Estimate(value_mm, parts)


def calipered(length: Length, use: Use = "inside") -> Estimate:
    """Return a size that was measured with a caliper nobody named."""
    half_mm = min(step_mm(length, UNKNOWN_CALIPER) / 2, 0.4)
    typing = limit_of("step of the typing", half_mm, f"± {half_mm:.3g} mm")
    return Estimate(float(length.mm), (limit_part(UNKNOWN_CALIPER, use), typing))


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
