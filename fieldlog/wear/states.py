"""What is known about a machine today: states of holes, joints and links, each with its finding.

Everything here is worked out from the entries each time and never stored. Screens and reports show these
records; they add nothing of their own.
"""

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from fieldlog.measure.engagement import Engaged
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.lengths import Functional, LinkLength, Screwing
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.quantity.said import Said
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Event, LinkState, Sign
from fieldlog.records.machine import Hole, Joint, Limit, Link, LinkEnd, Machine, OpenStop, SlackWay, Thread
from fieldlog.wear.verdicts import Caution, LimitInForce, Severity, Verdict

if TYPE_CHECKING:
    from fieldlog.wear.trends.records import Trend

_SEVERITY = MappingProxyType(
    {
        Verdict.SOUND: Severity.SOUND,
        Verdict.PLAN: Severity.PLAN,
        Verdict.RENEW: Severity.RENEW,
        Verdict.STOP: Severity.STOP,
    }
)


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict with its reasons: what was found, against which limit, and what to do next.

    `clearance` is always the joint's clearance, whatever the limit is `of`. `share` is how much of that limit
    is used up, 1.0 at the limit. `may_be_over` marks a re-measure that is about the limit itself, not only
    about the watch line: it is more urgent than a plan. `brief` is the finding in a few words where the clearance does
    not say it. `hole` is the id of the hole that it is about, empty where it is about the pin or the joint.
    `is_unproved` marks what is over or at a line, but not proved over it on two days: nothing is ordered on that.
    `is_at_watch` marks a re-measure that is only about the watch line, and about nothing that was read wrong.
    """

    verdict: Verdict
    reasons: tuple[Said, ...]
    next_steps: tuple[Said, ...]
    caution: Caution | None = None
    clearance: Value | None = None
    limit: LimitInForce | None = None
    share: float = 0.0
    may_be_over: bool = False
    brief: Said | None = None
    is_unproved: bool = False
    is_at_watch: bool = False
    hole: str = ""

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
    worn: Value | None
    identity: Value | None
    change: Value | None
    signs: tuple[Sign, ...]
    remarks: tuple[Said, ...]
    bush: "BushSeat | None" = None

    @property
    def latest(self) -> HoleSize | None:
        """The last measuring since the last renewal."""
        return self.history[-1] if len(self.history) > self.span_start else None


@dataclass(frozen=True, slots=True)
class JointState:
    """A joint: its holes, its pin as known or measured, the pin it was made for, verdict, trends, when to measure next.

    `slack` is what its clearance lets the tool's edge move, None when its levers are not known; `put_off` what was put
    off on it and not done since.
    """

    joint: Joint
    holes: tuple[HoleState, ...]
    pin_answer: PinAnswer
    pin_size: Value | None
    pin_origin: Said | None
    signs: tuple[Sign, ...]
    finding: Finding
    last_day: datetime.date | None
    last_hours: Decimal | None
    evidence: PinEvidence | None = None
    trends: "tuple[Trend, ...]" = ()
    measuring: "MeasuringDue | None" = None
    slack: "ToolSlack | None" = None
    put_off: tuple[Event, ...] = ()


@dataclass(frozen=True, slots=True)
class LinkEndState:
    """One end of a link: its hole and pin as far as they are known, and how loose the pin is along the link."""

    hole: HoleState | None = None
    along: Value | None = None
    pin: Value | None = None
    pin_origin: Said | None = None
    clearance: Value | None = None


@dataclass(frozen=True, slots=True)
class RowLength:
    """A length taped from another hole of a row than the link's own."""

    state: LinkState
    near_hole: Hole | None
    far_hole: Hole | None
    length: LinkLength


@dataclass(frozen=True, slots=True)
class LinkDay:
    """A link as taped in one round."""

    day: datetime.date
    round: str
    closed: LinkLength | None
    open: LinkLength | None


@dataclass(frozen=True, slots=True)
class OpenLimit:
    """The longest pin-to-pin length a link may be opened to, and why."""

    length: Value
    stop: OpenStop
    reason: Said


@dataclass(frozen=True, slots=True)
class LinkReport:
    """A link's pin-to-pin lengths as last measured, how it screws, how far it may open, and what is odd about it.

    `working` holds its lengths pulled and pushed tight by state; `days` what was taped, newest first; `finding` is
    None where nothing about its thread or its open limit can be judged.
    """

    link: Link
    closed: LinkLength | None
    open: LinkLength | None
    as_set: LinkLength | None
    remarks: tuple[Said, ...]
    near: LinkEndState = LinkEndState()
    far: LinkEndState = LinkEndState()
    travel: Value | None = None
    working: tuple[tuple[LinkState, Functional], ...] = ()
    thread: "ThreadState | None" = None
    open_limit: OpenLimit | None = None
    finding: Finding | None = None
    others: tuple[RowLength, ...] = ()
    days: tuple[LinkDay, ...] = ()

    @property
    def lengths(self) -> tuple[tuple[LinkState, LinkLength], ...]:
        """What was taped, by state."""
        named: tuple[tuple[LinkState, LinkLength | None], ...] = (
            ("closed", self.closed),
            ("open", self.open),
            ("as set", self.as_set),
        )
        return tuple((state, length) for state, length in named if length is not None)


@dataclass(frozen=True, slots=True)
class MachineState:
    """Everything known about one machine today."""

    machine: Machine
    joints: tuple[JointState, ...]
    links: tuple[LinkReport, ...]
    meter_hours: Decimal | None
    last_day: datetime.date | None
    limits: tuple[Limit, ...]
    remarks: tuple[Said, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding on the machine's joints and links."""
        of_links = (link.finding for link in self.links if link.finding is not None)
        return (*(state.finding for state in self.joints), *of_links)

    @property
    def worst(self) -> Verdict:
        """The verdict that matters most on the machine; sound when there is nothing on it."""
        worst = max(self.findings, key=lambda finding: finding.severity, default=None)
        return worst.verdict if worst is not None else Verdict.SOUND


@dataclass(frozen=True, slots=True)
class MeasuringDue:
    """When to measure next: a date and, with a meter, the hours; why then; whether that is past.

    `why` is a clause, not a sentence.
    """

    day: datetime.date
    hours: float | None
    why: Said
    is_overdue: bool


@dataclass(frozen=True, slots=True)
class ToolSlack:
    """Movement at the tool's edge: `own` from this joint alone, `together` with `others` that move it the same way.

    `clearance` is what it comes from; side to side it is so much to each side. `pitch_deg` and its 95 % half-width are
    of a top link, both ends together as far as both are measured; `is_whole` tells whether they are.
    """

    joint: Joint
    clearance: Value
    own: Value
    together: Value | None = None
    others: int = 0
    is_whole: bool = True

    @property
    def way(self) -> SlackWay:
        """How the slack reaches the edge."""
        return self.joint.slack_way or "in line"

    @property
    def pitch_deg(self) -> tuple[float, float] | None:
        """How far the implement can pitch, with its 95 % half-width; None where it is no top link."""
        if self.way != "top link" or self.joint.tool_radius is None:
            return None
        moved, radius_mm = self.together or self.own, float(self.joint.tool_radius.mm)
        return math.degrees(moved.value / radius_mm), math.degrees(moved.plus_minus / radius_mm)


@dataclass(frozen=True, slots=True)
class BushSeat:
    """The last answer since the bush was made new: whether it moves, and on which day; None when nobody said."""

    moves: bool | None
    day: datetime.date | None


@dataclass(frozen=True, slots=True)
class ThreadState:
    """What is known of a link's thread.

    `floor` and `target` are the longest lengths with 1.0 d and 1.5 d in at each end; `faults` are contradictions from
    which nothing further is computed, `remarks` what is odd, `needs` what is still to be measured.
    """

    thread: Thread
    screw: Screwing | None
    ends: tuple[Engaged, ...]
    lengths: Mapping[LinkEnd, Value]
    floor: Value | None
    target: Value | None
    least_mm: float | None
    turned: Value | None
    weak: LinkEnd | None
    faults: tuple[Said, ...] = ()
    remarks: tuple[Said, ...] = ()
    checks: tuple[Said, ...] = ()
    needs: Said | None = None

    def least_in(self, state: LinkState) -> tuple[LinkEnd, Value] | None:
        """Return the end with the least thread in, in a state, and how much that is."""
        known = [(one.end, size) for one in self.ends if (size := one.at(state)) is not None]
        return min(known, key=lambda pair: pair[1].value, default=None)
