"""A flail mower without an hour meter: it works from April to October, two days a week, and its wear goes by those.

Both roller arms wear 0.17 and 0.15 mm per 100 days in use; the hood hinge was measured once.
"""

import datetime
import math
import random
from collections.abc import Callable
from typing import Protocol, TypeVar

from fieldlog.records.seasons import InUse

IN_USE = "April to October, 2 days a week"
_JOINTS = (
    ("roller-left", "Roller arm, left", 0.0017, 0.12, 85.0),
    ("roller-right", "Roller arm, right", 0.0015, 0.10, 95.0),
    ("hood", "Hood hinge", 0.0, 0.30, 90.0),
)  # id, name, wear a day in use, worn at the first round, direction
MACHINE: dict[str, object] = {
    "format": 1,
    "name": "Flail mower",
    "kind": "flail mower",
    "meter": "none",
    "in_use": IN_USE,
    "grease_every": "weekly",
    "joints": [{"id": key, "name": name, "kind": "bushed", "pin": "20 mm"} for key, name, *_ in _JOINTS],
    "holes": [{"id": f"{key}-bush", "joint": key, "name": "bush", "kind": "bushed"} for key, *_ in _JOINTS],
}
_ROUNDS = (
    ("2023-10-29", "nell"), ("2024-04-08", "nell"), ("2024-10-27", "tom"), ("2025-10-25", "nell"),
    ("2026-04-06", "nell"), ("2026-10-28", "nell"),
)  # fmt: skip
_MADE_MM, _PIN_MM = 20.06, 19.98
W = TypeVar("W", bound="Written")


class Written(Protocol):
    """A round file in the making."""

    def add(self, kind: str, **values: object) -> str:
        """Add a block."""

    def typed(self, size_mm: float) -> str:
        """Return a size as the person's caliper shows it."""

    def pin(self, joint: str, worn_mm: float, unworn_mm: float | None = None) -> None:
        """Measure a pin."""


def add_mower(writer_of: Callable[[str, str, random.Random], W], seed: int) -> list[W]:
    """Return the mower's rounds, with a generator of their own."""
    dice, in_use = random.Random(f"{seed} mower"), InUse.from_text(IN_USE)
    first = datetime.date.fromisoformat(_ROUNDS[0][0])
    rounds: list[W] = []
    for date, who in _ROUNDS:
        writer = writer_of(date, who, dice)
        days = in_use.between(first, datetime.date.fromisoformat(date))
        for key, _, per_day_mm, worn_mm, axis_deg in _JOINTS:
            if key == "hood" and date != _ROUNDS[-1][0]:
                continue
            for clock, angle in (("12", 0.0), ("1:30", 45.0), ("3", 90.0), ("4:30", 135.0)) * 2:
                share = (1 + math.cos(math.radians(2 * (angle - axis_deg)))) / 2
                size = writer.typed(_MADE_MM + (worn_mm + per_day_mm * days) * share)
                writer.add("bore", hole=f"{key}-bush", size=size, clock=clock)
            writer.pin(key, _PIN_MM)
        writer.add("event", deed="greased")
        rounds.append(writer)
    return rounds
