"""What a report and the first read of a large logbook cost, as ratios in one run.

Run as `python tests/benchmarks/report_and_read.py [RUNS] [--machines 200] [--years 20] [--against FOLDER]` with the
project's interpreter. It prints: the peak memory of a large logbook's report over that of the sample's; the time of
reading the large logbook for the first time, with and without a second process, over a bare parse of the same files
by the same TOML parser; and, where another checkout of the program is named, the time of the sample's report over
that one's. It judges nothing; machines are noisy, so look at the ratios, and at processor time when others work too.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.make_big_logbook import write_logbook  # noqa: E402 -- found through the line above

FIRST_READ = """
import sys
from pathlib import Path
import fieldlog.app.reading as reading
if sys.argv[2] == "alone":
    reading.cores = lambda: 1
for _ in reading._texts(Path(sys.argv[1]), is_demo=False):
    pass
"""
BARE_PARSE = """
import sys
from decimal import Decimal
from pathlib import Path
import tomli
for file in sorted(Path(sys.argv[1]).rglob("*.toml")):
    tomli.loads(file.read_bytes().decode(), parse_float=Decimal)
"""


class Cost(NamedTuple):
    """What a program took: from start to end, of the processors, and of memory at most."""

    wall_s: float
    cpu_s: float
    peak_mb: float


def cost(command: Sequence[str], root: Path = ROOT) -> Cost:
    """Run a program of a checkout, with an empty cache, and return what it took."""
    with tempfile.TemporaryDirectory(prefix="fieldlog-cache-") as cache:
        env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        env |= {"PYTHONPATH": str(root), "XDG_CACHE_HOME": cache}
        begun = time.perf_counter()
        child = subprocess.Popen([sys.executable, *command], stdout=subprocess.DEVNULL, env=env, cwd=cache)
        _, _, used = os.wait4(child.pid, 0)
        return Cost(time.perf_counter() - begun, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def median(costs: Sequence[Cost]) -> Cost:
    """Return the median of each."""
    return Cost(*(statistics.median(column) for column in zip(*costs, strict=True)))


def in_turn(commands: Mapping[str, tuple[Sequence[str], Path]], runs: int) -> dict[str, Cost]:
    """Run programs in turn, after one round that is not counted, and print what each took."""
    found: dict[str, list[Cost]] = {name: [] for name in commands}
    for number in range(runs + 1):
        for name, (command, root) in commands.items():
            once = cost(command, root)
            found[name] += [once] if number else []
    medians = {name: median(rows) for name, rows in found.items()}
    for name, took in medians.items():
        print(f"{name:44}{took.wall_s:9.2f} s{took.cpu_s:9.2f} s cpu{took.peak_mb:8.1f} MB")
    return medians


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("runs", type=int, nargs="?", default=5)
    parser.add_argument("--machines", type=int, default=200)
    parser.add_argument("--years", type=int, default=20)
    parser.add_argument("--against", type=Path)
    given = parser.parse_args()
    sample = ROOT / "sample_machines"
    report = ["-m", "fieldlog", "report", str(sample)]
    reports = {"report of the sample": (report, ROOT)}
    if given.against is not None:
        reports["the same by the other checkout"] = (report, given.against)
    small = in_turn(reports, given.runs)["report of the sample"]
    with tempfile.TemporaryDirectory(prefix="fieldlog-big-") as name:
        folder = Path(name, "book")
        write_logbook(folder, given.machines, given.years)
        large = in_turn({"report of the large logbook": (["-m", "fieldlog", "report", str(folder)], ROOT)}, 1)
        print(f"peak memory over the sample's: {large['report of the large logbook'].peak_mb / small.peak_mb:.2f}")
        reads = {
            "first read, two processes": (["-c", FIRST_READ, str(folder), "both"], ROOT),
            "first read, one process": (["-c", FIRST_READ, str(folder), "alone"], ROOT),
            "bare parse": (["-c", BARE_PARSE, str(folder)], ROOT),
        }
        found = in_turn(reads, 1)
        for what in list(reads)[:2]:
            print(f"{what} over a bare parse: {found[what].wall_s / found['bare parse'].wall_s:.1f}")


if __name__ == "__main__":
    main()
