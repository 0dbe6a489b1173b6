"""Writing down evidence that is no reading: what was tried, play in place, facts of the joint and the machine.

Striking a reading out, taking a strike back, or keeping a reading that stands apart; always with a reason.

Writing down what is seen and what was done.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast, get_args

from fieldlog.errors import FieldlogError, QuantityError
from fieldlog.pages.readings import entry_words, strike_reasons
from fieldlog.quantity.units import Units
from fieldlog.records.entries import UNSAFE_SIGNS, AnyEntry, Deed, Event, Keep, Note, Play, Round, Sign, Strike, Trial
from fieldlog.records.evidence_text import FactTyped, PlayTyped, TrialTyped, Typed
from fieldlog.records.machine import Joint, part_name, shown_name
from fieldlog.store.amend import change_record
from fieldlog.store.files import MACHINE_FILE
from fieldlog.tui.actions.part_forms import check_hours, length_check, parse_hours
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen, words
from fieldlog.words.speak import error_text

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook
    from fieldlog.app.round_work import RoundWork

_WHAT = (
    ("pin", "pin tried in the hole"),
    ("shank", "shank of a drill tried"),
    ("play", "movement: play in place"),
    ("feeler", "feeler beside the pin"),
)
_RESULTS = (("goes", "goes through"), ("no", "does not go"), ("one side only", "one side only: sticks inside"))
_PLAY_BY = (("marks", "two marks and a rule"), ("dial", "dial indicator"), ("rocked", "rocked, judged by eye"))


@dataclass(frozen=True, slots=True)
class Notebook:
    """Where evidence about one joint is written: into the round that is walked, else into today's."""

    session: "OpenLogbook"
    machine_id: str
    joint: Joint
    work: "RoundWork | None" = None

    @property
    def unit(self) -> Units:
        """The unit of a bare number: in a round that of the caliper in hand, else the logbook's."""
        return self.work.unit if self.work is not None else self.session.units

    def keep(self, typed: Typed, hole_id: str) -> None:
        """Put one piece of evidence on disk."""
        if isinstance(typed, FactTyped):
            self._keep_fact(typed)
        elif isinstance(typed, PlayTyped):
            head = self._head()
            self._write(
                Play(**self._stamp(head), joint=self.joint.id, size=typed.size, by=typed.by)  # type: ignore[arg-type]
            )
        elif isinstance(typed, TrialTyped):
            if not hole_id:
                raise QuantityError("This joint has no hole yet to try a pin in; add one first, with a.")
            head = self._head()
            self._write(
                Trial(**self._stamp(head), hole=hole_id, size=typed.size, result=typed.result, by=typed.by)  # type: ignore[arg-type]
            )

    def last(self) -> Trial | Play | None:
        """Return the newest standing entry of this kind about the joint in this round, or today's."""
        head, log = self._head(), self.session.log(self.machine_id)
        holes = {hole.id for hole in log.machine.holes if hole.joint == self.joint.id}
        found: list[Trial | Play] = [trial for trial in log.standing(Trial) if trial.hole in holes]
        found += [play for play in log.standing(Play) if play.joint == self.joint.id]
        found = [entry for entry in found if entry.round == head.id]
        return max(found, key=lambda entry: (entry.day, entry.at), default=None)

    def strike(self, entry: Trial | Play, why: str) -> None:
        """Strike an entry out; it stays on file."""
        if self.work is None:
            self.session.strike(self.machine_id, entry, why)
        else:
            head = self.work.head
            at = self.session.time_of_day()
            of = entry.at if entry.round == head.id else entry.key
            self.work.write(Strike(at=at, round=head.id, day=head.date, who=head.who, of=of, why=why))

    def _head(self) -> Round:
        return self.work.head if self.work is not None else self.session.my_round()

    def _stamp(self, head: Round) -> Mapping[str, object]:
        return {"at": self.session.time_of_day(), "round": head.id, "day": head.date, "who": head.who}

    def _write(self, entry: AnyEntry) -> None:
        if self.work is not None:
            self.work.write(entry)
        else:
            self.session.write_today(self.machine_id, entry)

    def _keep_fact(self, fact: FactTyped) -> None:
        is_of_joint = fact.key in {"keeper", "pin_kind"}
        table, part = ("joints", self.joint.id) if is_of_joint else ("", "")
        change_record(self.session.folder, f"{self.machine_id}/{MACHINE_FILE}", table, part, {fact.key: fact.value})
        self.session.reread()


def evidence_form(title: str, unit: Units) -> FormScreen:
    """Return the form that asks for one piece of evidence by choices."""
    size = "The size of the pin or shank, the play, or the thickest feeler that enters."
    fields = (
        Field("what", "What", "pin", "Left and right, or the first letter.", _WHAT),
        Field("size", "Size", "", size, required=True, check=length_check(unit)),
        Field(
            "result", "A pin or shank", "goes", "Both ways round; it must come out at the other face to go.", _RESULTS
        ),
        Field("by", "Play taken by", "marks", "Three times, off load; the middle one counts.", _PLAY_BY),
    )
    return FormScreen(title, fields)


def line_of(values: Mapping[str, str]) -> str:
    """Return what a filled form says, as it would be typed in one line."""
    if values["what"] == "play":
        return f"play {values['size']} {values['by']}"
    if values["what"] == "feeler":
        return f"feeler {values['size']}"
    return f"{values['size']} {values['what']} {values['result']}"


_STAYS = "It stays on file, struck, with this reason."
_TAKEN_BACK = "The strike is struck; both stay on file."


def strike_or_keep(
    app: Desk, machine_id: str, entry: AnyEntry, *, is_marked: bool, done: Callable[[str], None]
) -> None:
    """Ask what is to be done with an entry and why, write it down, and call `done` with an error or nothing.

    A reading that stands apart can be struck or kept; one that is kept can be struck, or its keep taken back.
    """
    log = app.session.log(machine_id)
    keep = next((keep for keep in log.standing(Keep) if keep.target == entry.key), None)
    is_struck = entry.key in log.struck
    choice = () if is_struck else _choice(keep, is_marked=is_marked)
    title = "Keep after all" if is_struck else "Strike or keep" if choice else "Strike out"

    def write(values: object) -> None:
        if not isinstance(values, dict):
            return
        try:
            if values.get("deed") == "keep":
                app.session.keep(machine_id, entry, values["why"])
            elif values.get("deed") == "take back" and keep is not None:
                app.session.strike(machine_id, keep, values["why"])
            else:
                target = strike_reasons(log.entries, log.struck)[entry.key] if is_struck else entry
                app.session.strike(machine_id, target, values["why"])
        except FieldlogError as error:
            done(error_text(error))
        else:
            done("")

    why = Field("why", "Why", "", _TAKEN_BACK if is_struck else _STAYS, required=True)
    app.push_screen(FormScreen(f"{title}: {entry_words(entry)}", (*choice, why)), write)


def _choice(keep: Keep | None, *, is_marked: bool) -> tuple[Field, ...]:
    """Return the question what to do, where there is more than one thing to do."""
    if keep is not None:
        choices = (
            ("strike", "strike the reading out"),
            ("take back", "take the keep back; it is marked again"),
        )
        return (Field("deed", "What", "strike", f"Kept: {keep.why}", choices),)
    if is_marked:
        hint = "Measured again and it was wrong: strike it. Looked at and it is so: keep it, and say why."
        choices = (("strike", "strike the reading out"), ("keep", "keep it, and mark it no more"))
        return (Field("deed", "What", "strike", hint, choices),)
    return ()


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
