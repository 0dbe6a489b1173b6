"""Every key of the screen one came from, the standing caution, and what the manual says about that screen.

What is wrong in the files: where, what, and what would be accepted.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from textual.widget import Widget

from fieldlog.errors import FieldlogError
from fieldlog.pages.lines import BLANK, Line, Span, count_text, line, wrapped
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.command import Command, help_lines
from fieldlog.tui.widgets.lines import LineList
from fieldlog.words.speak import error_text, problem_parts

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
TOPIC_BY_KEYS: Mapping[tuple[Command, ...], str] = MappingProxyType(
    {
        commands.FIRST_RUN: "start",
        commands.FLEET: "start",
        commands.MACHINE: "verdicts",
        commands.HOLE: "measure",
        commands.LINK: "links",
        commands.REPAIR: "repair",
        commands.FINDING: "verdicts",
        commands.READINGS: "verdicts",
        commands.BUDGET: "doubt",
        commands.ROUND: "measure",
        commands.EVIDENCE: "pins",
        commands.HITCH: "hitch",
        commands.HITCH_NUMBERS: "hitch",
        commands.HITCH_PARTS: "hitch",
        commands.WEAR: "wear",
        commands.SEASON: "season",
        commands.PROBLEMS: "files",
        commands.LISTS: "measure",
        commands.RATES: "wear",
        commands.OFFERS: "offers",
        commands.OFFER: "offers",
        commands.CYLINDER: "force",
        commands.KEPT: "offers",
        commands.SETUP: "instruments",
        commands.INSTRUMENT: "instruments",
        commands.STUDY: "study",
    }
)


class HelpScreen(LogScreen):
    """Lists keys; made from the same list as the footer. Below them stands the page's topic of the manual."""

    KEYS = (commands.LISTS[-1],)

    def __init__(self, about: tuple[Command, ...]) -> None:
        super().__init__()
        self.about = about
        self._topic = TOPIC_BY_KEYS.get(about, "")

    def title_parts(self) -> tuple[str, str]:
        """Help."""
        return "Keys of this screen", f"below: manual, {self._topic}" if self._topic else ""

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
        if self._topic:
            lines += [BLANK, *_topic_lines(self._topic, width)]
        self.query_one(LineList).show(tuple(lines))


def _topic_lines(name: str, width: int) -> tuple[Line, ...]:
    """Return a topic of the manual, which is read from its file only now."""
    from fieldlog.manual.topics import rows

    return tuple(line(Span(row.text, "head")) if row.is_heading else line(row.text) for row in rows(name, width))


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
            wrong, accepted = problem_parts(problem)
            lines += wrapped(wrong, width, "  ", "warn")
            lines += wrapped(accepted, width, "  ", "dim") if accepted else ()
            lines.append(BLANK)
        self.query_one(LineList).show(tuple(lines) or wrapped("No problem: every file reads as it should.", width))

    def action_reread(self) -> None:
        """Read everything again."""
        try:
            self.session.reread()
            self.session.known.notice_all()
        except FieldlogError as error:
            self.say(error_text(error))
            return
        self.show_all()
