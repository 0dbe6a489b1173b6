"""What needs doing over the whole fleet, worst first."""

from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.records.machine import Joint, Machine
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.states import Finding, JointState, MachineState, Severity, Verdict


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
    """Return every joint that is not sound, worst first.

    Stop, renew, re-measure that may be over its limit or is about a joint that carries people's safety, plan,
    other re-measures, never measured; within each the safety joints first, then by share of the limit used up.
    """
    found = [
        (_order(joint), DueItem(state.machine, joint.joint, joint.finding))
        for state in states
        for joint in state.joints
        if joint.finding.verdict is not Verdict.SOUND
    ]
    return tuple(item for _, item in sorted(found, key=lambda pair: pair[0]))


def _order(state: JointState) -> tuple[int, bool, float]:
    finding = state.finding
    is_safety = state.joint.kind in SAFETY_KINDS
    severity = finding.severity
    if severity == Severity.DOUBTFUL and is_safety:
        severity = Severity.MAY_BE_OVER
    return -severity, not is_safety, -finding.share
