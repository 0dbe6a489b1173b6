"""What the fleet page shows of a logbook and of each machine, as small records that need no arithmetic to be shown.

They are what the reading process hands to the screen (`tui/ahead.py`), and what is kept between two sittings.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.records.problems import Problem
from fieldlog.store.watch import Look, Stamp
from fieldlog.wear.summary import MachineSummary

if TYPE_CHECKING:
    from fieldlog.records.machine import Logbook
    from fieldlog.store.results import LogbookRead, MachineRead
    from fieldlog.wear.states import MachineState


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
class MachineOverview:
    """A machine as worked out on `day` from files that looked like this; it holds up to and with `until`."""

    summary: MachineSummary
    problems: tuple[Problem, ...]
    last_round: LastRound | None
    day: datetime.date
    until: datetime.date
    look: Look

    def holds_on(self, day: datetime.date) -> bool:
        """Tell whether it would come out the same on a day."""
        return self.day <= day <= self.until


def book_overview(read: "LogbookRead", stamp: Stamp) -> BookOverview:
    """Return the overview of a logbook just read."""
    return BookOverview(read.logbook.name, read.machine_ids, read.problems, read.read_only, stamp)


def machine_overview(
    read: "MachineRead", state: "MachineState", logbook: "Logbook", day: datetime.date, look: Look
) -> MachineOverview:
    """Return the overview of a machine just read and worked out."""
    from fieldlog.wear.due import holds_until, summary_of

    people = {person.id for person in logbook.people}
    rounds = [LastRound(head.date, head.who) for head in read.log.rounds if head.who in people]
    return MachineOverview(
        summary=summary_of(state, logbook.units),
        problems=read.problems,
        last_round=rounds[-1] if rounds else None,
        day=day,
        until=holds_until(state, day),
        look=look,
    )


def newest_round(machines: Iterable[MachineOverview]) -> LastRound | None:
    """Return the newest round of the whole fleet, of several on one day the last listed."""
    rounds = [machine.last_round for machine in machines if machine.last_round is not None]
    return max(reversed(rounds), key=lambda last: last.day, default=None)
