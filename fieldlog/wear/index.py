"""A machine's standing entries sorted by what they are about, in one pass."""

from collections.abc import Mapping
from dataclasses import field

from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Event,
    Keep,
    LengthReading,
    LigamentReading,
    MeterReading,
    Note,
    PinReading,
    Play,
    ThreadReading,
    Trial,
    TurnsReading,
    WallReading,
)
from fieldlog.records.frozen import dataclass
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Instrument, Logbook, Machine
from fieldlog.records.quantities import Units


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
