"""Reading the logbook in a second process while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back are the overviews that the fleet page shows, as lines of JSON; a machine's records are read when it is
opened. It is only a head start: whatever fails here is read in the ordinary way, and what a machine's files looked
like comes with its overview, to be compared with the files before it is used.
"""

import json
import os
import select
import signal
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from fieldlog.store.plain import Unfit, from_plain, to_plain
from fieldlog.tui.overview import BookOverview, MachineOverview

_PATIENCE_S = 20.0
_CHUNK = 1 << 20


class Ahead:
    """A child process that works records out and sends them back, a line each."""

    def __init__(self, work: Callable[[], Iterable[object]]) -> None:
        """Start the child. Only call this before any thread has been started."""
        self._pipe, child_end = os.pipe()
        self._child = os.fork()
        if self._child == 0:
            _answer(work, child_end)
        os.close(child_end)

    def take(self) -> tuple[BookOverview | None, tuple[MachineOverview, ...]]:
        """Return what the child worked out: nothing of what it could not, or what does not fit."""
        lines = b"".join(self._chunks()).splitlines()
        os.close(self._pipe)
        with suppress(OSError):
            os.kill(self._child, signal.SIGKILL)
            os.waitpid(self._child, 0)
        try:
            book = from_plain(BookOverview, json.loads(lines[0]))
            return book, tuple(from_plain(MachineOverview, json.loads(line)) for line in lines[1:])
        except (Unfit, ValueError, RecursionError, IndexError):
            return None, ()

    def _chunks(self) -> list[bytes]:
        chunks: list[bytes] = []
        while select.select([self._pipe], [], [], _PATIENCE_S)[0]:
            chunk = os.read(self._pipe, _CHUNK)
            if not chunk:
                break
            chunks.append(chunk)
        return chunks


def _answer(work: Callable[[], Iterable[object]], pipe: int) -> None:
    """Send what is worked out and end this process without any clean-up of the parent's."""
    try:
        for record in work():
            left = memoryview(json.dumps(to_plain(record), separators=(",", ":")).encode() + b"\n")
            while left:
                left = left[os.write(pipe, left) :]
    finally:
        os._exit(0)


def read_ahead(folder: Path) -> Ahead | None:
    """Start reading a logbook; None where no second process can be had."""

    def work() -> Iterable[object]:
        from fieldlog.tui.session import Session

        session = Session(folder)
        yield session.head
        yield from session.overviews()

    if (os.cpu_count() or 1) < 2:
        return None
    try:
        return Ahead(work)
    except OSError:
        return None
