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
    """A machine as on `day`, as its files looked when they were read."""

    summary: MachineSummary
    problems: tuple[Problem, ...]
    last_round: LastRound | None
    day: datetime.date
    look: Look


def book_overview(read: "LogbookRead", stamp: Stamp) -> BookOverview:
    """Return the overview of a logbook just read."""
    return BookOverview(read.logbook.name, read.machine_ids, read.problems, read.read_only, stamp)


def machine_overview(
    read: "MachineRead", state: "MachineState", logbook: "Logbook", day: datetime.date, look: Look
) -> MachineOverview:
    """Return the overview of a machine just read and worked out."""
    from fieldlog.wear.due import summary_of

    people = {person.id for person in logbook.people}
    rounds = [LastRound(head.date, head.who) for head in read.log.rounds if head.who in people]
    return MachineOverview(summary_of(state, logbook.units), read.problems, rounds[-1] if rounds else None, day, look)


def newest_round(machines: Iterable[MachineOverview]) -> LastRound | None:
    """Return the newest round of the whole fleet, of several on one day the last listed."""
    rounds = [machine.last_round for machine in machines if machine.last_round is not None]
    return max(reversed(rounds), key=lambda last: last.day, default=None)
