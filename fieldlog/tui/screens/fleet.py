"""The fleet: what needs doing first, then the machines."""

from collections.abc import Iterable

from textual.widget import Widget
from textual.widgets import Static

from fieldlog.report.fleet_view import JointTarget, MachineTarget, due_detail, fleet_lines, machine_detail
from fieldlog.report.lines import Line
from fieldlog.report.words import count_text, day_text
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList
from fieldlog.wear.summary import due_first


class FleetScreen(LogScreen):
    """The first screen of an open logbook."""

    KEYS = commands.FLEET

    def body(self) -> Iterable[Widget]:
        """The list and what is known about the chosen line."""
        yield LineList(id="list")
        yield Static(id="detail", markup=False)

    @property
    def list(self) -> LineList:
        """The list."""
        return self.query_one(LineList)

    def title_parts(self) -> tuple[str, str]:
        """Logbook and date."""
        where = "sample, a throwaway copy" if self.session.is_demo else day_text(self.session.today())
        return self.session.head.name, where

    def show_all(self) -> None:
        """Look for edits from outside, then draw."""
        self.session.notice_edits()
        super().show_all()

    def redraw(self) -> None:
        """List, detail, and a word about problems in the files."""
        machines = [known.summary for known in self.session.overviews()]
        self._due = {JointTarget(item.machine.id, item.joint.id): item for item in due_first(machines)}
        self._machines = {summary.machine.id: summary for summary in machines}
        self.list.show(fleet_lines(machines, tuple(self._due.values()), self.text_width - 1))
        self._show_detail(self.list.target)
        problems = self.session.problems()
        if problems:
            self.say(
                f"{count_text(len(problems), 'problem')} in the files; ! lists them. All that can be read is shown."
            )
        elif self.session.head.is_read_only:
            self.say("This logbook was made by a newer program; it is shown, and nothing is written to it.")

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what is known about another line."""
        self._show_detail(event.target)

    def _show_detail(self, target: object) -> None:
        lines: tuple[Line, ...] = ()
        if isinstance(target, JointTarget):
            lines = due_detail(self._due[target], self.text_width)
        elif isinstance(target, MachineTarget):
            lines = machine_detail(self._machines[target.machine], self.text_width)
        self.show_lines("#detail", lines[: max(self.size.height // 4, 2)])

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open a machine, at the joint that is due."""
        from fieldlog.tui.screens.machine import MachineScreen

        target = event.target
        if isinstance(target, JointTarget):
            self.app.push_screen(MachineScreen(target.machine, target.joint))
        elif isinstance(target, MachineTarget):
            self.app.push_screen(MachineScreen(target.machine))

    def action_measure(self) -> None:
        """Start or go on with a round on the chosen machine."""
        from fieldlog.tui.actions import start_round

        target = self.list.target
        if isinstance(target, JointTarget | MachineTarget):
            start_round(self.logbook_app, target.machine)
        else:
            self.say("Choose a machine first; n adds one.")

    def action_new_machine(self) -> None:
        """Add a machine."""
        from fieldlog.tui.actions import add_machine

        add_machine(self.logbook_app)

    def action_setup(self) -> None:
        """People, instruments, limits of the fleet."""
        from fieldlog.tui.screens.setup import SetupScreen

        self.app.push_screen(SetupScreen())

    def action_leave(self) -> None:
        """Leave the program."""
        self.logbook_app.action_leave()

    def action_back(self) -> None:
        """Escape does not leave from here; q does."""
        self.say("q leaves the program.", "dim")
