"""Every key of the screen one came from, and the standing caution."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.report.lines import BLANK, wrapped
from fieldlog.tui import commands
from fieldlog.tui.command import Command
from fieldlog.tui.command_lines import help_lines
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList

STANDING_LINE = (
    "The numbers here are worked out from your own readings. Follow the machine's manual and local rules; where they "
    "differ from this program, they win. If unsure, stop and ask a qualified person."
)
SIZES_LINE = (
    "Sizes: 19.42, 19.42 mm, 52.7cm, 0.755 in, 755 thou, 3/4, 19-3/64, 1' 8 3/4\". A - or + behind a fraction means "
    "just under or just over: a quarter of the fraction's step, and a wider doubt."
)
CLOCK_LINE = (
    "Clock: on a loose link 12 points along the link away from its other end, on a fixed bore straight up, seen from "
    "the left of the machine. A caliper cannot see odd lobes (three-cornered holes); two crossed lines "
    "can miss an oval."
)


class HelpScreen(LogScreen):
    """Lists keys; made from the same list as the footer."""

    KEYS = (commands.LISTS[-1],)

    def __init__(self, about: tuple[Command, ...]) -> None:
        super().__init__()
        self.about = about

    def title_parts(self) -> tuple[str, str]:
        """Help."""
        return "Keys of this screen", ""

    def body(self) -> Iterable[Widget]:
        """The text, scrolled with the arrows."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """Keys, then what is good to know, then the caution."""
        width = self.text_width - 2
        lines = [*help_lines(self.about, width), BLANK]
        for text in (SIZES_LINE, CLOCK_LINE):
            lines += [*wrapped(text, width), BLANK]
        lines += wrapped(STANDING_LINE, width, "", "strong")
        self.query_one(LineList).show(tuple(lines))
