"""What the fleet page shows of a logbook and of each machine, as small records that need no arithmetic to be shown.

They are what the reading process hands to the screen (`app/ahead.py`), and what is kept between two sittings. A
machine's has three parts: a short one, from which the page knows which lines it has and in what order; its rates; and
all the words. The last two stay the text that they came as until they are asked for.
"""

import dataclasses
import datetime
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from fieldlog.records.problems import Problem
from fieldlog.store.plain import Unfit, packed, unpacked
from fieldlog.store.watch import Look, Stamp
from fieldlog.wear.summary import DueItem, MachineRates, MachineSummary, Place, place_of

if TYPE_CHECKING:
    from fieldlog.records.machine import Logbook
    from fieldlog.store.reader import LogbookRead, MachineRead
    from fieldlog.wear.states import MachineState

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
class MachineBack:
    """What is shown of a machine once it is seen."""

    summary: MachineSummary
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Borrowings:
    """What is due on joints that borrow from their kind, worked out from the rates of all machines with this stamp."""

    stamp: str
    items: tuple[DueItem, ...]


@dataclasses.dataclass(slots=True)
class MachineOverview:
    """A machine's three parts, the last two maybe still as text, which may stand for nothing: then they are `Unfit`."""

    front: MachineFront
    _rates: MachineRates | bytes
    _back: MachineBack | bytes
    _front_text: bytes = b""
    _rates_text: bytes = b""

    @property
    def rates(self) -> MachineRates:
        """What it lends to other machines and borrows from them."""
        if isinstance(self._rates, bytes):
            self._rates_text, self._rates = self._rates, unpacked(MachineRates, self._rates)
        return self._rates

    @property
    def back(self) -> MachineBack:
        """What is shown of it."""
        if isinstance(self._back, bytes):
            back = unpacked(MachineBack, self._back)
            if tuple(map(place_of, back.summary.due)) != self.front.places:
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
    from fieldlog.wear.due import holds_until, rates_of, summary_of

    people = {person.id for person in logbook.people}
    rounds = [LastRound(head.date, head.who) for head in read.log.rounds if head.who in people]
    summary = summary_of(state, logbook.units)
    front = MachineFront(
        id=state.machine.id,
        severity=summary.severity,
        places=tuple(map(place_of, summary.due)),
        n_problems=len(read.problems),
        last_round=rounds[-1] if rounds else None,
        day=day,
        until=holds_until(state, day),
        look=look,
    )
    return MachineOverview(front, rates_of(state, logbook.units), MachineBack(summary, read.problems))


def newest_round(machines: Iterable[MachineOverview]) -> LastRound | None:
    """Return the newest round of the whole fleet, of several on one day the last listed."""
    rounds = [found.front.last_round for found in machines if found.front.last_round is not None]
    return max(reversed(rounds), key=lambda last: last.day, default=None)
