"""What to order over the fleet, pin size by pin size: now, before the season, and what must not be ordered yet.

What belongs to a pin that is not settled stands apart, since a wrong pin is ordered twice. Common practice; the
machine's parts list wins.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

from fieldlog.records.machine import shown_name
from fieldlog.wear.other_evidence import twin_of
from fieldlog.wear.parts import Part, holes_of, parts_of
from fieldlog.wear.planning import may_not_last
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.verdicts import Verdict


class When(IntEnum):
    """When something is ordered, the most pressing first."""

    NOW = 0
    BEFORE_THE_SEASON = 1
    AFTER_MEASURING = 2
    PIN_FIRST = 3


@dataclass(frozen=True, slots=True)
class For:
    """The joint that parts are for; `note` says why it is on the list where its own verdict does not, or what waits."""

    machine: str
    joint: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Everything of one pin size, added up; `size` is empty where the pin is not settled."""

    when: When
    size: str
    parts: tuple[Part, ...]
    joints: tuple[For, ...]


def order_list(states: Iterable[MachineState]) -> tuple[OrderLine, ...]:
    """Return what to order over some machines, the most pressing first, each pin size on a line of its own."""
    merged: dict[tuple[When, str], list[tuple[Sequence[Part], For]]] = {}
    for when, size, parts, where in _wanted(states):
        merged.setdefault((when, size), []).append((parts, where))
    lines = [
        OrderLine(when, size, _added(parts for parts, _ in found), tuple(where for _, where in found))
        for (when, size), found in merged.items()
    ]
    return tuple(sorted(lines, key=lambda one: one.when))


def _added(lists: Iterable[Sequence[Part]]) -> tuple[Part, ...]:
    numbers: dict[str, int] = {}
    for part in (part for parts in lists for part in parts):
        numbers[part.name] = numbers.get(part.name, 0) + part.number
    return tuple(Part(name, number) for name, number in numbers.items())


def _wanted(states: Iterable[MachineState]) -> Iterator[tuple[When, str, Sequence[Part], For]]:
    for state in states:
        for joint, when, note in _joints_of(state):
            size = joint.pin_answer.settled or ""
            notes = [note, "put off, with its reason" if joint.put_off else ""]
            where = For(shown_name(state.machine), shown_name(joint.joint), "; ".join(one for one in notes if one))
            parts = parts_of(joint.joint, holes_of(joint.joint, state.machine))
            yield when if size else When.PIN_FIRST, size, parts, where


def _joints_of(state: MachineState) -> Iterator[tuple[JointState, When, str]]:
    """Yield the joints that parts are wanted for; both sides of an arm or a bucket together, at the earlier time."""
    own = {joint.joint.id: when for joint in state.joints if (when := _when(joint)) is not None}
    for joint in state.joints:
        twin = twin_of(joint.joint, state.machine) if joint.joint.kind != "hitch" else None
        when, other = own.get(joint.joint.id), own.get(twin.id) if twin is not None else None
        if other is not None and other < When.AFTER_MEASURING and (when is None or other < when):
            yield joint, other, "other side"
        elif when is not None:
            yield joint, when, ""


def _when(joint: JointState) -> When | None:
    """Return when a joint's parts are ordered, None when nothing is; a crack is no matter of pins and bushes."""
    verdict = joint.finding.verdict
    if verdict in {Verdict.STOP, Verdict.RENEW}:
        return When.NOW if "crack" not in joint.signs else None
    if verdict is Verdict.PLAN:
        return When.AFTER_MEASURING if joint.finding.is_unproved else When.BEFORE_THE_SEASON
    near = any(map(may_not_last, joint.trends))
    return When.AFTER_MEASURING if verdict is Verdict.REMEASURE and near else None
