"""One caliper, gauge or tape: what it is worth and its checks; the place to do a check."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.checks import Check
from fieldlog.records.machine import Instrument, shown_name
from fieldlog.report.instrument_view import instrument_lines
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


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
            strike_check(self.logbook_app, event.target)

    def action_budget(self) -> None:
        """Open its numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_instrument

        open_instrument(self.logbook_app, self.instrument_id, self.title_parts()[0])

    def action_check(self) -> None:
        """Do a check."""
        from fieldlog.tui.actions.checks import do_check

        instrument = self._instrument()
        if instrument is not None:
            do_check(self.logbook_app, instrument)

    def action_correct(self) -> None:
        """Correct what is written about the instrument."""
        from fieldlog.tui.actions.parts import correct_in_logbook

        instrument = self._instrument()
        if instrument is not None:
            correct_in_logbook(self.logbook_app, "instruments", instrument)
