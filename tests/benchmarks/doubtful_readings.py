"""How often good readings are marked and bad ones found, by simulated measuring days. Run by hand; prints a table.

Oval holes (0.2 mm), hands that scatter by 0.02 mm, a caliper of 0.01 mm; the seed is printed. A bad reading is off by
so much along 3 o'clock in the last sweep.
"""

from fieldlog.measure.suspect import hole_marks
from tests.measure.holes import oval, size_of

DAYS = 2000
SEED = 0
BAD_MM = (0.08, 0.12, 0.2, 0.3)


def main() -> None:
    """Print the table."""
    print(f"{DAYS} days each, seeds from {SEED}; share of days in per cent")
    print(f"{'sweeps':>6} {'any mark, all good':>20}" + "".join(f"{f'found, {bad} mm off':>22}" for bad in BAD_MM))
    for sweeps in (2, 3, 4):
        alarms = sum(bool(_marks(seed, sweeps, 0.0)) for seed in range(SEED, SEED + DAYS))
        row = f"{sweeps:>6} {100 * alarms / DAYS:>20.1f}"
        for bad in BAD_MM:
            found = sum(_is_found(seed, sweeps, bad) for seed in range(SEED, SEED + DAYS))
            row += f"{100 * found / DAYS:>22.1f}"
        print(row)


def _marks(seed: int, sweeps: int, bad_mm: float) -> set[str]:
    readings = oval(seed, sweeps, bad_mm=bad_mm)
    return {mark.key for mark in hole_marks(size_of(readings), readings, {})}


def _is_found(seed: int, sweeps: int, bad_mm: float) -> bool:
    readings = oval(seed, sweeps, bad_mm=bad_mm)
    bad = readings[4 * (sweeps - 1) + 2].key
    return bad in {mark.key for mark in hole_marks(size_of(readings), readings, {})}


if __name__ == "__main__":
    main()
