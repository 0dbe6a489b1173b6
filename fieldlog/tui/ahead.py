"""Reading the logbook in a second process while the screen library is still being imported.

Most of a start is that import, on one core; the other cores of a small computer can read files meanwhile. What
comes back is only a head start: whatever fails here is read in the ordinary way, and every machine's stamp is
compared with the files before its records are used.
"""

import os
import pickle
import select
import signal
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

_PATIENCE_S = 20.0
_CHUNK = 1 << 20


class Ahead:
    """A child process that works something out and sends it back once."""

    def __init__(self, work: Callable[[], object]) -> None:
        """Start the child. Only call this before any thread has been started."""
        self._pipe, child_end = os.pipe()
        self._child = os.fork()
        if self._child == 0:
            _answer(work, child_end)
        os.close(child_end)

    def take(self) -> object:
        """Return what the child worked out, None when it could not."""
        data = b"".join(self._chunks())
        os.close(self._pipe)
        with suppress(OSError):
            os.kill(self._child, signal.SIGKILL)
            os.waitpid(self._child, 0)
        try:
            return pickle.loads(data)
        except (pickle.UnpicklingError, EOFError, AttributeError, ImportError, IndexError, TypeError, ValueError):
            return None

    def _chunks(self) -> list[bytes]:
        chunks: list[bytes] = []
        while select.select([self._pipe], [], [], _PATIENCE_S)[0]:
            chunk = os.read(self._pipe, _CHUNK)
            if not chunk:
                break
            chunks.append(chunk)
        return chunks


def _answer(work: Callable[[], object], pipe: int) -> None:
    """Send the pickled result and end this process without any clean-up of the parent's."""
    try:
        left = memoryview(pickle.dumps(work(), pickle.HIGHEST_PROTOCOL))
        while left:
            left = left[os.write(pipe, left) :]
    finally:
        os._exit(0)


def read_ahead(folder: Path) -> Ahead | None:
    """Start reading a logbook; None where no second process can be had."""

    def work() -> object:
        from fieldlog.tui.session import Session

        session = Session(folder)
        session.states()
        return session.known()

    if (os.cpu_count() or 1) < 2:
        return None
    try:
        return Ahead(work)
    except OSError:
        return None
