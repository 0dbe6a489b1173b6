"""All the numbers of the hitch as it is tried, to walk down."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.report.hitch_numbers import number_lines
from fieldlog.tui import commands
from fieldlog.tui.hitch_work import HitchWork
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class HitchNumbersScreen(LogScreen):
    """A page of numbers."""

    KEYS = commands.HITCH_NUMBERS

    def __init__(self, work: HitchWork, title: str) -> None:
        super().__init__()
        self._work, self._title = work, title

    def body(self) -> Iterable[Widget]:
        """The list of lines."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """The hitch and what this is."""
        return self._title, "all numbers"

    def redraw(self) -> None:
        """Show the lines."""
        page, units = self._work.fresh_page(), self.session.units
        if page is None:
            return
        lines = number_lines(page.look, page.field, page.need, units, self.text_width - 2)
        self.query_one(LineList).show(lines)

    def action_budget(self) -> None:
        """Open the numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_hitch

        open_hitch(self.logbook_app, self._work, self._title)
