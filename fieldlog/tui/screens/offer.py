"""One offer against one link: every point with its reason, the worst first, and the cautions.

What a cylinder on offer does on this tractor: pull, push, holding, speed, oil, buckling, hoses, remotes.

Cylinders on offer in the place of one link: a ruler, a ranked list, and what decides about the chosen one.

One kept recommendation: why, what it rests on, the cautions, and what made it stale.
"""

from collections.abc import Iterable

from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.beside import kept_of_machine
from fieldlog.app.retrofits import RetrofitWork, links_of
from fieldlog.pages.lines import count_text, cropped
from fieldlog.pages.machine import KeptRow, kept_page
from fieldlog.pages.offers import OfferRow, cylinder_lines, offer_page, offer_summary, offers_lines
from fieldlog.records.machine import part_name, shown_name
from fieldlog.retrofit.offers.compare import Compared
from fieldlog.retrofit.offers.kept import Kept
from fieldlog.store.offers import read_offers
from fieldlog.tui import commands
from fieldlog.tui.actions import offers as offer_actions
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList


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
        from fieldlog.tui.screens.opened import open_offer

        open_offer(self.desk, self.work, self.offer_id)

    def action_force(self) -> None:
        """Show what it does on this tractor."""
        self.app.push_screen(CylinderScreen(self.work, self.offer_id))

    def action_keep(self) -> None:
        """Keep it as the recommendation."""
        keep_offer(self, self.work, self.offer_id)

    def action_correct(self) -> None:
        """Correct what the seller states."""
        offer_actions.correct_offer(self.desk, self.offer_id)

    def action_in_hand(self) -> None:
        """Write down what is measured on the cylinder."""
        offer_actions.measure_offer(self.desk, self.offer_id)

    def action_set_aside(self) -> None:
        """Take the offer out of the running, or back in."""
        offer_actions.set_offer_aside(self.desk, self.offer_id)


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
        self.query_one(LineList).show(
            cylinder_lines(found.points, found.hydraulics, self.session.units, self.text_width - 2)
        )

    def action_budget(self) -> None:
        """Open its numbers to what they rest on."""
        from fieldlog.tui.screens.opened import open_force

        open_force(self.desk, self.work, self.offer_id)

    def action_hydraulics(self) -> None:
        """Write down the tractor's hydraulics."""
        from fieldlog.tui.actions.hitch import correct_hydraulics

        correct_hydraulics(self.desk, self.work.machine_id)


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
        lines = offers_lines(look.job, look.order, units, width, ascii_only=self.desk.ascii_only)
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
        from fieldlog.tui.screens.opened import open_offer

        if chosen := self._chosen():
            open_offer(self.desk, self.work, chosen)

    def action_add(self) -> None:
        """Type in an offer."""
        offer_actions.add_offer(self.desk)

    def action_gaps(self) -> None:
        """Write down the gaps that the eyes must enter."""
        offer_actions.measure_gaps(self.desk, self.work)

    def action_keep(self) -> None:
        """Keep the chosen offer as the recommendation."""
        if chosen := self._chosen():
            keep_offer(self, self.work, chosen)

    def action_correct(self) -> None:
        """Correct what the seller states."""
        if chosen := self._chosen():
            offer_actions.correct_offer(self.desk, chosen)

    def action_in_hand(self) -> None:
        """Write down what is measured on the cylinder."""
        if chosen := self._chosen():
            offer_actions.measure_offer(self.desk, chosen)

    def action_set_aside(self) -> None:
        """Take the offer out of the running, or back in."""
        if chosen := self._chosen():
            offer_actions.set_offer_aside(self.desk, chosen)


def open_kept(screen: LogScreen, machine_id: str, target: object) -> None:
    """Show the recommendation that a line of a list stands for; any other line is none."""
    if isinstance(target, KeptRow):
        screen.app.push_screen(KeptScreen(machine_id, target.kept))


def keep_offer(screen: LogScreen, work: RetrofitWork, offer_id: str) -> None:
    """Keep an offer as the recommendation, and show it as kept."""

    def show(kept_id: str) -> None:
        screen.app.push_screen(KeptScreen(work.machine_id, kept_id))

    offer_actions.keep_offer(screen.desk, work, offer_id, show)


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
        machine, units = self.session.machine(self.machine_id), self.session.units
        self.query_one(LineList).show(kept_page(item, machine, units, self.text_width - 2))

    def action_budget(self) -> None:
        """Open the numbers that it rests on."""
        from fieldlog.tui.screens.opened import open_kept

        open_kept(self.desk, self.machine_id, self._kept)

    def action_offers(self) -> None:
        """Compare the offers for the same link as they are now."""
        item = self._kept()
        if item is not None:
            open_offers(self, self.machine_id, item.recommendation.link)
