"""What an open logbook answers to those who work on it: overviews kept, seasons, comparisons, recommendations.

They ask for this and no more, so that the open logbook can hand itself to them.
"""

import datetime
from collections.abc import Iterable, Iterator, MutableMapping
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from fieldlog.app.ahead import Ahead
    from fieldlog.app.overview import BookOverview
    from fieldlog.quantity.lengths import Units
    from fieldlog.records.entries import MachineLog
    from fieldlog.records.hitch import Hydraulics, Implements
    from fieldlog.records.machine import Logbook, Machine
    from fieldlog.records.offer import Offer
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
