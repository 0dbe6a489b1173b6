"""The rates of the whole fleet side by side; Enter opens the joint."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.report.fleet_view import JointTarget
from fieldlog.report.rates_view import rates_lines
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class RatesScreen(LogScreen):
    """Shows how fast like joints wear on like machines."""

    KEYS = commands.RATES

    def body(self) -> Iterable[Widget]:
        """The tables."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """What it is, and of which logbook."""
        return "Rates of wear, side by side", self.session.head.name

    def redraw(self) -> None:
        """The tables."""
        lines = rates_lines(self.session.rates(), self.session.units, self.text_width - 2)
        self.query_one(LineList).show(lines)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open the joint's finding."""
        from fieldlog.tui.screens.finding import FindingScreen

        if isinstance(event.target, JointTarget):
            self.app.push_screen(FindingScreen(event.target.machine, event.target.joint))

    def action_budget(self) -> None:
        """Open the chosen joint's rate, the one it is reckoned with first."""
        from fieldlog.tui.actions.budgets import open_rate

        target = self.query_one(LineList).target
        if isinstance(target, JointTarget):
            open_rate(self.logbook_app, target.machine, target.joint)
