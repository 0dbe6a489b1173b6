"""Reading the logbook in a second process, at the start while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back are the overviews that the fleet page shows, as lines of JSON: first those kept from last time, then
what has to be worked out. Once the screen waits for that, its core is free: the reading process then makes a copy of
itself, and each works out half. A machine's records are read when it is opened. It is only a head start: whatever
fails here is read in the ordinary way.
"""

import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.store.plain import Unfit, packed
from fieldlog.tui.overview import BookOverview, Borrowings, MachineOverview, from_text, overview_from_text
from fieldlog.tui.pipes import Sender, cores, forked, send_and_end, spawned

if TYPE_CHECKING:
    from fieldlog.tui.session import Session

_BORROWED = b"="  # begins the last line, the only one that is not of a machine
_HEAD_PATIENCE_S = 20.0
_HELPER_PATIENCE_S = 60.0


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
        if lines and lines[-1].startswith(_BORROWED):
            self.borrowings = from_text(Borrowings, lines.pop().removeprefix(_BORROWED))
        return _machines_of(lines)


def _machines_of(lines: Sequence[bytes]) -> list[MachineOverview]:
    found = []
    for line in lines:
        try:
            found.append(overview_from_text(line))
        except Unfit:
            continue
    return found


def read_ahead(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a copy of this process; only before any thread has been started."""
    sender = forked(lambda: _texts(folder, is_demo=is_demo))
    return Ahead(sender) if sender is not None else None


def read_beside(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a process of its own, at any time."""
    sender = spawned(lambda pipe: f"from {__name__} import main; main({str(folder)!r}, {pipe}, is_demo={is_demo})")
    return Ahead(sender) if sender is not None else None


def main(folder: str, pipe: int, *, is_demo: bool) -> None:
    """Be the process that `read_beside` starts."""
    send_and_end(lambda: _texts(Path(folder), is_demo=is_demo), pipe)


def _texts(folder: Path, *, is_demo: bool) -> Iterator[bytes]:
    """Yield the logbook's overview, those of the machines that are known from last time, then the others."""
    from fieldlog.tui.session import Session

    session = Session(folder, is_demo, keeps=True)
    yield packed(session.head)
    for found in session.known.from_last_time():
        yield found.as_text()
    yield from _worked_out(session)
    yield _BORROWED + packed(session.known.borrowings())
    session.known.tidy()


def _worked_out(session: "Session") -> Iterator[bytes]:
    """Yield what is missing, every second machine from a copy of this process; what that does not send is done here."""
    known = session.known
    missing = known.to_do()
    helper = _helper(session, missing[1::2]) if len(missing) > 1 and cores() > 1 else None
    for machine_id in missing[::2] if helper is not None else ():
        yield known.work_out(machine_id).as_text()
        yield from _sent(session, helper, 0.0)
    while helper is not None and not helper.is_done:
        yield from _sent(session, helper, _HELPER_PATIENCE_S)
    for found in known.the_rest():
        yield found.as_text()


def _helper(session: "Session", machine_ids: Sequence[str]) -> Sender | None:
    """Start a copy of this process on some machines, with what both need already imported."""
    import fieldlog.store.reader
    import fieldlog.wear.assess
    import fieldlog.wear.due  # noqa: F401 -- for the copy to have

    _ = session.logbook
    return forked(lambda: (session.known.work_out(machine_id).as_text() for machine_id in machine_ids))


def _sent(session: "Session", helper: Sender | None, patience_s: float) -> Iterator[bytes]:
    """Yield what the helper has sent; where nothing comes from it any more it is ended."""
    if helper is None:
        return
    if not helper.receive(patience_s) and patience_s:
        helper.stop()
    while helper.receive(0.0):
        pass
    for found in _machines_of(helper.lines()):
        session.known.add(found)
        yield found.as_text()
