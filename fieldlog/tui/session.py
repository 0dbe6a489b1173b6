"""The open logbook during one sitting: what was read, what today is, who measures, and the one way to write.

The clock is read here and nowhere below.
"""

import datetime
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.errors import StoreError
from fieldlog.records.entries import AnyEntry, Round, Strike
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Instrument, Logbook, Machine, Person
from fieldlog.records.problems import Problem
from fieldlog.records.quantities import Units
from fieldlog.store.results import LogbookRead, MachineRead
from fieldlog.store.watch import Stamp, logbook_stamp, machine_stamp
from fieldlog.wear.states import MachineState

if TYPE_CHECKING:
    from fieldlog.store.rounds import RoundFile
    from fieldlog.tui.ahead import Ahead


@dataclass(frozen=True, slots=True)
class Known:
    """What a session has read: used by another one as long as the stamps are those of the files."""

    book: LogbookRead
    book_stamp: Stamp
    reads: dict[str, MachineRead]
    stamps: dict[str, object]
    states: dict[str, MachineState]


@dataclass(slots=True)
class Session:
    """A logbook folder with everything read from it; states are worked out once and kept until a file changes."""

    folder: Path
    is_demo: bool = False
    ahead: "Ahead | None" = None
    book: LogbookRead = field(init=False)
    _book_stamp: Stamp = field(init=False, default=())
    _reads: dict[str, MachineRead] = field(init=False, default_factory=dict)
    _states: dict[str, MachineState] = field(init=False, default_factory=dict)
    _stamps: dict[str, object] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        known = self.ahead.take() if self.ahead is not None else None
        self.ahead = None
        if isinstance(known, Known):
            self.book, self._book_stamp = known.book, known.book_stamp
            self._reads, self._stamps, self._states = known.reads, known.stamps, known.states
        else:
            self.reread()

    def known(self) -> "Known":
        """Return everything read and worked out so far, to be handed to another process."""
        return Known(self.book, self._book_stamp, self._reads, self._stamps, self._states)

    def reread(self) -> None:
        """Read logbook.toml again and forget the machines, so that they are read again when shown."""
        from fieldlog.store.reader import read_logbook

        self._book_stamp = logbook_stamp(self.folder)
        self.book = read_logbook(self.folder)
        self._reads.clear()
        self._states.clear()
        self._stamps.clear()

    @property
    def logbook(self) -> Logbook:
        """What stands in logbook.toml."""
        return self.book.logbook

    @property
    def units(self) -> Units:
        """The units shown first."""
        return self.logbook.units

    @property
    def instruments(self) -> Mapping[str, Instrument]:
        """The instruments by id."""
        return {instrument.id: instrument for instrument in self.logbook.instruments}

    def today(self) -> datetime.date:
        """Return this computer's date."""
        return datetime.datetime.now().astimezone().date()

    def time_of_day(self) -> str:
        """Return this computer's time of day, to the second."""
        return datetime.datetime.now().astimezone().strftime("%H:%M:%S")

    def read(self, machine_id: str) -> MachineRead:
        """Return a machine's log, read again only when its files changed."""
        stamp = machine_stamp(self.folder, machine_id)
        if machine_id not in self._reads or self._stamps.get(machine_id) != stamp:
            from fieldlog.store.reader import read_machine

            self._reads[machine_id] = read_machine(self.folder, machine_id, self.logbook)
            self._stamps[machine_id] = stamp
            self._states.pop(machine_id, None)
        return self._reads[machine_id]

    def log(self, machine_id: str) -> MachineLog:
        """Return a machine with everything entered for it."""
        return self.read(machine_id).log

    def machine(self, machine_id: str) -> Machine:
        """Return what stands in a machine.toml."""
        return self.log(machine_id).machine

    def state(self, machine_id: str) -> MachineState:
        """Return what is known about a machine today."""
        log = self.log(machine_id)
        if machine_id not in self._states:
            from fieldlog.wear.assess import assess_machine

            self._states[machine_id] = assess_machine(log, self.logbook, self.today())
        return self._states[machine_id]

    def notice_edits(self) -> None:
        """Read again when logbook.toml was edited or a machine came or went; a logbook that is gone stays shown."""
        if logbook_stamp(self.folder) != self._book_stamp:
            with suppress(StoreError):
                self.reread()

    def states(self) -> tuple[MachineState, ...]:
        """Return the whole fleet's states in the order of the folders."""
        return tuple(self.state(machine_id) for machine_id in self.book.machine_ids)

    def problems(self) -> tuple[Problem, ...]:
        """Return what is wrong in the files, for all machines."""
        found = list(self.book.problems)
        for machine_id in self.book.machine_ids:
            found += self.read(machine_id).problems
        return tuple(found)

    def open_round(self, machine_id: str, head: Round) -> "RoundFile":
        """Open today's round file of one person; it is made with its first entry."""
        from fieldlog.store.rounds import open_round

        return open_round(self.folder, machine_id, head)

    def write(self, machine_id: str, round_file: "RoundFile", entry: AnyEntry) -> AnyEntry:
        """Put an entry on disk; when this returns it is there."""
        from fieldlog.store.rounds import append_entry

        stored = append_entry(round_file, entry)
        self._states.pop(machine_id, None)
        self._stamps.pop(machine_id, None)
        return stored

    def my_round(self, who: str = "") -> Round:
        """Return today's round of a person, by default of whoever measured last; made with its first entry."""
        person, day = who or self.last_person(), self.today()
        return Round(f"{day.isoformat()}-{person}", day, person)

    def write_today(self, machine_id: str, entry: AnyEntry) -> AnyEntry:
        """Put an entry into today's round file of the person it names."""
        return self.write(machine_id, self.open_round(machine_id, self.my_round(entry.who)), entry)

    def strike(self, machine_id: str, entry: AnyEntry, why: str) -> AnyEntry:
        """Strike an entry out; it stays on file."""
        head = self.my_round()
        at = self.time_of_day()
        strike = Strike(at=at, round=head.id, day=head.date, who=head.who, of=entry.key, why=why)
        return self.write_today(machine_id, strike)

    def people(self) -> tuple[Person, ...]:
        """Return who measures."""
        return self.logbook.people

    def last_person(self) -> str:
        """Return the id of whoever made the newest round, else the first person."""
        rounds = [head for machine_id in self.book.machine_ids for head in self.log(machine_id).rounds]
        known = {person.id for person in self.people()}
        newest = [head.who for head in sorted(rounds, key=lambda head: head.date) if head.who in known]
        return newest[-1] if newest else next(iter(known), "")
