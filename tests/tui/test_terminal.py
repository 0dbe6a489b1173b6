"""The program in a real terminal: quiet while idle, gone on a hang-up, sane after SIGTERM, whole after kill -9."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pyte
import pytest

from fieldlog.store.files import throwaway_copy
from tests.tui.support import round_text

PATIENCE_S = 15.0
NEXT_LINE = {"e": "3", "o": "12", "?": "3"}


class Terminal:
    """The program on a pseudo terminal, with a screen that is drawn as a terminal would."""

    def __init__(self, folder: Path, home: Path, environment: dict[str, str]) -> None:
        columns, rows = 80, 24
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        drop = {"NO_COLOR", "COLUMNS", "LINES"}
        env = {key: value for key, value in os.environ.items() if key not in drop}
        env |= {"TERM": "xterm-256color", "HOME": str(home), "XDG_STATE_HOME": str(home), **environment}
        command = [sys.executable, "-m", "fieldlog", "open", str(folder)]
        self.child = subprocess.Popen(
            command,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=env,
            start_new_session=True,
            cwd=Path(__file__).parents[2],
        )
        self.screen = pyte.Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.sent = b""

    def read(self, seconds: float) -> bytes:
        """Take what the program sends for some time."""
        end, taken = time.monotonic() + seconds, b""
        while (left := end - time.monotonic()) > 0:
            if select.select([self.master], [], [], min(left, 0.05))[0]:
                try:
                    taken += os.read(self.master, 65536)
                except OSError:
                    break
        # pyte does not know private sequences with < > =; a terminal passes over what it does not know
        self.stream.feed(re.sub(rb"\x1b\[[<>=][0-9;]*[a-zA-Z]", b"", taken))
        self.sent += taken
        return taken

    @property
    def text(self) -> str:
        """The screen."""
        return "\n".join(self.screen.display)

    def see(self, words: str) -> None:
        """Wait for words on the screen."""
        end = time.monotonic() + PATIENCE_S
        while words not in self.text:
            assert time.monotonic() < end, f"waited in vain for {words!r}:\n{self.text}"
            self.read(0.05)

    def type(self, keys: str) -> None:
        """Press keys."""
        os.write(self.master, keys.encode())

    def gone(self) -> int:
        """Wait for the program to end and return its status."""
        end = time.monotonic() + PATIENCE_S
        while self.child.poll() is None:
            assert time.monotonic() < end, "the program goes on"
            self.read(0.05)
        return self.child.returncode


@contextmanager
def terminal(folder: Path, home: Path, **environment: str) -> Iterator[Terminal]:
    made = Terminal(folder, home, environment)
    try:
        yield made
    finally:
        if made.child.poll() is None:
            made.child.kill()
        made.child.wait()
        for handle in (made.master, made.slave):
            with suppress(OSError):
                os.close(handle)


def to_the_round(made: Terminal) -> None:
    made.see("Grey tractor")
    made.type("m")
    made.see("Who measures")
    made.type("\r\r412\r\r\r\r")
    made.see("12, near face")


def test_nothing_is_sent_while_idle(logbook_folder: Path, tmp_path: Path) -> None:
    """No blinking cursor, no clock: three seconds with the cursor on the typing line, not one byte."""
    with terminal(logbook_folder, tmp_path) as made:
        to_the_round(made)
        made.read(1.0)
        assert made.read(3.0) == b""


def test_a_typed_digit_costs_few_bytes(logbook_folder: Path, tmp_path: Path) -> None:
    """A bare Textual Input sends about 1,000 bytes a digit (measured by the benchmark); this must stay under 500."""
    with terminal(logbook_folder, tmp_path) as made:
        to_the_round(made)
        made.read(0.5)
        made.type("1")
        made.read(0.5)
        made.type("9")
        assert 0 < len(made.read(0.5)) < 500


@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM, signal.SIGKILL])
def test_a_program_ended_from_outside_keeps_every_accepted_reading(
    logbook_folder: Path, tmp_path: Path, number: signal.Signals
) -> None:
    """Two readings are kept, the third is being typed: the file has two, and the round goes on at the third."""
    with terminal(logbook_folder, tmp_path) as made:
        to_the_round(made)
        made.type("19.42\r")
        made.see("1:30, near face")
        made.type("19.71\r")
        made.see("3, near face")
        made.type("19.9")
        made.see("> 19.9")
        made.child.send_signal(number)
        made.gone()
        if number is not signal.SIGKILL:
            assert termios.tcgetattr(made.slave)[3] == made.before[3]  # echo and line mode are back
            assert b"\x1b[?1049l" in made.sent or number is signal.SIGHUP
            assert made.child.wait() == 128 + number  # as a shell says it of any program ended by a signal
    assert round_text(logbook_folder).count("[[bore]]") == 2
    with terminal(logbook_folder, tmp_path) as again:
        again.see("Grey tractor")
        again.type("m")
        again.see("3, near face")


def test_a_closed_terminal_leaves_no_process(logbook_folder: Path, tmp_path: Path) -> None:
    """The window is closed and no signal comes through: the program ends by itself."""
    with terminal(logbook_folder, tmp_path) as made:
        made.see("Grey tractor")
        os.close(made.master)
        os.close(made.slave)
        end = time.monotonic() + PATIENCE_S
        while made.child.poll() is None:
            assert time.monotonic() < end, "the program goes on without a terminal"
            time.sleep(0.05)


def test_leaving_is_clean(logbook_folder: Path, tmp_path: Path) -> None:
    """q: status 0, the terminal as it was."""
    with terminal(logbook_folder, tmp_path) as made:
        made.see("Grey tractor")
        made.type("q")
        assert made.gone() == 0
        assert termios.tcgetattr(made.slave)[3] == made.before[3]


def test_without_colour_no_colour_is_sent(tmp_path: Path) -> None:
    """NO_COLOR: bold and dim at most; the verdicts stand as words and signs."""
    with throwaway_copy() as folder, terminal(folder, tmp_path, NO_COLOR="1") as made:
        made.see("What needs doing")
        made.read(0.5)
        codes = {code for match in re.findall(rb"\x1b\[([0-9;]*)m", made.sent) for code in match.split(b";")}
        colours = {b"%d" % n for n in (*range(30, 38), *range(40, 48), *range(90, 98), 38, 48)}
        assert not codes & colours
        for sign in ("▇▇ stop", "▇▄ renew", "▄▄ plan", "▒░ re-measure"):
            assert sign in made.text


def test_a_key_right_behind_escape_is_not_lost(logbook_folder: Path, tmp_path: Path) -> None:
    """Escape and a letter within half a second arrive as Alt and the letter: back, then what the letter means there."""
    with terminal(logbook_folder, tmp_path) as made:
        made.see("Grey tractor")
        made.type("\r")
        made.see("link end")
        made.type("\x1br")
        made.see("Rates of wear")
        made.type("\x1b\r")
        made.see("link end")
        made.type("\x1b\x1b[B\r")
        made.see("link end")


def test_numbers_right_behind_escape_go_where_it_leads(logbook_folder: Path, tmp_path: Path) -> None:
    """Back from another page to the round with the caliper typing at once: every digit of every size is kept."""
    with terminal(logbook_folder, tmp_path) as made:
        to_the_round(made)
        for key, words in (("e", "Other evidence"), ("o", "The walk over"), ("?", "Keys of this screen")):
            made.type(key)
            made.see(words)
            made.type("\x1b19.42\r19.71\r")
            made.see(f"{NEXT_LINE[key]}, near face")
    assert re.findall(r'size = "(.*)"', round_text(logbook_folder)) == ["19.42 mm", "19.71 mm"] * 3


@pytest.mark.parametrize("burst", ["\x1b[200~19.42\n19.71\n19.95\n19.64\n\x1b[201~", "19.42\r19.71\r19.95\r19.64\r"])
def test_readings_that_arrive_in_one_go_are_all_taken(logbook_folder: Path, tmp_path: Path, burst: str) -> None:
    """Pasted lines, or a lagging line that lets go of everything at once: no digit is lost or joined to another."""
    with terminal(logbook_folder, tmp_path) as made:
        to_the_round(made)
        made.type(burst)
        made.see("12, near face, reading 2")
    assert re.findall(r'size = "(.*)"', round_text(logbook_folder)) == ["19.42 mm", "19.71 mm", "19.95 mm", "19.64 mm"]
