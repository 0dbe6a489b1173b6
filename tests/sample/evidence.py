"""Evidence other than a reading in the sample fleet: shanks tried, play in place, and one thing that cannot be.

The lift rod's pin (22 mm or 7/8 in) is narrowed and not settled; the blade pivot, never measured, is bracketed by
two shanks; the dipper has more play than its one measured hole and its pin leave, so its other bush is worn.
"""

import random
from collections.abc import Iterable
from typing import Protocol

FACTS = {("hill-tractor", "lift-rod-low"): {"pin_kind": "clevis pin", "keeper": "cotter"}}
_ADDED: tuple[tuple[str, str, str, dict[str, str]], ...] = (
    ("hill-tractor", "2026-11-03", "trial", {"hole": "rod-3", "size": "22.5 mm", "result": "goes", "by": "shank"}),
    ("hill-tractor", "2026-11-03", "trial", {"hole": "rod-3", "size": "23 mm", "result": "no", "by": "shank"}),
    ("hill-tractor", "2026-11-03", "play", {"joint": "lift-rod-low", "size": "1.4 mm", "by": "dial"}),
    ("hill-tractor", "2026-11-03", "play", {"joint": "lift-rod-low", "size": "1.5 mm", "by": "dial"}),
    ("hill-tractor", "2026-11-03", "play", {"joint": "lift-rod-low", "size": "1.4 mm", "by": "dial"}),
    ("mini-digger", "2026-11-07", "trial", {"hole": "blade-bush", "size": "1 in", "result": "goes"}),
    ("mini-digger", "2026-11-07", "trial", {"hole": "blade-bush", "size": "30 mm", "result": "no"}),
    ("mini-digger", "2026-11-07", "play", {"joint": "dipper", "size": "1.85 mm", "by": "dial"}),
    ("mini-digger", "2026-11-07", "play", {"joint": "dipper", "size": "1.9 mm", "by": "dial"}),
    ("mini-digger", "2026-11-07", "play", {"joint": "dipper", "size": "1.9 mm", "by": "dial"}),
)


class Written(Protocol):
    """A round file in the making."""

    machine: str
    date: str
    dice: random.Random

    def add(self, kind: str, **values: object) -> str:
        """Add a block."""


def add_evidence(writers: Iterable[Written], seed: int) -> None:
    """Add the evidence behind everything else of its round, with a generator of its own."""
    dice = random.Random(f"{seed} evidence")
    for writer in writers:
        shared, writer.dice = writer.dice, dice
        for machine, date, kind, values in _ADDED:
            if (machine, date) == (writer.machine, writer.date):
                writer.add(kind, **values)
        writer.dice = shared


def add_facts(machines: dict[str, dict[str, object]]) -> None:
    """Add what is known of pins to the machines' tables."""
    for (machine_id, joint_id), facts in FACTS.items():
        joints = machines[machine_id]["joints"]
        assert isinstance(joints, list)
        next(joint for joint in joints if joint["id"] == joint_id).update(facts)
