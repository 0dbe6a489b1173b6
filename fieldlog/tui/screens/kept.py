"""One kept recommendation: why, what it rests on, the cautions, and what made it stale."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import shown_name
from fieldlog.report.kept_view import KeptRow, kept_page
from fieldlog.retrofit.kept import Kept
from fieldlog.tui import commands
from fieldlog.tui.beside import kept_of_machine
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


def open_kept(screen: LogScreen, machine_id: str, target: object) -> None:
    """Show the recommendation that a line of a list stands for; any other line is none."""
    if isinstance(target, KeptRow):
        screen.app.push_screen(KeptScreen(machine_id, target.kept))


class KeptScreen(LogScreen):
    """Shows one recommendation as it was kept; nothing here changes it."""

    KEYS = commands.KEPT

    def __init__(self, machine_id: str, kept_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.kept_id = kept_id

    def body(self) -> Iterable[Widget]:
        """The text, scrolled with the arrows."""
        yield LineList(id="list")

    def _kept(self) -> Kept | None:
        found = kept_of_machine(self.session, self.machine_id)
        return next((item for item in found if item.recommendation.id == self.kept_id), None)

    def title_parts(self) -> tuple[str, str]:
        """That it was kept, and where."""
        return "Kept recommendation", shown_name(self.session.machine(self.machine_id))

    def redraw(self) -> None:
        """The page."""
        item = self._kept()
        if item is None:
            self.query_one(LineList).show(())
            self.say("This recommendation is not in the files any more; the problems page may say why.")
            return
        self.query_one(LineList).show(kept_page(item, self.session.machine(self.machine_id), self.text_width - 2))

    def action_budget(self) -> None:
        """Open the numbers that it rests on."""
        from fieldlog.tui.actions.opened import open_kept

        open_kept(self.logbook_app, self.machine_id, self._kept)

    def action_offers(self) -> None:
        """Compare the offers for the same link as they are now."""
        from fieldlog.tui.screens.offers import open_offers

        item = self._kept()
        if item is not None:
            open_offers(self, self.machine_id, item.recommendation.link)
