"""Writing down evidence that is no reading: what was tried, play in place, facts of the joint and the machine.

Striking a reading out, taking a strike back, or keeping a reading that stands apart; always with a reason.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError, QuantityError
from fieldlog.pages.readings import entry_words, strike_reasons
from fieldlog.quantity.lengths import Units
from fieldlog.records.entries import AnyEntry, Keep, Play, Round, Strike, Trial
from fieldlog.records.evidence_text import FactTyped, PlayTyped, TrialTyped, Typed
from fieldlog.records.machine import Joint
from fieldlog.store.amend import change_record
from fieldlog.store.files import MACHINE_FILE
from fieldlog.tui.actions.part_forms import length_check
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.app.round_work import RoundWork
    from fieldlog.app.session import Session

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

    session: "Session"
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
            done(str(error))
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
