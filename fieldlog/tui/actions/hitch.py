"""Adding to and correcting what is measured on a hitch and on implements, and keeping the holes that were tried.

Writing down a tractor's hydraulics: relief, flow, remotes, hose.
"""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, cast

from fieldlog.errors import FieldlogError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.text import unused_slug
from fieldlog.quantity.units import Flow, Pressure, Units
from fieldlog.records.hitch import (
    Hitch,
    HitchParts,
    Hydraulics,
    Implement,
    ImplementPoint,
    Implements,
    MastHole,
    RodHole,
    TopLinkHole,
)
from fieldlog.retrofit.hitch.setup import HitchSetup, Setting
from fieldlog.store.amend import TableRecord, Value, add_record, change_record, change_table
from fieldlog.store.files import LOGBOOK_FILE, MACHINE_FILE
from fieldlog.store.hitch_reader import HYDRAULICS, read_hydraulics_file
from fieldlog.tui.actions import hitch_forms
from fieldlog.tui.actions.hitch_forms import Row, Typed, form_fields, values_read
from fieldlog.tui.actions.part_forms import length_check, whole_number_check
from fieldlog.tui.actions.parts import written
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Check, Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.pages.hitch_tried import HitchWork

Part = TopLinkHole | RodHole | Implement | MastHole | ImplementPoint
Done = Callable[[], None]


def correct_hitch(app: Desk, machine_id: str, hitch: Hitch | None, rows: tuple[Row, ...], title: str) -> None:
    """Ask for a group of the tractor's sizes and write what changed into [hitch]."""
    units = app.session.units
    old = hitch or Hitch()

    def keep(values: object) -> None:
        if isinstance(values, dict):
            changes = _changes(old, values_read(rows, values, units))
            if old.heights_hole and {"ball_lowest", "ball_highest"} <= changes.keys():
                changes = {**changes, "heights_hole": None}  # both taped again, in the hole in use
            if changes:
                written(app, lambda: change_table(app.session.folder, f"{machine_id}/{MACHINE_FILE}", "hitch", changes))

    app.push_screen(FormScreen(title, form_fields(rows, old, units), hitch_forms.TRACTOR_INTRO), keep)


def correct_part(app: Desk, machine_id: str, part: Part, rows: tuple[Row, ...]) -> None:
    """Ask for corrections of a hole, an implement or a corner, and write what changed."""
    units = app.session.units
    file, table = _place(machine_id, part)

    def keep(values: object) -> None:
        if isinstance(values, dict):
            changes = _changes(part, values_read(rows, values, units))
            if changes:
                written(app, lambda: change_record(app.session.folder, file, table, part.id, changes))

    intro = hitch_forms.WORK_INTRO if rows is hitch_forms.WORK_ROWS else _intro(part)
    app.push_screen(FormScreen(f"Correct {part.name or part.id}", form_fields(rows, part, units), intro), keep)


def add_hitch_part(app: Desk, machine_id: str, parts: HitchParts, implements: Implements) -> None:
    """Ask what to add, then ask for it."""
    choices = [("top_holes", "a hole for the top link"), ("rod_holes", "a hole for the lift rod")]
    choices.append(("implements", "an implement"))
    for item in implements.implements:
        name = item.name or item.id
        choices += [(f"mast_holes:{item.id}", f"a mast hole of {name}"), (f"points:{item.id}", f"a corner of {name}")]

    def go_on(values: object) -> None:
        if isinstance(values, dict):
            table, _, implement_id = values["what"].partition(":")
            _add(app, machine_id, table, implement_id, _ids(table, parts, implements))

    app.push_screen(FormScreen("Add to the hitch", (Field("what", "Add", "", "", tuple(choices)),)), go_on)


def keep_holes(app: Desk, work: "HitchWork") -> None:
    """Write the holes tried as those in use; the heights stay those taped in the lift rod's hole of that day."""
    setup, setting = work.setup, work.setting
    if setup is None or setting is None:
        return
    changes, said = _hole_changes(setup, setting, work.parts.hitch or Hitch())
    mast, item = setup.mast_holes[setting.mast_hole], setup.implement

    def write() -> None:
        if changes:
            change_table(app.session.folder, f"{work.machine_id}/{MACHINE_FILE}", "hitch", changes)
        if mast.id and item is not None and mast.id != item.mast_hole:
            change_record(app.session.folder, LOGBOOK_FILE, "implements", item.id, {"mast_hole": mast.id})
            said.append(f"mast's {mast.name}")

    if not written(app, write):
        return
    words = f"Written down: {', '.join(said)}." if said else "The holes written down are these already."
    if changes.get("heights_hole"):
        taped = setup.rod_holes[setup.heights_hole].name
        words += (
            f" How far it lifts is worked out from the heights taped in the {taped}; tape both again to be sure (c)."
        )
    work.parts, work.implements = work.read_parts()
    app.notify_line(words)


def _hole_changes(setup: HitchSetup, setting: Setting, hitch: Hitch) -> tuple[dict[str, Value | None], list[str]]:
    """Return what changes in [hitch], and what is said of it: the top link's hole, and the lift rod's."""
    top, rod, taped = (
        setup.top_holes[setting.top_hole], setup.rod_holes[setting.rod_hole], setup.rod_holes[setup.heights_hole]
    )  # fmt: skip
    changes: dict[str, Value | None] = {}
    said: list[str] = []
    if top.id and top.id != hitch.top_hole:
        changes["top_hole"] = top.id
        said.append(f"top link in its {top.name}")
    if rod.id and setting.rod_hole != setup.start[2] and rod.id != hitch.rod_hole:
        changes |= {"rod_hole": rod.id, "heights_hole": None if rod.id == taped.id else taped.id}
        said.append(f"lift rod in its {rod.name}")
    return changes, said


def _add(app: Desk, machine_id: str, table: str, implement_id: str, taken: frozenset[str]) -> None:
    units = app.session.units
    rows, title = _ROWS[table]

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        base = f"{implement_id} {values['name']}" if implement_id else values["name"]
        read = values_read(rows, values, units)
        record = _record(table, unused_slug(base, taken, table[:-1]), implement_id, read)
        file = LOGBOOK_FILE if table in {"implements", "mast_holes", "points"} else f"{machine_id}/{MACHINE_FILE}"
        written(app, lambda: add_record(app.session.folder, file, table, record))

    intro = hitch_forms.TRACTOR_INTRO if table in {"top_holes", "rod_holes"} else hitch_forms.IMPLEMENT_INTRO
    app.push_screen(FormScreen(title, form_fields(rows, None, units), intro), keep)


_ROWS: Mapping[str, tuple[tuple[Row, ...], str]] = {
    "top_holes": (hitch_forms.TOP_HOLE_ROWS, "New hole for the top link"),
    "rod_holes": (hitch_forms.ROD_HOLE_ROWS, "New hole for the lift rod"),
    "implements": (hitch_forms.IMPLEMENT_ROWS, "New implement"),
    "mast_holes": (hitch_forms.MAST_ROWS, "New mast hole"),
    "points": (hitch_forms.POINT_ROWS, "New corner of an implement"),
}


def _record(table: str, part_id: str, implement_id: str, read: Mapping[str, Typed]) -> TableRecord:
    kinds = {
        "top_holes": TopLinkHole,
        "rod_holes": RodHole,
        "implements": Implement,
        "mast_holes": MastHole,
        "points": ImplementPoint,
    }
    given: dict[str, Typed] = {"id": part_id, **read}
    if implement_id:
        given["implement"] = implement_id
    return cast("TableRecord", kinds[table](**given))


def _place(machine_id: str, part: Part) -> tuple[str, str]:
    match part:
        case TopLinkHole():
            return f"{machine_id}/{MACHINE_FILE}", "top_holes"
        case RodHole():
            return f"{machine_id}/{MACHINE_FILE}", "rod_holes"
        case Implement():
            return LOGBOOK_FILE, "implements"
        case MastHole():
            return LOGBOOK_FILE, "mast_holes"
        case _:
            return LOGBOOK_FILE, "points"


def _intro(part: Part) -> str:
    return hitch_forms.TRACTOR_INTRO if isinstance(part, TopLinkHole | RodHole) else hitch_forms.IMPLEMENT_INTRO


def _ids(table: str, parts: HitchParts, implements: Implements) -> frozenset[str]:
    rows: Mapping[str, tuple[Part, ...]] = {
        "top_holes": parts.top_holes,
        "rod_holes": parts.rod_holes,
        "implements": implements.implements,
        "mast_holes": implements.mast_holes,
        "points": implements.points,
    }
    return frozenset(part.id for part in rows[table])


def _changes(old: object, read: Mapping[str, Typed]) -> dict[str, Value | None]:
    """Return the keys that differ; one that is empty now is taken out of the file."""
    changes: dict[str, Value | None] = {}
    for key, value in read.items():
        before = getattr(old, key)
        if getattr(before, "typed", before) != getattr(value, "typed", value):
            changes[key] = None if value in {"", None} else value
    return changes


_INTRO = (
    "From the tractor's manual, or gauged by somebody who knows how: never open a fitting under pressure. Engine off, "
    "levers cycled, load on the ground."
)


def correct_hydraulics(app: Desk, machine_id: str) -> None:
    """Ask for the hydraulics and write what changed into [hydraulics]."""
    session = app.session
    old = read_hydraulics_file(session.folder, machine_id)

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        new = _read(values, session.units)
        changes = {key: value for key, value in new.items() if value != getattr(old, key)}
        if not changes:
            return
        try:
            change_table(session.folder, f"{machine_id}/{MACHINE_FILE}", HYDRAULICS, changes)
            session.reread()
        except FieldlogError as error:
            app.refuse(error)
        app.redraw()

    app.push_screen(FormScreen("Hydraulics of the tractor", _fields(old, session.units), _INTRO), keep)


def _read(values: dict[str, str], units: Units) -> dict[str, Value | None]:
    return {
        "relief": Pressure.from_text(values["relief"]) if values["relief"] else None,
        "pump_flow": Flow.from_text(values["pump_flow"]) if values["pump_flow"] else None,
        "remotes": int(values["remotes"]) if values["remotes"] else None,
        "hose_inside": parse_length(values["hose_inside"], units) if values["hose_inside"] else None,
    }


def _fields(old: Hydraulics, units: Units) -> tuple[Field, ...]:
    relief = old.relief.typed if old.relief else ""
    flow = old.pump_flow.typed if old.pump_flow else ""
    hose = old.hose_inside.typed if old.hose_inside else ""
    return (
        Field(
            "relief", "Relief pressure", relief, "With its unit: 172 bar, 2500 psi.", check=_checked(Pressure.from_text)
        ),
        Field(
            "pump_flow",
            "Flow at the remotes",
            flow,
            "With its unit: 18.9 L/min, 5 gpm.",
            check=_checked(Flow.from_text),
        ),
        Field(
            "remotes", "Double-acting remotes", str(old.remotes or ""), "Pairs of couplers.", check=whole_number_check
        ),
        Field("hose_inside", "Hose, inside", hose, "3/8 hose is 3/8 in inside.", check=length_check(units)),
    )


def _checked(parse: object) -> Check:
    def check(text: str) -> None:
        assert callable(parse)
        parse(text)

    return check
