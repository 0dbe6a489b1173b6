"""Arrays of tables into records: each record on its own, each fault with its line."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Generic, Protocol, TypeVar

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
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
ACCEPTED_HOLE = said("accepted.hole_size", most=LARGEST_HOLE_MM)
LARGEST_LIGAMENT_MM = 300
ACCEPTED_LIGAMENT = said("accepted.ligament_size", most=LARGEST_LIGAMENT_MM)
MOST_PLAY_MM = 50
ACCEPTED_PLAY = said("accepted.play_size", most=MOST_PLAY_MM)
ACCEPTED_LINK = said("accepted.link_size")
NOTHING: Mapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Placed(Generic[R_co]):
    """A record and where it stands: in which file, and as which one of its array."""

    record: R_co
    document: Document
    place: tuple[str, int]

    def problem(self, key: str, wrong: Said, accepted: Said | None) -> Problem:
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
        wrong, accepted = said("problem.not_records", name=name), said("accepted.heading", name=name)
        return [], [document.problem((name, 0), "", wrong, accepted)]
    placed: list[Placed[R]] = []
    problems: list[Problem] = []
    for index, table in enumerate(found):
        record = _record(kind, table, given, defaults)
        if isinstance(record, tuple):
            problems += [document.problem((name, index), *_parts(fault)) for fault in record]
        else:
            placed.append(Placed(record, document, (name, index)))
    return placed, problems


def _parts(fault: Fault) -> tuple[str, Said, Said | None]:
    return fault.key, fault.wrong, fault.accepted


def _record(
    kind: type[R], table: object, given: Mapping[str, object], defaults: Mapping[str, object]
) -> R | tuple[Fault, ...]:
    if not isinstance(table, dict):
        return (Fault("", said("problem.not_a_record", value=shown(table)), said("accepted.keys_under_heading")),)
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
            problems.append(item.problem("id", said("problem.empty"), said("accepted.own_id")))
        elif item.record.id in kept:
            wrong = said("problem.id_taken", value=shown(item.record.id))
            problems.append(item.problem("id", wrong, said("accepted.own_id")))
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
        wrong, accepted = said("problem.not_a_table", value=shown(found)), said("accepted.table", name=name)
        return None, [document.problem(place, "", wrong, accepted)]
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
            return None if size.mm <= MOST_PLAY_MM else _cannot_be("size", size, ACCEPTED_PLAY)
        case _:
            return None
    return None if 0 < size.mm <= most_mm else _cannot_be(key, size, accepted)


def _cannot_be(key: str, size: Length, accepted: Said) -> Fault:
    return Fault(key, said("problem.cannot_be_right", value=shortened(size.typed)), accepted)


def _link_fault(record: LengthReading | ThreadReading) -> Fault | None:
    if isinstance(record, ThreadReading):  # nothing stands out of a link that is screwed right in
        is_right = 0 <= record.exposed.mm <= LONGEST_LINK_MM
        return None if is_right else _cannot_be("exposed", record.exposed, ACCEPTED_LINK)
    size, start = record.size, record.start
    if start is not None and not 0 < start.mm < size.mm:
        wrong = said("problem.start_not_below", start=shortened(start.typed), size=shortened(size.typed))
        return Fault("start", wrong, said("accepted.write", example='start = "100 mm"'))
    return None if 0 < size.mm <= LONGEST_LINK_MM else _cannot_be("size", size, ACCEPTED_LINK)
