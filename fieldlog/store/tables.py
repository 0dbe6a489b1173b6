"""Arrays of tables into records: each record on its own, each fault with its line."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Generic, Protocol, TypeVar

from fieldlog.quantity.lengths import Length
from fieldlog.records.checks import StudyReading
from fieldlog.records.entries import (
    BoreReading,
    LengthReading,
    LigamentReading,
    PinReading,
    Play,
    ThreadReading,
    Trial,
    WallReading,
)
from fieldlog.records.machine import Joint
from fieldlog.records.problems import Problem
from fieldlog.store.document import Document
from fieldlog.store.schema import Fault, known_keys, record_from, record_lists
from fieldlog.store.values import shown


class Named(Protocol):
    """A record with a short name of its own."""

    @property
    def id(self) -> str:
        """The short name."""


R = TypeVar("R")
R_co = TypeVar("R_co", covariant=True)
N = TypeVar("N", bound=Named)

ALONE = -1  # the place of a table that is not one of an array
LARGEST_HOLE_MM = 200
LONGEST_LINK_MM = 10_000
ACCEPTED_HOLE = "a hole or pin is above 0 and at most 200 mm"
LARGEST_LIGAMENT_MM = 300
ACCEPTED_LIGAMENT = "the metal beside a hole is above 0 and at most 300 mm"
MOST_PLAY_MM = 50
ACCEPTED_PLAY = "play or a feeler is at most 50 mm"
ACCEPTED_LINK = "a link is above 0 and at most 10 m long"
NOTHING: Mapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Placed(Generic[R_co]):
    """A record and where it stands: in which file, and as which one of its array."""

    record: R_co
    document: Document
    place: tuple[str, int]

    def problem(self, key: str, wrong: str, accepted: str) -> Problem:
        """Return a problem with the line of one of the record's keys."""
        return self.document.problem(self.place, key, wrong, accepted)


def read_array(
    document: Document,
    name: str,
    kind: type[R],
    *,
    given: Mapping[str, object] = NOTHING,
    defaults: Mapping[str, object] = NOTHING,
) -> tuple[list[Placed[R]], list[Problem]]:
    """Return the records under [[name]] and what is wrong with the others.

    What is `given` holds for all of them whatever they say; `defaults` for those that say nothing.
    """
    found = document.table.get(name, [])
    if not isinstance(found, list):
        return [], [document.problem((name, 0), "", f"{name} is not a list of records", f"write [[{name}]]")]
    placed: list[Placed[R]] = []
    problems: list[Problem] = []
    for index, table in enumerate(found):
        record = _record(kind, table, given, defaults)
        if isinstance(record, tuple):
            problems += [document.problem((name, index), *_parts(fault)) for fault in record]
        else:
            placed.append(Placed(record, document, (name, index)))
    return placed, problems


def _parts(fault: Fault) -> tuple[str, str, str]:
    return fault.key, fault.wrong, fault.accepted


def _record(
    kind: type[R], table: object, given: Mapping[str, object], defaults: Mapping[str, object]
) -> R | tuple[Fault, ...]:
    if not isinstance(table, dict):
        return (Fault("", f"{shown(table)} is not a record", "write key = value lines under a [[...]] heading"),)
    record = record_from(kind, {**defaults, **table, **given})
    if isinstance(record, tuple):
        return record
    fault = size_fault(record)
    return record if fault is None else (fault,)


def read_named(document: Document, name: str, kind: type[N]) -> tuple[list[Placed[N]], list[Problem]]:
    """Return the records under [[name]] that have an id; one whose id is taken is not used."""
    placed, problems = read_array(document, name, kind)
    kept: dict[str, Placed[N]] = {}
    for item in placed:
        if not item.record.id.strip():
            problems.append(item.problem("id", "is empty", "write a short name of its own"))
        elif item.record.id in kept:
            wrong = f"{shown(item.record.id)} is taken by one above, so this one is not used"
            problems.append(item.problem("id", wrong, "write a short name of its own"))
        else:
            kept[item.record.id] = item
    return list(kept.values()), problems


def read_head(
    document: Document, kind: type[R], *, fixed: Mapping[str, object], defaults: Mapping[str, object] = NOTHING
) -> tuple[R | None, list[Problem]]:
    """Return the record that the keys at the top of a file hold, with `fixed` ones whatever the file says.

    A key that cannot be used is left at its default; without one there is no record.
    """
    names = frozenset(known_keys(kind)) - record_lists(kind)  # type: ignore[arg-type] # a class is hashable
    table = {key: value for key, value in document.table.items() if key in names and not isinstance(value, list)}
    record = record_from(kind, {**defaults, **table, **fixed})
    if not isinstance(record, tuple):
        return record, []
    problems = [document.problem(("", 0), *_parts(fault)) for fault in record]
    for fault in record:
        table.pop(fault.key, None)
    record = record_from(kind, {**defaults, **table, **fixed})
    return None if isinstance(record, tuple) else record, problems


def read_alone(document: Document, name: str, kind: type[R]) -> tuple[R | None, list[Problem]]:
    """Return the record of a table that stands alone, as [hitch] does; None without one.

    A key that cannot be used is left out and reported.
    """
    found = document.table.get(name)
    if found is None:
        return None, []
    place = (name, ALONE)
    if not isinstance(found, dict):
        return None, [document.problem(place, "", f"{shown(found)} is not a table", f"write [{name}] before its keys")]
    table = {key: value for key, value in found.items() if key in known_keys(kind)}
    record = record_from(kind, table)
    if not isinstance(record, tuple):
        return record, []
    problems = [document.problem(place, *_parts(fault)) for fault in record]
    for fault in record:
        table.pop(fault.key, None)
    record = record_from(kind, table)
    return None if isinstance(record, tuple) else record, problems


def size_fault(record: object) -> Fault | None:
    """Return what is wrong with a size that no hole, pin or link has: a slip of the unit or of a finger."""
    match record:
        case BoreReading() | PinReading() | Trial() | StudyReading() | WallReading():
            size = record.size
            key, most_mm, accepted = "size", LARGEST_HOLE_MM, ACCEPTED_HOLE
        case Joint(pin=Length() as size):
            key, most_mm, accepted = "pin", LARGEST_HOLE_MM, ACCEPTED_HOLE
        case LigamentReading(size=size):
            key, most_mm, accepted = "size", LARGEST_LIGAMENT_MM, ACCEPTED_LIGAMENT
        case LengthReading() | ThreadReading():
            return _link_fault(record)
        case Play(size=size):
            return None if size.mm <= MOST_PLAY_MM else Fault("size", f"{size.typed} cannot be right", ACCEPTED_PLAY)
        case _:
            return None
    return None if 0 < size.mm <= most_mm else Fault(key, f"{size.typed} cannot be right", accepted)


def _link_fault(record: LengthReading | ThreadReading) -> Fault | None:
    if isinstance(record, ThreadReading):  # nothing stands out of a link that is screwed right in
        is_right = 0 <= record.exposed.mm <= LONGEST_LINK_MM
        return None if is_right else Fault("exposed", f"{record.exposed.typed} cannot be right", ACCEPTED_LINK)
    size, start = record.size, record.start
    if start is not None and not 0 < start.mm < size.mm:
        return Fault("start", f"{start.typed} is not below the {size.typed} read", 'write start = "100 mm"')
    return None if 0 < size.mm <= LONGEST_LINK_MM else Fault("size", f"{size.typed} cannot be right", ACCEPTED_LINK)
