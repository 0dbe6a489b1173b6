"""What to order over the fleet, pin size by pin size: now, before the season, and what must not be ordered yet."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum, StrEnum

from fieldlog.records.machine import shown_name
from fieldlog.wear.other_evidence import twin_of
from fieldlog.wear.parts import Part, PartKind, Parts, parts_on
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.trends.planning import may_not_last
from fieldlog.wear.verdicts import Verdict


class When(IntEnum):
    """When something is ordered, the most pressing first."""

    NOW = 0
    BEFORE_THE_SEASON = 1
    AFTER_MEASURING = 2
    PIN_FIRST = 3


class ForNote(StrEnum):
    """Why a joint is on the list where its own verdict does not say so, and what waits."""

    OTHER_SIDE = "other side"
    PUT_OFF = "put off"


@dataclass(frozen=True, slots=True)
class For:
    """The joint that parts are for."""

    machine: str
    joint: str
    notes: tuple[ForNote, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Everything of one pin size, added up; `size` is empty where the pin is not settled."""

    when: When
    size: str
    parts: Parts
    joints: tuple[For, ...]


def order_list(states: Iterable[MachineState]) -> tuple[OrderLine, ...]:
    """Return what to order over some machines, the most pressing first, each pin size on a line of its own."""
    return added_up(OrderLine(when, size, tuple(parts), (where,)) for when, size, parts, where in _wanted(states))


def added_up(lines: Iterable[OrderLine]) -> tuple[OrderLine, ...]:
    """Return one line for each pin size and time, the most pressing first; of several machines' lists as of one."""
    merged: dict[tuple[When, str], list[OrderLine]] = {}
    for one in lines:
        merged.setdefault((one.when, one.size), []).append(one)
    found = [
        OrderLine(when, size, _added(one.parts for one in alike), tuple(where for one in alike for where in one.joints))
        for (when, size), alike in merged.items()
    ]
    return tuple(sorted(found, key=lambda one: one.when))


def _added(lists: Iterable[Parts]) -> Parts:
    numbers: dict[PartKind, int] = {}
    for part in (part for parts in lists for part in parts):
        numbers[part.kind] = numbers.get(part.kind, 0) + part.number
    return tuple(Part(kind, number) for kind, number in numbers.items())


def _wanted(states: Iterable[MachineState]) -> Iterator[tuple[When, str, Parts, For]]:
    for state in states:
        for joint, when, is_other_side in _joints_of(state):
            size = joint.pin_answer.settled or ""
            notes = [ForNote.OTHER_SIDE] if is_other_side else []
            notes += [ForNote.PUT_OFF] if joint.put_off else []
            where = For(shown_name(state.machine), shown_name(joint.joint), tuple(notes))
            parts = parts_on(joint.joint, state.machine)
            yield when if size else When.PIN_FIRST, size, parts, where


def _joints_of(state: MachineState) -> Iterator[tuple[JointState, When, bool]]:
    """Yield the joints that parts are wanted for, and whether only for the other side's sake.

    Both sides of an arm or a bucket go together, at the earlier time.
    """
    own = {joint.joint.id: when for joint in state.joints if (when := _when(joint)) is not None}
    for joint in state.joints:
        twin = twin_of(joint.joint, state.machine) if joint.joint.kind != "hitch" else None
        when, other = own.get(joint.joint.id), own.get(twin.id) if twin is not None else None
        if other is not None and other < When.AFTER_MEASURING and (when is None or other < when):
            yield joint, other, True
        elif when is not None:
            yield joint, when, False


def _when(joint: JointState) -> When | None:
    """Return when a joint's parts are ordered, None when nothing is; a crack is no matter of pins and bushes."""
    verdict = joint.finding.verdict
    if verdict in {Verdict.STOP, Verdict.RENEW}:
        return When.NOW if "crack" not in joint.signs else None
    if verdict is Verdict.PLAN:
        return When.AFTER_MEASURING if joint.finding.is_unproved else When.BEFORE_THE_SEASON
    near = any(map(may_not_last, joint.trends))
    return When.AFTER_MEASURING if verdict is Verdict.REMEASURE and near else None
