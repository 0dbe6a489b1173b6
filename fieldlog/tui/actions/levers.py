"""Asking how a joint's slack reaches the tool's edge, and how often the joint is greased."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast

from fieldlog.records.machine import Joint, SlackWay, shown_name
from fieldlog.records.quantities import Length, Units, parse_length
from fieldlog.store.amend import change_record
from fieldlog.store.names import MACHINE_FILE
from fieldlog.tui.actions.part_forms import grease_check, grease_or_none, length_check, length_text
from fieldlog.tui.actions.parts import changed_values, written
from fieldlog.tui.screens.form import Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

WAYS = (
    ("", "not written down"),
    ("turns", "turns: it turns the tool about a hinge, as a cylinder's pin does"),
    ("in line", "in line: straight along to the edge"),
    ("side to side", "side to side: a hinge of two bushes"),
    ("top link", "top link: it pitches the implement"),
)
_INTRO = (
    "What a joint's clearance is worth at the tool's edge: a cylinder's pin 180 mm from the hinge, teeth at 650 mm."
)
_ARM = "Turns: hinge to this pin. Side to side: bushes apart. Top link: height above the lower pins."
_EDGE = "Hinge to the cutting edge; of a top link, how far behind the pins."
_GREASE = "Its own interval, such as 10 h or weekly; empty: that of the machine."


def ask_levers(app: "LogbookApp", machine_id: str, joint_id: str) -> None:
    """Ask for a joint's levers and write down what changed."""
    joint = next((item for item in app.session.machine(machine_id).joints if item.id == joint_id), None)
    if joint is None:
        return
    fields = lever_fields(joint, app.session.units)

    def keep(values: object) -> None:
        if isinstance(values, dict):
            asked = frozenset(field.key for field in fields)
            changes = changed_values(joint, levers_from(values, joint, app.session.units), asked)
            file = f"{machine_id}/{MACHINE_FILE}"
            if changes:
                written(app, lambda: change_record(app.session.folder, file, "joints", joint_id, changes))

    app.push_screen(FormScreen(f"Levers of {shown_name(joint)}", fields, _INTRO, lacking), keep)


def lever_fields(joint: Joint, units: Units) -> tuple[Field, ...]:
    """Return the lines of the form."""
    every = joint.grease_every.typed if joint.grease_every is not None else ""
    return (
        Field("slack_way", "Its slack", joint.slack_way or "", "Left and right, or the first letter.", WAYS),
        Field("lever_arm", "Lever arm", length_text(joint.lever_arm), _ARM, check=length_check(units)),
        Field("tool_radius", "Edge at", length_text(joint.tool_radius), _EDGE, check=length_check(units)),
        Field("grease_every", "Grease every", every, _GREASE, check=grease_check),
    )


def lacking(values: Mapping[str, str]) -> str:
    """Return what a form lacks, empty when nothing."""
    way = values["slack_way"]
    if way in {"", "in line"}:
        return ""
    missing = [word for key, word in (("lever_arm", "lever arm"), ("tool_radius", "edge")) if not values[key]]
    return f"Without {' and '.join(missing)} nothing is reckoned." if missing else ""


def levers_from(values: Mapping[str, str], joint: Joint, units: Units) -> Joint:
    """Return the joint with the levers of the form."""
    from dataclasses import replace

    def length(key: str) -> Length | None:
        return parse_length(values[key], units) if values[key] else None

    return replace(
        joint,
        slack_way=cast("SlackWay | None", values["slack_way"] or None),
        lever_arm=length("lever_arm"),
        tool_radius=length("tool_radius"),
        grease_every=grease_or_none(values["grease_every"]),
    )
