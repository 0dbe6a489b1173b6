"""The forms for offers: fields from a record, a record from fields."""

import datetime
from collections.abc import Mapping, Sequence
from typing import cast, get_args

from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import Mass, Pressure, Units
from fieldlog.records.machine import Link, Person, shown_name
from fieldlog.records.offer import FIGURE_KEYS, CheckValve, EndKind, InHand, Offer
from fieldlog.retrofit.offers.link_facts import LinkEnd
from fieldlog.tui.actions.part_forms import length_check
from fieldlog.tui.form import Field, words
from fieldlog.words.eye import ENDS_OF_LINK

KEPT_WITH = (
    "Kept in a file of its own with every reason; nothing is written over. A cylinder is no prop, and the manuals win."
)
FULLY_IN = (
    "Load off, engine off, levers cycled before a port is opened; one that is locked stays under pressure. Then "
    "against its own stop at both ends, ports open to a container: one that is not home reads long."
)
_ENDS = (("", "not known"), *words(*get_args(EndKind)))
_VALVES = (("", "not known"), *words(*get_args(CheckValve)))
_HINTS = {
    "closed": "Pin centre to pin centre, fully in.",
    "open": "Pin centre to pin centre, fully out.",
    "stroke": "As stated; it must be open less closed within 3 mm.",
    "rod_end_hole": "The hole, or the pin it takes.",
    "cap_end_hole": "The hole, or the pin it takes.",
    "rod_end_width": "How wide the eye or ball is.",
    "cap_end_width": "How wide the eye or ball is.",
    "rod_end_outside": "Across the eye; needed only where its hole is opened.",
    "cap_end_outside": "Across the eye; needed only where its hole is opened.",
}
_LABELS = {
    "closed": "Closed",
    "open": "Open",
    "stroke": "Stroke",
    "bore": "Bore",
    "rod": "Rod",
    "rod_end_hole": "Rod end, hole",
    "rod_end_width": "Rod end, width",
    "rod_end_outside": "Rod end, outside",
    "cap_end_hole": "Cap end, hole",
    "cap_end_width": "Cap end, width",
    "cap_end_outside": "Cap end, outside",
}


def _pressure_check(text: str) -> None:
    Pressure.from_text(text)


def _mass_check(text: str) -> None:
    Mass.from_text(text)


def _lengths(of: Offer | None, units: Units, keys: Sequence[str]) -> list[Field]:
    def text(key: str) -> str:
        length: Length | None = getattr(of, key) if of is not None else None
        return length.typed if length is not None else ""

    check = length_check(units)
    return [Field(key, _LABELS[key], text(key), _HINTS.get(key, ""), check=check) for key in keys]


def offer_fields(offer: Offer | None, units: Units) -> tuple[Field, ...]:
    """Return the lines of an offer's form: what decides first, what can wait last."""
    this = offer or Offer(id="")
    pressure = this.rated_pressure.typed if this.rated_pressure is not None else ""
    weight = this.weight.typed if this.weight is not None else ""
    return (
        Field("name", "Name", this.name, "What you call it; it becomes the file's name.", required=True),
        *_lengths(offer, units, ("closed", "open", "stroke", "rod_end_hole")),
        Field("rod_end", "Rod end is", this.rod_end or "", "", _ENDS),
        *_lengths(offer, units, ("rod_end_width", "rod_end_outside", "cap_end_hole")),
        Field("cap_end", "Cap end is", this.cap_end or "", "", _ENDS),
        *_lengths(offer, units, ("cap_end_width", "cap_end_outside", "bore", "rod")),
        Field("check_valve", "Check valve", this.check_valve or "", "Pilot-operated, at the cylinder.", _VALVES),
        Field("rated_pressure", "Rated pressure", pressure, "With its unit: 3000 psi, 210 bar.", check=_pressure_check),
        Field("ports", "Ports", this.ports, "Such as 9/16-18 O-ring, side."),
        Field("price", "Price", this.price, "As stated, with its currency."),
        Field("supplier", "From", this.supplier, "In your own words."),
        Field("weight", "Weight", weight, "With its unit: 14 kg, 31 lb.", check=_mass_check),
        Field("notes", "Notes", this.notes),
    )


def offer_from(values: Mapping[str, str], offer_id: str, units: Units) -> Offer:
    """Return an offer from its form."""
    return Offer(
        id=offer_id,
        name=values["name"],
        supplier=values["supplier"],
        price=values["price"],
        rod_end=cast("EndKind", values["rod_end"]) or None,
        cap_end=cast("EndKind", values["cap_end"]) or None,
        rated_pressure=Pressure.from_text(values["rated_pressure"]) if values["rated_pressure"] else None,
        ports=values["ports"],
        check_valve=cast("CheckValve", values["check_valve"]) or None,
        weight=Mass.from_text(values["weight"]) if values["weight"] else None,
        notes=values["notes"],
        **_figures(values, units),  # type: ignore[arg-type] # lengths only
    )


def _figures(values: Mapping[str, str], units: Units) -> dict[str, Length]:
    return {key: parse_length(values[key], units) for key in FIGURE_KEYS if values.get(key)}


def in_hand_fields(people: Sequence[Person], who: str, units: Units) -> tuple[Field, ...]:
    """Return the lines of the form for what is measured on a cylinder."""
    named = tuple((person.id, shown_name(person)) for person in people)
    ends = tuple(f"{end}_end_{what}" for end in ("rod", "cap") for what in ("hole", "width", "outside"))
    keys = ("closed", "open", *ends, "bore", "rod", "stroke")
    return (
        *_lengths(None, units, keys),
        Field("who", "Measured by", who, choices=named),
        Field("notes", "Notes"),
    )


def needs_a_length(values: Mapping[str, str]) -> str:
    """Say so when nothing was measured."""
    return "" if any(values.get(key) for key in FIGURE_KEYS) else "Nothing is measured yet."


def in_hand_from(values: Mapping[str, str], day: datetime.date, units: Units) -> InHand:
    """Return a measuring in hand from its form."""
    return InHand(day=day, who=values["who"], notes=values["notes"], **_figures(values, units))


def gap_fields(link: Link, ends: Sequence[LinkEnd], units: Units) -> tuple[Field, ...]:
    """Return the lines of the form for the gaps at both ends of a link."""
    hint = "Between the ears of the bracket or clevis, where the eye goes in."
    gaps = (("near_gap", link.near_gap), ("far_gap", link.far_gap))
    return tuple(
        Field(
            key, f"Gap, {ENDS_OF_LINK[end.at]}", gap.typed if gap is not None else "", hint, check=length_check(units)
        )
        for (key, gap), end in zip(gaps, ends, strict=True)
    )


def keep_fields(people: Sequence[Person], who: str) -> tuple[Field, ...]:
    """Return the lines of the form under which a recommendation is kept."""
    named = tuple((person.id, shown_name(person)) for person in people)
    return (
        Field("who", "Kept by", who, choices=named),
        Field("words", "In your own words", "", "Such as what decides for you, or a lift stop to be set."),
    )
