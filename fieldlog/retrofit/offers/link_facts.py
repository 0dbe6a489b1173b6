"""What is known of the link whose place a cylinder would take: lengths, the pins at both ends, mast, the other rod."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.pin_evidence import groups_of_one_size
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.number import Behind
from fieldlog.quantity.said import Said, said
from fieldlog.records.machine import HitchCategory, Link, LinkPosition, OpenStop, shown_name
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
    origin: Said | str


@dataclass(frozen=True, slots=True)
class RestsOn:
    """One thing that a comparison rests on, by its id; `name` and `value` are how it stands in a file.

    Two are the same thing when their ids are; `name` is for people, and is read only in files that have no ids yet.
    """

    id: str
    name: str
    value: str
    plus_minus: str = ""
    origin: Said | str = ""
    entries: tuple[str, ...] = ()


NOTHING_KNOWN: Mapping[str, Behind] = MappingProxyType({})
RETROFITTED: tuple[LinkPosition, ...] = ("top link", "lift rod")


class EndOfLink(StrEnum):
    """Where an end of a link is."""

    TRACTOR = "tractor_end"
    IMPLEMENT = "implement_end"
    UPPER = "upper_end"
    LOWER = "lower_end"


@dataclass(frozen=True, slots=True)
class LinkEnd:
    """One end of the link: the pins it may have (one where that is settled), and the gap its eye goes into.

    `settle` is what to measure where the pin is not settled; `wear` is why the joint there is to be renewed or
    stopped, empty while it is not.
    """

    at: EndOfLink
    pins: tuple[PinThere, ...]
    gap: Estimate | None = None
    joint: str = ""
    settle: Said | str = ""
    wear: Said | None = None


@dataclass(frozen=True, slots=True)
class Mast:
    """Mast height, for what a millimetre of top link is in degrees."""

    mm: float
    origin: Said | str

    @property
    def deg_per_mm(self) -> float:
        """Pitch per millimetre of a top link square to the mast: 57.3 / mast height. Less square, a little more."""
        return 57.29577951308232 / self.mm


@dataclass(frozen=True, slots=True)
class LinkFacts:
    """Everything the first comparison needs. `open_limit` is what ends the link's opening where it is not the tape.

    `other_rod` is the length of the lift rod on the other side, for a lift rod. `behind` is what stands behind each
    number of it, by the number's id.
    """

    link: Link
    closed: Estimate | None
    open: Estimate | None
    as_set: Estimate | None
    ends: tuple[LinkEnd, LinkEnd]
    open_limit: OpenStop | None = None
    mast: Mast | None = None
    other_rod: Estimate | None = None
    other_rod_name: str = ""
    behind: Mapping[str, Behind] = field(default_factory=lambda: NOTHING_KNOWN)


def link_facts(state: MachineState, link_id: str) -> LinkFacts | None:
    """Return what is known of a link; None where the machine has no such link."""
    report = next((report for report in state.links if report.link.id == link_id), None)
    if report is None:
        return None
    link, category = report.link, state.machine.hitch_category
    is_upper = link.position == "top link"
    other = _other_rod(report, state) if link.position == "lift rod" else None
    near, far = (EndOfLink.TRACTOR, EndOfLink.IMPLEMENT) if is_upper else (EndOfLink.UPPER, EndOfLink.LOWER)
    upper = category if is_upper else None
    opened, limit = _open(report)
    ends = (
        _end(near, link.near_hole, link.near_gap, state, upper),
        _end(far, link.far_hole, link.far_gap, state, upper),
    )
    ended = (said("offer.link_ended_by", stop=limit),) if limit is not None else ()
    behind = {
        "link_closed": Behind(_keys(report.closed)),
        "link_open": Behind(_keys(report.open), ended),
        "link_as_set": Behind(_keys(report.as_set)),
        "other_rod": Behind(other[0].keys if other is not None else ()),
        **_behind_end(ends[0], link.near_gap, state),
        **_behind_end(ends[1], link.far_gap, state),
    }
    return LinkFacts(
        link=link,
        closed=None if is_mixed_up(report) else _centres(report.closed),
        open=opened,
        as_set=_centres(report.as_set),
        ends=ends,
        open_limit=limit,
        mast=_mast(category) if is_upper else None,
        other_rod=_centres(other[0]) if other is not None else None,
        other_rod_name=other[1] if other is not None else "",
        behind=behind,
    )


def _keys(length: LinkLength | None) -> tuple[str, ...]:
    return length.keys if length is not None else ()


def _behind_end(end: LinkEnd, gap: Length | None, state: MachineState) -> dict[str, Behind]:
    joint = next((joint for joint in state.joints if joint.joint.id == end.joint), None)
    holes = joint.holes if joint is not None else ()
    keys = tuple(key for hole in holes if hole.latest is not None for key in hole.latest.keys)
    pin = tuple(said("eye.pin_counts_as", at=end.at, name=pin.name, origin=pin.origin) for pin in end.pins[:1])
    typed = (said("eye.gap_typed", at=end.at, typed=gap.typed),) if gap is not None else ()
    return {f"pin/{end.at}": Behind(keys, pin), f"gap/{end.at}": Behind((), typed)}


def _centres(length: LinkLength | None) -> Estimate | None:
    return length.centres if length is not None else None


def _open(report: LinkReport) -> tuple[Estimate | None, OpenStop | None]:
    """Return how far the link opens: as taped, or less where a stop or the thread that must stay in ends it before."""
    taped, limit = _centres(report.open), report.open_limit
    if is_mixed_up(report):
        return None, None
    if limit is None or (taped is not None and taped.value <= limit.length.value):
        return taped, None
    return limit.length, limit.stop


def _mast(category: HitchCategory | None) -> Mast | None:
    if category is None:
        return None
    height = HITCH_CATEGORIES[category].mast_height
    return Mast(float(height.mm), said("offer.category_mast", category=category, standing=height.standing))


def _other_rod(report: LinkReport, state: MachineState) -> tuple[LinkLength, str] | None:
    for other in state.links:
        if other.link.position == "lift rod" and other.link.id != report.link.id:
            for length in (other.as_set, other.closed if other.link.kind == "fixed" else None):
                if length is not None and length.centres is not None:
                    return length, shown_name(other.link)
    return None


def _end(
    at: EndOfLink, hole_id: str, gap: Length | None, state: MachineState, category: HitchCategory | None
) -> LinkEnd:
    width = calipered(gap, whose=f"{at}/gap") if gap is not None else None
    joint = next((j for j in state.joints if any(hole.hole.id == hole_id for hole in j.holes)), None)
    if joint is not None:
        reasons, is_worn = joint.finding.reasons, joint.finding.verdict in {Verdict.RENEW, Verdict.STOP}
        worn = said("finding.all_reasons", reasons=reasons) if is_worn else None
        return LinkEnd(at, _pins(joint), width, joint.joint.id, joint.pin_answer.next_measurement, worn)
    if category is None:
        return LinkEnd(at, (), width, settle=said("offer.measure_the_pin"))
    upper = HITCH_CATEGORIES[category].upper_pin
    pin = PinThere(f"{upper.mm.normalize():f} mm", float(upper.mm), said("offer.category_pin", category=category))
    return LinkEnd(at, (pin,), width, settle=said("offer.measure_the_pin"))


def _pins(joint: JointState) -> tuple[PinThere, ...]:
    """Return the pins a joint may have, one of each size in use; the one that is settled alone."""
    answer = joint.pin_answer
    groups = groups_of_one_size([c for c in answer.candidates if c.standing != "worn"] or answer.candidates)
    if answer.settled is not None:
        groups = groups[:1]
    return tuple(PinThere(group[0].name, float(group[0].size_mm), answer.sentence) for group in groups)
