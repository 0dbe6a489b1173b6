"""Writing down a link's thread, the hand at each end and what stops its opening.

Writing down the metal around a hole: asked for only where a repair needs it.

Asking how a joint's slack reaches the tool's edge, and how often the joint is greased.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import cast, get_args

from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.machine import Hand, Hole, Joint, Link, LinkEnd, Made, OpenStop, SlackWay, Thread, shown_name
from fieldlog.store.amend import Value, change_record
from fieldlog.store.files import MACHINE_FILE
from fieldlog.tui.actions.part_forms import grease_check, grease_or_none, length_check, length_text
from fieldlog.tui.actions.parts import changed_values, written
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen, words
from fieldlog.words.link import end_text

_HANDS = (
    ("", "not known"),
    ("right", "right hand, the usual"),
    ("left", "left hand"),
    ("none", "no thread at this end"),
)
_STOPS = (
    ("", "not known"),
    ("thread", "nothing but the thread itself"),
    ("groove", "a groove or band of the maker's"),
    ("stop pin", "a stop pin"),
)
_INTRO = "Nobody under or behind the implement; lower and block it before a link is turned. The manual comes first."


def thread_check(text: str) -> None:
    """Check that a thread can be read."""
    from fieldlog.standards.threads import parse_thread

    parse_thread(text)


def thread_fields(link: Link, units: Units) -> tuple[Field, ...]:
    """Return the lines of the form for a link's thread."""

    def text(length: Length | None) -> str:
        return length.typed if length is not None else ""

    check = length_check(units)
    near, far = (end_text(link, end) for end in cast("tuple[LinkEnd, ...]", ("near", "far")))
    size = "Such as M24x3, 3/4-10 UNC, 1 1/8-7, Tr 30x6. Over the crests, and ten crests for the pitch."
    rod_out = "The length of thread on the rod, measured once with the rod out."
    stop = "Pin to pin, if the manual states it. Empty: the open length as taped is that limit."
    return (
        Field("thread", "Thread", link.thread.typed if link.thread else "", size, check=thread_check),
        Field("near_hand", f"Hand, {near}", link.near_hand or "", "A right hand thread climbs to the right.", _HANDS),
        Field("far_hand", f"Hand, {far}", link.far_hand or "", "A body between two threads has one of each.", _HANDS),
        Field("near_thread", f"Thread, {near}", text(link.near_thread), rod_out, check=check),
        Field("far_thread", f"Thread, {far}", text(link.far_thread), rod_out, check=check),
        Field("body", "Body length", text(link.body), "Of the turning body, if you like: a check.", check=check),
        Field("open_stop", "Opening ends at", link.open_stop or "", "Look for a groove, band or pin.", _STOPS),
        Field("stop_length", "Its longest length", text(link.stop_length), stop, check=check),
    )


def thread_from(values: Mapping[str, str], link: Link, units: Units) -> Link:
    """Return the link with what the form says of its thread."""
    from fieldlog.standards.threads import parse_thread

    def length(key: str) -> Length | None:
        return parse_length(values[key], units) if values[key] else None

    thread: Thread | None = parse_thread(values["thread"]) if values["thread"] else None
    return replace(
        link,
        thread=thread,
        near_hand=cast("Hand", values["near_hand"]) or None,
        far_hand=cast("Hand", values["far_hand"]) or None,
        near_thread=length("near_thread"),
        far_thread=length("far_thread"),
        body=length("body"),
        open_stop=cast("OpenStop", values["open_stop"]) or None,
        stop_length=length("stop_length"),
    )


def correct_thread(app: Desk, machine_id: str, link_id: str) -> None:
    """Ask for a link's thread and write what changed."""
    link = next((link for link in app.session.machine(machine_id).links if link.id == link_id), None)
    if link is None:
        app.notify_line("This link is not in the files any more.")
        return
    units = app.session.units

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        changes = changed_values(link, thread_from(values, link, units))
        file = f"{machine_id}/{MACHINE_FILE}"
        if changes:
            written(app, lambda: change_record(app.session.folder, file, "links", link_id, changes))

    title = f"Thread: {shown_name(link)}"
    app.push_screen(FormScreen(title, thread_fields(link, units), _INTRO, _insist), keep)


def _insist(values: Mapping[str, str]) -> str:
    near, far = values["near_hand"], values["far_hand"]
    if near and near == far:
        end = "Neither end has a thread" if near == "none" else f"Both ends {near}-handed: turning would change nothing"
        return f"{end}. Look which way each thread climbs."
    return ""


_EYE_INTRO = (
    "The eye around the hole, so that the metal left can be worked out. Cast and hardened parts are not drilled."
)
_SIZES = (
    ("eye_width", "Width across the hole"),
    ("eye_thickness", "Thickness along the pin"),
    ("centre_to_end", "Hole's centre to end"),
)


def correct_eye(app: Desk, machine_id: str, hole_id: str) -> None:
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

    app.push_screen(FormScreen(f"The eye of {shown_name(hole)}", _fields(hole, units), _EYE_INTRO), keep)


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


WAYS = (
    ("", "not written down"),
    ("turns", "turns: it turns the tool about a hinge, as a cylinder's pin does"),
    ("in line", "in line: straight along to the edge"),
    ("side to side", "side to side: a hinge of two bushes"),
    ("top link", "top link: it pitches the implement"),
)
_LEVER_INTRO = (
    "What a joint's clearance is worth at the tool's edge: a cylinder's pin 180 mm from the hinge, teeth at 650 mm."
)
_ARM = "Turns: hinge to this pin. Side to side: bushes apart. Top link: height above the lower pins."
_EDGE = "Hinge to the cutting edge; of a top link, how far behind the pins."
_GREASE = "Its own interval, such as 10 h or weekly; empty: that of the machine."


def ask_levers(app: Desk, machine_id: str, joint_id: str) -> None:
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

    app.push_screen(FormScreen(f"Levers of {shown_name(joint)}", fields, _LEVER_INTRO, lacking), keep)


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

    def length(key: str) -> Length | None:
        return parse_length(values[key], units) if values[key] else None

    return replace(
        joint,
        slack_way=cast("SlackWay | None", values["slack_way"] or None),
        lever_arm=length("lever_arm"),
        tool_radius=length("tool_radius"),
        grease_every=grease_or_none(values["grease_every"]),
    )
