"""The forms for joints, holes, links, limits, people and instruments: fields from a record, a record from fields.

The lines of forms that say what else is known of pins; asked on correcting, never on adding.
"""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import NamedTuple, cast, get_args

from fieldlog.errors import QuantityError
from fieldlog.measure.walk import hole_title
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import LENGTH_UNITS, Units
from fieldlog.records.machine import (
    HitchCategory,
    Hole,
    HoleKind,
    HoleUse,
    Joint,
    JointKind,
    Keeper,
    Limit,
    LimitOf,
    Link,
    LinkKind,
    LinkPosition,
    Machine,
    MeterKind,
    Person,
    PinKind,
    Share,
    parse_length_or_share,
    shown_name,
)
from fieldlog.records.seasons import GreaseEvery, InUse
from fieldlog.tui.form import Check, Field, words

_MOST_HOURS = Decimal(200_000)


JOINT_KINDS = (
    ("hitch", "hitch: link or clevis hole"),
    ("bushed", "bushed: loader, bucket, digger"),
    ("pivot", "pivot: steering, axle, swing"),
    ("drawbar", "drawbar: towing"),
)
_USES = (("daily", "daily"), ("sometimes", "sometimes"), ("never", "never: keep as reference"))
_HOLE_KINDS = (("plain", "plain"), ("bushed", "bushed"), ("ball", "ball"))


_PLANNED = "What it will work. Empty: as it worked in its last years."
_IN_USE = "Its months, as March to October, 3 days a week. Without a meter these days count."
_BUSH = "Either tells how much wall is left; half of it worn is the end."
_GREASE = "As its manual says, such as 10 h, 50 h or weekly; a joint may have its own."
_EVERY = "As its manual says. Empty: 250 h or a season; never more on joints that dig, carry or tow."


def parse_hours(text: str) -> Decimal:
    """Read an hour meter such as 412 or 412.5.

    Raises:
        QuantityError: the text is no number of hours.
    """
    try:
        hours = Decimal(text.removesuffix("h").strip().replace(",", "."))
    except InvalidOperation:
        hours = Decimal(-1)
    if not hours.is_finite() or not 0 <= hours <= _MOST_HOURS:
        raise QuantityError(f'"{text}" is no meter reading; type the hours as the meter shows them, such as 412.5.')
    return hours


def check_hours(text: str) -> None:
    """Check that a meter reading can be read."""
    parse_hours(text)


def length_check(units: Units) -> Check:
    """Return a check that a size can be read."""

    def check(text: str) -> None:
        if parse_length(text, units).mm <= 0:
            raise QuantityError(f'"{text}" is no size; type one like 19.05 mm, 3/4 or 0.75 in.')

    return check


def whole_number_check(text: str) -> None:
    """Check for a small whole number."""
    if not (text.isascii() and text.isdigit()) or not 0 < int(text[:4]) <= 99:
        raise QuantityError(f'"{text}" is no count; type a whole number such as 2.')


def _hours(hours: Decimal | None) -> str:
    return f"{hours:f}" if hours is not None else ""


def _typed(word: GreaseEvery | InUse | None) -> str:
    return word.typed if word is not None else ""


def in_use_check(text: str) -> None:
    """Check that the months of a machine's work can be read."""
    InUse.from_text(text)


def grease_check(text: str) -> None:
    """Check that an interval can be read."""
    GreaseEvery.from_text(text)


def grease_or_none(text: str | None) -> GreaseEvery | None:
    """Return an interval, None from an empty line."""
    return GreaseEvery.from_text(text) if text else None


def _hours_or_none(text: str | None) -> Decimal | None:
    return parse_hours(text) if text else None


def logbook_fields(name: str, units: Units, *, is_new: bool = False) -> tuple[Field, ...]:
    """Return the lines that ask for a logbook's name and which units come first."""
    choices = tuple((unit.word, unit.name) for unit in LENGTH_UNITS.values())
    return (
        Field("name", "Name of the logbook", name, "Shown at the top.", required=True, is_suggestion=is_new),
        Field("units", "Units shown first", units, "Both are always shown.", choices),
    )


def machine_fields(machine: Machine | None) -> tuple[Field, ...]:
    """Return the lines of a machine's form."""
    this = machine or Machine(id="")
    categories = (("", "not known or none"), *words(*get_args(HitchCategory)))
    work = (
        Field("in_use", "Works in", _typed(this.in_use), _IN_USE, check=in_use_check),
        Field("planned_hours", "Hours next season", _hours(this.planned_hours), _PLANNED, check=check_hours),
        Field("grease_every", "Grease every", _typed(this.grease_every), _GREASE, check=grease_check),
        Field("measure_every_hours", "Measure every, h", _hours(this.measure_every_hours), _EVERY, check=check_hours),
    )
    return (
        Field("name", "Machine", this.name, "What you call it, such as grey tractor.", required=True),
        Field("kind", "Kind", this.kind, "Such as compact tractor, loader, mini excavator."),
        Field("meter", "Hour meter", this.meter, "", (("hours", "has one"), ("none", "has none"))),
        Field("hitch_category", "Hitch category", this.hitch_category or "", "", categories),
        *(work if machine is not None else ()),
        Field("notes", "Notes", this.notes),
    )


def machine_from(values: Mapping[str, str], machine_id: str) -> Machine:
    """Return a machine from its form."""
    return Machine(
        id=machine_id,
        name=values["name"],
        kind=values["kind"],
        meter=cast("MeterKind", values["meter"]),
        hitch_category=cast("HitchCategory", values["hitch_category"]) or None,
        in_use=InUse.from_text(text) if (text := values.get("in_use")) else None,
        planned_hours=_hours_or_none(values.get("planned_hours")),
        grease_every=grease_or_none(values.get("grease_every")),
        measure_every_hours=_hours_or_none(values.get("measure_every_hours")),
        notes=values["notes"],
        link_threads=cast("Units", values.get("link_threads")) or None,
    )


def joint_fields(joint: Joint | None, units: Units) -> tuple[Field, ...]:
    """Return the lines of a joint's form."""
    this = joint or Joint(id="")
    pin = this.pin.typed if this.pin is not None else ""
    hint = "Its size if you know it for certain, such as 3/4 or 19 mm. Otherwise leave it empty."
    return (
        Field("name", "Joint", this.name, "Such as top link, implement end.", required=True),
        Field("kind", "Kind", this.kind, "Decides the usual limits, until you type the manual's.", JOINT_KINDS),
        Field("pin", "Pin", pin, hint, check=length_check(units)),
        Field("notes", "Notes", this.notes),
    )


def joint_from(values: Mapping[str, str], joint_id: str, units: Units) -> Joint:
    """Return a joint from its form."""
    pin = parse_length(values["pin"], units) if values["pin"] else None
    kind = cast("JointKind", values["kind"])
    return Joint(joint_id, values["name"], kind, pin, values["notes"], *pin_facts_from(values))


def hole_fields(hole: Hole | None, machine: Machine, units: Units, joint_id: str = "") -> tuple[Field, ...]:
    """Return the lines of a hole's form."""
    this = hole or Hole(id="", joint=joint_id)
    joints = tuple((joint.id, shown_name(joint)) for joint in machine.joints)
    row = "Of a row of holes; 1 is nearest the tractor."
    bush = (
        Field("bush_wall", "Bush: wall new", length_text(this.bush_wall), _BUSH, check=length_check(units)),
        Field("bush_outside", "Bush: outside", length_text(this.bush_outside), _BUSH, check=length_check(units)),
    )
    return (
        Field("name", "Hole", this.name, "Such as left ear, link end, front hole.", required=True),
        Field("joint", "Belongs to", this.joint, "", joints, required=True),
        Field("kind", "Kind", this.kind, "", _HOLE_KINDS),
        Field("use", "Used", this.use, "A hole never used is the best witness of the size as made.", _USES),
        *(bush if hole is not None else ()),
        Field("number", "Number in its row", str(this.number or ""), row, check=whole_number_check),
        Field("in_row", "Holes in the row", str(this.in_row or ""), row, check=whole_number_check),
        Field("notes", "Notes", this.notes),
    )


def length_text(length: Length | None) -> str:
    """Return a length as typed, empty without one."""
    return length.typed if length is not None else ""


def _length_or_none(text: str | None, units: Units) -> Length | None:
    return parse_length(text, units) if text else None


def hole_from(values: Mapping[str, str], hole_id: str, units: Units) -> Hole:
    """Return a hole from its form."""
    return Hole(
        id=hole_id,
        joint=values["joint"],
        name=values["name"],
        kind=cast("HoleKind", values["kind"]),
        use=cast("HoleUse", values["use"]),
        bush_wall=_length_or_none(values.get("bush_wall"), units),
        bush_outside=_length_or_none(values.get("bush_outside"), units),
        number=int(values["number"]) if values["number"] else None,
        in_row=int(values["in_row"]) if values["in_row"] else None,
        notes=values["notes"],
    )


def link_fields(link: Link | None, machine: Machine) -> tuple[Field, ...]:
    """Return the lines of a link's form."""
    this = link or Link(id="")
    titles = ((hole.id, hole_title(machine.joint_of(hole.id), hole)) for hole in machine.holes)
    holes = (("", "not in the list"), *titles)
    return (
        Field("name", "Link", this.name, "Such as top link, left lift rod.", required=True),
        Field("position", "Place", this.position, "", words(*get_args(LinkPosition))),
        Field("kind", "Kind", this.kind, "", words(*get_args(LinkKind))),
        Field("near_hole", "Hole, tractor end", this.near_hole, "The hole the tape starts from.", holes),
        Field("far_hole", "Hole, other end", this.far_hole, "", holes),
        Field("notes", "Notes", this.notes),
    )


def link_from(values: Mapping[str, str], link_id: str) -> Link:
    """Return a link from its form."""
    return Link(
        id=link_id,
        name=values["name"],
        position=cast("LinkPosition", values["position"]),
        kind=cast("LinkKind", values["kind"]),
        near_hole=values["near_hole"],
        far_hole=values["far_hole"],
        notes=values["notes"],
    )


def limit_fields(limit: Limit | None, machine: Machine | None, units: Units) -> tuple[Field, ...]:
    """Return the lines of a limit's form; without a machine it is a limit of the whole fleet."""
    joints = tuple((joint.id, shown_name(joint)) for joint in machine.joints) if machine is not None else ()
    kinds = tuple((f"kind:{kind}", f"every {kind} joint") for kind in get_args(JointKind))
    about = f"kind:{limit.kind}" if limit is not None and limit.kind else limit.joint if limit is not None else ""
    renew = limit.renew.typed if limit is not None else ""
    watch = limit.watch.typed if limit is not None and limit.watch is not None else ""
    hint = "A size such as 1.0 mm, or a share of the pin such as 3.5 %."

    def check(text: str) -> None:
        parse_length_or_share(text, units)

    return (
        Field("about", "For", about, "", (*joints, *kinds), required=True),
        Field("of", "Of its", limit.of if limit is not None else "clearance", "", words(*get_args(LimitOf))),
        Field("watch", "Watch from", watch, hint, check=check),
        Field("renew", "Renew over", renew, hint, required=True, check=check),
        Field(
            "origin",
            "Who says so",
            limit.origin if limit is not None else "",
            "Such as manual, page 4-12.",
            required=True,
        ),
    )


def limit_from(values: Mapping[str, str], units: Units) -> Limit:
    """Return a limit from its form."""
    about = values["about"]
    kind = cast("JointKind", about.removeprefix("kind:")) if about.startswith("kind:") else None
    watch: Length | Share | None = parse_length_or_share(values["watch"], units) if values["watch"] else None
    return Limit(
        renew=parse_length_or_share(values["renew"], units),
        origin=values["origin"],
        watch=watch,
        of=cast("LimitOf", values["of"]),
        joint="" if kind else about,
        kind=kind,
    )


def person_fields(person: Person | None) -> tuple[Field, ...]:
    """Return the lines of a person's form."""
    return (Field("name", "Name", person.name if person is not None else "", "A first name will do.", required=True),)


class PinFacts(NamedTuple):
    """What kind of pin it is, what keeps it, and which joint takes the same one."""

    pin_kind: PinKind | None
    keeper: Keeper | None
    twin: str


def pin_fact_fields(joint: Joint, machine: Machine) -> tuple[Field, ...]:
    """Return the lines for kind of pin, keeper and twin."""
    unknown = (("", "not said"),)
    others = ((other.id, shown_name(other)) for other in machine.joints if other.id != joint.id)
    same = "The joint on the other side that takes the same pin, where left and right in the names do not tell."
    return (
        Field("pin_kind", "Pin is a", joint.pin_kind or "", "", (*unknown, *words(*get_args(PinKind)))),
        Field("keeper", "Kept by a", joint.keeper or "", "", (*unknown, *words(*get_args(Keeper)))),
        Field("twin", "Same pin as", joint.twin, same, (*unknown, *others)),
    )


def machine_fact_fields(machine: Machine) -> tuple[Field, ...]:
    """Return the line for the threads of a machine's links."""
    threads = (("", "not known"), ("in", "inch"), ("mm", "metric"))
    return (Field("link_threads", "Threads of its links", machine.link_threads or "", "", threads),)


def pin_facts_from(values: Mapping[str, str]) -> PinFacts:
    """Return the facts from a form; a form without these lines says nothing of them."""
    pin_kind, keeper = values.get("pin_kind") or None, values.get("keeper") or None
    return PinFacts(cast("PinKind | None", pin_kind), cast("Keeper | None", keeper), values.get("twin", ""))
