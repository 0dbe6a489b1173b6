"""What is known about a machine today: states of holes, joints and links, each with its finding.

Everything here is worked out from the entries each time and never stored. Screens and reports show these
records; they add nothing of their own.
"""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.records.entries import Sign
from fieldlog.records.machine import Hole, Joint, Limit, Link, Machine
from fieldlog.wear.verdicts import Severity as Severity  # noqa: PLC0414 -- asked for here together with findings
from fieldlog.wear.verdicts import Verdict as Verdict  # noqa: PLC0414

_SEVERITY = MappingProxyType(
    {
        Verdict.SOUND: Severity.SOUND,
        Verdict.PLAN: Severity.PLAN,
        Verdict.RENEW: Severity.RENEW,
        Verdict.STOP: Severity.STOP,
    }
)


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """The limit a joint is judged by, in mm of clearance (or of what `of` says), and where it comes from."""

    of: str
    watch_mm: float | None
    renew_mm: float
    origin: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict with its reason: what was found, against which limit, and what to do next.

    `clearance` is always the joint's clearance, whatever the limit is `of`. `share` is how much of that limit
    is used up, 1.0 at the limit. `may_be_over` marks a re-measure that is about the limit itself, not only
    about the watch line: it is more urgent than a plan.
    """

    verdict: Verdict
    reason: str
    next_step: str
    caution: str = ""
    clearance: Estimate | None = None
    limit: LimitInForce | None = None
    share: float = 0.0
    may_be_over: bool = False

    @property
    def severity(self) -> int:
        """The order in which findings matter, 0 for sound; a larger clearance never gives a lower one."""
        if self.verdict is Verdict.REMEASURE:
            return Severity.MAY_BE_OVER if self.may_be_over else Severity.DOUBTFUL if self.limit else Severity.UNKNOWN
        return _SEVERITY[self.verdict]


@dataclass(frozen=True, slots=True)
class HoleState:
    """A hole with all its measuring days, oldest first; `span_start` indexes the first since the last renewal.

    `worn` is the largest size of the latest measuring, the number that wear is judged by; `identity` is the
    smallest size seen since the last renewal, the number that tells which pin the hole was made for.
    """

    hole: Hole
    history: tuple[HoleSize, ...]
    span_start: int
    worn: Estimate | None
    identity: Estimate | None
    change: Estimate | None
    signs: tuple[Sign, ...]
    remarks: tuple[str, ...]

    @property
    def latest(self) -> HoleSize | None:
        """The last measuring since the last renewal."""
        return self.history[-1] if len(self.history) > self.span_start else None


@dataclass(frozen=True, slots=True)
class JointState:
    """A joint: its holes, the pin as known or measured, what pin it was made for, and the verdict."""

    joint: Joint
    holes: tuple[HoleState, ...]
    pin_answer: PinAnswer
    pin_size: Estimate | None
    pin_origin: str
    signs: tuple[Sign, ...]
    finding: Finding
    last_day: datetime.date | None
    last_hours: Decimal | None
    evidence: PinEvidence | None = None


@dataclass(frozen=True, slots=True)
class LinkReport:
    """A link's pin-to-pin lengths as last measured, and what is odd about them."""

    link: Link
    closed: LinkLength | None
    open: LinkLength | None
    as_set: LinkLength | None
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MachineState:
    """Everything known about one machine today."""

    machine: Machine
    joints: tuple[JointState, ...]
    links: tuple[LinkReport, ...]
    meter_hours: Decimal | None
    last_day: datetime.date | None
    limits: tuple[Limit, ...]
    remarks: tuple[str, ...]

    @property
    def worst(self) -> Verdict:
        """The verdict that matters most on the machine; sound when there is nothing on it."""
        findings = (state.finding for state in self.joints)
        worst = max(findings, key=lambda finding: finding.severity, default=None)
        return worst.verdict if worst is not None else Verdict.SOUND
