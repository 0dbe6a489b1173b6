"""All the numbers of the hitch as it is tried, to walk down."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.report.hitch_numbers import number_lines
from fieldlog.report.hitch_view import Page
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class HitchNumbersScreen(LogScreen):
    """A page of numbers."""

    KEYS = commands.HITCH_NUMBERS

    def __init__(self, title: str, page: Page) -> None:
        super().__init__()
        self._title, self._page = title, page

    def body(self) -> Iterable[Widget]:
        """The list of lines."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """The hitch and what this is."""
        return self._title, "all numbers"

    def redraw(self) -> None:
        """Show the lines."""
        page, units = self._page, self.session.units
        lines = number_lines(page.look, page.field, page.need, units, self.text_width - 2)
        self.query_one(LineList).show(lines)
