"""Writing down what is seen and what was done."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, cast, get_args

from fieldlog.errors import FieldlogError
from fieldlog.records.entries import UNSAFE_SIGNS, Deed, Event, Note, Sign
from fieldlog.records.machine import part_name, shown_name
from fieldlog.tui.actions.part_forms import check_hours, parse_hours
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen, words

if TYPE_CHECKING:
    from fieldlog.app.round_work import RoundWork

SIGNS: tuple[Sign, ...] = get_args(Sign)
DEEDS: tuple[Deed, ...] = get_args(Deed)
_NOTHING = (("", "nothing more"),)
_UNSAFE = f"Unsafe on sight: {', '.join(UNSAFE_SIGNS)}. Any of them stops the joint until it is put right."


def note_form(title: str) -> FormScreen:
    """Return the form for wear seen."""
    first = (("", "words of my own only"), *words(*SIGNS))
    fields = (
        Field("sign", "Seen", "", "Left and right, or the first letter: c for crack.", first),
        Field("more", "and", "", "", (*_NOTHING, *words(*SIGNS))),
        Field("text", "In your own words", "", "Free text, or leave it empty."),
    )
    return FormScreen(f"Wear seen: {title}", fields, _UNSAFE, _needs_something)


def _needs_something(values: Mapping[str, str]) -> str:
    return "" if values["sign"] or values["more"] or values["text"] else "Nothing is written yet."


def signs_and_text(values: Mapping[str, str]) -> tuple[tuple[Sign, ...], str]:
    """Return what the form says."""
    chosen = dict.fromkeys(value for value in (values["sign"], values["more"]) if value)
    return tuple(cast("Sign", sign) for sign in chosen), values["text"]


def note_from(values: Mapping[str, str], kind: str, subject: str, work: "RoundWork") -> Note:
    """Return the note for a round."""
    signs, text = signs_and_text(values)
    head = work.head
    return Note(
        at=work.session.time_of_day(), round=head.id, day=head.date, who=head.who, signs=signs, text=text,
        hole=subject if kind == "hole" else "", joint=subject if kind == "joint" else "",
        link=subject if kind == "link" else "",
    )  # fmt: skip


def record_note(app: Desk, machine_id: str, about: tuple[str, str]) -> None:
    """Ask for wear seen and write it down."""
    title = _title(app, machine_id, about)

    def keep(values: object) -> None:
        if isinstance(values, dict):
            signs, text = signs_and_text(values)
            head, kind = app.session.my_round(), about[0]
            note = Note(
                at=app.session.time_of_day(), round=head.id, day=head.date, who=head.who, signs=signs, text=text,
                hole=about[1] if kind == "hole" else "", joint=about[1] if kind == "joint" else "",
                link=about[1] if kind == "link" else "",
            )  # fmt: skip
            _write(app, machine_id, note)

    app.push_screen(note_form(title), keep)


def record_deed(app: Desk, machine_id: str, about: tuple[str, str]) -> None:
    """Ask what was done and write it down."""
    people = tuple((person.id, shown_name(person)) for person in app.session.people())
    fields = (
        Field("deed", "Done", "", "Left and right, or the first letter.", words(*DEEDS), required=True),
        Field("who", "By", app.session.last_person(), choices=people),
        Field(
            "hours",
            "New meter shows",
            "",
            "Only when the hour meter was replaced.",
            check=check_hours,
        ),
        Field("text", "In your own words", "", "Parts, sizes, who did it; why it is put off."),
    )

    def reason(values: Mapping[str, str]) -> str:
        return "Say why it is put off." if values["deed"] == "put off" and not values["text"] else ""

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        head, (kind, subject) = app.session.my_round(values["who"]), about
        event = Event(
            at=app.session.time_of_day(), round=head.id, day=head.date, who=head.who,
            deed=cast("Deed", values["deed"]), text=values["text"],
            hours=parse_hours(values["hours"]) if values["hours"] else None,
            hole=subject if kind == "hole" else "", joint=subject if kind == "joint" else "",
            link=subject if kind == "link" else "",
        )  # fmt: skip
        _write(app, machine_id, event)

    app.push_screen(FormScreen(f"Work done: {_title(app, machine_id, about)}", fields, insist=reason), keep)


def _write(app: Desk, machine_id: str, entry: Note | Event) -> None:
    try:
        app.session.write_today(machine_id, entry)
    except FieldlogError as error:
        app.refuse(error)


def _title(app: Desk, machine_id: str, about: tuple[str, str]) -> str:
    return part_name(app.session.machine(machine_id), *about)
