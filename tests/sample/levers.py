"""What the sample fleet shows of slack at the tool and of a season: levers, greasing intervals, one thing put off."""

import random
from collections.abc import Iterable
from typing import Protocol

SEASON_START = "1 Mar"
_LEVERS: dict[tuple[str, str], dict[str, str]] = {
    ("mini-digger", "tipping-link"): {"slack_way": "turns", "lever_arm": "180 mm", "tool_radius": "650 mm"},
    ("mini-digger", "bucket-pin"): {"slack_way": "side to side", "lever_arm": "180 mm", "tool_radius": "700 mm"},
    ("mini-digger", "dipper"): {"slack_way": "in line"},
    ("mini-digger", "boom-foot"): {"slack_way": "in line"},
    ("hill-tractor", "top-front"): {"slack_way": "top link", "lever_arm": "460 mm", "tool_radius": "1300 mm"},
    ("hill-tractor", "top-rear"): {"slack_way": "top link", "lever_arm": "460 mm", "tool_radius": "1300 mm"},
}
_GREASE = {"mini-digger": "50 h", "small-loader": "50 h"}
_OWN_GREASE = {("mini-digger", "tipping-link"): "10 h", ("hill-tractor", "axle"): "100 h"}
_PUT_OFF = ("mini-digger", "2026-11-07", "bucket-pin", "bushes and pin are on order, the trench must be closed first")


class Written(Protocol):
    """A round file in the making."""

    machine: str
    date: str
    dice: random.Random

    def add(self, kind: str, **values: object) -> str:
        """Add a block."""


def add_put_off(writers: Iterable[Written], seed: int) -> None:
    """Add what was put off, behind everything else of its round, with a generator of its own."""
    dice = random.Random(f"{seed} levers")
    machine, date, joint, text = _PUT_OFF
    for writer in writers:
        if (writer.machine, writer.date) == (machine, date):
            shared, writer.dice = writer.dice, dice
            writer.add("event", deed="put off", joint=joint, text=text)
            writer.dice = shared


def add_levers(machines: dict[str, dict[str, object]]) -> None:
    """Add levers to joints and greasing intervals to machines."""
    facts = {**_LEVERS}
    for key, every in _OWN_GREASE.items():
        facts[key] = {**facts.get(key, {}), "grease_every": every}
    for (machine_id, joint_id), values in facts.items():
        joints = machines[machine_id]["joints"]
        assert isinstance(joints, list)
        next(joint for joint in joints if joint["id"] == joint_id).update(values)
    for machine_id, every in _GREASE.items():
        machines[machine_id]["grease_every"] = every
