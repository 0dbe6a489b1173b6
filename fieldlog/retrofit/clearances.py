"""How close an implement comes to the cab, the rear tyre and the ground, at the four corners and in between.

A hydraulic top link can be run to either end at any height of the hitch. So the closed and the open link are looked
at with the balls lowest and highest, and the whole field between them is searched for the worst.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, NamedTuple

from fieldlog.measure.figure import figure_limit
from fieldlog.retrofit.carried import PLUMBED_MM, Measure
from fieldlog.retrofit.linkage import Linkage, Offset, Pose, pose_at, with_top_link
from fieldlog.retrofit.plane import CannotReach, Point, distance_mm

Obstacle = Literal["cab", "tyre", "ground"]

WANTED_MM: Mapping[Obstacle, float] = MappingProxyType(
    {
        "cab": 100.0,  # common practice: cab, glass and hoses at the worst corner
        "tyre": 100.0,  # lower hitch point clearance of ISO 730, from memory; 50 mm where nothing moves
        "ground": 0.0,  # below the ground an implement digs
    }
)
_STEPS = 12
_SHRINKS = 12


class ClearPoint(NamedTuple):
    """A point of the implement that must clear things; in the track of a tyre or not; `typed` is how it is written."""

    name: str
    at: Offset
    in_track: bool = False
    typed: str = ""

    @property
    def figures(self) -> dict[str, Measure]:
        """Where it is on its implement, with the doubt of its taping."""
        source, how = f"± {PLUMBED_MM:g} mm, common practice", "plumb line, floor and eye"
        behind, above = (figure_limit(f"{self.name}, {way}: {how}", PLUMBED_MM, source) for way in ("behind", "above"))
        typed = (self.typed,) if self.typed else ()
        return {
            "corner_behind": Measure(self.at.behind_mm, (behind,), f"{self.name}, behind", typed=typed),
            "corner_above": Measure(self.at.above_mm, (above,), f"{self.name}, above", typed=typed),
        }


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What stands in the way on the tractor: the cab's rear plane and the rear tyre; None where there is none."""

    cab_mm: float | None = None
    tyre_centre: Point | None = None
    tyre_radius_mm: float = 0.0


class Clearance(NamedTuple):
    """The room between a point of the implement and something; below zero it is inside it."""

    obstacle: Obstacle
    point: str
    room_mm: float

    @property
    def spare_mm(self) -> float:
        """How much more room there is than wanted."""
        return self.room_mm - WANTED_MM[self.obstacle]


def by_gravity(clear: Clearance) -> tuple[int, float]:
    """Sort what hits or nearly hits the tractor before what digs, and that before what is clear; least room first."""
    short = clear.spare_mm < 0
    return (0 if short and clear.obstacle != "ground" else 1 if short else 2), clear.spare_mm


class Worst(NamedTuple):
    """The least room to one obstacle over a field of link lengths and heights, and where it is."""

    clearance: Clearance
    length_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Field:
    """The link lengths and ball heights that are looked at."""

    closed_mm: float
    open_mm: float
    lowest_mm: float
    highest_mm: float


def clearances_at(pose: Pose, points: Sequence[ClearPoint], around: Surroundings) -> tuple[Clearance, ...]:
    """Return the room of every point to every obstacle that concerns it, the worst first."""
    found = [clear for point in points for clear in _of_point(point, pose.place(point.at), around)]
    return tuple(sorted(found, key=by_gravity))


def _of_point(point: ClearPoint, place: Point, around: Surroundings) -> Iterator[Clearance]:
    if around.cab_mm is not None:
        yield Clearance("cab", point.name, place.x_mm - around.cab_mm)
    if around.tyre_centre is not None and point.in_track:
        yield Clearance("tyre", point.name, distance_mm(place, around.tyre_centre) - around.tyre_radius_mm)
    yield Clearance("ground", point.name, place.y_mm)


def nearest_of_each(rooms: Sequence[Clearance]) -> tuple[Clearance, ...]:
    """Return the least room to each obstacle, worst first."""
    found: dict[str, Clearance] = {}
    for clear in rooms:
        known = found.get(clear.obstacle)
        if known is None or clear.room_mm < known.room_mm:
            found[clear.obstacle] = clear
    return tuple(sorted(found.values(), key=by_gravity))


def least_rooms(
    linkage: Linkage, field: Field, points: Sequence[ClearPoint], around: Surroundings
) -> tuple[Worst, ...]:
    """Return the least room to each obstacle over the whole field, the worst first.

    A grid over length and height, its edges and corners in it, then ever smaller steps about each worst place. Where
    the links cannot be pinned there is nothing to hit.
    """
    worst: dict[Obstacle, Worst] = {}
    for length_mm in _steps(field.closed_mm, field.open_mm):
        at_length = with_top_link(linkage, length_mm)
        for height_mm in _steps(field.lowest_mm, field.highest_mm):
            _note(worst, at_length, height_mm, points, around)
    for obstacle in tuple(worst):
        worst[obstacle] = _refined(worst[obstacle], linkage, field, points, around)
    return tuple(sorted(worst.values(), key=lambda found: by_gravity(found.clearance)))


def _steps(low_mm: float, high_mm: float) -> list[float]:
    return [low_mm + (high_mm - low_mm) * step / _STEPS for step in range(_STEPS + 1)]


def _note(
    worst: dict[Obstacle, Worst],
    linkage: Linkage,
    height_mm: float,
    points: Sequence[ClearPoint],
    around: Surroundings,
) -> None:
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return
    for point in points:
        for clear in _of_point(point, pose.place(point.at), around):
            known = worst.get(clear.obstacle)
            if known is None or clear.room_mm < known.clearance.room_mm:
                worst[clear.obstacle] = Worst(clear, linkage.top_link_mm, height_mm)


def _refined(start: Worst, linkage: Linkage, field: Field, points: Sequence[ClearPoint], around: Surroundings) -> Worst:
    """Walk downhill from a place of the grid with steps that halve."""
    best = start
    length_step, height_step = (field.open_mm - field.closed_mm) / _STEPS, (field.highest_mm - field.lowest_mm) / _STEPS
    for _ in range(_SHRINKS):
        tried: dict[Obstacle, Worst] = {best.clearance.obstacle: best}
        for sideways, up in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            length_mm = min(max(best.length_mm + sideways * length_step, field.closed_mm), field.open_mm)
            height_mm = min(max(best.height_mm + up * height_step, field.lowest_mm), field.highest_mm)
            _note(tried, with_top_link(linkage, length_mm), height_mm, points, around)
        better = tried[best.clearance.obstacle]
        if better is best:
            length_step, height_step = length_step / 2, height_step / 2
        best = better
    return best
