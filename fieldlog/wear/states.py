"""What is known about a machine today: states of holes, joints and links, each with its finding.

Everything here is worked out from the entries each time and never stored. Screens and reports show these
records; they add nothing of their own.
"""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.pins import PinAnswer
from fieldlog.records.entries import Sign
from fieldlog.records.machine import Hole, Joint, Limit, Link, Machine


class Verdict(StrEnum):
    """The five answers, worst last."""

    SOUND = "sound"
    REMEASURE = "re-measure"
    PLAN = "plan"
    RENEW = "renew"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """0 for sound up to 4 for stop."""
        return tuple(Verdict).index(self)


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """The limit a joint is judged by, in mm of clearance (or of what `of` says), and where it comes from."""

    of: str
    watch_mm: float | None
    renew_mm: float
    origin: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict with its reason: what was found, against which limit, and what to do next."""

    verdict: Verdict
    reason: str
    next_step: str
    caution: str = ""
    clearance: Estimate | None = None
    limit: LimitInForce | None = None


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
        """The worst verdict on the machine; sound when there is nothing on it."""
        return max((state.finding.verdict for state in self.joints), key=lambda v: v.rank, default=Verdict.SOUND)
