"""The real program on a pseudo terminal: keys go in, and the screen is looked at once everything has come to rest.

Rest is a condition, not a time: no thread of the program or of the processes it started runs or has used the
processor, and no byte has come, for a moment that is longer than what the program waits between two drawings.
"""

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from tests.shots.emulator import Emulator, Picture

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 30.0
DAY = "2026-11-28"
MODES = ("colour", "plain", "ascii")
_REST_S = 0.01  # between two looks; two drawings of the screen library are at most a sixtieth of a second apart
_LOOKS = 1  # after the first; enough between two keys
_LOOKS_AT_A_PAGE = 5


class Size(NamedTuple):
    """Columns and rows of a window."""

    columns: int
    rows: int

    def __str__(self) -> str:
        return f"{self.columns}x{self.rows}"


def size_of(text: str) -> Size:
    """Read a size such as 80x24."""
    columns, _, rows = text.partition("x")
    return Size(int(columns), int(rows))


class Program:
    """The program, the window it draws in, and how many bytes it sent."""

    def __init__(self, arguments: Sequence[str], size: Size, mode: str, home: Path) -> None:
        self.size = size
        self.n_bytes = 0
        self._master, slave = pty.openpty()
        self._set_size(size)
        at_the_terminal = ["--ascii"] if mode == "ascii" else []
        self._child = subprocess.Popen(
            [sys.executable, str(ROOT / "tests/shots/on_a_day.py"), DAY, *at_the_terminal, *arguments],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=_environment(home, mode),
            start_new_session=True,
            cwd=home,
        )
        os.close(slave)
        self._emulator = Emulator(*size)

    def _set_size(self, size: Size) -> None:
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", size.rows, size.columns, 0, 0))

    @property
    def spills(self) -> list[str]:
        """What was written past the last column since the window was last cleared."""
        return self._emulator.spills

    @property
    def text(self) -> str:
        """The screen as text, as it stands."""
        return self._emulator.text

    def picture(self) -> Picture:
        """The screen as it stands, every cell."""
        return self._emulator.picture()

    def type(self, keys: str) -> int:
        """Press keys, wait for rest, and return the bytes that came of it."""
        before = self.n_bytes
        os.write(self._master, keys.encode())
        self.rest()
        return self.n_bytes - before

    def see(self, is_there: Callable[[str], bool], what: str) -> Picture:
        """Wait for the screen to be what is looked for, and to rest."""
        end = time.monotonic() + PATIENCE_S
        self.rest(_LOOKS_AT_A_PAGE)
        while not is_there(self.text):
            assert self._child.poll() is None, f"the program ended before {what}:\n{self.text}"
            assert time.monotonic() < end, f"waited in vain for {what}:\n{self.text}"
            self._take(0.05)
            self.rest(_LOOKS_AT_A_PAGE)
        return self.picture()

    def rest(self, looks: int = _LOOKS) -> None:
        """Take what is sent until the program rests: nothing new in so many looks at it."""
        end, before, same = time.monotonic() + PATIENCE_S, -1, 0
        while time.monotonic() < end:
            if self._take(_REST_S):
                before, same = -1, 0
                continue
            is_running, used_ns = _work_of(self._child.pid)
            same = same + 1 if used_ns == before and not is_running else 0
            if same >= looks:
                return
            before = used_ns

    def _take(self, seconds: float) -> bool:
        if not select.select([self._master], [], [], seconds)[0]:
            return False
        with suppress(OSError):
            data = os.read(self._master, 65536)
            self.n_bytes += len(data)
            self._emulator.feed(data)
            return bool(data)
        return False

    def drawn_anew(self) -> Picture:
        """The screen drawn from nothing: an empty window of the same size, after one that is a row higher."""
        self._resize(Size(self.size.columns, self.size.rows + 1))
        self._resize(self.size)
        return self.picture()

    def _resize(self, size: Size) -> None:
        self._emulator = Emulator(*size)
        self._set_size(size)
        before = self.n_bytes
        self._child.send_signal(signal.SIGWINCH)
        end = time.monotonic() + PATIENCE_S
        while self.n_bytes == before:
            assert time.monotonic() < end, f"nothing was drawn at {size}"
            self._take(0.05)
        self.rest(_LOOKS_AT_A_PAGE)

    def end(self) -> None:
        """End it, and what it started ends with it."""
        if self._child.poll() is None:
            self._child.terminate()
            with suppress(subprocess.TimeoutExpired):
                self._drain_until_gone(3.0)
        if self._child.poll() is None:
            self._child.kill()
        self._child.wait()
        os.close(self._master)

    def _drain_until_gone(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while self._child.poll() is None and time.monotonic() < end:
            self._take(0.02)


def _environment(home: Path, mode: str) -> dict[str, str]:
    drop = {"NO_COLOR", "COLUMNS", "LINES", "PYTHONDONTWRITEBYTECODE", "ESCDELAY"}
    env = {key: value for key, value in os.environ.items() if key not in drop}
    folders = {name: str(home) for name in ("HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")}
    env |= folders | {"TERM": "xterm-256color", "TZ": "UTC", "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
    return env | {"NO_COLOR": "1"} if mode == "plain" else env


def _work_of(process: int) -> tuple[bool, int]:
    """Tell whether anything of a process or its children runs, and the processor time that they used."""
    is_running, used = False, 0
    for task in _tasks(process):
        with suppress(OSError):
            stat = (task / "stat").read_bytes()
            is_running |= stat[stat.rindex(b")") + 2 : stat.rindex(b")") + 3] in {b"R", b"D"}
            used += int((task / "schedstat").read_bytes().split()[0])
    return is_running, used


def _tasks(process: int) -> Iterator[Path]:
    with suppress(OSError):
        for task in Path(f"/proc/{process}/task").iterdir():
            yield task
            children = ""
            with suppress(OSError):
                children = (task / "children").read_text(encoding="ascii")
            for child in children.split():
                yield from _tasks(int(child))


@contextmanager
def program(prepare: Callable[[Path], Sequence[str]], size: Size, mode: str = "colour") -> Iterator[Program]:
    """Run the program with a home folder of its own, gone afterwards, with what `prepare` lays there and asks for."""
    with tempfile.TemporaryDirectory(prefix="fieldlog-shots-") as folder:
        home = Path(folder)
        running = Program(prepare(home), size, mode, home)
        try:
            yield running
        finally:
            running.end()
