"""How long a large logbook takes to open, beside the sample fleet, in one run.

Run as `python tests/benchmarks/big_logbook.py [RUNS] [--lines 1]` with the project's interpreter. It writes logbooks
of 50, 100 and 200 machines (20 years, four measuring days a year, 12 joints each; the last holds 192,000 bore entries),
opens each a first time, and then again and again in turn with the sample fleet, with a cache of its own. It prints
numbers and judges nothing; machines are noisy, so look at the ratios.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.make_big_logbook import write_logbook  # noqa: E402 -- found through the line above
from tests.benchmarks.start_and_bytes import LEAST_FRAME, Run  # noqa: E402

SIZES = (50, 100, 200)
YEARS = 20
QUIET_S = 1.6  # longer than the page waits for more machines
FIRST_S = 600.0
FIRST_QUIET_S = 6.0  # a busy machine may take longer over the next machines, and what is not read is not kept


def opened(command: list[str], most_s: float, quiet_s: float = QUIET_S) -> tuple[float, float, int]:
    """Return when the page was complete in ms, the most memory in MB of the program, and the bytes sent."""
    run = Run(command)
    settled_ms, count = run.settled(quiet_s, most_s, LEAST_FRAME)
    memory_mb = run.peak_mb()
    run.end()
    return settled_ms, memory_mb, count


def appended_ms(folder: Path) -> float:
    """Return the time of one more reading on one machine and of what the fleet page shows then, in a warm session."""
    code = (
        "import sys, time; from pathlib import Path\n"
        "from fieldlog.app.open_logbook import OpenLogbook\n"
        "from fieldlog.records.entries import MeterReading\n"
        "s = OpenLogbook(Path(sys.argv[1]), keeps=True)\n"
        "list(s.known.from_last_time()); s.known.fill(); s.state('machine-007'); s.rates()\n"
        "head = s.my_round('nell')\n"
        "begun = time.perf_counter()\n"
        "s.write_today('machine-007', MeterReading(at=s.time_of_day(), round=head.id, day=head.date, who='nell',"
        " hours=__import__('decimal').Decimal(99999)))\n"
        "s.known.fill(); s.known.borrowings()\n"
        "print(1000 * (time.perf_counter() - begun))"
    )
    done = subprocess.run([sys.executable, "-c", code, str(folder)], capture_output=True, text=True, check=True)
    return float(done.stdout)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("runs", type=int, nargs="?", default=7)
    parser.add_argument("--lines", type=int, default=1, choices=(1, 2, 3, 4))
    given = parser.parse_args()
    os.environ["PYTHONPATH"] = str(ROOT)
    with tempfile.TemporaryDirectory(prefix="fieldlog-big-") as name:
        os.environ["XDG_CACHE_HOME"] = f"{name}/cache"
        os.environ["XDG_STATE_HOME"] = f"{name}/state"
        commands = {"sample fleet": [sys.executable, "-m", "fieldlog", "demo"]}
        for machines in SIZES:
            folder = Path(name, f"{machines} machines")
            begun = time.perf_counter()
            count = write_logbook(folder, machines, YEARS, given.lines)
            print(f"{folder.name}: {count} bore entries written in {time.perf_counter() - begun:.1f} s")
            commands[folder.name] = [sys.executable, "-m", "fieldlog", "open", str(folder)]
        first = {what: opened(command, FIRST_S, FIRST_QUIET_S) for what, command in commands.items()}
        found: dict[str, list[tuple[float, float, int]]] = {what: [] for what in commands}
        for _ in range(given.runs):
            for what, command in commands.items():
                found[what].append(opened(command, 60.0))
        print_table(first, found)
        for machines in SIZES:
            ms = min(appended_ms(Path(name, f"{machines} machines")) for _ in range(3))
            print(f"{machines} machines: one more reading on disk and on the fleet page, {ms:.0f} ms")


def print_table(first: dict[str, tuple[float, float, int]], found: dict[str, list[tuple[float, float, int]]]) -> None:
    """Print first opening, opening again, ratio to the sample fleet, memory and bytes."""
    base_ms = statistics.median(ms for ms, _, _ in found["sample fleet"])
    base_fastest_ms = min(ms for ms, _, _ in found["sample fleet"])
    print(f"{'':16}{'first, ms':>12}{'again, ms':>12}{'ratio':>8}{'fastest':>10}{'ratio':>8}{'MB':>8}{'bytes':>9}")
    for what, rows in found.items():
        again_ms = statistics.median(ms for ms, _, _ in rows)
        fastest_ms = min(ms for ms, _, _ in rows)
        memory_mb = max(mb for _, mb, _ in rows)
        print(
            f"{what:16}{first[what][0]:12.0f}{again_ms:12.0f}{again_ms / base_ms:8.2f}"
            f"{fastest_ms:10.0f}{fastest_ms / base_fastest_ms:8.2f}{memory_mb:8.1f}{rows[-1][2]:9d}"
        )


if __name__ == "__main__":
    main()
