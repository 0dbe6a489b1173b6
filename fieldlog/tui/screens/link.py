"""One link: its lengths, its thread, how far it may open, its holes, and the days it was taped."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.app.beside import kept_of_machine
from fieldlog.pages.lines import Line
from fieldlog.pages.link import DayRow, link_lines, link_title
from fieldlog.pages.machine import HoleRow
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.screens.evidence import apart_of
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.states import LinkReport


class LinkScreen(LogScreen):
    """Shows one link of a machine."""

    KEYS = commands.LINK

    def __init__(self, machine_id: str, link_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.link_id = link_id

    def body(self) -> Iterable[Widget]:
        """Everything in one list; its holes and days can be opened."""
        yield LineList(id="list")

    def _report(self) -> LinkReport | None:
        links = self.session.state(self.machine_id).links
        return next((report for report in links if report.link.id == self.link_id), None)

    def title_parts(self) -> tuple[str, str]:
        """Link and machine."""
        report = self._report()
        name = link_title(report.link) if report is not None else self.link_id
        return name, shown_name(self.session.machine(self.machine_id))

    def redraw(self) -> None:
        """The page."""
        report, listed = self._report(), self.query_one(LineList)
        if report is None:
            listed.show(())
            self.say("This link is not in the files any more; the problems page may say why.")
            return
        state, ascii_only = self.session.state(self.machine_id), self.desk.ascii_only
        lines = link_lines(report, state, self.session.units, self.text_width - 2, ascii_only=ascii_only)
        listed.show((*lines, *apart_of(self, self.machine_id, "link", self.link_id), *self._kept_lines()))

    def _kept_lines(self) -> tuple[Line, ...]:
        kept = kept_of_machine(self.session, self.machine_id)
        if not kept:
            return ()
        from fieldlog.pages.machine import kept_lines

        return kept_lines(kept, self.session.machine(self.machine_id), self.text_width - 2, self.link_id)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open a hole, or the readings of a day."""
        target = event.target
        if isinstance(target, HoleRow):
            from fieldlog.tui.screens.hole import HoleScreen

            self.app.push_screen(HoleScreen(self.machine_id, target.hole))
        elif isinstance(target, DayRow):
            self._show_readings(target.round)
        else:
            from fieldlog.tui.screens.offer import open_kept

            open_kept(self, self.machine_id, target)

    def _show_readings(self, round_id: str = "") -> None:
        from fieldlog.tui.screens.evidence import ReadingsScreen

        self.app.push_screen(ReadingsScreen(self.machine_id, "link", self.link_id, round_id))

    def action_readings(self) -> None:
        """Show every entry about this link."""
        self._show_readings()

    def action_offers(self) -> None:
        """Show the cylinders on offer in its place."""
        from fieldlog.tui.screens.offer import open_offers

        open_offers(self, self.machine_id, self.link_id)

    def action_budget(self) -> None:
        """Open the link's lengths."""
        from fieldlog.tui.screens.opened import open_budget

        open_budget(self.desk, self.machine_id, ("link", self.link_id))

    def action_measure(self) -> None:
        """Start or go on with a round, at this link."""
        from fieldlog.tui.screens.rounds import start_round

        start_round(self.desk, self.machine_id, ("link", self.link_id))

    def action_hitch(self) -> None:
        """Look at the hitch that this link is part of."""
        from fieldlog.tui.screens.hitch import HitchScreen

        self.app.push_screen(HitchScreen(self.machine_id))

    def action_thread(self) -> None:
        """Write down the link's thread and what stops its opening."""
        from fieldlog.tui.actions.links import correct_thread

        correct_thread(self.desk, self.machine_id, self.link_id)

    def action_correct(self) -> None:
        """Correct what is written about the link."""
        from fieldlog.tui.actions.parts import correct

        correct(self.desk, self.machine_id, "links", self.link_id)

    def action_deed(self) -> None:
        """Write down work done."""
        from fieldlog.tui.actions.evidence import record_deed

        record_deed(self.desk, self.machine_id, ("link", self.link_id))

    def action_note(self) -> None:
        """Write down wear seen."""
        from fieldlog.tui.actions.evidence import record_note

        record_note(self.desk, self.machine_id, ("link", self.link_id))
