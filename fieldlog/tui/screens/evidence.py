"""Other evidence about a joint's pin: what there is, what would settle it, and a line to type more of it on."""

from collections.abc import Iterable

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.round_work import RoundWork
from fieldlog.errors import FieldlogError, StoreError
from fieldlog.pages.hole import evidence_lines
from fieldlog.pages.lines import Span, line, short, wrapped
from fieldlog.pages.machine import hole_label
from fieldlog.pages.readings import entry_words
from fieldlog.records.entries import AnyEntry
from fieldlog.records.evidence_text import accepted_evidence, parse_evidence
from fieldlog.records.machine import Hole, shown_name
from fieldlog.tui import commands
from fieldlog.tui.actions.evidence import Notebook, evidence_form, line_of
from fieldlog.tui.base import Desk, LogScreen
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.states import JointState
from fieldlog.words.speak import error_text, say

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
