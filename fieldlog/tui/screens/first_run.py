"""No logbook yet: start one, here or elsewhere, or look at the sample."""

from collections.abc import Callable, Iterable
from pathlib import Path

from textual.widget import Widget

from fieldlog.errors import FieldlogError, QuantityError
from fieldlog.pages.lines import BLANK, Line, Span, line, wrapped
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.text import slug
from fieldlog.quantity.units import LENGTH_UNITS
from fieldlog.records.machine import Instrument, Logbook, Person
from fieldlog.tui import commands
from fieldlog.tui.actions.part_forms import length_check, logbook_fields
from fieldlog.tui.base import LogScreen
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.words.speak import error_text

_WELCOME = (
    "There is no logbook here yet. A logbook is a folder of plain text files: your machines, their pin holes and "
    "links, and every reading you ever took."
)


class FirstRunScreen(LogScreen):
    """Offers to start a logbook."""

    KEYS = commands.FIRST_RUN

    def __init__(self, new_folder: Path, start_using: Callable[[Path], None], show_sample: Callable[[], None]) -> None:
        super().__init__()
        self._new_folder = new_folder
        self._start_using = start_using
        self._show_sample = show_sample

    def title_parts(self) -> tuple[str, str]:
        """A greeting."""
        return "Field logbook for pin joints and hitch links", ""

    def body(self) -> Iterable[Widget]:
        """What can be done."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """The offers."""
        width = self.text_width - 2
        folder = self._new_folder
        lines: list[Line] = [*wrapped(_WELCOME, width), BLANK]
        lines.append(line("Start one in ", Span(str(folder), "strong"), target="here"))
        lines.append(line("Start one elsewhere", target="elsewhere"))
        lines.append(line("Look at the sample fleet, a throwaway copy", target="sample"))
        lines.append(line("Leave", target="leave"))
        self.query_one(LineList).show(tuple(lines))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Do it."""
        if event.target == "leave":
            self.app.exit(0)
        elif event.target == "sample":
            self._show_sample()
        else:
            self._ask(elsewhere=event.target == "elsewhere")

    def action_back(self) -> None:
        """There is nothing behind this screen."""
        self.say("q leaves the program.", "dim")

    def _ask(self, *, elsewhere: bool) -> None:
        folder = self._new_folder
        fields = [
            *logbook_fields("Field logbook", "mm", is_new=True),
            Field("who", "Who measures", "", "A first name will do.", required=True, check=_name_check),
            Field(
                "caliper",
                "Which caliper",
                "caliper",
                "What you call it, such as blue caliper.",
                required=True,
                check=_name_check,
                is_suggestion=True,
            ),
            Field(
                "step",
                "Its smallest step",
                "",
                "Such as 0.01 mm or 0.0005 in. Empty: 0.01 mm, with inches shown first 0.0005 in.",
                check=length_check("mm"),
            ),
        ]
        if elsewhere:
            fields.insert(0, Field("folder", "Folder", str(folder), "Made if it is not there.", required=True))
        self.app.push_screen(FormScreen("New logbook", tuple(fields)), self._start)

    def _start(self, values: object) -> None:
        if not isinstance(values, dict):
            return
        folder = Path(values.get("folder") or self._new_folder).expanduser().absolute()
        unit = LENGTH_UNITS[values["units"]]
        step = parse_length(values["step"] or unit.caliper_step, unit.word)
        caliper = Instrument(slug(values["caliper"]), "caliper", values["caliper"], step)
        tape = Instrument("tape", "tape", "tape", parse_length(unit.tape_step), tape_class="II")
        people = (Person(slug(values["who"]), values["who"]),)
        logbook = Logbook(name=values["name"], units=unit.word, people=people, instruments=(caliper, tape))
        from fieldlog.store.amend import create_logbook

        try:
            create_logbook(folder, logbook)
            self._start_using(folder)
        except FieldlogError as error:
            self.say(error_text(error))


def _name_check(text: str) -> None:
    if not slug(text):
        raise QuantityError(
            f'"{text}" has no letter or digit that could stand in a file name; use at least one of a-z, 0-9.'
        )
