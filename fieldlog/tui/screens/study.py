"""A gauge study: one trial after another without showing what was read before, then what it says."""

import statistics
from collections.abc import Iterable

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.errors import QuantityError, StoreError
from fieldlog.measure.flags import refused_hole_size
from fieldlog.records.quantities import Length, parse_length
from fieldlog.records.study import Slot, Study, StudyReading, counted, next_slot
from fieldlog.report.study_view import progress_text, study_lines, study_title, trial_lines
from fieldlog.tui import commands
from fieldlog.tui.command import Command
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.tui.widgets.line_list import LineList

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
        from fieldlog.tui.actions.opened import open_study

        if self.slot is None:
            open_study(self.logbook_app, self.study_id, self.title_parts()[0])

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
            self.say(str(error))
        except QuantityError as error:
            self.entry.give_back(text)
            self.say(str(error))

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
            self.action_help()
