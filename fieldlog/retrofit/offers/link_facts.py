"""Does a cylinder's eye go on the pin that is there: fits, ream, drill, loose, sleeve, or cannot.

The clearances are those that a hitch hole has when new (standards/joints.py). A seller who writes 3/4 in for a hole
means the pin, so a stated hole that is a pin's nominal size is read as made for that pin.

What is known of the link whose place a cylinder would take: lengths, the pins at both ends, mast, the other rod.
"""

from dataclasses import dataclass

from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.pin_evidence import groups_of_one_size
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Length
from fieldlog.records.machine import HitchCategory, Link, LinkPosition, shown_name
from fieldlog.retrofit.offers.sense import calipered
from fieldlog.standards.hitch import HITCH_CATEGORIES
from fieldlog.wear.links import is_mixed_up
from fieldlog.wear.states import JointState, LinkReport, MachineState
from fieldlog.wear.verdicts import Verdict


@dataclass(frozen=True, slots=True)
class PinThere:
    """The pin at one end of the link: its name as ordered, its size, and how that is known."""

    name: str
    mm: float
    origin: str


RETROFITTED: tuple[LinkPosition, ...] = ("top link", "lift rod")


@dataclass(frozen=True, slots=True)
class LinkEnd:
    """One end of the link: the pins it may have (one where that is settled), and the gap its eye goes into.

    `wear` is why the joint there is to be renewed or stopped, empty while it is not.
    """

    name: str
    pins: tuple[PinThere, ...]
    gap: Estimate | None = None
    joint: str = ""
    settle: str = ""
    wear: str = ""


@dataclass(frozen=True, slots=True)
class Mast:
    """Mast height, for what a millimetre of top link is in degrees."""

    mm: float
    origin: str

    @property
    def deg_per_mm(self) -> float:
        """Pitch per millimetre of a top link square to the mast: 57.3 / mast height. Less square, a little more."""
        return 57.29577951308232 / self.mm


@dataclass(frozen=True, slots=True)
class LinkFacts:
    """Everything the first comparison needs. `open_limit` says what ends the link's opening where it is not the tape.

    `other_rod` is the length of the lift rod on the other side, for a lift rod.
    """

    link: Link
    closed: Estimate | None
    open: Estimate | None
    as_set: Estimate | None
    ends: tuple[LinkEnd, LinkEnd]
    open_limit: str = ""
    mast: Mast | None = None
    other_rod: Estimate | None = None
    other_rod_name: str = ""


def link_facts(state: MachineState, link_id: str) -> LinkFacts | None:
    """Return what is known of a link; None where the machine has no such link."""
    report = next((report for report in state.links if report.link.id == link_id), None)
    if report is None:
        return None
    link, category = report.link, state.machine.hitch_category
    is_upper = link.position == "top link"
    other = _other_rod(report, state) if link.position == "lift rod" else None
    near, far = ("tractor end", "implement end") if is_upper else ("upper end", "lower end")
    upper = category if is_upper else None
    opened, limit = _open(report)
    return LinkFacts(
        link=link,
        closed=None if is_mixed_up(report) else _centres(report.closed),
        open=opened,
        as_set=_centres(report.as_set),
        ends=(
            _end(near, link.near_hole, link.near_gap, state, upper),
            _end(far, link.far_hole, link.far_gap, state, upper),
        ),
        open_limit=limit,
        mast=_mast(category) if is_upper else None,
        other_rod=other[0] if other is not None else None,
        other_rod_name=other[1] if other is not None else "",
    )


def _centres(length: LinkLength | None) -> Estimate | None:
    return length.centres if length is not None else None


def _open(report: LinkReport) -> tuple[Estimate | None, str]:
    """Return how far the link opens: as taped, or less where a stop or the thread that must stay in ends it before."""
    taped, limit = _centres(report.open), report.open_limit
    if is_mixed_up(report):
        return None, ""
    if limit is None or (taped is not None and taped.value_mm <= limit.length.value_mm):
        return taped, ""
    return limit.length, "the thread that must stay in" if limit.stop == "thread" else f"its {limit.stop}"


def _mast(category: HitchCategory | None) -> Mast | None:
    if category is None:
        return None
    height = HITCH_CATEGORIES[category].mast_height
    return Mast(float(height.mm), f"category {category}, {height.standing}")


def _other_rod(report: LinkReport, state: MachineState) -> tuple[Estimate, str] | None:
    for other in state.links:
        if other.link.position == "lift rod" and other.link.id != report.link.id:
            length = _centres(other.as_set) or (_centres(other.closed) if other.link.kind == "fixed" else None)
            if length is not None:
                return length, shown_name(other.link)
    return None


def _end(name: str, hole_id: str, gap: Length | None, state: MachineState, category: HitchCategory | None) -> LinkEnd:
    width = calipered(gap, whose=f"{name}/gap") if gap is not None else None
    joint = next((j for j in state.joints if any(hole.hole.id == hole_id for hole in j.holes)), None)
    if joint is not None:
        worn = joint.finding.reason if joint.finding.verdict in {Verdict.RENEW, Verdict.STOP} else ""
        return LinkEnd(name, _pins(joint), width, joint.joint.id, joint.pin_answer.next_measurement, worn)
    if category is None:
        return LinkEnd(name, (), width, settle="measure the pin there")
    upper = HITCH_CATEGORIES[category].upper_pin
    pin = PinThere(f"{upper.mm.normalize():f} mm", float(upper.mm), f"upper pin of category {category}, not measured")
    return LinkEnd(name, (pin,), width, settle="measure the pin there")


def _pins(joint: JointState) -> tuple[PinThere, ...]:
    """Return the pins a joint may have, one of each size in use; the one that is settled alone."""
    answer = joint.pin_answer
    groups = groups_of_one_size([c for c in answer.candidates if c.standing != "worn"] or answer.candidates)
    if answer.settled is not None:
        groups = groups[:1]
    return tuple(PinThere(group[0].name, float(group[0].size_mm), answer.sentence) for group in groups)
