"""The entries behind a number, struck ones too; each can be struck out or taken back."""

from collections.abc import Iterable, Mapping

from textual.widget import Widget

from fieldlog.measure.suspect import Mark
from fieldlog.pages.lines import BLANK, Line, heading, wrapped
from fieldlog.pages.readings import apart_lines, corrected_sizes, entry_lines, said_under, strike_reasons
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
from fieldlog.records.machine import part_name, shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.shapes import marks_by_key


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
