"""Reading the logbook in a second process, at the start while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back are the overviews that the fleet page shows, as lines of JSON: first those kept from last time, then
what has to be worked out. Once the screen waits for that, its core is free: the reading process then makes a copy of
itself, and each works out half. A machine's records are read when it is opened. It is only a head start: whatever
fails here is read in the ordinary way.
"""

import time
from collections.abc import Sequence
from pathlib import Path

from fieldlog.app.overview import BookOverview, Borrowings, MachineOverview, from_text, overview_from_text
from fieldlog.app.pipes import Sender, spawned
from fieldlog.store.plain import Unfit

BORROWED = b"="  # begins the last line, the only one that is not of a machine
_HEAD_PATIENCE_S = 20.0


class Ahead:
    """A process that works out a logbook's overview and its machines' and sends them, a line each."""

    def __init__(self, sender: Sender) -> None:
        self._sender = sender
        self.head: BookOverview | None = None
        self.borrowings: Borrowings | None = None

    @property
    def is_done(self) -> bool:
        """Whether nothing more will come."""
        return self._sender.is_done

    @property
    def running_s(self) -> float:
        """How long it has been at it."""
        return self._sender.running_s

    def stop(self) -> None:
        """End it; what it has not sent is lost."""
        self._sender.stop()

    def take_head(self) -> BookOverview | None:
        """Wait for the logbook's overview; None when the other process could not give it."""
        self.head = from_text(BookOverview, self._sender.first_line(_HEAD_PATIENCE_S))
        if self.head is None:
            self.stop()
        return self.head

    def take(self, patience_s: float) -> list[MachineOverview]:
        """Return the machines that came, waiting for more of them no longer than told."""
        until = time.monotonic() + patience_s
        found = self._machines()
        while self._sender.receive(max(until - time.monotonic(), 0.0)):
            found += self._machines()
        return found

    def _machines(self) -> list[MachineOverview]:
        lines = self._sender.lines()
        if self.head is None and lines:
            self.head = from_text(BookOverview, lines.pop(0))
        if lines and lines[-1].startswith(BORROWED):
            self.borrowings = from_text(Borrowings, lines.pop().removeprefix(BORROWED))
        return machines_of(lines)


def machines_of(lines: Sequence[bytes]) -> list[MachineOverview]:
    """Return the machines of the lines that are of any use."""
    found = []
    for line in lines:
        try:
            found.append(overview_from_text(line))
        except Unfit:
            continue
    return found


def read_beside(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a process of its own, at any time."""
    sender = spawned(
        lambda pipe: f"from fieldlog.app.reading import main; main({str(folder)!r}, {pipe}, is_demo={is_demo})"
    )
    return Ahead(sender) if sender is not None else None
