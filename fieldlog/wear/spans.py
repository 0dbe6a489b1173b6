"""A hole's history cut by what was done to it: re-bushed, bored, link replaced. What came before stays visible."""

import datetime
from collections.abc import Mapping, Sequence

from fieldlog.measure.hole import HoleSize, hole_sizes
from fieldlog.records.entries import BORE_RENEWING_DEEDS, RENEWING_DEEDS, BoreReading, Deed, Entry, Event
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Hole, Instrument, Joint, Machine

Moment = tuple[datetime.date, str]
PIN_RENEWING_DEEDS: tuple[Deed, ...] = ("new pin", "link replaced")


def moment(entry: Entry) -> Moment:
    """Return when an entry was made, by day and time of day."""
    return entry.day, entry.at


def touches_joint(event: Event, joint: Joint, machine: Machine) -> bool:
    """Tell whether an event was done to a joint: to it, to one of its holes, or to a link that ends in it."""
    holes = {hole.id for hole in machine.holes if hole.joint == joint.id}
    linked = {link.id for link in machine.links if {link.near_hole, link.far_hole} & holes}
    return event.joint == joint.id or event.hole in holes or (bool(event.link) and event.link in linked)


def touches_hole(event: Event, hole: Hole, machine: Machine) -> bool:
    """Tell whether an event was done to a hole: to it, to its whole joint, or to a link that it is the end of."""
    if event.hole:
        return event.hole == hole.id
    if event.joint:
        return event.joint == hole.joint
    return any(link.id == event.link and hole.id in {link.near_hole, link.far_hole} for link in machine.links)


def bore_cuts(log: MachineLog, hole: Hole) -> tuple[Moment, ...]:
    """Return the moments at which a hole was made new, in time order."""
    events = (event for event in log.standing(Event) if event.deed in BORE_RENEWING_DEEDS)
    return tuple(sorted(moment(event) for event in events if touches_hole(event, hole, log.machine)))


def pin_cut(log: MachineLog, joint: Joint) -> Moment | None:
    """Return the last moment at which a joint got another pin, None when it never did."""
    events = (event for event in log.standing(Event) if event.deed in PIN_RENEWING_DEEDS)
    return max((moment(event) for event in events if touches_joint(event, joint, log.machine)), default=None)


def last_renewal(log: MachineLog, joint: Joint) -> Moment | None:
    """Return the last moment at which anything of a joint was renewed."""
    events = (event for event in log.standing(Event) if event.deed in RENEWING_DEEDS)
    return max((moment(event) for event in events if touches_joint(event, joint, log.machine)), default=None)


def hole_history(
    readings: Sequence[BoreReading], cuts: Sequence[Moment], instruments: Mapping[str, Instrument]
) -> tuple[tuple[HoleSize, ...], int]:
    """Return all sizes of a hole, oldest first, and the index of the first since its last renewal."""
    spans: dict[int, list[BoreReading]] = {}
    for reading in readings:
        spans.setdefault(sum(1 for cut in cuts if cut < moment(reading)), []).append(reading)
    before = tuple(size for span in sorted(spans) if span < len(cuts) for size in hole_sizes(spans[span], instruments))
    since = hole_sizes(spans.get(len(cuts), ()), instruments)
    return (*before, *since), len(before)
