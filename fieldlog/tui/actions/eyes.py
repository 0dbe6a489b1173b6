"""Writing down the metal around a hole: asked for only where a repair needs it."""

from typing import TYPE_CHECKING, cast, get_args

from fieldlog.records.machine import Hole, Made, shown_name
from fieldlog.records.quantities import Length, Units, parse_length
from fieldlog.store.amend import Value, change_record
from fieldlog.store.names import MACHINE_FILE
from fieldlog.tui.actions.part_forms import length_check
from fieldlog.tui.actions.parts import written
from fieldlog.tui.screens.form import Field, FormScreen, words

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

_INTRO = "The eye around the hole, so that the metal left can be worked out. Cast and hardened parts are not drilled."
_SIZES = (
    ("eye_width", "Width across the hole"),
    ("eye_thickness", "Thickness along the pin"),
    ("centre_to_end", "Hole's centre to end"),
)


def correct_eye(app: "LogbookApp", machine_id: str, hole_id: str) -> None:
    """Ask for the eye's sizes and write what changed."""
    hole = next((hole for hole in app.session.machine(machine_id).holes if hole.id == hole_id), None)
    if hole is None:
        return
    units = app.session.units

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        changes: dict[str, Value | None] = {key: _size(values[key], units) for key, _ in _SIZES}
        changes["made_of"] = cast("Made", values["made_of"]) or None
        changes = {key: value for key, value in changes.items() if value != getattr(hole, key)}
        if changes:
            file = f"{machine_id}/{MACHINE_FILE}"
            written(app, lambda: change_record(app.session.folder, file, "holes", hole_id, changes))

    app.push_screen(FormScreen(f"The eye of {shown_name(hole)}", _fields(hole, units), _INTRO), keep)


def _fields(hole: Hole, units: Units) -> tuple[Field, ...]:
    made = (("", "not known"), *words(*get_args(Made)))
    return (
        *(
            Field(key, label, _typed(getattr(hole, key)), "Such as 45 mm or 1 3/4 in.", check=length_check(units))
            for key, label in _SIZES
        ),
        Field("made_of", "Made of", hole.made_of or "", "", made),
    )


def _typed(size: Length | None) -> str:
    return size.typed if size is not None else ""


def _size(text: str, units: Units) -> Length | None:
    return parse_length(text, units) if text else None
