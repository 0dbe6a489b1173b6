"""Cylinders on offer in the place of one link: a ruler, a ranked list, and what decides about the chosen one."""

from collections.abc import Iterable

from textual.widget import Widget
from textual.widgets import Static

from fieldlog.records.machine import shown_name
from fieldlog.report.lines import cropped
from fieldlog.report.offer_view import OfferRow, offer_summary, offers_lines
from fieldlog.report.words import count_text
from fieldlog.retrofit.compare import Compared
from fieldlog.store.offers import read_offers
from fieldlog.tui import commands
from fieldlog.tui.actions import offers as offer_actions
from fieldlog.tui.retrofit_work import RetrofitWork, links_of
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


def open_offers(screen: LogScreen, machine_id: str, link_id: str) -> None:
    """Show the offers for a link, for the first that a cylinder can replace where none is named."""
    links = links_of(screen.session, machine_id)
    if not links:
        screen.say("No link yet; a adds the top link or a lift rod, and the walk tapes it.")
        return
    screen.app.push_screen(OffersScreen(machine_id, link_id or links[0].id))


class OffersScreen(LogScreen):
    """Lists the offers for one link, best first."""

    KEYS = commands.OFFERS

    def __init__(self, machine_id: str, link_id: str) -> None:
        super().__init__()
        self.work_of = machine_id, link_id
        self._compared: tuple[Compared, ...] = ()

    @property
    def work(self) -> RetrofitWork:
        """The link and its offers."""
        return RetrofitWork(self.session, *self.work_of)

    def body(self) -> Iterable[Widget]:
        """The ruler and the list; what decides about the chosen offer under them."""
        yield LineList(id="list")
        yield Static(id="detail", markup=False)

    @property
    def list(self) -> LineList:
        """The list."""
        return self.query_one(LineList)

    def title_parts(self) -> tuple[str, str]:
        """What the offers are for."""
        machine = self.session.machine(self.work.machine_id)
        link = next((link for link in machine.links if link.id == self.work.link_id), None)
        return f"In the place of: {shown_name(link) if link is not None else self.work.link_id}", shown_name(machine)

    def redraw(self) -> None:
        """Ruler, list, detail."""
        look = self.work.look()
        if look is None:
            self.list.show(())
            self.say("This link is not in the files any more; the problems page may say why.")
            return
        self._compared = look.order
        width, units = self.text_width - 2, self.session.units
        lines = offers_lines(look.job, look.order, units, width, ascii_only=self.logbook_app.ascii_only)
        self.list.show(lines)
        self._show_detail(self.list.target)
        wrong = len(read_offers(self.session.folder).problems)
        self.say(f"{count_text(wrong, 'problem')} in the offers' files; ! lists them." if wrong else "")

    def _show_detail(self, target: object) -> None:
        item = next((c for c in self._compared if isinstance(target, OfferRow) and c.offer.id == target.offer), None)
        room = max(self.size.height // 3, 3)
        lines = offer_summary(item, self._compared, self.session.units, self.text_width) if item is not None else ()
        self.show_lines("#detail", cropped(lines, room, self.text_width))

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Say what decides about another offer."""
        self._show_detail(event.target)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open one offer."""
        from fieldlog.tui.screens.offer import OfferScreen

        if isinstance(event.target, OfferRow):
            self.app.push_screen(OfferScreen(*self.work_of, event.target.offer))

    def action_other_link(self, step: int) -> None:
        """Hold the same offers against another link of the machine."""
        ids = [link.id for link in links_of(self.session, self.work.machine_id)]
        if self.work.link_id in ids:
            self.work_of = self.work.machine_id, ids[(ids.index(self.work.link_id) + step) % len(ids)]
            self.show_all()
            self.list.action_edge(-1)

    def _chosen(self) -> str:
        target = self.list.target
        if isinstance(target, OfferRow):
            return target.offer
        self.say("No offer yet; a adds one.")
        return ""

    def action_budget(self) -> None:
        """Open the chosen offer's numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_offer

        if chosen := self._chosen():
            open_offer(self.logbook_app, self.work, chosen)

    def action_add(self) -> None:
        """Type in an offer."""
        offer_actions.add_offer(self.logbook_app)

    def action_gaps(self) -> None:
        """Write down the gaps that the eyes must enter."""
        offer_actions.measure_gaps(self.logbook_app, self.work)

    def action_keep(self) -> None:
        """Keep the chosen offer as the recommendation."""
        if chosen := self._chosen():
            offer_actions.keep_offer(self.logbook_app, self.work, chosen)

    def action_correct(self) -> None:
        """Correct what the seller states."""
        if chosen := self._chosen():
            offer_actions.correct_offer(self.logbook_app, chosen)

    def action_in_hand(self) -> None:
        """Write down what is measured on the cylinder."""
        if chosen := self._chosen():
            offer_actions.measure_offer(self.logbook_app, chosen)

    def action_set_aside(self) -> None:
        """Take the offer out of the running, or back in."""
        if chosen := self._chosen():
            offer_actions.set_offer_aside(self.logbook_app, chosen)
