"""The hitches of a logbook as far as they are written down, each with every implement of the fleet.

The hydraulics in a machine.toml; read when a cylinder is looked at, not at the start.

The hitch in a machine.toml and the implements in logbook.toml; read when they are asked for, not at the start.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from fieldlog.records.hitch import (
    Hitch,
    HitchParts,
    Hydraulics,
    Implement,
    ImplementPoint,
    Implements,
    MastHole,
    RodHole,
    TopLinkHole,
)
from fieldlog.records.problems import Problem
from fieldlog.retrofit.hitch.field import HitchCase, hitch_cases
from fieldlog.store.document import Document, open_document
from fieldlog.store.files import LOGBOOK_FILE, MACHINE_FILE
from fieldlog.store.schema import record_from
from fieldlog.store.tables import ALONE, Placed, read_alone, read_named
from fieldlog.wear.states import MachineState


def read_cases(folder: Path, states: Sequence[MachineState]) -> tuple[HitchCase, ...]:
    """Return the cases of these machines, in their order."""
    implements = read_implements_file(folder).implements
    return tuple(
        case
        for state in states
        for case in hitch_cases(state.machine, read_hitch_file(folder, state.machine.id).parts, implements, state.links)
    )


HYDRAULICS = "hydraulics"
_MOST_REMOTES = 12
_MOST_HOSE_MM = 60


def read_hydraulics_file(folder: Path, machine_id: str) -> Hydraulics:
    """Return what a machine.toml says about its hydraulics; empty where it says nothing."""
    return read_hydraulics(open_document(folder, f"{machine_id}/{MACHINE_FILE}"))[0] or Hydraulics()


def read_hydraulics(document: Document) -> tuple[Hydraulics | None, list[Problem]]:
    """Return the hydraulics in a machine.toml, and what is wrong with them."""
    found, problems = read_alone(document, HYDRAULICS, Hydraulics)
    place = (HYDRAULICS, ALONE)
    if found is not None and found.remotes is not None and found.remotes > _MOST_REMOTES:
        wrong = f"{found.remotes} remotes cannot be right"
        problems.append(document.problem(place, "remotes", wrong, f"write how many there are, up to {_MOST_REMOTES}"))
    if found is not None and found.hose_inside is not None and not 0 < found.hose_inside.mm <= _MOST_HOSE_MM:
        wrong = f"{found.hose_inside.typed} is no hose"
        problems.append(document.problem(place, "hose_inside", wrong, 'write its inside diameter, as "3/8 in"'))
    return found, problems


HITCH = "hitch"
HITCH_TABLES: Mapping[str, type] = {"top_holes": TopLinkHole, "rod_holes": RodHole}
IMPLEMENT_TABLES: Mapping[str, type] = {"implements": Implement, "mast_holes": MastHole, "points": ImplementPoint}


@dataclass(frozen=True, slots=True)
class HitchRead:
    """A machine's hitch as read, and what is wrong with it."""

    parts: HitchParts
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class ImplementsRead:
    """The implements as read, and what is wrong with them."""

    implements: Implements
    problems: tuple[Problem, ...]


def read_hitch_file(folder: Path, machine_id: str) -> HitchRead:
    """Read what a machine.toml says about its hitch."""
    return read_hitch(open_document(folder, f"{machine_id}/{MACHINE_FILE}"))


def read_implements_file(folder: Path) -> ImplementsRead:
    """Read what logbook.toml says about implements."""
    return read_implements(open_document(folder, LOGBOOK_FILE))


def read_hitch(document: Document) -> HitchRead:
    """Return the hitch in a machine.toml; a size that cannot be used is left out and reported."""
    from fieldlog.store.hitch_meaning import check_hitch

    hitch, problems = read_alone(document, HITCH, Hitch)
    tops, faults_1 = read_named(document, "top_holes", TopLinkHole)
    rods, faults_2 = read_named(document, "rod_holes", RodHole)
    parts = HitchParts(hitch, tuple(item.record for item in tops), tuple(item.record for item in rods))
    place = Placed(hitch or Hitch(), document, (HITCH, ALONE))
    left, checked = check_hitch(parts, place, tops, rods)
    return HitchRead(left, (*problems, *faults_1, *faults_2, *checked))


def read_implements(document: Document) -> ImplementsRead:
    """Return the implements in logbook.toml; a size that cannot be used is left out and reported."""
    from fieldlog.store.hitch_meaning import check_implements

    document, faults_0 = _without_bad_keys(document)
    implements, faults_1 = read_named(document, "implements", Implement)
    masts, faults_2 = read_named(document, "mast_holes", MastHole)
    points, faults_3 = read_named(document, "points", ImplementPoint)
    left, checked = check_implements(implements, masts, points)
    return ImplementsRead(left, (*faults_0, *faults_1, *faults_2, *faults_3, *checked))


def _without_bad_keys(document: Document) -> tuple[Document, list[Problem]]:
    """Return the document with each implement's unusable keys left out, so that the rest of it is kept."""
    tables: list[object] = []
    problems: list[Problem] = []
    for index, table in enumerate(document.records("implements")):
        record = record_from(Implement, table) if isinstance(table, dict) else ()
        faults = [fault for fault in record if fault.key != "id"] if isinstance(record, tuple) else []
        problems += [
            document.problem(("implements", index), fault.key, fault.wrong, fault.accepted) for fault in faults
        ]
        bad = {fault.key for fault in faults}
        kept = {key: value for key, value in table.items() if key not in bad} if isinstance(table, dict) else table
        tables.append(kept)
    if not problems:
        return document, []
    return replace(document, table={**document.table, "implements": tables}), problems
