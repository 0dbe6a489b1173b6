"""One offer against one link: every point with its reason, the worst first, and the cautions."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import part_name
from fieldlog.report.offer_view import offer_page
from fieldlog.tui import commands
from fieldlog.tui.actions import offers as offer_actions
from fieldlog.tui.retrofit_work import RetrofitWork
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


class OfferScreen(LogScreen):
    """Shows one offer."""

    KEYS = commands.OFFER

    def __init__(self, machine_id: str, link_id: str, offer_id: str) -> None:
        super().__init__()
        self.work_of = machine_id, link_id
        self.offer_id = offer_id

    @property
    def work(self) -> RetrofitWork:
        """The link and its offers."""
        return RetrofitWork(self.session, *self.work_of)

    def body(self) -> Iterable[Widget]:
        """The text, scrolled with the arrows."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """The offer, and the link it is for."""
        offer = self.work.offer(self.offer_id)
        machine = self.session.machine(self.work.machine_id)
        return offer.shown_name if offer is not None else self.offer_id, part_name(machine, "link", self.work.link_id)

    def redraw(self) -> None:
        """The page."""
        look = self.work.look()
        item = look.of(self.offer_id) if look is not None else None
        if look is None or item is None:
            self.query_one(LineList).show(())
            self.say("This offer is not in the files any more; the problems page may say why.")
            return
        self.query_one(LineList).show(offer_page(item, look.job, look.order, self.session.units, self.text_width - 2))

    def action_budget(self) -> None:
        """Open its numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_offer

        open_offer(self.logbook_app, self.work, self.offer_id)

    def action_force(self) -> None:
        """Show what it does on this tractor."""
        from fieldlog.tui.screens.cylinder import CylinderScreen

        self.app.push_screen(CylinderScreen(self.work, self.offer_id))

    def action_keep(self) -> None:
        """Keep it as the recommendation."""
        offer_actions.keep_offer(self.logbook_app, self.work, self.offer_id)

    def action_correct(self) -> None:
        """Correct what the seller states."""
        offer_actions.correct_offer(self.logbook_app, self.offer_id)

    def action_in_hand(self) -> None:
        """Write down what is measured on the cylinder."""
        offer_actions.measure_offer(self.logbook_app, self.offer_id)

    def action_set_aside(self) -> None:
        """Take the offer out of the running, or back in."""
        offer_actions.set_offer_aside(self.logbook_app, self.offer_id)
