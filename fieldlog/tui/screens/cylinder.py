"""What a cylinder on offer does on this tractor: pull, push, holding, speed, oil, buckling, hoses, remotes."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import shown_name
from fieldlog.report.cylinder_view import cylinder_lines
from fieldlog.tui import commands
from fieldlog.tui.retrofit_work import RetrofitWork
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class CylinderScreen(LogScreen):
    """Force and oil of one offer."""

    KEYS = commands.CYLINDER

    def __init__(self, work: RetrofitWork, offer_id: str) -> None:
        super().__init__()
        self.work = work
        self.offer_id = offer_id

    def body(self) -> Iterable[Widget]:
        """The page, walked down line by line."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """The offer and the machine."""
        offer = self.work.offer(self.offer_id)
        name = offer.shown_name if offer is not None else self.offer_id
        return f"Force and oil: {name}", shown_name(self.session.machine(self.work.machine_id))

    def redraw(self) -> None:
        """Every point."""
        found = self.work.force_and_oil(self.offer_id)
        if found is None:
            self.query_one(LineList).show(())
            self.say("This offer is not in the files any more; the problems page may say why.")
            return
        self.query_one(LineList).show(cylinder_lines(found.points, found.hydraulics, self.text_width - 2))

    def action_budget(self) -> None:
        """Open its numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_force

        open_force(self.logbook_app, self.work, self.offer_id)

    def action_hydraulics(self) -> None:
        """Write down the tractor's hydraulics."""
        from fieldlog.tui.actions.hydraulics import correct_hydraulics

        correct_hydraulics(self.logbook_app, self.work.machine_id)
