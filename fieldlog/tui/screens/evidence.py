"""The entries behind a number, struck ones too; each can be struck out or taken back.

Other evidence about a joint's pin: what there is, what would settle it, and a line to type more of it on.
"""

from collections.abc import Iterable, Mapping

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.round_work import RoundWork
from fieldlog.errors import FieldlogError, StoreError
from fieldlog.measure.suspect import Mark
from fieldlog.pages.hole import evidence_lines
from fieldlog.pages.lines import BLANK, Line, Span, heading, line, short, wrapped
from fieldlog.pages.machine import hole_label
from fieldlog.pages.readings import apart_lines, corrected_sizes, entry_lines, entry_words, said_under, strike_reasons
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Event,
    Keep,
    LigamentReading,
    MachineLog,
    Strike,
    WallReading,
)
from fieldlog.records.evidence_text import accepted_evidence, parse_evidence
from fieldlog.records.machine import Hole, part_name, shown_name
from fieldlog.tui import commands
from fieldlog.tui.actions.evidence import Notebook, evidence_form, line_of
from fieldlog.tui.base import Desk, LogScreen
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.shapes import marks_by_key
from fieldlog.wear.states import JointState
from fieldlog.words.speak import error_text, say


def entries_about(log: MachineLog, kind: str, subject: str, round_id: str = "") -> tuple[AnyEntry, ...]:
    """Return all entries about a hole, a joint with its holes, or a link, struck ones too, but no strike or keep."""
    holes = {hole.id for hole in log.machine.holes if kind == "joint" and hole.joint == subject}

    def is_about(entry: AnyEntry) -> bool:
        if getattr(entry, kind, "") == subject or getattr(entry, "hole", "") in holes:
            return True
        return kind == "hole" and isinstance(entry, Event) and entry.joint == _joint_id(log, subject)

    return tuple(
        entry
        for entry in log.entries
        if not isinstance(entry, Strike | Keep) and is_about(entry) and round_id in {"", entry.round}
    )


def _joint_id(log: MachineLog, hole_id: str) -> str:
    joint = log.machine.joint_of(hole_id)
    return joint.id if joint is not None else ""


def apart_of(screen: LogScreen, machine_id: str, kind: str, subject: str) -> tuple[Line, ...]:
    """Return which readings of a pin, a wall or a link stand apart and are not kept, under a heading.

    Those of a bore are told with its days, and a hole's walls on the hole's page.
    """
    session, width = screen.session, screen.text_width - 2
    index = session.index(machine_id)
    told_elsewhere = (BoreReading, LigamentReading, WallReading) if kind == "joint" else (BoreReading,)
    entries = entries_about(session.log(machine_id), kind, subject)
    behind = {entry.key for entry in entries if not isinstance(entry, told_elsewhere)}
    marks = [m for m in marks_by_key((), index, behind).values() if m.key in behind and m.key not in index.keeps]
    lines = apart_lines(marks, (), session.units, width)
    return (BLANK, heading("Readings that stand apart"), *lines) if lines else ()


class ReadingsScreen(LogScreen):
    """Lists entries about one thing, of one round or of all."""

    KEYS = commands.READINGS

    def __init__(self, machine_id: str, kind: str, subject: str, round_id: str = "") -> None:
        super().__init__()
        self.machine_id = machine_id
        self.kind = kind
        self.subject = subject
        self.round_id = round_id

    def body(self) -> Iterable[Widget]:
        """The list."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """What the entries are about."""
        machine = self.session.machine(self.machine_id)
        return f"Entries: {part_name(machine, self.kind, self.subject)}", shown_name(machine)

    def redraw(self) -> None:
        """One line an entry."""
        log = self.session.log(self.machine_id)
        entries = entries_about(log, self.kind, self.subject, self.round_id)
        width = self.text_width - 2
        keeps = self.session.index(self.machine_id).keeps
        said = said_under(self._marks(), keeps, self.session.units)
        corrected = corrected_sizes(entries, self.session.instruments, self.session.units)
        lines = entry_lines(entries, log.struck, strike_reasons(log.entries, log.struck), width, said, corrected)
        self.query_one(LineList).show(lines or wrapped("No entry yet.", width, "", "dim"))

    def _marks(self) -> Mapping[str, Mark]:
        log, kind = self.session.log(self.machine_id), self.kind
        key = {"hole": "id", "joint": "joint"}.get(kind, "")
        holes = [hole for hole in log.machine.holes if key and getattr(hole, key) == self.subject]
        behind = {entry.key for entry in entries_about(log, kind, self.subject, self.round_id)}
        return marks_by_key(holes, self.session.index(self.machine_id), behind)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Ask what to do and for the reason, then strike the entry, take its strike back, or keep it."""
        from fieldlog.tui.actions.evidence import strike_or_keep

        log = self.session.log(self.machine_id)
        entry = next(entry for entry in log.entries if entry.key == event.target)
        is_marked = entry.key in self._marks()
        strike_or_keep(self.desk, self.machine_id, entry, is_marked=is_marked, done=self._done)

    def _done(self, error: str) -> None:
        if error:
            self.say(error)
        else:
            self.redraw()

    def action_budget(self) -> None:
        """Open the numbers that these entries give."""
        from fieldlog.tui.screens.opened import open_budget

        open_budget(self.desk, self.machine_id, (self.kind, self.subject), self.round_id)


_LEAST_USED_FIRST = ("never", "sometimes", "daily")


def open_evidence(
    app: Desk, machine_id: str, *, joint_id: str = "", hole_id: str = "", work: RoundWork | None = None
) -> None:
    """Show the evidence about a joint, with the hole that pins are tried in when it is known."""
    machine = app.session.machine(machine_id)
    joint = machine.joint_of(hole_id) if hole_id else None
    joint = joint or next((joint for joint in machine.joints if joint.id == joint_id), None)
    if joint is None:
        app.notify_line("Other evidence is about a joint, and this hole belongs to none.")
        return
    app.push_screen(EvidenceScreen(Notebook(app.session, machine_id, joint, work), hole_id))


class EvidenceScreen(LogScreen):
    """One joint's evidence; what is typed is on disk before the next."""

    KEYS = commands.EVIDENCE
    AUTO_FOCUS = "EntryLine"

    def __init__(self, notebook: Notebook, hole_id: str = "") -> None:
        super().__init__()
        self.notebook = notebook
        machine = notebook.session.machine(notebook.machine_id)
        self.holes = [hole for hole in machine.holes if hole.joint == notebook.joint.id]
        least_used = sorted(self.holes, key=lambda hole: _LEAST_USED_FIRST.index(hole.use))
        wanted = next((hole for hole in self.holes if hole.id == hole_id), None)
        self.hole: Hole | None = wanted or (least_used[0] if least_used else None)

    def title_parts(self) -> tuple[str, str]:
        """Joint and machine."""
        machine = self.session.machine(self.notebook.machine_id)
        return f"Other evidence: {shown_name(self.notebook.joint)}", shown_name(machine)

    def body(self) -> Iterable[Widget]:
        """The page, which hole is meant, the line to type on."""
        page = LineList(id="list")
        page.can_focus = False
        yield page
        yield Static(id="prompt", markup=False)
        with Horizontal(id="typing"):
            yield Static(" > ", id="typing-mark", markup=False)
            yield EntryLine(commands=commands.EVIDENCE_LETTERS, id="entry")

    def _state(self) -> JointState | None:
        joints = self.session.state(self.notebook.machine_id).joints
        return next((state for state in joints if state.joint.id == self.notebook.joint.id), None)

    def redraw(self) -> None:
        """The page and the prompt."""
        state, width = self._state(), self.text_width - 2
        if state is None:
            self.query_one(LineList).show(())
            self.say("This joint is not in the files any more; the problems page may say why.")
            return
        rows = evidence_lines(state, self.session.units, width)
        accepted = wrapped(say(accepted_evidence(self.notebook.unit), self.session.units), width, "", "dim")
        self.query_one(LineList).show((*rows, line(), *accepted))
        self._show_prompt()

    def _show_prompt(self) -> None:
        """Say which hole a pin or shank is tried in, and the unit of a bare number, as far as there is room."""
        where = f"Tried in {hole_label(self.hole)}" if self.hole is not None else "No hole yet"
        used = f", used {self.hole.use}" if self.hole is not None else ""
        unit = f"   ({self.notebook.unit} unless a unit is typed)"
        if len(where) + len(used) + len(unit) > self.text_width:
            used, unit = "", f"   ({self.notebook.unit})"
        room = self.text_width - len(unit)
        self.show_lines("#prompt", (line(Span(short(where + used, room), "head"), Span(unit, "dim")),))

    def on_input_submitted(self, event: EntryLine.Submitted) -> None:
        """Keep what was typed; on the empty line ask by a form."""
        event.stop()
        text = event.value.strip()
        if text:
            self._keep(text)
        else:
            form = evidence_form(f"Other evidence: {shown_name(self.notebook.joint)}", self.notebook.unit)
            self.app.push_screen(form, self._keep_form)

    def _keep_form(self, values: object) -> None:
        if isinstance(values, dict):
            self._keep(line_of(values))

    def _keep(self, text: str) -> None:
        """Write down each piece of a line; one that cannot be read keeps the whole line from being written."""
        entry = self.query_one(EntryLine)
        try:
            pieces = parse_evidence(text, self.notebook.unit)
            for piece in pieces:
                self.notebook.keep(piece, self.hole.id if self.hole is not None else "")
        except FieldlogError as error:
            if isinstance(error, StoreError):
                entry.hold(text)
            else:
                entry.give_back(text)
            self.redraw()
            self.say(error_text(error))
            return
        self.redraw()
        self._say_what_is_wrong("Kept.")

    def _say_what_is_wrong(self, done: str) -> None:
        state = self._state()
        contrary = state.pin_answer.contradictions if state is not None else ()
        if contrary:
            said = contrary[0].said
            self.say(f"{done} ! {said[:1].upper()}{said[1:]}: {contrary[0].settles}.")
        else:
            self.say(done, "sound")

    def on_entry_line_pressed(self, event: EntryLine.Pressed) -> None:
        """Do what a single letter on the empty line means."""
        action = {command.shown: command.action for command in self.KEYS}[event.key]
        self.call_later(self.run_action, action)

    def action_scroll(self, step: int) -> None:
        """Walk the page."""
        self.query_one(LineList).action_move(step)

    def action_budget(self) -> None:
        """Open the shares and what was measured to what they rest on."""
        from fieldlog.tui.screens.opened import open_evidence_numbers

        open_evidence_numbers(self.desk, self.notebook.machine_id, self.notebook.joint)

    def action_next_hole(self) -> None:
        """Take the next hole of the joint."""
        if self.hole is not None:
            self.hole = self.holes[(self.holes.index(self.hole) + 1) % len(self.holes)]
            self.redraw()

    def action_undo(self) -> None:
        """Strike the newest of this evidence, with a reason."""
        last = self.notebook.last()
        if last is None:
            self.say("Nothing to strike here in this round; older entries are struck on the joint's page, with r.")
            return
        why = Field(
            "why", "Why", "mistyped", "It stays on file, struck, with this reason.", required=True, is_suggestion=True
        )
        form = FormScreen(f"Strike {entry_words(last)}", (why,))
        self.app.push_screen(form, lambda values: self._strike(last, values))

    def _strike(self, entry: AnyEntry, values: object) -> None:
        if not isinstance(values, dict):
            return
        try:
            self.notebook.strike(entry, values["why"])  # type: ignore[arg-type]
        except FieldlogError as error:
            self.say(error_text(error))
            return
        self.redraw()
        self._say_what_is_wrong("Struck; it stays on file.")
