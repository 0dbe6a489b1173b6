"""Writing down a tractor's hydraulics: relief, flow, remotes, hose."""

from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError
from fieldlog.records.hydraulics import Hydraulics
from fieldlog.records.physical import Flow, Pressure
from fieldlog.records.quantities import Units, parse_length
from fieldlog.store.amend import Value
from fieldlog.store.amend_table import change_table
from fieldlog.store.hydraulics_reader import HYDRAULICS, read_hydraulics_file
from fieldlog.store.names import MACHINE_FILE
from fieldlog.tui.actions.part_forms import length_check, whole_number_check
from fieldlog.tui.screens.form import Check, Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

_INTRO = (
    "From the tractor's manual, or gauged by somebody who knows how: never open a fitting under pressure. Engine off, "
    "levers cycled, load on the ground."
)


def correct_hydraulics(app: "LogbookApp", machine_id: str) -> None:
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
