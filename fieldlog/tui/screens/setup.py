"""People, instruments and the limits of the whole fleet."""

from collections.abc import Iterable
from types import MappingProxyType

from textual.widget import Widget

from fieldlog.records.machine import Instrument, Limit, Person, shown_name
from fieldlog.report.instrument_view import standing_words
from fieldlog.report.lines import BLANK, Line, Span, cells, fit, heading, line, short, wrapped
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.screens.form import Field, FormScreen
from fieldlog.tui.widgets.line_list import LineList

_UNIT_WORDS = MappingProxyType({"mm": "millimetres", "in": "inches"})


class SetupScreen(LogScreen):
    """What stands in logbook.toml."""

    KEYS = commands.SETUP

    def title_parts(self) -> tuple[str, str]:
        """The logbook and its units."""
        return self.session.logbook.name, f"{self.session.units} first"

    def body(self) -> Iterable[Widget]:
        """The list."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """People, instruments, limits."""
        logbook, width = self.session.logbook, self.text_width - 2
        first = f"{logbook.name}, {_UNIT_WORDS[self.session.units]} first"
        lines: list[Line] = [heading("People")]
        lines += [line(shown_name(person), target=("people", person)) for person in logbook.people]
        lines += [BLANK, heading("Calipers, gauges, tapes")]
        lines += [self._instrument_line(item, width) for item in logbook.instruments]
        lines += [BLANK, heading("Limits for the whole fleet")]
        lines += [self._limit_line(limit, width) for limit in logbook.limits]
        if not logbook.limits:
            lines += wrapped("none: usual practice stands in, and every finding says so", width, "", "dim")
        lines += [BLANK, heading("Gauge studies"), *self._study_lines(width)]
        lines += [BLANK, heading("This logbook"), line(short(first, width), target=("", logbook))]
        self.query_one(LineList).show(tuple(lines))

    def _study_lines(self, width: int) -> list[Line]:
        from fieldlog.report.study_view import progress_text, study_title

        names = self.session.instruments
        studies = self.session.studies()
        if not studies:
            said = "none yet: g starts one, so that real wear can be told from hands"
            return [*wrapped(said, width, "", "dim")]
        rows = [(study, shown_name(names[study.instrument]) if study.instrument in names else study.instrument)
                for study in studies]  # fmt: skip
        return [
            line(fit(f"{study_title(study, name)}, {progress_text(study)}", width), target=("study", study.id))
            for study, name in rows
        ]

    def _instrument_line(self, item: Instrument, width: int) -> Line:
        parts: list[str] = [item.kind]
        parts += [f"step {item.resolution.typed}"] if item.resolution is not None else []
        parts += [f"class {item.tape_class}"] if item.tape_class is not None else []
        standing = standing_words(item, self.session.today())
        name, worth = fit(shown_name(item), 26), ", ".join(parts)
        if standing and cells(f"{name} {worth}, {standing}") > width:
            worth = item.kind
        said = Span(f", {standing}" if standing else "", "warn" if standing.startswith("!!") else "dim")
        return line(short(f"{name} {worth}", width - cells(said.text)), said, target=("instruments", item))

    def _limit_line(self, limit: Limit, width: int) -> Line:
        text = f"{limit.kind or ''} {limit.of}: renew over {limit.renew.typed} ({limit.origin})"
        return line(fit(text, width), target=("limits", limit))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open an instrument or a study, correct anything else."""
        from fieldlog.tui.actions.parts import correct_head, correct_in_logbook

        target = event.target
        if isinstance(target, tuple) and target[0] == "study":
            from fieldlog.tui.screens.study import StudyScreen

            self.app.push_screen(StudyScreen(str(target[1])))
        elif isinstance(target, tuple) and isinstance(target[1], Instrument):
            from fieldlog.tui.screens.instrument import InstrumentScreen

            self.app.push_screen(InstrumentScreen(target[1].id))
        elif isinstance(target, tuple) and isinstance(target[1], Person | Limit):
            correct_in_logbook(self.logbook_app, str(target[0]), target[1])
        elif target is not None:
            correct_head(self.logbook_app)

    def action_study(self) -> None:
        """Plan a gauge study and begin it."""
        from fieldlog.tui.actions.studies import start_study

        start_study(self.logbook_app)

    def action_add(self) -> None:
        """Add a person, an instrument or a limit."""
        from fieldlog.tui.actions.parts import add_to_logbook

        choices = (("instruments", "an instrument"), ("people", "a person"), ("limits", "a limit for the fleet"))

        def go_on(values: object) -> None:
            if isinstance(values, dict):
                add_to_logbook(self.logbook_app, values["what"])

        self.app.push_screen(FormScreen("Add", (Field("what", "Add", "instruments", "", choices),)), go_on)
