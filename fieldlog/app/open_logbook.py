"""The open logbook: what was read, what today is, who measures, what follows from it, and the one way to write.

The command line, the screens and the sheets share it, and `fieldlog.open_logbook` gives it to other programs. The
clock is read here and nowhere below.
"""

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import InitVar, dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, cast

from fieldlog.app.known import Known
from fieldlog.app.overview import BookOverview, book_overview, from_text, newest_round
from fieldlog.errors import StoreError
from fieldlog.store.plain import packed
from fieldlog.store.watch import Look, contents_of_logbook, logbook_stamp, look_again, look_at

if TYPE_CHECKING:
    from fieldlog.app.ahead import Ahead
    from fieldlog.app.beside import Aside
    from fieldlog.quantity.units import Units
    from fieldlog.records.checks import Study, StudyReading
    from fieldlog.records.entries import AnyEntry, MachineLog, Round
    from fieldlog.records.hitch import Hydraulics, Implements
    from fieldlog.records.machine import Instrument, Logbook, Machine, Person
    from fieldlog.records.offer import Offer
    from fieldlog.records.problems import Problem
    from fieldlog.store.cache import Cache
    from fieldlog.store.hitch_reader import HitchRead
    from fieldlog.store.offers import OffersRead
    from fieldlog.store.reader import LogbookRead, MachineRead
    from fieldlog.store.retrofits import RetrofitsRead
    from fieldlog.store.rounds import RoundFile
    from fieldlog.wear.history import Index
    from fieldlog.wear.states import MachineState
    from fieldlog.wear.summary import RateRow

R = TypeVar("R")

_HEAD = ""  # no machine is called that
_LEAST_PATIENCE_S = 0.3  # on a slow computer more: as long again as the start has taken so far


@dataclass(slots=True)
class OpenLogbook:
    """A logbook folder with what was read from it; states are worked out once and kept until a file changes.

    Everything is read when it is first asked for. What the fleet page shows may come from another process
    (`ahead`), and is kept for the next sitting if the logbook `keeps`; reports and checks never look at that.
    One that `is_still` shows the files as they were when each was first asked for: every file is read once, and
    machines that take much memory wait in a temporary file.
    """

    folder: Path
    is_demo: bool = False
    ahead: "InitVar[Ahead | None]" = None
    keeps: bool = False
    is_still: bool = False
    known: Known = field(init=False)
    _head: BookOverview | None = field(init=False, default=None)
    _book: "LogbookRead | None" = field(init=False, default=None)
    _cache: "Cache | None" = field(init=False, default=None)
    _reads: "dict[str, MachineRead]" = field(init=False, default_factory=dict)
    _looks: dict[str, Look] = field(init=False, default_factory=dict)
    _states: "dict[str, MachineState]" = field(init=False, default_factory=dict)
    _states_day: datetime.date | None = field(init=False, default=None)
    _index: "tuple[MachineLog, Logbook, Index] | None" = field(init=False, default=None)  # the one asked for last
    _beside: dict[tuple[str, str], object] = field(init=False, default_factory=dict)
    _aside: "Aside | None" = field(init=False, default=None)
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
        stamp, cache = "" if self.is_still else logbook_stamp(self.folder), self.cache
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
        if self.is_still:
            return self._read_once(machine_id)
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

    def _read_once(self, machine_id: str) -> "MachineRead":
        """Return a machine's log as it was first read, taken back from where it was put aside if it was."""
        if machine_id not in self._reads:
            from fieldlog.store.reader import read_machine

            put_aside = self._aside.take(machine_id) if self._aside is not None else None
            if put_aside is not None:
                self._reads[machine_id], state = put_aside
                self._states |= {machine_id: state} if state is not None else {}
            else:
                found = read_machine(self.folder, machine_id, self.logbook)
                self._reads[machine_id] = replace(found, rounds=())
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

    def each(self, machine_ids: Iterable[str]) -> "Iterator[MachineState]":
        """Yield what is known of machines one after another; each is let go of before the next, unless it was open."""
        for machine_id in machine_ids:
            was_open = self.has_open(machine_id)
            yield self.state(machine_id)
            if not was_open:
                self.close(machine_id)

    def states(self) -> "tuple[MachineState, ...]":
        """Return the whole fleet's states in the order of the folders."""
        return tuple(self.state(machine_id) for machine_id in self.book.machine_ids)

    def seen(self, machine_id: str) -> "tuple[MachineRead, Look]":
        """Return what was read of a machine last, and what its files looked like then; nothing is read now."""
        return self._reads[machine_id], self._looks[machine_id]

    def index(self, machine_id: str) -> "Index":
        """Return a machine's standing entries, sorted by what they are about."""
        from fieldlog.wear.history import index_of

        log = self.log(machine_id)
        known = self._index
        if known is None or known[0] is not log or known[1] is not self.logbook:
            known = self._index = (log, self.logbook, index_of(log, self.logbook))
        return known[2]

    def notice_edits(self) -> None:
        """Read logbook.toml again when it was edited or machines came or went; one that is gone stays shown."""
        if logbook_stamp(self.folder) != self.head.stamp:
            with suppress(StoreError):
                self.reread()

    def has_open(self, machine_id: str) -> bool:
        """Tell whether a machine's entries are in memory."""
        return machine_id in self._reads

    def close(self, machine_id: str) -> None:
        """Let go of a machine's entries; they are read again when asked for, or taken from where they are put aside."""
        if self.is_still and machine_id in self._reads:
            from fieldlog.app.beside import Aside

            self._aside = self._aside or Aside()
            if not self._aside.put(machine_id, self._reads[machine_id], self._states.get(machine_id)):
                return
        self._index = None
        for kept in (self._reads, self._looks, self._states):
            kept.pop(machine_id, None)

    def rates(self) -> "tuple[RateRow, ...]":
        """Return how fast the joints of the fleet wear, of all machines known so far."""
        return tuple(row for machine in self.known.rates() for row in machine.rates.rates)

    def problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in the files, for all machines."""
        found = (problem for machine_id in self.book.machine_ids for problem in self.read(machine_id).problems)
        return (*self.book.problems, *found)

    def all_problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in all files known so far; in implements, offers and kept recommendations too."""
        from fieldlog.app.beside import beside_problems

        return (*self.known.problems(), *beside_problems(self.folder, self.head.machine_ids))

    def _beside_once(self, what: str, machine_id: str, read: Callable[[], R]) -> R:
        """Return what lies beside the rounds: read anew each time, or once where the logbook stands still."""
        if not self.is_still:
            return read()
        if (what, machine_id) not in self._beside:
            self._beside[what, machine_id] = read()
        return cast("R", self._beside[what, machine_id])

    def offers_read(self) -> "OffersRead":
        """Return the cylinders on offer, and what is wrong in their files."""
        from fieldlog.store.offers import read_offers

        return self._beside_once("offers", "", lambda: read_offers(self.folder))

    def offers(self) -> "tuple[Offer, ...]":
        """Return the cylinders on offer."""
        return self.offers_read().offers

    def implements(self) -> "Implements":
        """Return the implements of the fleet."""
        from fieldlog.store.hitch_reader import read_implements, read_implements_file

        if not self.is_still:
            return read_implements_file(self.folder).implements
        return self._beside_once("implements", "", lambda: read_implements(self.book.document).implements)

    def hitch(self, machine_id: str) -> "HitchRead":
        """Return a machine's measured hitch, and what is wrong with it."""
        from fieldlog.store.hitch_reader import read_hitch

        return self._beside_once("hitch", machine_id, lambda: read_hitch(self.read(machine_id).document))

    def hydraulics(self, machine_id: str) -> "Hydraulics":
        """Return what a machine's hydraulics can do; empty where nothing is written down."""
        from fieldlog.records.hitch import Hydraulics
        from fieldlog.store.hitch_reader import read_hydraulics

        def read() -> Hydraulics:
            return read_hydraulics(self.read(machine_id).document)[0] or Hydraulics()

        return self._beside_once("hydraulics", machine_id, read)

    def recommendations(self, machine_id: str) -> "RetrofitsRead":
        """Return the recommendations kept for a machine, and what is wrong in their files."""
        from fieldlog.store.retrofits import read_retrofits

        return self._beside_once("recommendations", machine_id, lambda: read_retrofits(self.folder, machine_id))

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
        if self.is_still:
            self._reads.pop(machine_id, None)
            self._states.pop(machine_id, None)
            self._aside = None
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

        return self.book.studies if self.is_still else read_studies(self.folder)[0]

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
