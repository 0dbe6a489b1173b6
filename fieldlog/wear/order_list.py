"""What is ordered together when a joint is made new: pin, bushes, seals and what goes with them.

A new bush on a stepped pin, or a new pin in a worn bush, is worn out in no time; so they go together. Common practice.

What to order over the fleet, pin size by pin size: now, before the season, and what must not be ordered yet.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

from fieldlog.records.machine import Hole, Joint, Machine, shown_name
from fieldlog.wear.other_evidence import twin_of
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.trends.planning import may_not_last
from fieldlog.wear.verdicts import Verdict

SEALS_A_BUSH = 2  # one at each mouth: common practice


class Part(NamedTuple):
    """One kind of part and how many; 0 is as many as it takes."""

    name: str
    number: int

    @property
    def text(self) -> str:
        """Return 'pin', '2 bushes' or 'shims'."""
        return f"{self.number} {_plural(self.name)}" if self.number > 1 else self.name


def parts_of(joint: Joint, holes: Sequence[Hole]) -> tuple[Part, ...]:
    """Return the parts of a joint with these holes; a plain hole has none of its own, a towing eye is its maker's."""
    bushed = sum(hole.kind == "bushed" for hole in holes)
    balls = sum(hole.kind == "ball" for hole in holes)
    found = [Part("pin", 1)]
    if bushed:
        found += [
            Part("bush", bushed),
            Part("seal", SEALS_A_BUSH * bushed),
            Part("shims", 0),
            Part("grease fitting", 1),
        ]
    found += [Part("ball", balls)] if balls else []
    found += [Part("drawbar or clevis of its maker", 1)] if joint.kind == "drawbar" else []
    return (*found, Part(joint.keeper or "keeper", 1))


def parts_text(joint: Joint, machine: Machine) -> str:
    """Return the order line of a joint: 'pin, 2 bushes, 4 seals, shims, grease fitting and keeper'."""
    parts = [part.text for part in parts_of(joint, holes_of(joint, machine))]
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def holes_of(joint: Joint, machine: Machine) -> tuple[Hole, ...]:
    """Return the holes of a joint that its pin works in; of a row only those in daily use, if there are any."""
    own = [hole for hole in machine.holes if hole.joint == joint.id]
    daily = [hole for hole in own if hole.in_row is None or hole.use == "daily"]
    return tuple(daily or own)


def _plural(name: str) -> str:
    return {"bush": "bushes", "shims": "shims"}.get(name, f"{name}s")


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
