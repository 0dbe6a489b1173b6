"""A hole's history cut by what was done to it: re-bushed, bored, link replaced. What came before stays visible.

A machine's standing entries sorted by what they are about, in one pass.

What was put off on a joint, by whom and why, as long as it was not done since.
"""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby

from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import Units
from fieldlog.records.entries import (
    BORE_RENEWING_DEEDS,
    RENEWING_DEEDS,
    AnyEntry,
    BoreReading,
    Entry,
    Event,
    Keep,
    LengthReading,
    LigamentReading,
    MachineLog,
    MeterReading,
    Note,
    PinReading,
    Play,
    ThreadReading,
    Trial,
    TurnsReading,
    WallReading,
)
from fieldlog.records.machine import Hole, Instrument, Joint, Link, Logbook, Machine

Moment = tuple[datetime.date, str]


def moment(entry: Entry) -> Moment:
    """Return when an entry was made, by day and time of day, whoever made it."""
    return entry.day, entry.at


def is_end_of(link: Link, hole: Hole, machine: Machine) -> bool:
    """Tell whether a hole is at an end of a link: named as such, or in one row with the hole that is."""
    ends = [other for other in machine.holes if other.id in {link.near_hole, link.far_hole}]
    return any(
        other.id == hole.id or (other.joint == hole.joint and other.in_row is not None and other.in_row == hole.in_row)
        for other in ends
    )


def touches_joint(event: Event, joint: Joint, machine: Machine) -> bool:
    """Tell whether an event was done to a joint: to it, to one of its holes, or to a link that ends in it."""
    if event.hole:
        return any(hole.id == event.hole and hole.joint == joint.id for hole in machine.holes)
    return event.joint == joint.id or (bool(event.link) and event.link in links_at(joint, machine))


def links_at(joint: Joint, machine: Machine) -> frozenset[str]:
    """Return the ids of the links that end in a joint."""
    holes = {hole.id for hole in machine.holes if hole.joint == joint.id}
    return frozenset(link.id for link in machine.links if {link.near_hole, link.far_hole} & holes)


def touches_hole(event: Event, hole: Hole, machine: Machine) -> bool:
    """Tell whether an event was done to a hole: to it, to its whole joint, or to a link that it is at the end of."""
    if event.hole:
        return event.hole == hole.id
    if event.joint:
        return event.joint == hole.joint
    return any(link.id == event.link and is_end_of(link, hole, machine) for link in machine.links)


def bore_cuts(events: Iterable[Event], hole: Hole, machine: Machine) -> tuple[Moment, ...]:
    """Return the moments at which a hole was made new, in time order."""
    renewing = (event for event in events if event.deed in BORE_RENEWING_DEEDS)
    return tuple(sorted(moment(event) for event in renewing if touches_hole(event, hole, machine)))


def pin_cut(events: Iterable[Event], joint: Joint, machine: Machine) -> Moment | None:
    """Return the last moment at which a joint got another pin, None when it never did."""
    new_pins = (event for event in events if event.deed == "new pin")
    return max((moment(event) for event in new_pins if touches_joint(event, joint, machine)), default=None)


def hole_history(
    readings: Sequence[BoreReading], cuts: Sequence[Moment], instruments: Mapping[str, Instrument]
) -> tuple[tuple[HoleSize, ...], int]:
    """Return all sizes of a hole, oldest first, and the index of the first since its last renewal.

    A round in which the hole was measured before and after a renewal gives two sizes.
    """
    spans: dict[int, list[BoreReading]] = {}
    for reading in readings:
        spans.setdefault(sum(1 for cut in cuts if cut < moment(reading)), []).append(reading)
    before = [size for span in sorted(spans) if span < len(cuts) for size in _sizes(spans[span], instruments)]
    return (*before, *_sizes(spans.get(len(cuts), []), instruments)), len(before)


def _sizes(readings: list[BoreReading], instruments: Mapping[str, Instrument]) -> Iterable[HoleSize]:
    """Return one size a round, in time order."""
    readings.sort(key=lambda reading: (reading.day, reading.round, reading.at))
    for _, group in groupby(readings, key=lambda reading: (reading.day, reading.round)):
        together = tuple(group)
        used = {reading.instrument for reading in together}
        yield _size(together, tuple((name, instruments[name]) for name in sorted(used) if name in instruments))


@lru_cache(maxsize=2048)
def _size(readings: tuple[BoreReading, ...], instruments: tuple[tuple[str, Instrument], ...]) -> HoleSize:
    """Work out a size once: readings do not change, but after each new entry the whole machine is assessed again."""
    return hole_size(readings, dict(instruments))


@dataclass(frozen=True, slots=True)
class Index:
    """What every part of the assessment needs at hand; lists are in the order of the log."""

    machine: Machine
    logbook: Logbook
    instruments: Mapping[str, Instrument]
    bores: dict[str, list[BoreReading]] = field(default_factory=dict)
    pins: dict[str, list[PinReading]] = field(default_factory=dict)
    walls: dict[str, list[WallReading]] = field(default_factory=dict)
    lengths: dict[str, list[LengthReading]] = field(default_factory=dict)
    ligaments: dict[str, list[LigamentReading]] = field(default_factory=dict)
    trials: dict[str, list[Trial]] = field(default_factory=dict)
    plays: dict[str, list[Play]] = field(default_factory=dict)
    threads: dict[str, list[ThreadReading]] = field(default_factory=dict)
    turns: dict[str, list[TurnsReading]] = field(default_factory=dict)
    keeps: dict[str, Keep] = field(default_factory=dict)
    notes: list[Note] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    meter: list[MeterReading] = field(default_factory=list)

    @property
    def units(self) -> Units:
        """The units that findings speak in."""
        return self.logbook.units


def index_of(log: MachineLog, logbook: Logbook) -> Index:
    """Return the standing entries of a machine by hole, joint, link and kind."""
    index = Index(log.machine, logbook, {instrument.id: instrument for instrument in logbook.instruments})
    for entry in log.entries:
        if not log.struck or entry.key not in log.struck:
            _put(entry, index)
    return index


def _put(entry: AnyEntry, index: Index) -> None:
    match entry:
        case LengthReading() | ThreadReading() | TurnsReading():
            _put_link(entry, index)
        case BoreReading():
            index.bores.setdefault(entry.hole, []).append(entry)
        case PinReading():
            index.pins.setdefault(entry.joint, []).append(entry)
        case LigamentReading() | WallReading():
            _put_beside(entry, index)
        case Keep():
            index.keeps[entry.target] = entry
        case Note():
            index.notes.append(entry)
        case Event():
            index.events.append(entry)
        case _:
            _put_rarer(entry, index)


def _put_rarer(entry: AnyEntry, index: Index) -> None:
    match entry:
        case Trial():
            index.trials.setdefault(entry.hole, []).append(entry)
        case Play():
            index.plays.setdefault(entry.joint, []).append(entry)
        case MeterReading():
            index.meter.append(entry)


def _put_link(entry: LengthReading | ThreadReading | TurnsReading, index: Index) -> None:
    match entry:
        case LengthReading():
            index.lengths.setdefault(entry.link, []).append(entry)
        case ThreadReading():
            index.threads.setdefault(entry.link, []).append(entry)
        case TurnsReading():
            index.turns.setdefault(entry.link, []).append(entry)


def _put_beside(entry: LigamentReading | WallReading, index: Index) -> None:
    """Put what is measured of a hole beside its bore: the metal round it, its bush's wall."""
    if isinstance(entry, WallReading):
        index.walls.setdefault(entry.hole, []).append(entry)
    else:
        index.ligaments.setdefault(entry.hole, []).append(entry)


PUT_OFF = "put off"


def still_put_off(joint: Joint, index: Index) -> tuple[Event, ...]:
    """Return what was put off on a joint since it was last made new, oldest first."""
    about = sorted((event for event in index.events if touches_joint(event, joint, index.machine)), key=moment)
    done = max((moment(event) for event in about if event.deed in RENEWING_DEEDS), default=None)
    return tuple(event for event in about if event.deed == PUT_OFF and (done is None or moment(event) > done))


def put_off_said(events: Iterable[Event]) -> tuple[Said, ...]:
    """Say of each thing put off on which day, by whom and why."""
    return tuple(said("step.put_off", event=event) for event in events)
