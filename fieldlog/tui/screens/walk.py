"""The whole walk of a round: what is done, what is not, and a jump to any of it."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import shown_name
from fieldlog.report.lines import Line, Span, fit, line
from fieldlog.tui import commands
from fieldlog.tui.round_work import RoundWork
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class WalkScreen(LogScreen):
    """Dismisses with the index of the stop chosen."""

    KEYS = commands.LISTS

    def __init__(self, work: RoundWork) -> None:
        super().__init__()
        self.work = work

    def title_parts(self) -> tuple[str, str]:
        """The machine."""
        return f"The walk over {shown_name(self.session.machine(self.work.machine_id))}", ""

    def body(self) -> Iterable[Widget]:
        """The list of stops."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """One line a stop."""
        lines = tuple(self._line(index) for index in range(len(self.work.stops)))
        self.query_one(LineList).show(lines, self.work.index)

    def _line(self, index: int) -> Line:
        stop = self.work.stops[index]
        count = len(self.work.readings_at_stop(index))
        done = self.work.is_done(stop)
        state = "done" if done else f"{count} of {len(stop.plan)}" if count else "-"
        mark = "sound" if done else "" if count else "dim"
        return line(Span(state.ljust(9), mark), fit(stop.title, self.text_width - 12), target=index)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go there."""
        self.dismiss(event.target)
