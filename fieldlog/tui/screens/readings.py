"""The entries behind a number, struck ones too; each can be struck out or taken back."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.errors import FieldlogError
from fieldlog.records.entries import AnyEntry, Event, Strike
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import part_name, shown_name
from fieldlog.report.entry_view import entry_lines, entry_words, strike_reasons
from fieldlog.report.lines import wrapped
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.screens.form import Field, FormScreen
from fieldlog.tui.widgets.line_list import LineList


def entries_about(log: MachineLog, kind: str, subject: str, round_id: str = "") -> tuple[AnyEntry, ...]:
    """Return all entries about a hole, a joint with its holes, or a link, struck ones too, without the strikes."""
    holes = {hole.id for hole in log.machine.holes if kind == "joint" and hole.joint == subject}

    def is_about(entry: AnyEntry) -> bool:
        if getattr(entry, kind, "") == subject or getattr(entry, "hole", "") in holes:
            return True
        return kind == "hole" and isinstance(entry, Event) and entry.joint == _joint_id(log, subject)

    return tuple(
        entry
        for entry in log.entries
        if not isinstance(entry, Strike) and is_about(entry) and round_id in {"", entry.round}
    )


def _joint_id(log: MachineLog, hole_id: str) -> str:
    joint = log.machine.joint_of(hole_id)
    return joint.id if joint is not None else ""


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
        lines = entry_lines(entries, log.struck, strike_reasons(log.entries, log.struck), width)
        self.query_one(LineList).show(lines or wrapped("No entry yet.", width, "", "dim"))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Ask for the reason, then strike the entry or take its strike back."""
        log = self.session.log(self.machine_id)
        entry = next(entry for entry in log.entries if entry.key == event.target)
        is_struck = entry.key in log.struck
        title = "Keep after all" if is_struck else "Strike out"
        hint = (
            "It stays on file, struck, with this reason."
            if not is_struck
            else "The strike is struck; both stay on file."
        )
        field = Field("why", "Why", "", hint, required=True)
        form = FormScreen(f"{title}: {entry_words(entry)}", (field,))
        self.app.push_screen(form, lambda values: self._strike(entry, values))

    def _strike(self, entry: AnyEntry, values: object) -> None:
        if not isinstance(values, dict):
            return
        log = self.session.log(self.machine_id)
        target = strike_reasons(log.entries, log.struck)[entry.key] if entry.key in log.struck else entry
        try:
            self.session.strike(self.machine_id, target, values["why"])
        except FieldlogError as error:
            self.say(str(error))
            return
        self.redraw()
