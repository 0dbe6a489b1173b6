"""Time and bytes of one redraw of the hitch picture after a key, on a pseudo terminal of 80x24.

Run as `python tests/benchmarks/hitch_redraw.py [PRESSES]` with the project's interpreter. It prints numbers and
judges nothing: the median and the slowest time from the key to the last byte of the answer, and the bytes sent.
"""

import os
import select
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.benchmarks.start_and_bytes import PROGRAMS, Run

UP, DOWN, RIGHT, LEFT = "\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D"
QUIET_S = 0.12


def press(run: Run, key: str) -> tuple[float, float, int]:
    """Press one key; return ms to the first and to the last byte of the answer, and how many bytes came."""
    start = last = first = time.perf_counter()
    count = 0
    os.write(run.master, key.encode())
    while select.select([run.master], [], [], QUIET_S)[0]:
        data = os.read(run.master, 65536)
        last = time.perf_counter()
        first = last if not count else first
        count += len(data)
    return (first - start) * 1000, (last - start) * 1000, count


def measured(run: Run, what: str, keys: list[str]) -> None:
    """Press keys and print what they cost."""
    rows = [press(run, key) for key in keys]
    last, sent = [row[1] for row in rows], [row[2] for row in rows]
    print(f"{what:28}{statistics.median(last):9.1f}{max(last):9.1f}{statistics.median(sent):9.0f}{max(sent):9d}")


def main() -> None:
    """Print the table."""
    presses = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    run = Run(PROGRAMS["demo"])
    run.settled()
    for key in (DOWN, "\r", "h"):
        os.write(run.master, key.encode())
        run.settled(0.3, 2.0)
    print(f"{'':28}{'ms':>9}{'slowest':>9}{'bytes':>9}{'most':>9}")
    measured(run, "ball height", [RIGHT] * presses)
    measured(run, "choose", [DOWN])
    measured(run, "top link length", [RIGHT, LEFT] * (presses // 2))
    measured(run, "choose", [DOWN])
    measured(run, "top link hole", [RIGHT] * presses)
    measured(run, "choose", [DOWN])
    measured(run, "mast hole", [RIGHT] * presses)
    measured(run, "choose", [DOWN])
    measured(run, "lift rod hole", [RIGHT] * presses)
    measured(run, "choose", [DOWN])
    measured(run, "one lift rod", [RIGHT, LEFT] * (presses // 2))
    run.end()


if __name__ == "__main__":
    main()
