"""Reading the logbook in a second process, at the start while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back are the overviews that the fleet page shows, as lines of JSON: first those kept from last time, then
what has to be worked out. A machine's records are read when it is opened. It is only a head start: whatever fails
here is read in the ordinary way.
"""

import fcntl
import json
import os
import select
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from fieldlog.store.plain import Unfit, from_plain, to_plain
from fieldlog.tui.overview import BookOverview, MachineOverview

R = TypeVar("R")

_HEAD_PATIENCE_S = 20.0
_CHUNK = 1 << 20
_SET_PIPE_SIZE = 1031  # Linux F_SETPIPE_SZ, so that the reader need not wait until it is listened to


class Ahead:
    """A process that works out a logbook's overview and its machines' and sends them, a line each."""

    def __init__(self, pipe: int, child: int) -> None:
        self._pipe, self._child = pipe, child
        self._begun = time.monotonic()
        self._rest = b""
        self.is_done = False
        self.head: BookOverview | None = None

    def take_head(self) -> BookOverview | None:
        """Wait for the logbook's overview; None when the child could not give it."""
        until = time.monotonic() + _HEAD_PATIENCE_S
        while not self.is_done and b"\n" not in self._rest and (left := until - time.monotonic()) > 0:
            self._receive(left)
        line, _, self._rest = self._rest.partition(b"\n")
        self.head = _record(BookOverview, line)
        if self.head is None:
            self.stop()
        return self.head

    def take(self, patience_s: float) -> list[MachineOverview]:
        """Return the machines that came, waiting for more of them no longer than told."""
        until = time.monotonic() + patience_s
        while not self.is_done and self._receive(max(until - time.monotonic(), 0.0)):
            pass
        *lines, self._rest = self._rest.split(b"\n")
        if self.head is None and lines:
            self.head = _record(BookOverview, lines.pop(0))
        return [found for line in lines if (found := _record(MachineOverview, line)) is not None]

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


def _record(kind: type[R], line: bytes) -> R | None:
    try:
        return from_plain(kind, json.loads(line))
    except (Unfit, ValueError, RecursionError):
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
        fcntl.fcntl(pipe, _SET_PIPE_SIZE, _CHUNK)
    return pipe, child_end


def _send_and_end(folder: Path, pipe: int, *, is_demo: bool) -> None:
    """Send everything and end this process, without any clean-up of the parent's and without a word on the screen."""
    try:
        for record in _records(folder, is_demo=is_demo):
            left = memoryview(json.dumps(to_plain(record), separators=(",", ":")).encode() + b"\n")
            while left:
                left = left[os.write(pipe, left) :]
    finally:
        os._exit(0)


def _records(folder: Path, *, is_demo: bool) -> Iterator[object]:
    """Yield the logbook's overview, those of the machines that are known from last time, then the others."""
    from fieldlog.tui.session import Session

    session = Session(folder, is_demo, keeps=True)
    yield session.head
    yield from session.known.from_last_time()
    yield from session.known.the_rest()
    session.known.tidy()
