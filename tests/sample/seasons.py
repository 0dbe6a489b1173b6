"""What the sample fleet shows of wear over the seasons: greasing that helped, a bush's wall, planned hours.

The tipping link wore 0.06 mm per 100 h until it was greased every morning from 26 Apr 2025 on, and 0.015 since.
"""

import random
from collections.abc import Iterable
from typing import Protocol

JOINT = {"id": "tipping-link", "name": "Tipping link to dipper", "kind": "bushed", "pin": "30 mm"}
HOLE = {"id": "tipping-link-bush", "joint": "tipping-link", "name": "link bush", "kind": "bushed"}
_HOURS = {  # of work since the first round
    "2023-10-21": 0.0, "2024-04-20": 150.0, "2024-11-09": 310.0, "2025-04-26": 445.0, "2025-11-01": 610.0,
    "2026-05-02": 735.0, "2026-11-07": 880.0,
}  # fmt: skip
_CHANGED_AT = 445.0
_BEFORE, _SINCE = 0.06, 0.015  # mm per 100 h
_NEW_MM, _PIN_MM = 30.12, 29.97
_WALLS = {"2025-11-08": 2.31, "2026-10-31": 2.27}
_TIGHT = {"2026-10-31": ("arm-left-bush", "arm-right-bush"), "2026-11-07": ("bucket-pin-ear", "tipping-link-bush")}


class Written(Protocol):
    """A round file in the making."""

    machine: str
    date: str
    dice: random.Random

    def add(self, kind: str, **values: object) -> str:
        """Add a block."""

    def typed(self, size_mm: float) -> str:
        """Return a size as the person's caliper shows it."""

    def pin(self, joint: str, worn_mm: float, unworn_mm: float | None = None) -> None:
        """Measure a pin."""


def add_seasons(writers: Iterable[Written], seed: int) -> None:
    """Add the readings and deeds behind everything else of their rounds, with a generator of their own."""
    dice = random.Random(f"{seed} seasons")
    for writer in writers:
        shared, writer.dice = writer.dice, dice
        if writer.machine == "mini-digger":
            _tipping_link(writer)
        if writer.machine == "small-loader" and writer.date in _WALLS:
            for _ in range(3):
                writer.add("wall", hole="arm-left-bush", size=writer.typed(_WALLS[writer.date]))
        for hole in _TIGHT.get(writer.date, ()) if writer.machine in {"small-loader", "mini-digger"} else ():
            writer.add("note", signs=["bush sits tight"], hole=hole)
        writer.dice = shared


def _tipping_link(writer: Written) -> None:
    hours = _HOURS[writer.date]
    worn = _BEFORE * min(hours, _CHANGED_AT) / 100 + _SINCE * max(hours - _CHANGED_AT, 0.0) / 100
    for clock, share in (("12", 0.0), ("1:30", 0.5), ("3", 1.0), ("4:30", 0.5)) * 2:
        writer.add("bore", hole="tipping-link-bush", size=writer.typed(_NEW_MM + worn * share), clock=clock)
    writer.pin("tipping-link", _PIN_MM)
    if hours == _CHANGED_AT:
        text = "every morning, until clean grease shows"
        writer.add("event", deed="greasing changed", joint="tipping-link", text=text)


def add_machines(machines: dict[str, dict[str, object]]) -> None:
    """Add the joint, the wall of a bush when new, and the hours planned for a season."""
    digger, loader = machines["mini-digger"], machines["small-loader"]
    digger["planned_hours"] = 350
    for key, record in (("joints", JOINT), ("holes", HOLE)):
        records = digger[key]
        assert isinstance(records, list)
        records.append(record)
    holes = loader["holes"]
    assert isinstance(holes, list)
    next(hole for hole in holes if hole["id"] == "arm-left-bush")["bush_wall"] = "2.5 mm"
