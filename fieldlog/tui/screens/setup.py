"""People, instruments and the limits of the whole fleet.

One caliper, gauge or tape: what it is worth and its checks; the place to do a check.

A gauge study: one trial after another without showing what was read before, then what it says.
"""

import statistics
from collections.abc import Iterable

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.errors import QuantityError, StoreError
from fieldlog.measure.flags import refused_hole_size
from fieldlog.pages.instruments import (
    instrument_lines,
    progress_text,
    standing_words,
    study_lines,
    study_title,
    trial_lines,
)
from fieldlog.pages.lines import BLANK, MOST, Line, Span, cells, fit, heading, line, short, wrapped
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import length_unit
from fieldlog.records.checks import Check, Slot, Study, StudyReading, counted, next_slot
from fieldlog.records.machine import Instrument, Limit, Person, shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.command import Command
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.tui.widgets.lines import LineList
from fieldlog.words.speak import error_text


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
        first = f"{logbook.name}, {length_unit(self.session.units).name} first"
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
        from fieldlog.pages.instruments import progress_text, study_title

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
        said = Span(f", {standing}" if standing else "", "warn" if standing.startswith(MOST) else "dim")
        return line(short(f"{name} {worth}", width - cells(said.text)), said, target=("instruments", item))

    def _limit_line(self, limit: Limit, width: int) -> Line:
        text = f"{limit.kind or ''} {limit.of}: renew over {limit.renew.typed} ({limit.origin})"
        return line(fit(text, width), target=("limits", limit))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open an instrument or a study, correct anything else."""
        from fieldlog.tui.actions.parts import correct_head, correct_in_logbook

        target = event.target
        if isinstance(target, tuple) and target[0] == "study":
            self._show_study(str(target[1]))
        elif isinstance(target, tuple) and isinstance(target[1], Instrument):
            self.app.push_screen(InstrumentScreen(target[1].id))
        elif isinstance(target, tuple) and isinstance(target[1], Person | Limit):
            correct_in_logbook(self.desk, str(target[0]), target[1])
        elif target is not None:
            correct_head(self.desk)

    def _show_study(self, study_id: str) -> None:
        self.app.push_screen(StudyScreen(study_id))

    def action_study(self) -> None:
        """Plan a gauge study and begin it."""
        from fieldlog.tui.actions.checks import start_study

        start_study(self.desk, self._show_study)

    def action_add(self) -> None:
        """Add a person, an instrument or a limit."""
        from fieldlog.tui.actions.parts import add_to_logbook

        choices = (("instruments", "an instrument"), ("people", "a person"), ("limits", "a limit for the fleet"))

        def go_on(values: object) -> None:
            if isinstance(values, dict):
                add_to_logbook(self.desk, values["what"])

        self.app.push_screen(FormScreen("Add", (Field("what", "Add", "instruments", "", choices),)), go_on)


class InstrumentScreen(LogScreen):
    """Shows one instrument of the logbook."""

    KEYS = commands.INSTRUMENT

    def __init__(self, instrument_id: str) -> None:
        super().__init__()
        self.instrument_id = instrument_id

    def body(self) -> Iterable[Widget]:
        """The page in one list."""
        yield LineList(id="list")

    def _instrument(self) -> Instrument | None:
        return self.session.instruments.get(self.instrument_id)

    def title_parts(self) -> tuple[str, str]:
        """Its name; the logbook at the right."""
        instrument = self._instrument()
        return (shown_name(instrument) if instrument else self.instrument_id), self.session.logbook.name

    def redraw(self) -> None:
        """The page."""
        instrument = self._instrument()
        if instrument is None:
            self.query_one(LineList).show(())
            self.say("This instrument is not in the files any more; the problems page may say why.")
            return
        lines = instrument_lines(instrument, self.session.today(), self.session.units, self.text_width - 2)
        self.query_one(LineList).show(lines)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Strike a check, or take its strike back."""
        from fieldlog.tui.actions.checks import strike_check

        if isinstance(event.target, Check):
            strike_check(self.desk, event.target)

    def action_budget(self) -> None:
        """Open its numbers to what they rest on."""
        from fieldlog.tui.screens.opened import open_instrument

        open_instrument(self.desk, self.instrument_id, self.title_parts()[0])

    def action_check(self) -> None:
        """Do a check."""
        from fieldlog.tui.actions.checks import do_check

        instrument = self._instrument()
        if instrument is not None:
            do_check(self.desk, instrument)

    def action_correct(self) -> None:
        """Correct what is written about the instrument."""
        from fieldlog.tui.actions.parts import correct_in_logbook

        instrument = self._instrument()
        if instrument is not None:
            correct_in_logbook(self.desk, "instruments", instrument)


_FAR_OFF_MM = 0.5  # farther from the hole's other trials than any hands are: a slip


class StudyScreen(LogScreen):
    """Asks for the trials of one study; when all are made, shows the result."""

    KEYS = commands.STUDY
    AUTO_FOCUS = ""

    def __init__(self, study_id: str) -> None:
        super().__init__()
        self.study_id = study_id
        self._again: Slot | None = None
        self._doubted = ""
        self._last: Slot | None = None

    def body(self) -> Iterable[Widget]:
        """What to do next, the line to type on; or the result."""
        yield Static(id="panel", markup=False)
        with Horizontal(id="typing"):
            yield Static(" > ", id="typing-mark", markup=False)
            yield EntryLine(commands=commands.STUDY_LETTERS, id="entry")
        yield LineList(id="list")

    @property
    def entry(self) -> EntryLine:
        """The line to type on."""
        return self.query_one(EntryLine)

    @property
    def study(self) -> Study | None:
        """The study as it stands on disk."""
        return next((study for study in self.session.studies() if study.id == self.study_id), None)

    @property
    def slot(self) -> Slot | None:
        """The trial that is asked for."""
        study = self.study
        return self._again or (next_slot(study) if study is not None else None)

    def title_parts(self) -> tuple[str, str]:
        """Day and instrument; how far it is."""
        study = self.study
        if study is None:
            return self.study_id, ""
        return f"Gauge study of {study_title(study, self._instrument(study))}", progress_text(study)

    def footer_commands(self) -> tuple[Command, ...]:
        """Typing keys only while there is something to type."""
        return commands.STUDY if self.slot is not None else commands.STUDY_DONE

    def redraw(self) -> None:
        """The next trial, or the result."""
        study, slot = self.study, self.slot
        is_typing = study is not None and slot is not None
        self.query_one("#panel").display = self.query_one("#typing").display = is_typing
        page = self.query_one(LineList)
        page.display = not is_typing
        if study is None:
            page.show(())
            self.say("This study is not in the files any more; the problems page may say why.")
        elif slot is not None:
            self.show_lines("#panel", trial_lines(study, slot, self._last_text(study), self.text_width))
            self.set_focus(self.entry)
        else:
            page.show(study_lines(study, self._instrument(study), self.session.units, self.text_width - 2))
            self.set_focus(page)

    def action_budget(self) -> None:
        """Open the result's numbers to what they rest on."""
        from fieldlog.tui.screens.opened import open_study

        if self.slot is None:
            open_study(self.desk, self.study_id, self.title_parts()[0])

    def _instrument(self, study: Study) -> str:
        found = self.session.instruments.get(study.instrument)
        return found.name or found.id if found is not None else study.instrument

    def _last_text(self, study: Study) -> str:
        trial = counted(study).get(self._last) if self._last is not None else None
        if trial is None:
            return ""
        return f"Kept: {trial.person}, {trial.hole}, {trial.size.typed}. u types it again."

    def on_input_submitted(self, event: EntryLine.Submitted) -> None:
        """Keep a trial."""
        event.stop()
        text, slot, study = event.value.strip(), self.slot, self.study
        if not text or slot is None or study is None:
            return
        try:
            self._keep(text, slot, study)
        except StoreError as error:
            self.entry.hold(text)
            self.say(error_text(error))
        except QuantityError as error:
            self.entry.give_back(text)
            self.say(error_text(error))

    def _keep(self, text: str, slot: Slot, study: Study) -> None:
        size = self._accepted(text, slot, study)
        trial = StudyReading(slot.person, slot.hole, slot.number, size, self.session.time_of_day())
        self.session.add_trial(study.id, trial)
        self._last, self._again, self._doubted = slot, None, ""
        self.say("")
        self.show_all()

    def _accepted(self, text: str, slot: Slot, study: Study) -> Length:
        instrument = self.session.instruments.get(study.instrument)
        step = instrument.resolution if instrument is not None else None
        unit = step.family if step is not None else self.session.units
        size = parse_length(text, unit)
        before = [float(t.size.mm) for key, t in counted(study).items() if key.hole == slot.hole and key != slot]
        expected = statistics.median(before) if before else None
        refusal = refused_hole_size(text, size, expected, unit)
        if refusal:
            raise QuantityError(refusal)
        if expected is not None and abs(float(size.mm) - expected) > _FAR_OFF_MM and self._doubted != text:
            self._doubted = text
            raise QuantityError(
                f"{size.typed} is far from what this hole read before; Enter once more keeps it as it is."
            )
        return size

    def on_entry_line_pressed(self, event: EntryLine.Pressed) -> None:
        """A letter on the empty line."""
        if event.key == "u":
            self._again = self._last
            self.say("" if self._last else "Nothing was typed yet.")
            self.show_all()
        elif event.key == "b":
            self.say("Its numbers come with the last trial.")
        else:
            self.call_later(self.run_action, "app.help")
