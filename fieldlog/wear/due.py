"""What needs doing over the whole fleet, worst first."""

from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.records.machine import Joint, Machine
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.states import Finding, JointState, MachineState, Verdict


@dataclass(frozen=True, slots=True)
class DueItem:
    """One joint that needs something."""

    machine: Machine
    joint: Joint
    finding: Finding

    @property
    def verdict(self) -> Verdict:
        """What is to be done."""
        return self.finding.verdict

    @property
    def reason(self) -> str:
        """Why, in full."""
        return self.finding.reason

    @property
    def next_step(self) -> str:
        """What to do next."""
        return self.finding.next_step


def due_list(states: Iterable[MachineState]) -> tuple[DueItem, ...]:
    """Return every joint that is not sound: stops first, then by verdict, safety joints and share of the limit."""
    found = [
        (_order(joint), DueItem(state.machine, joint.joint, joint.finding))
        for state in states
        for joint in state.joints
        if joint.finding.verdict is not Verdict.SOUND
    ]
    return tuple(item for _, item in sorted(found, key=lambda pair: pair[0]))


def _order(state: JointState) -> tuple[int, int, float]:
    finding = state.finding
    is_safety = state.joint.kind in SAFETY_KINDS
    rank = -finding.verdict.rank
    if finding.verdict is Verdict.REMEASURE and (is_safety or share_of_limit(finding) >= 1):
        rank = -Verdict.PLAN.rank - 1
    return rank, 0 if is_safety else 1, -share_of_limit(finding)


def share_of_limit(finding: Finding) -> float:
    """Return how much of the limit is used up, 0 when nothing was measured."""
    if finding.clearance is None or finding.limit is None or finding.limit.renew_mm <= 0:
        return 0.0
    return finding.clearance.value_mm / finding.limit.renew_mm
