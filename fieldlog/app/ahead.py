"""Lines of text from another process: a copy of this one, or one of its own.

Reading the logbook in a second process, at the start while the screen library is still being imported.

A second process reads: forked before the screen library is imported, or started later when many machines must be read
again; the page is drawn with what is known and filled in. Where there is a second core it forks once more and each
reads half: the screen's core is free by then. Screens never wait long for files.
"""

import fcntl
import os
import select
import signal
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from pathlib import Path

from fieldlog.app.overview import BookOverview, Borrowings, MachineOverview, from_text, overview_from_text
from fieldlog.store.plain import Unfit

_PIPE_SIZE = 1 << 20
_CHUNK = 1 << 16  # more at a time would cost more in memory to be found than in calls to be made
_SET_PIPE_SIZE = 1031  # Linux F_SETPIPE_SZ, so that who sends need not wait until somebody listens


class Sender:
    """A process that sends lines; what came of them waits here until it is taken."""

    def __init__(self, pipe: int, process: int) -> None:
        self.pipe, self._process = pipe, process
        self._begun = time.monotonic()
        self._rest = bytearray()
        self.is_done = False

    @property
    def running_s(self) -> float:
        """How long it has been at it."""
        return time.monotonic() - self._begun

    def receive(self, patience_s: float) -> bool:
        """Receive what is there, or the first that comes; tell whether there may be more at once."""
        if self.is_done or not select.select([self.pipe], [], [], patience_s)[0]:
            return False
        chunk = os.read(self.pipe, _CHUNK)
        self._rest += chunk
        if not chunk:
            self.stop()
        return bool(chunk)

    def lines(self, most: int = -1) -> list[bytes]:
        """Take out the lines that have come whole, at most so many."""
        *lines, rest = bytes(self._rest).split(b"\n", most)
        self._rest = bytearray(rest)
        return lines

    def first_line(self, patience_s: float) -> bytes | None:
        """Wait for a line and take it out; None when none came."""
        until = time.monotonic() + patience_s
        while b"\n" not in self._rest and (left := until - time.monotonic()) > 0 and self.receive(left):
            pass
        return next(iter(self.lines(1)), None)

    def stop(self) -> None:
        """End the process; what it has not sent is lost."""
        if not self.is_done:
            self.is_done = True
            os.close(self.pipe)
            with suppress(OSError):
                os.kill(self._process, signal.SIGKILL)
                os.waitpid(self._process, 0)


def forked(texts: Callable[[], Iterable[bytes]]) -> Sender | None:
    """Let a copy of this process send lines; only before any thread has been started. None where none can be had."""
    try:
        pipe, far_end = wide_pipe()
        process = os.fork()
    except OSError:
        return None
    if process == 0:
        os.close(pipe)  # or nobody would notice when who listens is gone
        send_and_end(texts, far_end)
    os.close(far_end)
    return Sender(pipe, process)


def spawned(code_for: Callable[[int], str]) -> Sender | None:
    """Let a process of its own send lines, at any time; `code_for` gives its code, told the end to send to."""
    try:
        pipe, far_end = wide_pipe()
    except OSError:
        return None
    try:
        os.set_inheritable(far_end, True)
        silent = [(os.POSIX_SPAWN_OPEN, fd, os.devnull, os.O_RDWR, 0) for fd in range(3)]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
        command = [sys.executable, "-c", code_for(far_end)]
        process = os.posix_spawn(sys.executable, command, environment, file_actions=silent)
    except OSError:
        os.close(pipe)
        return None
    finally:
        os.close(far_end)
    return Sender(pipe, process)


def wide_pipe() -> tuple[int, int]:
    """Return the ends of a pipe that holds much."""
    pipe, far_end = os.pipe()
    with suppress(OSError):
        fcntl.fcntl(pipe, _SET_PIPE_SIZE, _PIPE_SIZE)
    return pipe, far_end


def send_and_end(texts: Callable[[], Iterable[bytes]], pipe: int) -> None:
    """Send every line and end this process, without any clean-up of the parent's and without a word on the screen."""
    try:
        for text in texts():
            left = memoryview(text + b"\n")
            while left:
                left = left[os.write(pipe, left) :]
    finally:
        os._exit(0)


def cores() -> int:
    """Return how many processes can run at once."""
    try:
        return len(os.sched_getaffinity(0))
    except (AttributeError, OSError):
        return os.cpu_count() or 1


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
