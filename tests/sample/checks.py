"""Checks of the sample fleet's calipers, spring and autumn of each season: zeros, and once two known bores."""

import datetime
import math
import random

SEASONS = ("2023-10-13", "2024-03-22", "2024-10-11", "2025-04-04", "2025-10-17", "2026-04-10", "2026-10-23")
JAW_WIDTH_MM = 0.8
BORES = ((10.0, "gauge ring"), (25.0, "inner ring of a new bearing"))


def checks(seed: str) -> list[dict[str, object]]:
    """Return the checks as tables; the steel caliper's last one found its zero off."""
    dice = random.Random(f"{seed} checks")
    made = [_zero("blue", day, [f"{dice.choice((0.0, 0.0, 0.01)):.2f} mm" for _ in range(2)]) for day in SEASONS]
    made += [_zero("steel", day, ["0.0000 in", "0.0005 in"]) for day in SEASONS[:-1]]
    made += [_known_bore(day, size, of, dice) for day in ("2025-04-04", "2026-04-10") for size, of in BORES]
    return sorted(made, key=lambda table: str(table["date"]))


def _zero(instrument: str, day: str, readings: list[str]) -> dict[str, object]:
    return {"instrument": instrument, "date": _date(day), "kind": "zero", "readings": readings, "by": "nell"}


def _known_bore(day: str, size_mm: float, of: str, dice: random.Random) -> dict[str, object]:
    chord = math.sqrt(size_mm**2 - JAW_WIDTH_MM**2)
    return {
        "instrument": "blue",
        "date": _date(day),
        "kind": "known bore",
        "readings": [f"{chord + dice.gauss(0, 0.008):.2f} mm" for _ in range(5)],
        "size": f"{size_mm - 0.005:.3f} mm",
        "tolerance": "0.005 mm",
        "of": of,
        "by": "nell",
    }


def _date(day: str) -> datetime.date:

    return datetime.date.fromisoformat(day)
