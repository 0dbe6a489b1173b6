"""What the types cannot tell of a hitch: sizes no hitch has, holes nobody knows, links that cannot meet.

What cannot be used is reported and left out, so that nothing is worked out from it; the rest stays.

The hitches of a logbook as far as they are written down, each with every implement of the fleet.

[hitch] and implements are read when a hitch is looked at, not at the start; only what is wrong with them is told with
the other problems. Implements stand in logbook.toml because they are used on several tractors.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.records.hitch import (
    Angle,
    Directed,
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
from fieldlog.store.document import Document, open_document
from fieldlog.store.files import LOGBOOK_FILE, MACHINE_FILE
from fieldlog.store.meaning import known_names
from fieldlog.store.schema import record_from
from fieldlog.store.tables import ALONE, Placed, read_alone, read_named
from fieldlog.store.values import shown

T = TypeVar("T")

# the most that a hitch of any category has, with room to spare: a slip of the unit or of a finger lies beyond
_MOST_MM: Mapping[str, int] = MappingProxyType(
    {
        "lower_link": 2500,
        "ball_span": 2000,
        "lift_arm": 1500,
        "lift_rod": 2000,
        "from_pivot": 2500,
        "height": 1500,
        "tyre_radius": 1500,
        "axle_up": 1500,
    }
)
_MOST_UP_MM = 4000
_MOST_ASIDE_MM = 6000


def check_hitch(
    parts: HitchParts, place: Placed[Hitch], tops: Sequence[Placed[TopLinkHole]], rods: Sequence[Placed[RodHole]]
) -> tuple[HitchParts, list[Problem]]:
    """Return what of a hitch can be used, and what is wrong with the rest."""
    problems: list[Problem] = []
    top_holes = _kept(tops, problems)
    rod_holes = _kept(rods, problems)
    if parts.hitch is None:
        return HitchParts(None, top_holes, rod_holes), problems
    hitch = _without_bad_sizes(parts.hitch, place, problems)
    hitch = _with_known(hitch, place, "top_hole", [hole.id for hole in top_holes], problems)
    for key in ("rod_hole", "heights_hole"):
        hitch = _with_known(hitch, place, key, [hole.id for hole in rod_holes], problems)
    hitch = _with_heights(hitch, place, problems)
    within = tuple(hole for hole in rod_holes if _is_on_the_link(hole, hitch, rods, problems))
    problems += _lift_that_misses(hitch, within, place)
    return HitchParts(hitch, top_holes, within), problems


def check_implements(
    implements: Sequence[Placed[Implement]], masts: Sequence[Placed[MastHole]], points: Sequence[Placed[ImplementPoint]]
) -> tuple[Implements, list[Problem]]:
    """Return what of the implements can be used, and what is wrong with the rest."""
    problems: list[Problem] = []
    ids = [item.record.id for item in implements]
    mast_holes = tuple(_of_known(_placed(masts, problems), ids, problems))
    corners = tuple(_of_known(_placed(points, problems), ids, problems))
    usable = []
    for item in implements:
        implement = _without_bad_sizes(item.record, item, problems)
        known = [hole.id for hole in mast_holes if hole.implement == implement.id]
        implement = _with_known(implement, item, "mast_hole", known, problems)
        usable.append(_with_working_heights(implement, item, problems))
    return Implements(tuple(usable), mast_holes, corners), problems


def size_fault(key: str, value: object) -> tuple[Said, Said] | None:
    """Return what is wrong with one size of a hitch or implement and what would be accepted, None when nothing is."""
    if isinstance(value, Length):
        most_mm = _MOST_MM.get(key, _MOST_UP_MM)
        if 0 < value.mm <= most_mm:
            return None
        return _cannot_be(value), said("accepted.hitch_size", key=key, most=most_mm)
    if isinstance(value, Directed):
        if value.axis and value.axis != ("along" if key.endswith("behind") else "up"):
            way = said("accepted.behind_or_ahead") if key.endswith("behind") else said("accepted.above_or_below")
            return said("problem.wrong_way", typed=shortened(value.typed)), way
        if abs(value.mm) > _MOST_ASIDE_MM:
            return _cannot_be(value), said("accepted.at_most", most=_MOST_ASIDE_MM)
    if isinstance(value, Angle) and key == "roll" and value.deg == 0:
        return said("problem.no_roll"), said("accepted.roll")
    return None


def _cannot_be(value: Length | Directed) -> Said:
    return said("problem.cannot_be_right", value=shortened(value.typed))


def _without_bad_sizes(record: T, item: Placed[object], problems: list[Problem]) -> T:
    bad: dict[str, None] = {}
    for field in fields(record):  # type: ignore[arg-type] # every record is a dataclass
        fault = size_fault(field.name, getattr(record, field.name))
        if fault is not None:
            problems.append(item.problem(field.name, *fault))
            bad[field.name] = None
    return replace(record, **bad) if bad else record  # type: ignore[type-var] # a dataclass whose sizes may be None


def _placed(items: Sequence[Placed[T]], problems: list[Problem]) -> Iterable[Placed[T]]:
    for item in items:
        faults = [
            item.problem(field.name, *fault)
            for field in fields(item.record)  # type: ignore[arg-type] # every record is a dataclass
            if (fault := size_fault(field.name, getattr(item.record, field.name))) is not None
        ]
        problems += faults
        if not faults:
            yield item


def _kept(items: Sequence[Placed[T]], problems: list[Problem]) -> tuple[T, ...]:
    return tuple(item.record for item in _placed(items, problems))


def _of_known(items: Iterable[Placed[T]], ids: Sequence[str], problems: list[Problem]) -> Iterable[T]:
    for item in items:
        name = getattr(item.record, "implement", "")
        if name in ids:
            yield item.record
        else:
            problems.append(item.problem("implement", said("problem.unknown", value=shown(name)), known_names(ids)))


def _with_known(record: T, item: Placed[object], key: str, ids: Sequence[str], problems: list[Problem]) -> T:
    name = getattr(record, key)
    if not name or name in ids:
        return record
    problems.append(item.problem(key, said("problem.unknown", value=shown(name)), known_names(ids)))
    return replace(record, **{key: ""})  # type: ignore[type-var] # every record is a dataclass


def _with_heights(hitch: Hitch, place: Placed[Hitch], problems: list[Problem]) -> Hitch:
    """Leave out heights of the balls that are upside down or out of the lower link's reach."""
    low, high = hitch.ball_lowest, hitch.ball_highest
    if low is not None and high is not None and low.mm >= high.mm:
        wrong = said("problem.not_higher", high=shortened(high.typed), low=shortened(low.typed))
        problems.append(place.problem("ball_highest", wrong, said("accepted.ball_heights")))
        return replace(hitch, ball_lowest=None, ball_highest=None)
    if hitch.lower_link is None or hitch.lower_pivot_up is None:
        return hitch
    for key in ("ball_lowest", "ball_highest"):
        height: Length | None = getattr(hitch, key)
        beyond = 0 if height is None else abs(height.mm - hitch.lower_pivot_up.mm) - hitch.lower_link.mm
        if height is not None and beyond >= 0:
            wrong = said("problem.out_of_reach", height=shortened(height.typed), beyond_mm=f"{float(beyond):.0f}")
            problems.append(place.problem(key, wrong, said("accepted.tape_link_again")))
            hitch = replace(hitch, ball_lowest=None) if key == "ball_lowest" else replace(hitch, ball_highest=None)
    return hitch


def _is_on_the_link(hole: RodHole, hitch: Hitch, placed: Sequence[Placed[RodHole]], problems: list[Problem]) -> bool:
    if hitch.lower_link is None or hole.from_pivot.mm < hitch.lower_link.mm:
        return True
    item = next(item for item in placed if item.record.id == hole.id)
    sizes = shortened(hole.from_pivot.typed), shortened(hitch.lower_link.typed)
    wrong = said("problem.beyond_link", hole=sizes[0], link=sizes[1])
    problems.append(item.problem("from_pivot", wrong, said("accepted.rod_hole")))
    return False


def _lift_that_misses(hitch: Hitch, rods: Sequence[RodHole], place: Placed[Hitch]) -> list[Problem]:
    """Report a lift rod that reaches from its hole to the lift arm at neither or only one of the taped heights."""
    from fieldlog.retrofit.hitch.lift import arm_at
    from fieldlog.retrofit.hitch.plane import CannotReach, Linkage, Point

    wanted = hitch.heights_hole or hitch.rod_hole
    hole = next((rod for rod in rods if rod.id == wanted), rods[0] if rods else None)
    sizes = (
        hitch.lower_pivot_behind, hitch.lower_pivot_up, hitch.lower_link, hitch.arm_pivot_behind, hitch.arm_pivot_up,
        hitch.lift_arm, hitch.lift_rod,
    )  # fmt: skip
    if hole is None or None in sizes:
        return []
    a_x, a_y, link, e_x, e_y, arm, rod = (float(size.mm) for size in sizes if size is not None)
    lower, lift = Point(a_x, a_y), Point(e_x, e_y)
    linkage = Linkage(lower, link, lower, 1.0, 1.0, lift, arm, rod, float(hole.from_pivot.mm), 1.0)
    found = []
    for height in (hitch.ball_lowest, hitch.ball_highest):
        miss = arm_at(linkage, float(height.mm)) if height is not None else 0.0
        if isinstance(miss, CannotReach) and height is not None:
            wrong = said("problem.rod_misses", height=shortened(height.typed), reach=miss.sentence())
            found.append(place.problem("lift_rod", wrong, said("accepted.tape_rod_again")))
    return found


def _with_working_heights(implement: Implement, item: Placed[Implement], problems: list[Problem]) -> Implement:
    low, high = implement.work_lowest, implement.work_highest
    if low is None or high is None or low.mm <= high.mm:
        return implement
    wrong = said("problem.work_lower", high=shortened(high.typed), low=shortened(low.typed))
    problems.append(item.problem("work_highest", wrong, said("accepted.working_heights")))
    return replace(implement, work_lowest=None, work_highest=None)


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
        wrong, accepted = said("problem.remotes", remotes=found.remotes), said("accepted.remotes", most=_MOST_REMOTES)
        problems.append(document.problem(place, "remotes", wrong, accepted))
    if found is not None and found.hose_inside is not None and not 0 < found.hose_inside.mm <= _MOST_HOSE_MM:
        wrong = said("problem.no_hose", size=shortened(found.hose_inside.typed))
        problems.append(document.problem(place, "hose_inside", wrong, said("accepted.hose")))
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
    hitch, problems = read_alone(document, HITCH, Hitch)
    tops, faults_1 = read_named(document, "top_holes", TopLinkHole)
    rods, faults_2 = read_named(document, "rod_holes", RodHole)
    parts = HitchParts(hitch, tuple(item.record for item in tops), tuple(item.record for item in rods))
    place = Placed(hitch or Hitch(), document, (HITCH, ALONE))
    left, checked = check_hitch(parts, place, tops, rods)
    return HitchRead(left, (*problems, *faults_1, *faults_2, *checked))


def read_implements(document: Document) -> ImplementsRead:
    """Return the implements in logbook.toml; a size that cannot be used is left out and reported."""
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
