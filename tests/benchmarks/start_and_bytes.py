"""Start-up, bytes on the wire and memory of the demo beside a bare Textual app with one Input, in one run.

Run as `python tests/benchmarks/start_and_bytes.py [RUNS]` with the project's interpreter. It prints numbers and
judges nothing; machines are noisy, so look at the ratios. The demo is measured as on a second start, with what the
first one left in the cache, and as on a first one, without. The bare app is Textual's own defaults: the demo's quieter
settings are part of what is measured.
"""

import fcntl
import os
import pty
import select
import shutil
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from pathlib import Path

BARE = """
from textual.app import App
from textual.widgets import Input
class Bare(App):
    def compose(self):
        yield Input()
Bare().run()
"""
QUIET_S = 0.25
LEAST_FRAME = 1000
DEMO = [sys.executable, "-m", "fieldlog", "demo"]
PROGRAMS = {"bare": [sys.executable, "-c", BARE], "demo": DEMO, "first demo": DEMO}


class Run:
    """A program on a pseudo terminal of 80x24."""

    def __init__(self, command: list[str]) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        env = {key: value for key, value in os.environ.items() if key not in {"PYTHONDONTWRITEBYTECODE", "NO_COLOR"}}
        env |= {"TERM": "xterm-256color"}
        self.start = time.perf_counter()
        self.child = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True)
        os.close(slave)

    def settled(self, quiet_s: float = QUIET_S, most_s: float = 5.0, least: int = 1) -> tuple[float, int]:
        """Read until nothing has come for a while; return when the last byte came, in ms, and how many.

        Silence counts once `least` bytes are there: setting up the terminal takes fewer than a frame.
        """
        count, last, end = 0, time.perf_counter(), time.perf_counter() + most_s
        while time.perf_counter() < end:
            if select.select([self.master], [], [], quiet_s)[0]:
                data = os.read(self.master, 65536)
                count, last = count + len(data), time.perf_counter()
            elif count >= least:
                break
        return (last - self.start) * 1000, count

    def until(self, words: bytes, most_s: float = 10.0) -> None:
        """Read until some words are on the screen."""
        seen, end = b"", time.perf_counter() + most_s
        while words not in seen and time.perf_counter() < end:
            if select.select([self.master], [], [], 0.1)[0]:
                seen += os.read(self.master, 65536)

    def type(self, keys: str) -> int:
        """Press keys one by one and return the bytes that they cost."""
        total = 0
        for key in keys:
            os.write(self.master, key.encode())
            total += self.settled(0.15, 0.6)[1]
        return total

    def idle_bytes(self, seconds: float) -> int:
        """What is sent while nobody does anything."""
        count, end = 0, time.perf_counter() + seconds
        while (left := end - time.perf_counter()) > 0:
            if select.select([self.master], [], [], left)[0]:
                count += len(os.read(self.master, 65536))
        return count

    def peak_mb(self) -> float:
        """The most memory the program ever held."""
        status = Path(f"/proc/{self.child.pid}/status").read_text(encoding="ascii")
        return next(int(row.split()[1]) / 1024 for row in status.splitlines() if row.startswith("VmHWM"))

    def end(self) -> None:
        """End it."""
        self.child.kill()
        self.child.wait()
        os.close(self.master)


def measure_start(name: str) -> tuple[float, float]:
    """Time to the last byte of the first frame in ms, and peak memory in MB."""
    if name == "first demo":
        shutil.rmtree(os.environ["XDG_CACHE_HOME"], ignore_errors=True)
    run = Run(PROGRAMS[name])
    settled_ms, _ = run.settled(least=LEAST_FRAME)
    memory_mb = run.peak_mb()
    run.end()
    return settled_ms, memory_mb


def into_the_round(run: Run) -> None:
    """Open a round in the demo, so that the cursor stands on the typing line."""
    run.settled()
    for key, words in (("m", b"Who measures"), ("\x13", b"near face")):  # ctrl+s keeps the form as it stands
        os.write(run.master, key.encode())
        run.until(words)
        run.settled(0.3, 2.0)


def main() -> None:
    """Print the table."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    with tempfile.TemporaryDirectory(prefix="fieldlog-start-") as folder:
        os.environ["XDG_CACHE_HOME"] = f"{folder}/cache"
        os.environ["XDG_STATE_HOME"] = f"{folder}/state"
        print_table(runs)


def print_table(runs: int) -> None:
    """Run the programs in turn and print what was measured."""
    for name in PROGRAMS:
        measure_start(name)  # bytecode and page cache
    found: dict[str, list[tuple[float, float]]] = {name: [] for name in PROGRAMS}
    for _ in range(runs):
        for name in ("bare", "first demo", "demo"):  # so that the demo finds what the first one left
            found[name].append(measure_start(name))
    start = {name: statistics.median(ms for ms, _ in rows) for name, rows in found.items()}
    fastest = {name: min(ms for ms, _ in rows) for name, rows in found.items()}
    memory = {name: statistics.median(mb for _, mb in rows) for name, rows in found.items()}
    digit, idle = bytes_sent()
    print(f"{'':28}{'bare':>10}{'demo':>10}{'ratio':>8}{'first demo':>12}{'ratio':>8}")
    for words, row in (
        ("settled first frame, ms", start),
        ("the fastest of them", fastest),
        ("peak memory, MB", memory),
    ):
        first = f"{row['first demo']:12.1f}{row['first demo'] / row['bare']:8.2f}"
        print(f"{words:28}{row['bare']:10.1f}{row['demo']:10.1f}{row['demo'] / row['bare']:8.2f}{first}")
    print(f"{'bytes a typed digit':28}{digit['bare']:10.1f}{digit['demo']:10.1f}{digit['demo'] / digit['bare']:8.2f}")
    print(f"{'bytes in 10 s idle':28}{idle['bare']:10d}{idle['demo']:10d}")
    print(f"median of {runs} runs")


def bytes_sent() -> tuple[dict[str, float], dict[str, int]]:
    """Return the bytes that a typed digit costs, and those sent in 10 s in which nothing is done."""
    digit: dict[str, float] = {}
    idle: dict[str, int] = {}
    for name in ("bare", "demo"):
        run = Run(PROGRAMS[name])
        if name == "demo":
            into_the_round(run)
        else:
            run.settled(0.25, 1.0)
        digit[name] = run.type("19.42") / 5
        run.settled(0.3, 1.0)
        idle[name] = run.idle_bytes(10)
        run.end()
    return digit, idle


if __name__ == "__main__":
    main()
