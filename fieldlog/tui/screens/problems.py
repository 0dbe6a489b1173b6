"""What is wrong in the files: where, what, and what would be accepted."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.errors import FieldlogError
from fieldlog.report.lines import BLANK, Line, Span, line, wrapped
from fieldlog.report.words import count_text
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class ProblemsScreen(LogScreen):
    """Lists every problem; nothing here hides the good records."""

    KEYS = commands.PROBLEMS

    def title_parts(self) -> tuple[str, str]:
        """How many."""
        return "Problems in the files", count_text(len(self.session.all_problems()), "problem")

    def body(self) -> Iterable[Widget]:
        """The list, scrolled with the arrows."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """Each problem: place, then what is wrong, then what would be accepted."""
        width = self.text_width - 2
        lines: list[Line] = []
        for problem in self.session.all_problems():
            place = f"{problem.file}:{problem.line}" if problem.line else problem.file
            lines += [line(Span(place, "strong"), f"  {problem.key}")]
            lines += wrapped(problem.wrong, width, "  ", "warn")
            lines += wrapped(problem.accepted, width, "  ", "dim") if problem.accepted else ()
            lines.append(BLANK)
        self.query_one(LineList).show(tuple(lines) or wrapped("No problem: every file reads as it should.", width))

    def action_reread(self) -> None:
        """Read everything again."""
        try:
            self.session.reread()
            self.session.known.notice_all()
        except FieldlogError as error:
            self.say(str(error))
            return
        self.show_all()
