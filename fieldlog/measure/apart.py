"""Readings of pins, walls, tapes and threads that stand apart from their repeats, by the same test as those of a hole.

Repeats are readings of the same thing in one round. What is measured in one way shares one scatter (a pin's place in
its two directions, the walls beside a hole, the ways of taping a link); each thing has its own mean.

Pins, walls, tapes and threads are marked by the same test (`measure/apart.py`): repeats of one thing in one round,
each thing with its own mean, all that is measured one way with one scatter.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import replace

from fieldlog.measure.hole import LineGroup
from fieldlog.measure.instruments import UNKNOWN_CALIPER, UNKNOWN_TAPE, step_mm, usual_repeatability_mm
from fieldlog.measure.suspect import Fineness, Mark, about_groups, marks_among
from fieldlog.quantity.lengths import Length
from fieldlog.records.clock import point_deg
from fieldlog.records.entries import Entry, LengthReading, LigamentReading, PinReading, ThreadReading, WallReading
from fieldlog.records.machine import Instrument

Repeated = PinReading | WallReading | LigamentReading | LengthReading | ThreadReading
_REPEATED = (PinReading, WallReading, LigamentReading, LengthReading, ThreadReading)
_ENOUGH_TO_SAY = 3


def repeat_marks(
    entries: Iterable[Entry], instruments: Mapping[str, Instrument], behind: Set[str] | None = None
) -> tuple[Mark, ...]:
    """Return which of the readings stand apart from their repeats, farthest first.

    With `behind`, only what is measured together with one of those keys is looked at.
    """
    found: list[Mark] = []
    for family in families(entries):
        if behind is not None and behind.isdisjoint(entry.key for entry in family):
            continue
        groups, by_key = _groups(family), {entry.key: entry for entry in family}
        for mark in marks_among(groups, _fineness(family, instruments)):
            entry = by_key[mark.key]
            found.append(replace(mark, typed=_size(entry).typed, clock="", place=_place(entry)))
    return tuple(sorted(found, key=lambda mark: -abs(mark.gap_mm)))


def about_readings(entries: Iterable[Entry], marks: Sequence[Mark]) -> tuple[str, ...]:
    """Return what three or more repeats of a kind, none of them marked, can tell about single readings."""
    marked = {mark.key for mark in marks}
    said: dict[str, None] = {}
    for family in families(entries):
        groups = _groups(family)
        most = max(len(group.keys) for group in groups)
        if most >= _ENOUGH_TO_SAY and marked.isdisjoint(entry.key for entry in family):
            said[about_groups(groups, len(family) - len(groups), "a place")] = None
    return tuple(said)


def families(entries: Iterable[Entry]) -> tuple[tuple[Repeated, ...], ...]:
    """Return the readings sorted into those that share a scatter."""
    found: dict[tuple[str, ...], list[Repeated]] = {}
    for entry in entries:
        if isinstance(entry, _REPEATED):
            found.setdefault(_family(entry), []).append(entry)
    return tuple(map(tuple, found.values()))


def _family(entry: Repeated) -> tuple[str, ...]:
    match entry:
        case PinReading():
            return ("pin", entry.round, entry.joint, entry.place)
        case WallReading():
            return ("bush", entry.round, entry.hole)
        case LigamentReading():
            return ("metal", entry.round, entry.hole)
        case LengthReading():
            by_eye = "centres" if entry.way == "centres" else ""
            return ("tape", entry.round, entry.link, by_eye, entry.instrument)
        case ThreadReading():
            return ("thread", entry.round, entry.link, entry.instrument)


def _place(entry: Repeated) -> str:
    """Return what was measured; readings with the same words are repeats of each other."""
    match entry:
        case PinReading():
            where = f" at {entry.clock.typed}" if entry.clock is not None else ""
            return f"at the pin's {'worn band' if entry.place == 'worn' else 'unworn end'}{where}"
        case WallReading():
            return f"of the bush's wall at {entry.clock.typed}" if entry.clock is not None else "of the bush's wall"
        case LigamentReading():
            return f"of the metal at {entry.clock.typed}"
        case LengthReading():
            holes = " to ".join(hole for hole in (entry.near_hole, entry.far_hole) if hole)
            return f"{entry.way}, {entry.state}{f', {holes}' if holes else ''}"
        case ThreadReading():
            return f"of thread out at the {entry.end} end, {entry.state}"


def _groups(family: Sequence[Repeated]) -> tuple[LineGroup, ...]:
    places: dict[str, list[Repeated]] = {}
    for entry in family:
        name = f"{point_deg(entry.clock)}" if isinstance(entry, LigamentReading) else _place(entry)
        places.setdefault(name, []).append(entry)
    return tuple(
        LineGroup(place, float(number), tuple(map(_size_mm, group)), tuple(entry.key for entry in group))
        for number, (place, group) in enumerate(places.items())
    )


def _size(entry: Repeated) -> Length:
    return entry.exposed if isinstance(entry, ThreadReading) else entry.size


def _size_mm(entry: Repeated) -> float:
    return float(entry.length_mm if isinstance(entry, LengthReading) else _size(entry).mm)


def _fineness(family: Sequence[Repeated], instruments: Mapping[str, Instrument]) -> Fineness:
    is_taped = isinstance(family[0], LengthReading | ThreadReading)
    unknown = UNKNOWN_TAPE if is_taped else UNKNOWN_CALIPER
    used = [(entry, instruments.get(entry.instrument, unknown)) for entry in family]
    return Fineness(
        usual_mm=max(usual_repeatability_mm(tool) for _, tool in used),
        step_mm=max(step_mm(_size(entry), tool) for entry, tool in used),
    )
