"""Adding and correcting machines, joints, holes, links and limits, by forms over the TOML files.

The form of an instrument: fields from a record, a record from fields.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import cast, get_args

from fieldlog.errors import FieldlogError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.text import unused_slug
from fieldlog.quantity.units import Units
from fieldlog.records.machine import (
    Hole,
    HoleKind,
    Instrument,
    InstrumentKind,
    Joint,
    Limit,
    Link,
    Machine,
    Person,
    TapeClass,
    shown_name,
)
from fieldlog.store.amend import Value, add_record, change_record
from fieldlog.store.amend import add_machine as store_machine
from fieldlog.store.files import LOGBOOK_FILE, MACHINE_FILE, RESERVED
from fieldlog.tui.actions import part_forms
from fieldlog.tui.actions.part_forms import length_check, machine_fact_fields, pin_fact_fields
from fieldlog.tui.actions.part_forms import length_text as _typed
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen, words

PartRecord = Person | Instrument | Joint | Hole | Link | Limit | Machine
Build = Callable[[Mapping[str, str]], PartRecord]
_WORDS = {"joints": "joint", "holes": "hole", "links": "link", "limits": "limit"}


def add_machine(app: Desk, then: Callable[[str], None]) -> None:
    """Ask for a machine and write it; then go on with its id."""

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        taken = frozenset({*app.session.book.machine_ids, *RESERVED})
        machine = part_forms.machine_from(values, unused_slug(values["name"], taken, "machine"))
        if written(app, lambda: store_machine(app.session.folder, machine)):
            then(machine.id)

    app.push_screen(FormScreen("New machine", part_forms.machine_fields(None)), keep)


def add_joint(app: Desk, machine_id: str, then: Callable[[], None] | None = None) -> None:
    """Ask for a joint and the name of its first hole; write both."""
    units = app.session.units
    hole = Field(
        "hole", "Its first hole", "", "Such as link end, left ear; more holes are added with a.", required=True
    )
    kind = Field("hole_kind", "That hole is", "plain", "", (("plain", "plain"), ("bushed", "bushed"), ("ball", "ball")))

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        machine = app.session.machine(machine_id)
        joint_id = unused_slug(values["name"], frozenset(joint.id for joint in machine.joints), "joint")
        hole_id = unused_slug(f"{joint_id} {values['hole']}", frozenset(item.id for item in machine.holes), "hole")
        joint = part_forms.joint_from(values, joint_id, units)
        first = Hole(hole_id, joint_id, values["hole"], cast("HoleKind", values["hole_kind"]))
        file = f"{machine_id}/{MACHINE_FILE}"

        def write() -> None:
            add_record(app.session.folder, file, "joints", joint)
            add_record(app.session.folder, file, "holes", first)

        if written(app, write) and then is not None:
            then()

    form = FormScreen("New joint", (*part_forms.joint_fields(None, units), hole, kind))
    app.push_screen(form, keep)


def add_to_machine(app: Desk, machine_id: str, joint_id: str = "") -> None:
    """Ask what to add, then ask for it."""
    machine = app.session.machine(machine_id)
    if not machine.joints:
        add_joint(app, machine_id)
        return
    choices = (("holes", "a hole"), ("joints", "a joint with its hole"), ("links", "a link"), ("limits", "a limit"))

    def go_on(values: object) -> None:
        if isinstance(values, dict):
            if values["what"] == "joints":
                add_joint(app, machine_id)
            else:
                _add_part(app, machine_id, values["what"], joint_id)

    form = FormScreen(f"Add to {shown_name(machine)}", (Field("what", "Add", "holes", "", choices),))
    app.push_screen(form, go_on)


def _add_part(app: Desk, machine_id: str, table: str, joint_id: str) -> None:
    machine, units = app.session.machine(machine_id), app.session.units
    parts: tuple[Hole | Link, ...] = machine.holes if table == "holes" else machine.links
    taken = part_ids(parts)
    form_fields = {
        "holes": lambda: part_forms.hole_fields(None, machine, units, joint_id),
        "links": lambda: part_forms.link_fields(None, machine),
        "limits": lambda: part_forms.limit_fields(None, machine, units),
    }[table]()

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        base = f"{values.get('joint', '')} {values.get('name', '')}"
        record = _build(table, unused_slug(base, taken, table[:-1]), app)(values)
        written(app, lambda: _add(app, f"{machine_id}/{MACHINE_FILE}", table, record))

    app.push_screen(FormScreen(f"New {_WORDS[table]}", form_fields), keep)


def part_ids(parts: Iterable[Person | Instrument | Joint | Hole | Link]) -> frozenset[str]:
    """Return the ids that are taken."""
    return frozenset(part.id for part in parts)


def _add(app: Desk, file: str, table: str, record: PartRecord) -> None:
    assert not isinstance(record, Machine)
    add_record(app.session.folder, file, table, record)


def _build(table: str, part_id: str, app: Desk) -> Build:
    units = app.session.units
    return {
        "joints": lambda values: part_forms.joint_from(values, part_id, units),
        "holes": lambda values: part_forms.hole_from(values, part_id, units),
        "links": lambda values: part_forms.link_from(values, part_id),
        "limits": lambda values: part_forms.limit_from(values, units),
        "people": lambda values: Person(part_id, values["name"]),
        "instruments": lambda values: instrument_from(values, part_id, units),
        "": lambda values: part_forms.machine_from(values, part_id),
    }[table]  # type: ignore[return-value] # every entry builds a record


def correct(app: Desk, machine_id: str, table: str, part_id: str) -> None:
    """Ask for corrections of one part, or of the machine itself, and write what changed."""
    machine, units = app.session.machine(machine_id), app.session.units
    tables: Mapping[str, tuple[Joint | Hole | Link, ...]] = {
        "joints": machine.joints,
        "holes": machine.holes,
        "links": machine.links,
    }
    part: PartRecord = next((item for item in tables.get(table, ()) if item.id == part_id), machine)
    if isinstance(part, Joint):
        form_fields = (*part_forms.joint_fields(part, units), *pin_fact_fields(part, machine))
    elif isinstance(part, Hole):
        form_fields = part_forms.hole_fields(part, machine, units)
    elif isinstance(part, Link):
        form_fields = part_forms.link_fields(part, machine)
    else:
        table, part_id, form_fields = "", "", (*part_forms.machine_fields(machine), *machine_fact_fields(machine))
    file = f"{machine_id}/{MACHINE_FILE}"
    _correct(app, file, table, part, form_fields)


def correct_limit(app: Desk, machine_id: str, number: int) -> None:
    """Ask for corrections of one of a machine's own limits, by its place in the file."""
    machine = app.session.machine(machine_id)
    if number < len(machine.limits):
        limit = machine.limits[number]
        form_fields = part_forms.limit_fields(limit, machine, app.session.units)
        _correct(app, f"{machine_id}/{MACHINE_FILE}", "limits", limit, form_fields)


def _correct(app: Desk, file: str, table: str, part: PartRecord, form_fields: tuple[Field, ...]) -> None:
    part_id = "" if isinstance(part, Machine | Limit) else part.id

    def keep(values: object) -> None:
        if isinstance(values, dict):
            new_id = part.id if isinstance(part, Machine) else part_id
            asked = frozenset(field.key for field in form_fields)
            changes = changed_values(part, _build(table, new_id, app)(values), asked)
            if isinstance(part, Link):  # a form asks for some of its keys only; the others stay
                changes = {key: value for key, value in changes.items() if key in values}
            which = part if isinstance(part, Limit) else part_id
            if changes:
                written(app, lambda: change_record(app.session.folder, file, table, which, changes))

    title = "limit" if isinstance(part, Limit) else shown_name(part)
    app.push_screen(FormScreen(f"Correct {title}", form_fields), keep)


def changed_values(old: PartRecord, new: PartRecord, asked: frozenset[str] | None = None) -> dict[str, Value | None]:
    """Return the keys that differ; a key whose value is now empty is taken out of the file.

    What a form did not ask for stays as it is. A limit's form asks in one line for what are several keys.
    """
    changes: dict[str, Value | None] = {}
    for field in fields(old):
        before, after = getattr(old, field.name), getattr(new, field.name)
        is_asked = asked is None or isinstance(old, Limit) or field.name in asked
        if is_asked and field.name != "id" and before != after:
            changes[field.name] = None if after in {"", None} else after
    return changes


def add_to_logbook(app: Desk, table: str) -> None:
    """Ask for a person, an instrument or a limit of the fleet, and write it."""
    logbook = app.session.logbook
    taken = part_ids(logbook.people if table == "people" else logbook.instruments)
    form_fields = _logbook_fields(app, table, None)

    def keep(values: object) -> None:
        if isinstance(values, dict):
            record = _build(table, unused_slug(values.get("name", ""), taken, table), app)(values)
            written(app, lambda: _add(app, LOGBOOK_FILE, table, record))

    words = {"people": "New person", "instruments": "New instrument", "limits": "New limit for the fleet"}
    app.push_screen(FormScreen(words[table], form_fields), keep)


def correct_in_logbook(app: Desk, table: str, part: Person | Instrument | Limit) -> None:
    """Ask for corrections of a person, an instrument or a limit of the fleet."""
    _correct(app, LOGBOOK_FILE, table, part, _logbook_fields(app, table, part))


def correct_head(app: Desk) -> None:
    """Ask for the logbook's name and its units, and write what changed."""
    logbook = app.session.logbook
    old = {"name": logbook.name, "units": str(logbook.units)}

    def keep(values: object) -> None:
        if isinstance(values, dict):
            changes: dict[str, Value | None] = {key: values[key] for key in old if values[key] != old[key]}
            if changes:
                written(app, lambda: change_record(app.session.folder, LOGBOOK_FILE, "", "", changes))

    app.push_screen(FormScreen("This logbook", part_forms.logbook_fields(logbook.name, logbook.units)), keep)


def _logbook_fields(app: Desk, table: str, part: Person | Instrument | Limit | None) -> tuple[Field, ...]:
    units = app.session.units
    if table == "people":
        return part_forms.person_fields(part if isinstance(part, Person) else None)
    if table == "instruments":
        return instrument_fields(part if isinstance(part, Instrument) else None, units)
    return part_forms.limit_fields(part if isinstance(part, Limit) else None, None, units)


def written(app: Desk, write: Callable[[], None]) -> bool:
    """Write a change and show it; tell whether it could be written, and say so on the screen where it could not."""
    try:
        write()
        app.session.reread()
    except FieldlogError as error:
        app.refuse(error)
        return False
    app.redraw()
    return True


def instrument_fields(instrument: Instrument | None, units: Units) -> tuple[Field, ...]:
    """Return the lines of an instrument's form."""
    this = instrument or Instrument(id="")

    check = length_check(units)
    limit = "Within what it is right, such as 0.03 mm. Empty: the usual figure for its kind."
    jaws = "Outer corner to outer corner, such as 1.0 mm. Empty: known bores tell it (k, a check)."
    return (
        Field("name", "Name", this.name, "Such as blue caliper.", required=True),
        Field("kind", "Kind", this.kind, "", words(*get_args(InstrumentKind))),
        Field(
            "resolution",
            "Smallest step",
            _typed(this.resolution),
            "Such as 0.01 mm, 0.0005 in, 1/16.",
            check=check,
        ),
        Field("error_limit", "Right within", _typed(this.error_limit), limit, check=check),
        Field("inside_error_limit", "... inside jaws", _typed(this.inside_error_limit), limit, check=check),
        Field("jaw_width", "Inside jaws, width", _typed(this.jaw_width), jaws, check=check),
        Field("jaw_width_error", "... known within", _typed(this.jaw_width_error), "Empty: 0.2 mm.", check=check),
        Field(
            "tape_class",
            "Tape class",
            this.tape_class or "",
            "I, II or III as printed on the tape.",
            (("", "none"), *words("I", "II", "III")),
        ),
        Field(
            "hook_slop",
            "Slop of its hook",
            _typed(this.hook_slop),
            "Of a tape; empty: the usual 1 mm.",
            check=check,
        ),
    )


def instrument_from(values: Mapping[str, str], instrument_id: str, units: Units) -> Instrument:
    """Return an instrument from its form."""

    def length(key: str) -> Length | None:
        return parse_length(values[key], units) if values[key] else None

    return Instrument(
        id=instrument_id,
        kind=cast("InstrumentKind", values["kind"]),
        name=values["name"],
        resolution=length("resolution"),
        error_limit=length("error_limit"),
        inside_error_limit=length("inside_error_limit"),
        tape_class=cast("TapeClass", values["tape_class"]) or None,
        hook_slop=length("hook_slop"),
        jaw_width=length("jaw_width"),
        jaw_width_error=length("jaw_width_error"),
    )
