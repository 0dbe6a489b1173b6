"""The open logbook during one sitting: what was read, what today is, who measures, and the one way to write.

The clock is read here and nowhere below.
"""

import datetime
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.errors import StoreError
from fieldlog.store.watch import Look, logbook_stamp, look_again, look_at
from fieldlog.tui.overview import BookOverview, MachineOverview, book_overview, machine_overview, newest_round

if TYPE_CHECKING:
    from fieldlog.records.entries import AnyEntry, Round
    from fieldlog.records.log import MachineLog
    from fieldlog.records.machine import Instrument, Logbook, Machine, Person
    from fieldlog.records.offer import Offer
    from fieldlog.records.problems import Problem
    from fieldlog.records.quantities import Units
    from fieldlog.records.study import Study, StudyReading
    from fieldlog.retrofit.kept import Kept
    from fieldlog.store.results import LogbookRead, MachineRead
    from fieldlog.store.rounds import RoundFile
    from fieldlog.tui.ahead import Ahead
    from fieldlog.wear.states import MachineState


@dataclass(slots=True)
class Session:
    """A logbook folder with what was read from it; states are worked out once and kept until a file changes.

    Everything is read when it is first asked for. The overviews that the fleet page shows may come from another
    process; they are taken as they are until `notice_edits` looks at the files.
    """

    folder: Path
    is_demo: bool = False
    ahead: "Ahead | None" = None
    _head: BookOverview | None = field(init=False, default=None)
    _book: "LogbookRead | None" = field(init=False, default=None)
    _overviews: dict[str, MachineOverview] = field(init=False, default_factory=dict)
    _reads: "dict[str, MachineRead]" = field(init=False, default_factory=dict)
    _looks: dict[str, Look] = field(init=False, default_factory=dict)
    _states: "dict[str, MachineState]" = field(init=False, default_factory=dict)
    _states_day: datetime.date | None = field(init=False, default=None)

    def __post_init__(self) -> None:
        if self.ahead is not None:
            self._head, machines = self.ahead.take()
            self._overviews = {machine.summary.machine.id: machine for machine in machines}
            self.ahead = None

    @property
    def head(self) -> BookOverview:
        """Name, machines and problems of the logbook, without its records."""
        if self._head is None:
            self.reread()
        assert self._head is not None
        return self._head

    @property
    def book(self) -> "LogbookRead":
        """What stands in logbook.toml."""
        if self._book is None:
            self.reread()
        assert self._book is not None
        return self._book

    def reread(self) -> None:
        """Read logbook.toml again, and forget the machines if it changed, so that they are read again when shown."""
        from fieldlog.store.reader import read_logbook

        stamp = logbook_stamp(self.folder)
        self._book = read_logbook(self.folder)
        if self._head is None or stamp != self._head.stamp:
            self._overviews.clear()
            self._reads.clear()
            self._looks.clear()
            self._states.clear()
        self._head = book_overview(self._book, stamp)

    @property
    def logbook(self) -> "Logbook":
        """The logbook's own record."""
        return self.book.logbook

    @property
    def units(self) -> "Units":
        """The units shown first."""
        return self.logbook.units

    @property
    def instruments(self) -> "Mapping[str, Instrument]":
        """The instruments by id."""
        return {instrument.id: instrument for instrument in self.logbook.instruments}

    def today(self) -> datetime.date:
        """Return this computer's date."""
        return datetime.datetime.now().astimezone().date()

    def time_of_day(self) -> str:
        """Return this computer's time of day, to the second."""
        return datetime.datetime.now().astimezone().strftime("%H:%M:%S")

    def read(self, machine_id: str) -> "MachineRead":
        """Return a machine's log, read again only when its files changed."""
        last = self._looks.get(machine_id)
        look = look_again(self.folder, machine_id, last) if last is not None else None
        if look is None:
            from fieldlog.store.reader import read_machine

            look = look_at(self.folder, machine_id)
            self._reads[machine_id] = read_machine(self.folder, machine_id, self.logbook)
            self._states.pop(machine_id, None)
        self._looks[machine_id] = look
        return self._reads[machine_id]

    def log(self, machine_id: str) -> "MachineLog":
        """Return a machine with everything entered for it."""
        return self.read(machine_id).log

    def machine(self, machine_id: str) -> "Machine":
        """Return what stands in a machine.toml."""
        return self.log(machine_id).machine

    def state(self, machine_id: str) -> "MachineState":
        """Return what is known about a machine today."""
        log, today = self.log(machine_id), self.today()
        if today != self._states_day:
            self._states.clear()
            self._states_day = today
        if machine_id not in self._states:
            from fieldlog.wear.assess import assess_machine

            self._states[machine_id] = assess_machine(log, self.logbook, today)
        return self._states[machine_id]

    def states(self) -> "tuple[MachineState, ...]":
        """Return the whole fleet's states in the order of the folders."""
        return tuple(self.state(machine_id) for machine_id in self.book.machine_ids)

    def notice_edits(self) -> None:
        """Forget what was edited since it was read, and what was worked out on another day.

        A logbook that is gone stays shown.
        """
        if logbook_stamp(self.folder) != self.head.stamp:
            with suppress(StoreError):
                self.reread()
        today = self.today()
        for machine_id, known in list(self._overviews.items()):
            look = look_again(self.folder, machine_id, known.look)
            if look is None or known.day != today:
                del self._overviews[machine_id]
            elif look is not known.look:
                self._overviews[machine_id] = replace(known, look=look)

    def overview(self, machine_id: str) -> MachineOverview:
        """Return what the fleet page shows of a machine, worked out unless it is known."""
        if machine_id not in self._overviews:
            read, state = self.read(machine_id), self.state(machine_id)
            known = machine_overview(read, state, self.logbook, self.today(), self._looks[machine_id])
            self._overviews[machine_id] = known
        return self._overviews[machine_id]

    def overviews(self) -> Iterator[MachineOverview]:
        """Yield what the fleet page shows of each machine, in the order of the folders."""
        return map(self.overview, self.head.machine_ids)

    def problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in the files, for all machines."""
        return (*self.head.problems, *(problem for known in self.overviews() for problem in known.problems))

    def all_problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in all files, those of offers and kept recommendations too."""
        from fieldlog.store.offers import read_offers
        from fieldlog.store.retrofits import read_retrofits

        found = [*self.problems(), *read_offers(self.folder).problems]
        for machine_id in self.book.machine_ids:
            found += read_retrofits(self.folder, machine_id).problems
        return tuple(found)

    def offers(self) -> "tuple[Offer, ...]":
        """Return the cylinders on offer as their files stand now."""
        from fieldlog.store.offers import read_offers

        return read_offers(self.folder).offers

    def kept(self, machine_id: str) -> "tuple[Kept, ...]":
        """Return the recommendations kept for a machine, each held against what is known today."""
        if not (self.folder / machine_id / "retrofits").is_dir():
            return ()
        from fieldlog.retrofit.kept import kept_of
        from fieldlog.store.retrofits import read_retrofits

        told, log = read_retrofits(self.folder, machine_id).kept, self.log(machine_id)
        there = frozenset(entry.key for entry in log.entries)
        return kept_of(told, self.state(machine_id), self.offers(), (there, log.struck))

    def open_round(self, machine_id: str, head: "Round") -> "RoundFile":
        """Open today's round file of one person; it is made with its first entry."""
        from fieldlog.store.rounds import open_round

        return open_round(self.folder, machine_id, head)

    def write(self, machine_id: str, round_file: "RoundFile", entry: "AnyEntry") -> "AnyEntry":
        """Put an entry on disk; when this returns it is there."""
        from fieldlog.store.rounds import append_entry

        stored = append_entry(round_file, entry)
        self._looks.pop(machine_id, None)
        self._overviews.pop(machine_id, None)
        return stored

    def my_round(self, who: str = "") -> "Round":
        """Return today's round of a person, by default of whoever measured last; made with its first entry."""
        from fieldlog.records.entries import Round

        person, day = who or self.last_person(), self.today()
        return Round(f"{day.isoformat()}-{person}", day, person)

    def write_today(self, machine_id: str, entry: "AnyEntry") -> "AnyEntry":
        """Put an entry into today's round file of the person it names."""
        return self.write(machine_id, self.open_round(machine_id, self.my_round(entry.who)), entry)

    def strike(self, machine_id: str, entry: "AnyEntry", why: str) -> "AnyEntry":
        """Strike an entry out; it stays on file."""
        from fieldlog.records.entries import Strike

        head = self.my_round()
        at = self.time_of_day()
        strike = Strike(at=at, round=head.id, day=head.date, who=head.who, of=entry.key, why=why)
        return self.write_today(machine_id, strike)

    def studies(self) -> "tuple[Study, ...]":
        """Return the gauge studies as they stand on disk."""
        from fieldlog.store.studies import read_studies

        return read_studies(self.folder)[0]

    def start_study(self, study: "Study") -> "Study":
        """Put a study's plan on disk."""
        from fieldlog.store.studies import create_study

        return create_study(self.folder, study)

    def add_trial(self, study_id: str, trial: "StudyReading") -> "StudyReading":
        """Put a trial on disk; when this returns it is there. A study changes what every size is worth."""
        from fieldlog.store.studies import append_trial

        stored = append_trial(self.folder, study_id, trial)
        self.reread()
        return stored

    def people(self) -> "tuple[Person, ...]":
        """Return who measures."""
        return self.logbook.people

    def last_person(self) -> str:
        """Return the id of whoever made the newest round, else the first person."""
        newest = newest_round(self.overviews())
        return newest.who if newest is not None else next((person.id for person in self.people()), "")
