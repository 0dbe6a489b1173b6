"""The fleet from small facts of each machine: what is due, what to order, what joints lend and borrow, what is wrong.

No machine need be in memory beside another for it, however large the fleet.

Seasons, and what the pages of a machine rest on, taken from an open logbook.
"""

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fieldlog.app.overview import DueText, RatesAndRows, borrowed_texts, due_text
from fieldlog.quantity.units import Units
from fieldlog.records.problems import Problem
from fieldlog.store.watch import Look, Stamp, look_again
from fieldlog.wear.due import borrower_items, due_of, rates_of, summary_of
from fieldlog.wear.numbers.page import Ground
from fieldlog.wear.order_list import OrderLine, added_up, order_list
from fieldlog.wear.season import MachineSeason, machine_season, season_of
from fieldlog.wear.summary import MachineSummary, RateRow, place_of, worst_first
from fieldlog.wear.trends.rates import Beside

if TYPE_CHECKING:
    from fieldlog.app.known import Book
    from fieldlog.wear.states import MachineState

Problems = tuple[tuple[Problem, ...], tuple[Problem, ...]]


@dataclass(frozen=True, slots=True)
class MachineFacts:
    """What the fleet needs of a machine; `problems` are those of its own files and of what lies beside its rounds.

    What is due is in words: a row that held values would keep the trends that they come from.
    """

    summary: MachineSummary
    due: tuple[DueText, ...]
    rates: RatesAndRows
    orders: tuple[OrderLine, ...]
    problems: Problems


@dataclass(frozen=True, slots=True)
class Fleet:
    """Some machines, or all, in the order of their folders."""

    machines: tuple[MachineFacts, ...]
    units: Units

    def due(self) -> tuple[DueText, ...]:
        """Return every joint and link that needs something, worst first."""
        borrowed = borrowed_texts([machine.rates for machine in self.machines], self.units)
        found = {place_of(item).key: item for machine in self.machines for item in machine.due}
        found |= {place_of(item).key: item for item in borrowed}
        return tuple(found[place.key] for place in worst_first(map(place_of, found.values())))

    def orders(self) -> tuple[OrderLine, ...]:
        """Return what to order, the most pressing first, each pin size on a line of its own."""
        return added_up(line for machine in self.machines for line in machine.orders)

    def rates(self) -> tuple[RateRow, ...]:
        """Return how fast joints wear."""
        return tuple(row for machine in self.machines for row in machine.rates.rates.rates)


def fleet_of(
    book: "Book", machine_ids: Iterable[str], meanwhile: "Callable[[MachineState], None] | None" = None
) -> Fleet:
    """Return some machines' facts; `meanwhile` is called with each while it is in memory."""
    found = []
    for state in book.each(machine_ids):
        found.append(facts_of(book, state))
        if meanwhile is not None:
            meanwhile(state)
        del state  # or it would stay in memory while the next one is worked out
    return Fleet(tuple(found), book.units)


def facts_of(book: "Book", state: "MachineState") -> MachineFacts:
    """Return what the fleet needs of a machine."""
    rates, units = rates_of(state), book.units
    due = tuple(due_text(item, units) for item in due_of(state))
    own = {place_of(item).key: item for item in due}  # the same row is kept once
    rows = (due_text(item, units) for item in borrower_items(state, rates))
    found = RatesAndRows(rates, tuple(own.get(place_of(row).key, row) for row in rows))
    return MachineFacts(summary_of(state), due, found, order_list([state]), _problems_of(book, state.machine.id))


def problems_in(book: "Book", fleet: Fleet) -> tuple[Problem, ...]:
    """Return what is wrong in all files of the logbook, of machines that the fleet leaves out too."""
    from fieldlog.store.reader import implement_problems

    known = {machine.summary.machine.id: machine.problems for machine in fleet.machines}
    found = []
    for machine_id in book.book.machine_ids:
        found.append(known.get(machine_id) or _problems_of(book, machine_id))
        if machine_id not in known:
            book.close(machine_id)
    own, beside = ([problem for machine in found for problem in machine[side]] for side in (0, 1))
    everywhere = (*implement_problems(book.book.document), *book.offers_read().problems)
    return (*book.book.problems, *own, *everywhere, *beside)


def _problems_of(book: "Book", machine_id: str) -> Problems:
    from fieldlog.store.reader import side_problems

    read = book.read(machine_id)
    return read.problems, (*side_problems(read.document), *book.recommendations(machine_id).problems)


def season_now(session: "Book", machine_id: str, back: int = 0) -> MachineSeason:
    """Return a machine's season that runs today, or one so many years back."""
    now, before = (season_of(session.logbook, session.today(), back + more) for more in (0, 1))
    return machine_season(session.state(machine_id), session.index(machine_id), now, before)


def ground_of(session: "Book", machine_id: str, rows: "Sequence[RateRow]", back: int = 0) -> Ground:
    """Return what a machine's pages rest on; `rows` are the rates of the fleet, the season is so many years back."""
    now, before = (season_of(session.logbook, session.today(), back + more) for more in (0, 1))
    beside = Beside(machine_id, rows)
    return Ground(session.state(machine_id), session.log(machine_id), session.index(machine_id), beside, (now, before))


@dataclass(slots=True)
class SeasonWork:
    """The seasons by machine and years back; each rests on the machine's files, the logbook's and the day."""

    _kept: dict[tuple[str, int], tuple[Look, Stamp, datetime.date, MachineSeason]] = field(default_factory=dict)

    def of(self, session: "Book", machine_id: str, back: int) -> MachineSeason:
        """Return a machine's season so many years back, worked out now where that must be."""
        today, stamp = session.today(), session.head.stamp
        if (kept := self._kept.get((machine_id, back))) is not None:
            look, *rests_on, found = kept
            if rests_on == [stamp, today] and look_again(session.folder, machine_id, look) is not None:
                return found
        was_open = session.has_open(machine_id)
        found = season_now(session, machine_id, back)
        self._kept[machine_id, back] = (session.seen(machine_id)[1], stamp, today, found)
        if not was_open:
            session.close(machine_id)
        return found
