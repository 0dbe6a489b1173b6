"""What an open logbook answers to those who work on it: overviews kept, seasons, comparisons, recommendations.

They ask for this and no more, so that the open logbook can hand itself to them.

What is known of every machine for the fleet page: from the last sitting, from the reading process, or worked out.
"""

import datetime
import time
from collections.abc import Iterable, Iterator, MutableMapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from fieldlog.app.overview import (
    Borrowings,
    MachineBack,
    MachineOverview,
    RatesAndRows,
    borrowed_texts,
    from_text,
    machine_overview,
    overview_from_text,
)
from fieldlog.store.plain import Unfit, packed
from fieldlog.store.watch import contents_of_logbook, look_again, stamp_of

if TYPE_CHECKING:
    from fieldlog.app.ahead import Ahead
    from fieldlog.app.overview import BookOverview
    from fieldlog.quantity.units import Units
    from fieldlog.records.entries import MachineLog
    from fieldlog.records.hitch import Hydraulics, Implements
    from fieldlog.records.machine import Logbook, Machine
    from fieldlog.records.offer import Offer
    from fieldlog.records.problems import Problem
    from fieldlog.store.cache import Cache
    from fieldlog.store.hitch_reader import HitchRead
    from fieldlog.store.offers import OffersRead
    from fieldlog.store.reader import LogbookRead, MachineRead
    from fieldlog.store.retrofits import RetrofitsRead
    from fieldlog.store.watch import Look
    from fieldlog.wear.history import Index
    from fieldlog.wear.states import MachineState


class Book(Protocol):
    """An open logbook, seen by whoever works on it."""

    folder: Path

    @property
    def looks_at_offers(self) -> MutableMapping[tuple[str, str], object]:
        """The comparisons made last, by machine and link."""

    @property
    def head(self) -> "BookOverview":
        """Name, machines and problems of the logbook."""

    @property
    def cache(self) -> "Cache | None":
        """Where overviews are kept for the next sitting."""

    @property
    def book(self) -> "LogbookRead":
        """What stands in logbook.toml."""

    @property
    def logbook(self) -> "Logbook":
        """The logbook's own record."""

    @property
    def units(self) -> "Units":
        """The units shown first."""

    def today(self) -> datetime.date:
        """Return this computer's date."""

    def machine(self, machine_id: str) -> "Machine":
        """Return what stands in a machine.toml."""

    def read(self, machine_id: str) -> "MachineRead":
        """Return a machine's files as read."""

    def log(self, machine_id: str) -> "MachineLog":
        """Return a machine with everything entered for it."""

    def index(self, machine_id: str) -> "Index":
        """Return a machine's standing entries, sorted by what they are about."""

    def state(self, machine_id: str) -> "MachineState":
        """Return what is known about a machine today."""

    def each(self, machine_ids: "Iterable[str]") -> "Iterator[MachineState]":
        """Yield machines one after another, each let go of before the next."""

    def seen(self, machine_id: str) -> "tuple[MachineRead, Look]":
        """Return what was read of a machine last, and what its files looked like then."""

    def has_open(self, machine_id: str) -> bool:
        """Tell whether a machine's entries are in memory."""

    def close(self, machine_id: str) -> None:
        """Let go of a machine's entries."""

    def start_reader(self) -> "Ahead | None":
        """Start another process that works out what the fleet page shows."""

    def offers_read(self) -> "OffersRead":
        """Return the cylinders on offer, and what is wrong in their files."""

    def offers(self) -> "tuple[Offer, ...]":
        """Return the cylinders on offer."""

    def implements(self) -> "Implements":
        """Return the implements of the fleet."""

    def hitch(self, machine_id: str) -> "HitchRead":
        """Return a machine's measured hitch."""

    def hydraulics(self, machine_id: str) -> "Hydraulics":
        """Return what a machine's hydraulics can do."""

    def recommendations(self, machine_id: str) -> "RetrofitsRead":
        """Return the recommendations kept for a machine, as they stand in their files."""


_BORROWED = "/"  # no folder is called that
_PATIENCE_S = 1.0  # for longer nobody should wait before a page is drawn


@dataclass(slots=True)
class Known:
    """The overviews of a session's machines; `reader` is the process that works out what is missing, if any does."""

    session: "Book"
    reader: "Ahead | None" = None
    _found: dict[str, MachineOverview] = field(init=False, default_factory=dict)
    _borrowings: Borrowings | None = field(init=False, default=None)
    _touched: set[str] = field(init=False, default_factory=set)

    def all(self) -> tuple[MachineOverview, ...]:
        """Return what is known, in the order of the folders."""
        return tuple(self._found[name] for name in self.session.head.machine_ids if name in self._found)

    def back_of(self, found: MachineOverview) -> MachineBack:
        """Return what is shown of a machine; worked out now where it came as no such thing."""
        try:
            return found.back
        except Unfit:
            return self.work_out(found.front.id).back

    def rates_of(self, found: MachineOverview) -> RatesAndRows:
        """Return what a machine lends and borrows; worked out now where it came as no such thing."""
        try:
            return found.rates
        except Unfit:
            return self.work_out(found.front.id).rates

    def rates(self) -> list[RatesAndRows]:
        """Return what every machine that is known lends and borrows, in the order of the folders."""
        return [self.rates_of(found) for found in self.all()]

    def borrowings(self) -> Borrowings:
        """Return what is due by what joints borrow from their kind; from last time where all the rates are the same.

        As long as machines are still being read there is nothing to be told.
        """
        stamp = stamp_of(found.rates_text() for found in self.all())
        if self._borrowings is None or self._borrowings.stamp != stamp:
            if self.is_reading or self.waiting():
                return Borrowings(stamp, ())
            self._borrowings = self._work_out_borrowings(stamp)
        return self._borrowings

    def _work_out_borrowings(self, stamp: str) -> Borrowings:
        found = Borrowings(stamp, borrowed_texts(self.rates(), self.session.logbook.units))
        if self.session.cache is not None:
            self.session.cache.put(_BORROWED, packed(found))
        return found

    def waiting(self) -> tuple[str, ...]:
        """Return the machines of which nothing is known yet."""
        return tuple(name for name in self.session.head.machine_ids if name not in self._found)

    def outdated(self) -> int:
        """Return how many machines are shown as they were worked out on an earlier day."""
        today = self.session.today()
        return sum(not found.holds_on(today) for found in self.all())

    @property
    def is_reading(self) -> bool:
        """Tell whether another process is still at it."""
        return self.reader is not None

    def take(self, patience_s: float = 0.0) -> bool:
        """Take over what the reader has sent; tell whether anything came.

        Machines written to or edited since it was started are left out: it may have read them before.
        """
        if self.reader is None:
            return False
        came = self.reader.take(patience_s)
        if self.reader.borrowings is not None:
            self._borrowings = self.reader.borrowings
        if self.reader.is_done:
            self.reader = None
        found = {item.front.id: item for item in came}
        self._found.update((name, item) for name, item in found.items() if name not in self._touched)
        return bool(found)

    def fill(self) -> None:
        """Work out what is missing; when that would take long, another process does the rest."""
        last_took_s = 0.0  # the first one pays for what has to be imported, so it tells nothing
        is_first = True
        while missing := self.to_do():
            if last_took_s * len(missing) > _PATIENCE_S and not self.is_reading:
                self.reader = self.session.start_reader()
                self._touched.clear()
                if self.is_reading:
                    return
            begun = time.monotonic()
            self.work_out(missing[0])
            last_took_s = 0.0 if is_first else time.monotonic() - begun
            is_first = False

    def add(self, found: MachineOverview) -> None:
        """Take over what another process has worked out just now."""
        self._found[found.front.id] = found

    def to_do(self) -> list[str]:
        """Return what is missing or of another day; while a reader is at it only what is known here already."""
        today = self.session.today()
        ids = self.session.head.machine_ids
        missing = [name for name in ids if name not in self._found or not self._found[name].holds_on(today)]
        if not self.is_reading:
            return missing
        return [name for name in missing if name in self._touched or self.session.has_open(name)]

    def work_out(self, machine_id: str) -> MachineOverview:
        """Work a machine out from its files and keep what came out."""
        session = self.session
        was_open = session.has_open(machine_id)
        state = session.state(machine_id)
        read, look = session.seen(machine_id)
        found = machine_overview(read, state, session.logbook, session.today(), look)
        self._found[machine_id] = found
        self._keep(machine_id, found)
        if not was_open:
            session.close(machine_id)
        return found

    def n_problems(self) -> int:
        """Count what is wrong in the files, for all machines that are known so far."""
        return len(self.session.head.problems) + sum(found.front.n_problems for found in self.all())

    def problems(self) -> "tuple[Problem, ...]":
        """Return what is wrong in the files, for all machines that are known so far."""
        return (
            *self.session.head.problems,
            *(problem for found in self.all() for problem in self.back_of(found).problems),
        )

    def _keep(self, machine_id: str, found: MachineOverview) -> None:
        """Keep an overview for next time, unless a file was edited while it was worked out."""
        folder, cache = self.session.folder, self.session.cache
        if cache is None or contents_of_logbook(folder) != cache.made_from:
            return
        if look_again(folder, machine_id, found.front.look) is not None:
            cache.put(machine_id, found.as_text())

    def from_last_time(self) -> Iterator[MachineOverview]:
        """Yield what is still true of what was kept: of the same files, though maybe worked out on an earlier day."""
        cache = self.session.cache
        entries = cache.take_all() if cache is not None else {}
        self._borrowings = from_text(Borrowings, entries.get(_BORROWED))
        for machine_id in self.session.head.machine_ids:
            kept = _overview_of(machine_id, entries.get(machine_id))
            look = look_again(self.session.folder, machine_id, kept.front.look) if kept is not None else None
            if kept is None or look is None:
                continue
            if look != kept.front.look and cache is not None:
                kept = kept.seen_again(look)
                cache.put(machine_id, kept.as_text())
            self._found[machine_id] = kept
            yield kept
        if cache is not None:
            cache.let_go()

    def tidy(self) -> None:
        """Throw away what was kept of machines that are gone."""
        if self.session.cache is not None:
            self.session.cache.keep_only(("", _BORROWED, *self.session.head.machine_ids))

    def the_rest(self) -> Iterator[MachineOverview]:
        """Work out and yield everything that is missing."""
        for machine_id in self.to_do():
            yield self.work_out(machine_id)

    def forget(self, machine_id: str) -> None:
        """Forget a machine that was written to or edited."""
        self._found.pop(machine_id, None)
        self._touched.add(machine_id)

    def forget_all(self) -> None:
        """Forget everything, since the logbook itself changed."""
        self._found.clear()
        self.stop()

    def stop(self) -> None:
        """End the other process, if there is one; what it worked out is kept for next time."""
        if self.reader is not None:
            self.reader.stop()
            self.reader = None

    def notice(self, machine_id: str) -> bool:
        """Look whether a machine's files were edited since; tell whether they were, and forget it if so."""
        found = self._found.get(machine_id)
        if found is None:
            return False
        look = look_again(self.session.folder, machine_id, found.front.look)
        if look is None:
            self.forget(machine_id)
        elif look is not found.front.look:
            self._found[machine_id] = found.seen_again(look)
        return look is None

    def notice_all(self) -> None:
        """Look at every machine's files, and work out again what was edited."""
        for machine_id in self.session.head.machine_ids:
            self.notice(machine_id)
        self.fill()


def _overview_of(machine_id: str, text: bytes | None) -> MachineOverview | None:
    """Return a machine's overview as it was kept, None when there is none or it is of no use."""
    try:
        found = overview_from_text(text) if text is not None else None
    except Unfit:
        return None
    return found if found is not None and found.front.id == machine_id else None
