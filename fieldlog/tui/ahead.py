"""Reading the logbook in a second process, at the start while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back are the overviews that the fleet page shows, as lines of JSON: first those kept from last time, then
what has to be worked out. A machine's records are read when it is opened. It is only a head start: whatever fails
here is read in the ordinary way.
"""

import fcntl
import os
import select
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from itertools import chain
from pathlib import Path

from fieldlog.store.plain import Unfit, packed
from fieldlog.tui.overview import BookOverview, Borrowings, MachineOverview, from_text, overview_from_text

_BORROWED = b"="  # begins the last line, the only one that is not of a machine
_HEAD_PATIENCE_S = 20.0
_PIPE_SIZE = 1 << 20
_CHUNK = 1 << 16  # more at a time would cost more in memory to be found than in calls to be made
_SET_PIPE_SIZE = 1031  # Linux F_SETPIPE_SZ, so that the reader need not wait until it is listened to


class Ahead:
    """A process that works out a logbook's overview and its machines' and sends them, a line each."""

    def __init__(self, pipe: int, child: int) -> None:
        self._pipe, self._child = pipe, child
        self._begun = time.monotonic()
        self._rest = bytearray()
        self.is_done = False
        self.head: BookOverview | None = None
        self.borrowings: Borrowings | None = None

    def take_head(self) -> BookOverview | None:
        """Wait for the logbook's overview; None when the child could not give it."""
        until = time.monotonic() + _HEAD_PATIENCE_S
        while not self.is_done and b"\n" not in self._rest and (left := until - time.monotonic()) > 0:
            self._receive(left)
        lines = self._lines(1)
        self.head = from_text(BookOverview, lines[0]) if lines else None
        if self.head is None:
            self.stop()
        return self.head

    def take(self, patience_s: float) -> list[MachineOverview]:
        """Return the machines that came, waiting for more of them no longer than told."""
        until = time.monotonic() + patience_s
        found = self._machines()
        while not self.is_done and self._receive(max(until - time.monotonic(), 0.0)):
            found += self._machines()
        return found

    def _machines(self) -> list[MachineOverview]:
        lines = self._lines()
        if self.head is None and lines:
            self.head = from_text(BookOverview, lines.pop(0))
        if lines and lines[-1].startswith(_BORROWED):
            self.borrowings = from_text(Borrowings, lines.pop().removeprefix(_BORROWED))
        return [found for line in lines if (found := _machine(line)) is not None]

    def _lines(self, most: int = -1) -> list[bytes]:
        """Take out the lines that have come whole, at most so many."""
        *lines, rest = bytes(self._rest).split(b"\n", most)
        self._rest = bytearray(rest)
        return lines

    @property
    def running_s(self) -> float:
        """How long it has been at it."""
        return time.monotonic() - self._begun

    def stop(self) -> None:
        """End the child; what it has not sent is lost."""
        if not self.is_done:
            self.is_done = True
            os.close(self._pipe)
            with suppress(OSError):
                os.kill(self._child, signal.SIGKILL)
                os.waitpid(self._child, 0)

    def _receive(self, patience_s: float) -> bool:
        """Receive what is there, or the first that comes; tell whether there may be more at once."""
        if not select.select([self._pipe], [], [], patience_s)[0]:
            return False
        chunk = os.read(self._pipe, _CHUNK)
        self._rest += chunk
        if not chunk:
            self.stop()
        return bool(chunk)


def _machine(line: bytes) -> MachineOverview | None:
    try:
        return overview_from_text(line)
    except Unfit:
        return None


def read_ahead(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a copy of this process; only before any thread has been started."""
    try:
        pipe, child_end = _pipe()
        child = os.fork()
    except OSError:
        return None
    if child == 0:
        _send_and_end(folder, child_end, is_demo=is_demo)
    os.close(child_end)
    return Ahead(pipe, child)


def read_beside(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a process of its own, at any time."""
    try:
        pipe, child_end = _pipe()
        os.set_inheritable(child_end, True)
        code = f"from fieldlog.tui.ahead import main; main({str(folder)!r}, {child_end}, is_demo={is_demo})"
        silent = [(os.POSIX_SPAWN_OPEN, fd, os.devnull, os.O_RDWR, 0) for fd in range(3)]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
        child = os.posix_spawn(sys.executable, [sys.executable, "-c", code], environment, file_actions=silent)
    except OSError:
        return None
    os.close(child_end)
    return Ahead(pipe, child)


def main(folder: str, pipe: int, *, is_demo: bool) -> None:
    """Be the process that `read_beside` starts."""
    _send_and_end(Path(folder), pipe, is_demo=is_demo)


def _pipe() -> tuple[int, int]:
    pipe, child_end = os.pipe()
    with suppress(OSError):
        fcntl.fcntl(pipe, _SET_PIPE_SIZE, _PIPE_SIZE)
    return pipe, child_end


def _send_and_end(folder: Path, pipe: int, *, is_demo: bool) -> None:
    """Send everything and end this process, without any clean-up of the parent's and without a word on the screen."""
    try:
        for text in _texts(folder, is_demo=is_demo):
            left = memoryview(text + b"\n")
            while left:
                left = left[os.write(pipe, left) :]
    finally:
        os._exit(0)


def _texts(folder: Path, *, is_demo: bool) -> Iterator[bytes]:
    """Yield the logbook's overview, those of the machines that are known from last time, then the others."""
    from fieldlog.tui.session import Session

    session = Session(folder, is_demo, keeps=True)
    yield packed(session.head)
    for found in chain(session.known.from_last_time(), session.known.the_rest()):
        yield found.as_text()
    yield _BORROWED + packed(session.known.borrowings())
    session.known.tidy()
