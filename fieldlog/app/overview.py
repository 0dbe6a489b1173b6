"""What the fleet page shows of a logbook and of each machine, as small records that need no arithmetic to be shown.

They are what the reading process hands to the screen (`app/ahead.py`), and what is kept between two sittings. A
machine's has three parts: a short one, from which the page knows which lines it has and in what order; its rates; and
all the words. The last two stay the text that they came as until they are asked for.

The fleet page rests on overviews (`wear/summary.py`, `app/overview.py`): what it says of a machine, in words and
plain numbers. A machine's records and the arithmetic are loaded when it is opened. A new thing on the fleet page is a
new field there, made in `wear/due.py`; it is then carried from process to process and kept without further work. What
one machine's finding takes from the others has to come from their overviews, never from their files.

An overview has a front and a back. The front says how many lines a machine has and where they stand; the back, all
the words, stays text until one of them is seen, and a line is made when it is seen (`pages/fleet.py`). So a start
costs about 0.1 ms for each machine more beside looking at its files, which another process does meanwhile.
"""

import dataclasses
import datetime
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from fieldlog.records.problems import Problem
from fieldlog.store.plain import Unfit, packed, unpacked
from fieldlog.store.watch import Look, Stamp
from fieldlog.wear.summary import MachineRates, MachineSummary, Named, Place, place_of
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.quantity.units import Units
    from fieldlog.records.machine import Logbook
    from fieldlog.store.reader import LogbookRead, MachineRead
    from fieldlog.wear.states import MachineState
    from fieldlog.wear.summary import DueItem
    from fieldlog.wear.trends.rates import Lending

R = TypeVar("R")

_BETWEEN = b"\t"


@dataclass(frozen=True, slots=True)
class BookOverview:
    """The logbook: its name, its machines in the order of their folders, and what is wrong in logbook.toml."""

    name: str
    machine_ids: tuple[str, ...]
    problems: tuple[Problem, ...]
    is_read_only: bool
    stamp: Stamp


@dataclass(frozen=True, slots=True)
class LastRound:
    """The newest round on a machine by somebody who is in the logbook."""

    day: datetime.date
    who: str


@dataclass(frozen=True, slots=True)
class MachineFront:
    """What the page needs of every machine: how bad it is, and where each of its due lines stands among the others.

    Worked out on `day` from files that looked like this; it holds up to and with `until`.
    """

    id: str
    severity: int
    places: tuple[Place, ...]
    n_problems: int
    last_round: LastRound | None
    day: datetime.date
    until: datetime.date
    look: Look


@dataclass(frozen=True, slots=True)
class DueText:
    """Something that is due (`wear.summary.DueItem`) in words, in the logbook's units."""

    machine: Named
    joint: Named
    verdict: Verdict
    reason: str
    next_step: str
    brief: str
    life: str
    outlook: str
    order: tuple[float, ...]
    is_link: bool = False
    twin: str = ""
    borrowed: str = ""


@dataclass(frozen=True, slots=True)
class MachineBack:
    """What is shown of a machine once it is seen."""

    summary: MachineSummary
    due: tuple[DueText, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class RatesAndRows:
    """What a machine lends and borrows, and the row that each of its borrowers has in the due list, or would have."""

    rates: MachineRates
    rows: tuple[DueText, ...]


@dataclass(frozen=True, slots=True)
class Borrowings:
    """What is due on joints that borrow from their kind, worked out from the rates of all machines with this stamp."""

    stamp: str
    items: tuple[DueText, ...]


@dataclasses.dataclass(slots=True)
class MachineOverview:
    """A machine's three parts, the last two maybe still as text, which may stand for nothing: then they are `Unfit`."""

    front: MachineFront
    _rates: RatesAndRows | bytes
    _back: MachineBack | bytes
    _front_text: bytes = b""
    _rates_text: bytes = b""

    @property
    def rates(self) -> RatesAndRows:
        """What it lends to other machines and borrows from them."""
        if isinstance(self._rates, bytes):
            self._rates_text, self._rates = self._rates, unpacked(RatesAndRows, self._rates)
        return self._rates

    @property
    def back(self) -> MachineBack:
        """What is shown of it."""
        if isinstance(self._back, bytes):
            back = unpacked(MachineBack, self._back)
            if tuple(map(place_of, back.due)) != self.front.places:
                raise Unfit("not what is shown of this machine")
            self._back = back
        return self._back

    def holds_on(self, day: datetime.date) -> bool:
        """Tell whether it would come out the same on a day."""
        return self.front.day <= day <= self.front.until

    def seen_again(self, look: Look) -> "MachineOverview":
        """Return it for files that look different and still hold the same."""
        return MachineOverview(replace(self.front, look=look), self._rates, self._back)

    def rates_text(self) -> bytes:
        """Return the rates as text."""
        if isinstance(self._rates, bytes):
            return self._rates
        self._rates_text = self._rates_text or packed(self._rates)
        return self._rates_text

    def as_text(self) -> bytes:
        """Return all parts as one line of text."""
        back = self._back if isinstance(self._back, bytes) else packed(self._back)
        return _BETWEEN.join((self._front_text or packed(self.front), self.rates_text(), back))


def overview_from_text(text: bytes) -> MachineOverview:
    """Return what a line of text stands for; only its first part is looked at.

    Raises:
        Unfit: it stands for none.
    """
    front, _, rest = text.partition(_BETWEEN)
    rates, _, back = rest.partition(_BETWEEN)
    return MachineOverview(unpacked(MachineFront, front), rates, back, front)


def from_text(kind: type[R], text: bytes | None) -> R | None:
    """Return the record that a text stands for, None when the text is none or stands for none."""
    try:
        return unpacked(kind, text) if text is not None else None
    except Unfit:
        return None


def book_overview(read: "LogbookRead", stamp: Stamp) -> BookOverview:
    """Return the overview of a logbook just read."""
    return BookOverview(read.logbook.name, read.machine_ids, read.problems, read.read_only, stamp)


def machine_overview(
    read: "MachineRead", state: "MachineState", logbook: "Logbook", day: datetime.date, look: Look
) -> MachineOverview:
    """Return the overview of a machine just read and worked out."""
    from fieldlog.wear.due import borrower_items, due_of, holds_until, rates_of, summary_of

    people = {person.id for person in logbook.people}
    rounds = [LastRound(head.date, head.who) for head in read.log.rounds if head.who in people]
    summary, rates, units = summary_of(state), rates_of(state), logbook.units
    due = tuple(due_text(item, units) for item in due_of(state))
    rows = tuple(due_text(item, units) for item in borrower_items(state, rates))
    front = MachineFront(
        id=state.machine.id,
        severity=summary.severity,
        places=tuple(map(place_of, due)),
        n_problems=len(read.problems),
        last_round=rounds[-1] if rounds else None,
        day=day,
        until=holds_until(state, day),
        look=look,
    )
    return MachineOverview(front, RatesAndRows(rates, rows), MachineBack(summary, due, read.problems))


def due_text(item: "DueItem", units: "Units") -> DueText:
    """Return something that is due in words."""
    from fieldlog.words.speak import say_all, words_of

    return DueText(
        machine=item.machine,
        joint=item.joint,
        verdict=item.verdict,
        reason=say_all(item.reasons, units),
        next_step=say_all(item.next_steps, units),
        brief=words_of(item.brief, units),
        life=words_of(item.life, units),
        outlook=say_all(item.outlook, units),
        order=item.order,
        is_link=item.is_link,
        twin=item.twin,
        borrowed=words_of(item.borrowed, units),
    )


def borrowed_texts(machines: Iterable[RatesAndRows], units: "Units") -> tuple[DueText, ...]:
    """Return the rows of the due list that rest on what joints borrow from their kind over the whole fleet."""
    from fieldlog.wear.trends.rates import lendings

    known = list(machines)
    own = {(row.machine.id, row.joint.id): row for one in known for row in one.rows}
    lent = lendings([one.rates for one in known])
    return tuple(_with_lending(own[one.row.machine.id, one.row.joint.id], one, units) for one in lent)


def _with_lending(own: DueText, lent: "Lending", units: "Units") -> DueText:
    """Return a row with what its kind lends to it, as `wear.due.with_lending` does before it is words."""
    from fieldlog.words.speak import say, say_all, words_of

    steps, outlook = say_all(lent.next_steps, units), say(lent.outlook, units)
    if lent.is_due:
        steps = " ".join(text for text in (own.next_step, steps) if text)
    return replace(
        own,
        order=lent.order,
        next_step=steps,
        brief=own.brief if lent.is_due else words_of(lent.brief, units),
        life=own.life or say(lent.life, units),
        outlook=f"{own.outlook} {outlook}" if own.outlook else outlook,
        borrowed=say(lent.source, units),
    )


def newest_round(machines: Iterable[MachineOverview]) -> LastRound | None:
    """Return the newest round of the whole fleet, of several on one day the last listed."""
    rounds = [found.front.last_round for found in machines if found.front.last_round is not None]
    return max(reversed(rounds), key=lambda last: last.day, default=None)
