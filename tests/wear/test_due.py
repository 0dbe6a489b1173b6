"""The due list over a fleet."""

import pytest

from fieldlog.records.entries import Sign
from fieldlog.records.machine import Hole, Joint, JointKind, Machine
from fieldlog.wear.due import due_list
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import DueItem
from fieldlog.wear.verdicts import Verdict
from tests.speaking import next_step_of, reason_of
from tests.wear.build import AUTUMN, SPRING, Book


def one(name: str, kind: JointKind, *days: float, sign: Sign | None = None) -> MachineState:
    """Return a machine of one joint, its bore measured on up to two days on a 30 mm pin."""
    holes = (Hole("ear", joint=name, kind="bushed"),)
    book = Book(machine=Machine(f"m-{name}", joints=(Joint(name, kind=kind),), holes=holes))
    for day, mm in zip((SPRING, AUTUMN), days, strict=False):
        book.pin_is(day, 29.98, "unworn", joint=name)
        book.bore(day, mm)
    if sign is not None:
        book.saw(SPRING, sign, joint=name)
    return book.state


FLEET = [
    one("never", "bushed"),
    one("sound", "bushed", 30.2),
    one("watch", "bushed", 30.58),  # near 0.6 once
    one("plan", "bushed", 30.75, 30.75),
    one("pivot-watch", "pivot", 30.18),  # near 0.21 once
    one("over-once", "bushed", 31.3),
    one("renew-little", "bushed", 31.2, 31.2),
    one("renew-much", "bushed", 31.9, 31.9),
    one("pivot-renew", "pivot", 30.5, 30.5),
    one("crack", "bushed", 30.2, sign="crack"),
]
WORST_FIRST = [
    "crack",
    "pivot-renew",
    "renew-much",
    "renew-little",
    "pivot-watch",
    "over-once",
    "plan",
    "watch",
    "never",
]


def test_worst_comes_first() -> None:
    """Stop, renew with safety joints first and then by share, doubtful safety, over once, plan, doubt, never."""
    assert [item.joint.id for item in due_list(FLEET)] == WORST_FIRST
    assert [item.joint.id for item in due_list(reversed(FLEET))] == WORST_FIRST


def test_sound_joints_are_not_due() -> None:
    """What is sound needs nothing."""
    assert not any(item.verdict is Verdict.SOUND for item in due_list(FLEET))
    assert due_list([]) == ()


@pytest.mark.parametrize("item", due_list(FLEET), ids=lambda item: item.joint.id)
def test_every_item_says_why_and_what_next(item: DueItem) -> None:
    """Machine, joint, verdict, reason and next step are all there."""
    assert item.machine.id == f"m-{item.joint.id}"
    assert reason_of(item).endswith(".")
    assert next_step_of(item).endswith(".")
