"""The open logbook during one sitting: what was read, what today is, who measures, and the one way to write.

The clock is read here and nowhere below.
"""

import datetime
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import InitVar, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.app.known import Known
from fieldlog.app.overview import BookOverview, book_overview, from_text, newest_round
from fieldlog.errors import StoreError
from fieldlog.store.plain import packed
from fieldlog.store.watch import Look, contents_of_logbook, logbook_stamp, look_again, look_at

if TYPE_CHECKING:
    from fieldlog.app.ahead import Ahead
    from fieldlog.quantity.lengths import Units
    from fieldlog.records.checks import Study, StudyReading
    from fieldlog.records.entries import AnyEntry, MachineLog, Round
    from fieldlog.records.machine import Instrument, Logbook, Machine, Person
    from fieldlog.records.offer import Offer
    from fieldlog.records.problems import Problem
    from fieldlog.store.cache import Cache
    from fieldlog.store.reader import LogbookRead, MachineRead
    from fieldlog.store.rounds import RoundFile
    from fieldlog.wear.history import Index
    from fieldlog.wear.states import MachineState
    from fieldlog.wear.summary import RateRow

_HEAD = ""  # no machine is called that
_LEAST_PATIENCE_S = 0.3  # on a slow computer more: as long again as the start has taken so far


@dataclass(slots=True)
class OpenLogbook:
    """A logbook folder with what was read from it; states are worked out once and kept until a file changes.

    Everything is read when it is first asked for. What the fleet page shows may come from another process
    (`ahead`), and is kept for the next sitting if the session `keeps`; reports and checks never look at that.
    """

    folder: Path
    is_demo: bool = False
    ahead: "InitVar[Ahead | None]" = None
    keeps: bool = False
    known: Known = field(init=False)
    _head: BookOverview | None = field(init=False, default=None)
    _book: "LogbookRead | None" = field(init=False, default=None)
    _cache: "Cache | None" = field(init=False, default=None)
    _reads: "dict[str, MachineRead]" = field(init=False, default_factory=dict)
    _looks: dict[str, Look] = field(init=False, default_factory=dict)
    _states: "dict[str, MachineState]" = field(init=False, default_factory=dict)
    _states_day: datetime.date | None = field(init=False, default=None)
    looks_at_offers: dict[tuple[str, str], object] = field(init=False, default_factory=dict)

    def __post_init__(self, ahead: "Ahead | None") -> None:
        self._head = ahead.take_head() if ahead is not None else None
        self.known = Known(self, ahead if self._head is not None else None)
        if ahead is not None:
            self.known.take(max(_LEAST_PATIENCE_S, ahead.running_s))

    @property
    def head(self) -> BookOverview:
        """Name, machines and problems of the logbook, without its records."""
        if self._head is None and self.cache is not None:
            kept = from_text(BookOverview, self.cache.take(_HEAD))
            self._head = kept if kept is not None and kept.stamp == logbook_stamp(self.folder) else None
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

    @property
    def cache(self) -> "Cache | None":
        """Where overviews are kept for the next sitting; None in a session that keeps none."""
        if self.keeps and self._cache is None:
            from fieldlog.app.places import cache_folder
            from fieldlog.store.cache import Cache

            label = "the sample" if self.is_demo else str(self.folder.resolve())
            self._cache = Cache(cache_folder(), label, contents_of_logbook(self.folder))
        return self._cache

    def reread(self) -> None:
        """Read logbook.toml again, and forget the machines if it changed, so that they are read again when shown."""
        from fieldlog.store.reader import read_logbook

        self._cache = None
        stamp, cache = logbook_stamp(self.folder), self.cache
        book = read_logbook(self.folder)
        if self._head is not None and stamp != self._head.stamp:
            self._reads.clear()
            self._looks.clear()
            self._states.clear()
            self.known.forget_all()
        self._book, self._head = book, book_overview(book, stamp)
        if cache is not None and stamp == logbook_stamp(self.folder):
            cache.put(_HEAD, packed(self._head))

    def start_reader(self) -> "Ahead | None":
        """Start another process that works out what the fleet page shows; None where none can be had."""
        from fieldlog.app.ahead import read_beside

        return read_beside(self.folder, is_demo=self.is_demo)

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
            before = self._reads.get(machine_id)
            self._reads[machine_id] = read_machine(self.folder, machine_id, self.logbook, before=before)
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

    def seen(self, machine_id: str) -> "tuple[MachineRead, Look]":
        """Return what was read of a machine last, and what its files looked like then; nothing is read now."""
        return self._reads[machine_id], self._looks[machine_id]

    def index(self, machine_id: str) -> "Index":
        """Return a machine's standing entries, sorted by what they are about."""
        from fieldlog.wear.history import index_of

        return index_of(self.log(machine_id), self.logbook)

    def notice_edits(self) -> None:
        """Read logbook.toml again when it was edited or machines came or went; one that is gone stays shown."""
        if logbook_stamp(self.folder) != self.head.stamp:
            with suppress(StoreError):
                self.reread()

    def has_open(self, machine_id: str) -> bool:
        """Tell whether a machine's entries are in memory."""
        return machine_id in self._reads

    def close(self, machine_id: str) -> None:
        """Let go of a machine's entries; they are read again when asked for."""
        for kept in (self._reads, self._looks, self._states):
            kept.pop(machine_id, None)

    def rates(self) -> "tuple[RateRow, ...]":
        """Return how fast the joints of the fleet wear, of all machines known so far."""
        return tuple(row for machine in self.known.rates() for row in machine.rates)

    def problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in the files, for all machines."""
        found = (problem for machine_id in self.book.machine_ids for problem in self.read(machine_id).problems)
        return (*self.book.problems, *found)

    def all_problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in all files known so far; in implements, offers and kept recommendations too."""
        from fieldlog.app.beside import beside_problems

        return (*self.known.problems(), *beside_problems(self.folder, self.head.machine_ids))

    def offers(self) -> "tuple[Offer, ...]":
        """Return the cylinders on offer as their files stand now."""
        from fieldlog.store.offers import read_offers

        return read_offers(self.folder).offers

    def open_round(self, machine_id: str, head: "Round") -> "RoundFile":
        """Open today's round file of one person; it is made with its first entry."""
        from fieldlog.store.rounds import open_round

        return open_round(self.folder, machine_id, head)

    def write(self, machine_id: str, round_file: "RoundFile", entry: "AnyEntry") -> "AnyEntry":
        """Put an entry on disk; when this returns it is there."""
        from fieldlog.store.rounds import append_entry

        stored = append_entry(round_file, entry)
        self._looks.pop(machine_id, None)
        self.known.forget(machine_id)
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

    def keep(self, machine_id: str, entry: "AnyEntry", why: str) -> "AnyEntry":
        """Write down that a reading that stands apart is kept."""
        from fieldlog.records.entries import Keep

        head = self.my_round()
        at = self.time_of_day()
        keep = Keep(at=at, round=head.id, day=head.date, who=head.who, of=entry.key, why=why)
        return self.write_today(machine_id, keep)

    def people(self) -> "tuple[Person, ...]":
        """Return who measures."""
        return self.logbook.people

    def last_person(self) -> str:
        """Return the id of whoever made the newest round, else the first person."""
        self.known.fill()
        newest = newest_round(self.known.all())
        return newest.who if newest is not None else next((person.id for person in self.people()), "")
