"""The PTO shaft between tractor and implement: joint angles, length, overlap, and how unevenly it turns.

Side view. The tractor's stub is level; the implement's input shaft leans with the implement. Angles in degrees, the
shaft rising towards the rear positive.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from fieldlog.retrofit.linkage import Linkage, Offset, pose_at, with_top_link
from fieldlog.retrofit.plane import CannotReach, Point, direction_deg, distance_mm

GOOD_DEG = 15.0  # trade figures: run up to this if you can
CONTINUOUS_DEG = 25.0  # trade figures: at most this while it works
MOMENTARY_DEG = 45.0  # trade figures: for a moment, unloaded
OVERLAP_MM = 150.0  # trade figures: 6 in of overlap at the longest
ROOM_MM = 25.0  # trade figures: 1 to 2 in left to close at the shortest

AngleWord = Literal["good", "allowed", "PTO off", "too much"]


class Shaft(NamedTuple):
    """The shaft at one position of the hitch."""

    length_mm: float
    tractor_deg: float
    implement_deg: float

    @property
    def steepest_deg(self) -> float:
        """The larger joint angle, without its sign."""
        return max(abs(self.tractor_deg), abs(self.implement_deg))


class ShaftSizes(NamedTuple):
    """A telescoping shaft pushed fully together: joint to joint, and how far its halves overlap then."""

    closed_mm: float
    overlap_mm: float

    def overlap_at(self, length_mm: float) -> float:
        """Return the overlap left at a length; below zero it has come apart."""
        return self.overlap_mm - (length_mm - self.closed_mm)


@dataclass(frozen=True, slots=True)
class Slip:
    """What the shaft must take up over a field of positions: its shortest and longest, and its steepest joint."""

    shortest_mm: float
    longest_mm: float
    steepest_deg: float

    @property
    def slip_mm(self) -> float:
        """How far it must telescope."""
        return self.longest_mm - self.shortest_mm


def shaft_at(linkage: Linkage, height_mm: float, stub: Point, joint: Offset) -> Shaft | CannotReach:
    """Return length and joint angles: tractor angle d = direction of the shaft, implement angle d + pitch."""
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    place = pose.place(joint)
    rising_deg = direction_deg(stub, place)
    return Shaft(distance_mm(stub, place), rising_deg, rising_deg + pose.pitch_deg)


def residual_deg(tractor_deg: float, implement_deg: float) -> float:
    """Return the angle of the one joint that would turn as unevenly as two in one plane: sqrt |b1^2 - b2^2|.

    Small-angle form for joints in phase, forks in line; from memory, as the trade gives it.
    """
    return math.sqrt(abs(tractor_deg**2 - implement_deg**2))


def unevenness(residual: float) -> float:
    """Return the swing of speed, largest less smallest, as a share of the mean: 1/cos b - cos b; below 90 degrees.

    A single joint turns its far end between cos b and 1/cos b of its speed (Cardan joint).
    """
    if residual >= 90:
        return math.inf
    cosine = math.cos(math.radians(residual))
    return 1 / cosine - cosine


def angle_word(steepest_deg: float) -> AngleWord:
    """Return what a joint angle allows, by the trade's figures."""
    if steepest_deg <= GOOD_DEG:
        return "good"
    if steepest_deg <= CONTINUOUS_DEG:
        return "allowed"
    return "PTO off" if steepest_deg <= MOMENTARY_DEG else "too much"


def slip(
    linkage: Linkage, lengths_mm: Iterable[float], heights_mm: Iterable[float], stub: Point, joint: Offset
) -> Slip | None:
    """Return what the shaft must take up over all these lengths and heights; None where none can be reached."""
    heights = tuple(heights_mm)
    found = [
        shaft
        for at_length in (with_top_link(linkage, length_mm) for length_mm in lengths_mm)
        for height_mm in heights
        if isinstance(shaft := shaft_at(at_length, height_mm, stub, joint), Shaft)
    ]
    if not found:
        return None
    lengths = [shaft.length_mm for shaft in found]
    return Slip(min(lengths), max(lengths), max(shaft.steepest_deg for shaft in found))
