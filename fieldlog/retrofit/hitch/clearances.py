"""How close an implement comes to the cab, the rear tyre and the ground, at the four corners and in between.

A hydraulic top link can be run to either end at any height of the hitch. So the closed and the open link are looked
at with the balls lowest and highest, and the whole field between them is searched for the worst.

The length that a top link, screw or cylinder, must reach for the pitch wanted at the working heights.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, NamedTuple

from fieldlog.retrofit.carried import PLUMBED_MM, Given, own_limit
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Point,
    Pose,
    distance_mm,
    length_for_pitch_mm,
    pitch_deg,
    pose_at,
    with_top_link,
)

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
    id: str = ""

    @property
    def figures(self) -> dict[str, Given]:
        """Where it is on its implement, with the doubt of its taping."""
        ways = ("behind", self.at.behind_mm), ("above", self.at.above_mm)
        return {f"corner_{way}": self._given(way, mm) for way, mm in ways}

    def _given(self, way: str, mm: float) -> Given:
        name, given_id = f"{self.name}, {way}", f"{self.id}/{way}"
        words = name, "plumb line, floor and eye", f"± {PLUMBED_MM:g} mm, common practice"
        typed = (self.typed,) if self.typed else ()
        return Given(mm, (own_limit(given_id, PLUMBED_MM, "setting", words),), name, typed=typed, id=given_id)


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
    point_id: str = ""

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
        yield Clearance("cab", point.name, place.x_mm - around.cab_mm, point.id)
    if around.tyre_centre is not None and point.in_track:
        apart_mm = distance_mm(place, around.tyre_centre)
        yield Clearance("tyre", point.name, apart_mm - around.tyre_radius_mm, point.id)
    yield Clearance("ground", point.name, place.y_mm, point.id)


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


RESERVE_MM = 10.0  # common practice: 10 to 15 mm of stroke in hand at both ends
_HEIGHT_STEPS = 24
_GOLDEN = 0.3819660112501051  # (3 - sqrt 5) / 2, golden section search


@dataclass(frozen=True, slots=True)
class Need:
    """The lengths needed at both ends, without and with reserve, and at which heights and pitches they are needed."""

    shortest_mm: float
    longest_mm: float
    shortest_at_mm: float
    longest_at_mm: float
    down_deg: float
    up_deg: float
    reserve_mm: float = RESERVE_MM

    @property
    def closed_mm(self) -> float:
        """The closed length at most, reserve taken off."""
        return self.shortest_mm - self.reserve_mm

    @property
    def open_mm(self) -> float:
        """The open length at least, reserve put on."""
        return self.longest_mm + self.reserve_mm


class PitchSpan(NamedTuple):
    """The pitch (fore-aft) with the link closed and open, balls at a height."""

    height_mm: float
    closed_deg: float | CannotReach
    open_deg: float | CannotReach


class Corner(NamedTuple):
    """One of the four corners: the link's length, the balls' height, and where the implement is."""

    length_mm: float
    height_mm: float
    pose: Pose | CannotReach


class Against(NamedTuple):
    """A range of lengths against the need: room in hand (+) or missing (-) at each end, and degrees of pitch lost."""

    closed_room_mm: float
    open_room_mm: float
    lost_down_deg: float | CannotReach
    lost_up_deg: float | CannotReach


def needed_range(
    linkage: Linkage,
    heights_mm: Sequence[float],
    down_deg: float,
    up_deg: float,
    reserve_mm: float = RESERVE_MM,
) -> Need | CannotReach:
    """Return the lengths needed for a pitch from `down_deg` (nose down, negative) to `up_deg` at working heights.

    The heights are taken as a band from their lowest to their highest; a length that is extreme between them counts.
    """
    low, high = min(heights_mm), max(heights_mm)
    shortest = _extreme(lambda height: length_for_pitch_mm(linkage, height, down_deg), low, high, 1.0)
    longest = _extreme(lambda height: length_for_pitch_mm(linkage, height, up_deg), low, high, -1.0)
    if isinstance(shortest, CannotReach):
        return shortest
    if isinstance(longest, CannotReach):
        return longest
    return Need(shortest[0], longest[0], shortest[1], longest[1], down_deg, up_deg, reserve_mm)


def widest(needs: Iterable[Need]) -> Need | None:
    """Return one need that covers all: the shortest and the longest length of any of them; None without any."""
    all_needs = tuple(needs)
    if not all_needs:
        return None
    short, long = min(all_needs, key=lambda need: need.closed_mm), max(all_needs, key=lambda need: need.open_mm)
    reserve_mm = max(need.reserve_mm for need in all_needs)
    return Need(
        short.closed_mm + reserve_mm,
        long.open_mm - reserve_mm,
        short.shortest_at_mm,
        long.longest_at_mm,
        short.down_deg,
        long.up_deg,
        reserve_mm,
    )


def pitch_span(
    linkage: Linkage, closed_mm: float, open_mm: float, heights_mm: Iterable[float]
) -> tuple[PitchSpan, ...]:
    """Return the pitch with the link closed and open, at each height."""
    closed, opened = with_top_link(linkage, closed_mm), with_top_link(linkage, open_mm)
    return tuple(PitchSpan(h, pitch_deg(closed, h), pitch_deg(opened, h)) for h in heights_mm)


def corners(linkage: Linkage, field: Field) -> tuple[Corner, ...]:
    """Return the four corners: closed lowest, closed highest, open lowest, open highest."""
    return tuple(
        Corner(length_mm, height_mm, pose_at(with_top_link(linkage, length_mm), height_mm))
        for length_mm in (field.closed_mm, field.open_mm)
        for height_mm in (field.lowest_mm, field.highest_mm)
    )


def against(linkage: Linkage, need: Need, closed_mm: float, open_mm: float) -> Against:
    """Return how a range of lengths stands against the need; degrees are lost at the height that needs the end.

    Room is counted to the need without its reserve: below zero, pitch is lost; below the reserve, the piston may
    come to sit on its end.
    """
    down = _lost_deg(linkage, need.shortest_at_mm, max(closed_mm, need.shortest_mm), need.down_deg)
    up = _lost_deg(linkage, need.longest_at_mm, min(open_mm, need.longest_mm), need.up_deg)
    return Against(need.shortest_mm - closed_mm, open_mm - need.longest_mm, down, up)


def _lost_deg(linkage: Linkage, height_mm: float, length_mm: float, wanted_deg: float) -> float | CannotReach:
    reached = pitch_deg(with_top_link(linkage, length_mm), height_mm)
    return reached if isinstance(reached, CannotReach) else abs(reached - wanted_deg)


def _extreme(
    length_at: Callable[[float], float | CannotReach], low: float, high: float, sign: float
) -> tuple[float, float] | CannotReach:
    """Return the least (sign 1) or greatest (sign -1) length over a band of heights, and the height it is at."""
    best: tuple[float, float] | None = None
    for step in range(_HEIGHT_STEPS + 1):
        height = low + (high - low) * step / _HEIGHT_STEPS
        length = length_at(height)
        if isinstance(length, CannotReach):
            return length
        if best is None or sign * length < sign * best[0]:
            best = (length, height)
    assert best is not None
    gap = (high - low) / _HEIGHT_STEPS
    return _golden(length_at, max(low, best[1] - gap), min(high, best[1] + gap), sign, best)


def _golden(
    length_at: Callable[[float], float | CannotReach], low: float, high: float, sign: float, best: tuple[float, float]
) -> tuple[float, float]:
    while high - low > 0.01:
        left, right = low + _GOLDEN * (high - low), high - _GOLDEN * (high - low)
        at_left, at_right = length_at(left), length_at(right)
        if isinstance(at_left, CannotReach) or isinstance(at_right, CannotReach):
            return best
        best = min(best, (at_left, left), (at_right, right), key=lambda found: sign * found[0])
        low, high = (low, right) if sign * at_left < sign * at_right else (left, high)
    return best
