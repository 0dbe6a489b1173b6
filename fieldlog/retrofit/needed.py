"""The length that a top link, screw or cylinder, must reach for the pitch wanted at the working heights.

- `needed_range(linkage, heights_mm, down_deg, up_deg)`: shortest and longest length needed, with reserve at each end.
- `pitch_span(linkage, closed_mm, open_mm, heights_mm)`: the pitch that a range of lengths gives, height by height.
- `corners(linkage, field)`: closed and open link, balls lowest and highest.
- `against(linkage, need, closed_mm, open_mm)`: room in hand at each end, and the degrees that are lost.
- `widest(needs)`: several implements on one hitch.

Pitch is fore-aft, nose up positive; every answer that no link can give is a `CannotReach`.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.retrofit.clearances import Field
from fieldlog.retrofit.linkage import Linkage, Pose, length_for_pitch_mm, pitch_deg, pose_at, with_top_link
from fieldlog.retrofit.plane import CannotReach

RESERVE_MM = 10.0  # common practice: 10 to 15 mm of stroke in hand at both ends
_STEPS = 24
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
    for step in range(_STEPS + 1):
        height = low + (high - low) * step / _STEPS
        length = length_at(height)
        if isinstance(length, CannotReach):
            return length
        if best is None or sign * length < sign * best[0]:
            best = (length, height)
    assert best is not None
    gap = (high - low) / _STEPS
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
