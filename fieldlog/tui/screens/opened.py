"""A number opened up: what its doubt is made of and the readings behind it; left and right show the page's others.

Opening the numbers of a joint, a hole or a link up to their budgets.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from textual.widget import Widget

from fieldlog.app.fleet import ground_of
from fieldlog.measure.suspect import Mark
from fieldlog.pages.budget import NumberTarget, number_lines, other_lines
from fieldlog.pages.lines import wrapped
from fieldlog.pages.readings import said_under
from fieldlog.quantity.page_number import Number
from fieldlog.records.entries import AnyEntry, BoreReading, PinReading
from fieldlog.records.machine import Joint, part_name, shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import Desk, LogScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.at_the_hole import last_line
from fieldlog.wear.numbers.links import link_numbers
from fieldlog.wear.numbers.page import hole_page, joint_page, rates_page, season_page, trend_page
from fieldlog.wear.numbers.sizes import pin_numbers, sight_numbers, size_numbers
from fieldlog.wear.shapes import marks_by_key

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook
    from fieldlog.app.retrofits import RetrofitWork
    from fieldlog.app.round_work import RoundWork
    from fieldlog.pages.hitch_tried import HitchWork
    from fieldlog.retrofit.offers.kept import Kept
    from fieldlog.wear.states import HoleState, JointState


class BudgetScreen(LogScreen):
    """Shows one of several numbers; `numbers` is asked again after a reading was struck or kept.

    `machine_id` is whose entries are behind them, empty for numbers that rest on none.
    """

    KEYS = commands.BUDGET

    def __init__(self, machine_id: str, about: str, numbers: Callable[[], Sequence[Number]]) -> None:
        super().__init__()
        self.about = about
        self.machine_id = machine_id
        self.numbers = numbers
        self.index = 0
        self._found: Sequence[Number] | None = None

    @property
    def found(self) -> Sequence[Number]:
        """The numbers as last worked out."""
        if self._found is None:
            self._found = self.numbers()
        return self._found

    def body(self) -> Iterable[Widget]:
        """The page, scrolled with the arrows; its readings can be opened."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """What the number is of; which of several it is."""
        count = len(self.found)
        which = f"{min(self.index, count - 1) + 1} of {count}" if count > 1 else ""
        return f"Behind the number: {self.about}", which

    def show_all(self) -> None:
        """Work the numbers out again and draw."""
        self._found = None
        super().show_all()

    def redraw(self) -> None:
        """The number, its budget, its readings, and what else there is to see."""
        numbers, width = self.found, self.text_width - 2
        if not numbers:
            self.query_one(LineList).show(wrapped("Nothing is left to reckon with.", width, "", "dim"))
            return
        self.index = min(self.index, len(numbers) - 1)
        number, units = numbers[self.index], self.session.units
        lines = number_lines(number, self._entries(), self._said(number), units, width)
        self.query_one(LineList).show((*lines, *other_lines(numbers, self.index, units, width)))

    def _entries(self) -> Mapping[str, AnyEntry]:
        if not self.machine_id:
            return {}
        return {entry.key: entry for entry in self.session.log(self.machine_id).entries}

    def _said(self, number: Number) -> Mapping[str, str]:
        if not self.machine_id:
            return {}
        keeps = self.session.index(self.machine_id).keeps
        return said_under(self._marks(number), keeps, self.session.units)

    def _marks(self, number: Number) -> Mapping[str, Mark]:
        log, keys = self.session.log(self.machine_id), set(number.keys)
        behind = {entry.hole for entry in log.entries if isinstance(entry, BoreReading) and entry.key in keys}
        holes = [hole for hole in log.machine.holes if hole.id in behind]
        return marks_by_key(holes, self.session.index(self.machine_id), keys)

    def action_turn(self, step: int) -> None:
        """Show the next or the previous number, going round at the ends."""
        count = len(self.found)
        if count > 1:
            self._turn_to((self.index + step) % count)

    def _turn_to(self, index: int) -> None:
        self.index = index
        self.query_one(LineList).to_top()
        super().show_all()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Strike or keep a reading, or show the number that a step is."""
        from fieldlog.tui.actions.evidence import strike_or_keep

        if isinstance(event.target, NumberTarget):
            words = [number.word for number in self.found]
            if event.target.word in words:
                self._turn_to(words.index(event.target.word))
            return
        entry = self._entries().get(str(event.target))
        if entry is None:
            return
        is_marked = entry.key in self._marks(self.found[self.index])
        strike_or_keep(self.desk, self.machine_id, entry, is_marked=is_marked, done=self._done)

    def _done(self, error: str) -> None:
        self.show_all()
        self.say(error)


def open_budget(app: Desk, machine_id: str, subject: tuple[str, str], round_id: str = "") -> None:
    """Show the budgets of what belongs to a (kind, id); with a round, of what was measured in it."""
    about = part_name(app.session.machine(machine_id), *subject)
    open_numbers(app, machine_id, about, lambda: _numbers(app.session, machine_id, subject, round_id))


def open_numbers(app: Desk, machine_id: str, about: str, numbers: Callable[[], Sequence[Number]]) -> None:
    """Show numbers opened up, the first of them first; `machine_id` is whose entries are behind them, if any."""
    if not numbers():
        app.notify_line("No number here yet: nothing is measured.")
        return
    app.push_screen(BudgetScreen(machine_id, about, numbers))


def open_rate(app: Desk, machine_id: str, joint_id: str) -> None:
    """Show a joint's numbers over time, the rate that it is reckoned with first."""
    session = app.session

    def numbers() -> Sequence[Number]:
        joint = _joint(session, machine_id, joint_id)
        return rates_page(joint, ground_of(session, machine_id, session.rates())) if joint is not None else ()

    open_numbers(app, machine_id, part_name(session.machine(machine_id), "joint", joint_id), numbers)


def open_trend(app: Desk, machine_id: str, joint_id: str, what: tuple[str, str]) -> None:
    """Show the numbers of one trend of a joint, by what wears and its hole."""
    session = app.session

    def numbers() -> Sequence[Number]:
        joint = _joint(session, machine_id, joint_id)
        return trend_page(joint, what, ground_of(session, machine_id, session.rates())) if joint is not None else ()

    open_numbers(app, machine_id, part_name(session.machine(machine_id), "joint", joint_id), numbers)


def open_season(app: Desk, machine_id: str, joint_id: str, back: int) -> None:
    """Show what a joint wore in a season, so many seasons back."""
    session = app.session

    def numbers() -> Sequence[Number]:
        return season_page(joint_id, ground_of(session, machine_id, session.rates(), back))

    open_numbers(app, machine_id, part_name(session.machine(machine_id), "joint", joint_id), numbers)


def round_numbers(work: "RoundWork") -> Sequence[Number]:
    """Return every number on the screen of a round, with what was struck or kept meanwhile taken up first."""
    work.take_up()
    if work.stop.kind == "link":
        from fieldlog.tui.link_stop import report_now

        return link_numbers(report_now(work), work.session.log(work.machine_id))
    if work.stop.kind == "pin":
        pin = work.pin_sight()
        pins = [entry for entry in work.readings() if isinstance(entry, PinReading)]
        places = (("worn band", pin.worn, "worn"), ("unworn end", pin.unworn, "unworn"))
        return pin_numbers([(word, size, _keys(pins, place)) for word, size, place in places])
    sight, before = work.sight(), work.before
    if sight is None or before is None:
        return ()
    bores = [entry for entry in work.readings() if isinstance(entry, BoreReading)]
    return sight_numbers(sight, before, last_line(bores, work.instruments))


def _keys(pins: Sequence[PinReading], place: str) -> tuple[str, ...]:
    return tuple(reading.key for reading in pins if reading.place == place)


def _numbers(session: "OpenLogbook", machine_id: str, subject: tuple[str, str], round_id: str) -> Sequence[Number]:
    kind, wanted = subject
    if kind == "joint":
        joint = _joint(session, machine_id, wanted)
        return joint_page(joint, ground_of(session, machine_id, session.rates())) if joint is not None else ()
    if kind == "link":
        link = next((link for link in session.state(machine_id).links if link.link.id == wanted), None)
        return link_numbers(link, session.log(machine_id)) if link is not None else ()
    return _hole(session, machine_id, wanted, round_id)


def _joint(session: "OpenLogbook", machine_id: str, joint_id: str) -> "JointState | None":
    return next((joint for joint in session.state(machine_id).joints if joint.joint.id == joint_id), None)


def _hole(session: "OpenLogbook", machine_id: str, hole_id: str, round_id: str) -> Sequence[Number]:
    joints = session.state(machine_id).joints
    pairs = ((joint, hole) for joint in joints for hole in joint.holes)
    joint, hole = next((pair for pair in pairs if pair[1].hole.id == hole_id), (None, None))
    if joint is None or hole is None:
        return ()
    if not round_id:
        return hole_page(joint, hole, ground_of(session, machine_id, session.rates()))
    sizes = (size for size in hole.history if size.round == round_id)
    return [number for size in sizes for number in size_numbers(size)]


def open_offer(app: Desk, work: "RetrofitWork", offer_id: str) -> None:
    """Show an offer's numbers against its link."""
    from fieldlog.pages.offers import opened_offer

    def numbers() -> Sequence[Number]:
        look = work.look()
        item = look.of(offer_id) if look is not None else None
        return opened_offer(item, look.job, app.session.units) if look is not None and item is not None else ()

    offer = work.offer(offer_id)
    open_numbers(app, work.machine_id, offer.shown_name if offer is not None else offer_id, numbers)


def open_force(app: Desk, work: "RetrofitWork", offer_id: str) -> None:
    """Show the numbers of what an offer does on the tractor."""
    from fieldlog.pages.offers import opened_work

    def numbers() -> Sequence[Number]:
        found = work.force_and_oil(offer_id)
        return opened_work(found, app.session.units) if found is not None else ()

    offer = work.offer(offer_id)
    open_numbers(app, work.machine_id, offer.shown_name if offer is not None else offer_id, numbers)


def open_hitch(app: Desk, work: "HitchWork", about: str) -> None:
    """Show every number of a hitch as it is tried."""
    from fieldlog.pages.hitch_numbers import opened_hitch

    def numbers() -> Sequence[Number]:
        page = work.fresh_page()
        return opened_hitch(page.look, page.field, page.need, app.session.units) if page is not None else ()

    open_numbers(app, work.machine_id, about, numbers)


def open_repair(
    app: Desk, machine_id: str, about: str, pair: "Callable[[], tuple[JointState, HoleState] | None]"
) -> None:
    """Show the numbers of a hole's repair."""
    from fieldlog.pages.hole import opened_repair

    def numbers() -> Sequence[Number]:
        found = pair()
        return opened_repair(app.session.state(machine_id), *found) if found is not None else ()

    open_numbers(app, machine_id, about, numbers)


def open_instrument(app: Desk, instrument_id: str, about: str) -> None:
    """Show the numbers of an instrument."""
    from fieldlog.wear.numbers.instruments import instrument_numbers

    def numbers() -> Sequence[Number]:
        instrument = app.session.instruments.get(instrument_id)
        return instrument_numbers(instrument, app.session.today()) if instrument is not None else ()

    open_numbers(app, "", about, numbers)


def open_study(app: Desk, study_id: str, about: str) -> None:
    """Show the numbers of a finished gauge study."""
    from fieldlog.wear.numbers.instruments import study_numbers

    def numbers() -> Sequence[Number]:
        study = next((study for study in app.session.studies() if study.id == study_id), None)
        return study_numbers(study) if study is not None else ()

    open_numbers(app, "", about, numbers)


def open_kept(app: Desk, machine_id: str, kept: "Callable[[], Kept | None]") -> None:
    """Show the numbers that a kept recommendation rests on."""
    from fieldlog.retrofit.offers.numbers import kept_numbers

    def numbers() -> Sequence[Number]:
        item = kept()
        return kept_numbers(item.recommendation) if item is not None else ()

    open_numbers(app, machine_id, "kept recommendation", numbers)


def open_evidence_numbers(app: Desk, machine_id: str, joint: Joint) -> None:
    """Show how likely each pin of a joint is, and why."""
    from fieldlog.wear.numbers.sizes import evidence_numbers

    def numbers() -> Sequence[Number]:
        found = (state for state in app.session.state(machine_id).joints if state.joint.id == joint.id)
        state = next(found, None)
        return evidence_numbers(state, app.session.log(machine_id)) if state is not None else ()

    open_numbers(app, machine_id, shown_name(joint), numbers)
