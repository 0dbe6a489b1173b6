"""Writing down a link's thread, the hand at each end and what stops its opening."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from fieldlog.records.machine import Link, shown_name
from fieldlog.records.quantities import Length, Units, parse_length
from fieldlog.records.threads import Hand, LinkEnd, OpenStop, Thread
from fieldlog.store.names import MACHINE_FILE
from fieldlog.tui.actions.part_forms import length_check
from fieldlog.tui.screens.form import Field, FormScreen
from fieldlog.wear.threads import end_word

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

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
    near, far = (end_word(link, end) for end in cast("tuple[LinkEnd, ...]", ("near", "far")))
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


def correct_thread(app: "LogbookApp", machine_id: str, link_id: str) -> None:
    """Ask for a link's thread and write what changed."""
    from fieldlog.store.amend import change_record
    from fieldlog.tui.actions.parts import changed_values, written

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
