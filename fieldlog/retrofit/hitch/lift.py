"""Lift arm, lift rod and lower link: how high the balls go, and what one degree of the lift arm does.

The lift arm turns on the rockshaft (E), the rod (F to G) hangs from its end and holds the lower link (A to the ball).
Arm angles in degrees from straight back, up positive; lengths in mm.

Roll (side to side): what one lift rod does when the other keeps its length.

The lift arm's range is worked out from two taped ball heights, which a person can reach; angles cannot be taped. What
the lift stops fix is the arm's turn: in another lift-rod hole the heights follow from it, and `heights_hole` says in
which one they were taped. Typing both heights anew takes that key away.
"""

import math
from dataclasses import dataclass, replace

from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Point,
    away,
    ball_at,
    direction_deg,
    distance_mm,
    meeting,
)


def arm_end(linkage: Linkage, arm_deg: float) -> Point:
    """Return the end of the lift arm."""
    return away(linkage.arm_pivot, linkage.lift_arm_mm, arm_deg)


def rod_low_end(linkage: Linkage, arm_deg: float) -> Point | CannotReach:
    """Return where the rod meets the lower link: behind the line from the lower pivot to the arm's end."""
    end = arm_end(linkage, arm_deg)
    return meeting(linkage.lower_pivot, linkage.rod_hole_mm, end, linkage.rod_mm, "right", "lift rod")


def lower_link_deg(linkage: Linkage, arm_deg: float) -> float | CannotReach:
    """Return the lower link's angle for an angle of the lift arm."""
    low = rod_low_end(linkage, arm_deg)
    return low if isinstance(low, CannotReach) else direction_deg(linkage.lower_pivot, low)


def ball_of_arm(linkage: Linkage, arm_deg: float) -> Point | CannotReach:
    """Return the ball for an angle of the lift arm."""
    angle_deg = lower_link_deg(linkage, arm_deg)
    if isinstance(angle_deg, CannotReach):
        return angle_deg
    return away(linkage.lower_pivot, linkage.lower_link_mm, angle_deg)


def rod_hole(linkage: Linkage, height_mm: float) -> Point | CannotReach:
    """Return the lift rod's hole on the lower link with the balls at a height."""
    ball = ball_at(linkage, height_mm)
    if isinstance(ball, CannotReach):
        return ball
    return away(linkage.lower_pivot, linkage.rod_hole_mm, direction_deg(linkage.lower_pivot, ball))


def arm_at(linkage: Linkage, height_mm: float) -> float | CannotReach:
    """Return the lift arm's angle with the balls at a height; the rod hangs behind the line from arm pivot to hole."""
    low = rod_hole(linkage, height_mm)
    if isinstance(low, CannotReach):
        return low
    end = meeting(linkage.arm_pivot, linkage.lift_arm_mm, low, linkage.rod_mm, "left", "lift rod")
    return end if isinstance(end, CannotReach) else direction_deg(linkage.arm_pivot, end)


def height_range_mm(linkage: Linkage, low_deg: float, high_deg: float) -> tuple[float, float] | CannotReach:
    """Return the balls' lowest and highest heights for the lift arm's lowest and highest angle."""
    low, high = ball_of_arm(linkage, low_deg), ball_of_arm(linkage, high_deg)
    if isinstance(low, CannotReach):
        return low
    return high if isinstance(high, CannotReach) else (low.y_mm, high.y_mm)


def lift_rate_mm_per_rad(linkage: Linkage, arm_deg: float) -> float | CannotReach:
    """Return the balls' rise a radian of lift arm: r a cos(alpha) sin(arm ^ rod) / (g sin(link ^ rod)).

    From the rod keeping its length: both its ends move equally far along it. Force at the balls is the rockshaft's
    torque divided by this (virtual work), so it is the capacity turned upside down. Endless where the rod lies in
    line with the lower link.
    """
    low = rod_low_end(linkage, arm_deg)
    if isinstance(low, CannotReach):
        return low
    rod = math.radians(direction_deg(low, arm_end(linkage, arm_deg)))
    alpha = math.radians(direction_deg(linkage.lower_pivot, low))
    below = linkage.rod_hole_mm * math.sin(rod - alpha)
    along = linkage.lift_arm_mm * math.sin(rod - math.radians(arm_deg))
    rise = linkage.lower_link_mm * math.cos(alpha)
    return along / below * rise if abs(below) > 1e-9 else math.copysign(math.inf, along * rise)


def rod_for_height_mm(linkage: Linkage, arm_deg: float, height_mm: float) -> float | CannotReach:
    """Return the rod's length that holds the balls at a height with the lift arm at an angle."""
    low = rod_hole(linkage, height_mm)
    return low if isinstance(low, CannotReach) else distance_mm(arm_end(linkage, arm_deg), low)


def with_rod(linkage: Linkage, rod_mm: float) -> Linkage:
    """Return the same hitch with another length of lift rod."""
    return replace(linkage, rod_mm=rod_mm)


@dataclass(frozen=True, slots=True)
class Levelling:
    """What a rod does between its shortest and longest: roll both ways and how far its ball moves up and down."""

    up_deg: float
    down_deg: float
    up_mm: float
    down_mm: float

    @property
    def uneven_deg(self) -> float:
        """How much more roll there is with this side up than with it down."""
        return self.up_deg - self.down_deg


def roll_of_rise_deg(linkage: Linkage, rise_mm: float) -> float:
    """Return the roll when one ball stands higher than the other: atan(rise / span)."""
    return math.degrees(math.atan2(rise_mm, linkage.ball_span_mm))


def rise_mm(linkage: Linkage, arm_deg: float, rod_mm: float) -> float | CannotReach:
    """Return how much higher the ball on a rod of this length stands than the one on the linkage's own rod."""
    level, moved = ball_of_arm(linkage, arm_deg), ball_of_arm(with_rod(linkage, rod_mm), arm_deg)
    if isinstance(level, CannotReach):
        return level
    return moved if isinstance(moved, CannotReach) else moved.y_mm - level.y_mm


def roll_deg(linkage: Linkage, arm_deg: float, rod_mm: float) -> float | CannotReach:
    """Return the roll (side to side) with one rod at this length and the other as in the linkage."""
    rise = rise_mm(linkage, arm_deg, rod_mm)
    return rise if isinstance(rise, CannotReach) else roll_of_rise_deg(linkage, rise)


def rise_ratio(linkage: Linkage, arm_deg: float) -> float | CannotReach:
    """Return how far the ball rises for each mm the rod is shortened: a cos(alpha) / (g sin(rod ^ link)).

    About a / g while the rod stands square to the lower link; endless where the two lie in line.
    """
    low = rod_low_end(linkage, arm_deg)
    if isinstance(low, CannotReach):
        return low
    alpha = math.radians(direction_deg(linkage.lower_pivot, low))
    rod = math.radians(direction_deg(low, arm_end(linkage, arm_deg)))
    below = linkage.rod_hole_mm * math.sin(rod - alpha)
    rise = linkage.lower_link_mm * math.cos(alpha)
    return rise / below if abs(below) > 1e-9 else math.inf


def rod_for_roll_mm(linkage: Linkage, arm_deg: float, wanted_deg: float) -> float | CannotReach:
    """Return the rod's length for a roll; exact, by the height that its ball must have."""
    level = ball_of_arm(linkage, arm_deg)
    if isinstance(level, CannotReach):
        return level
    wanted_mm = level.y_mm + linkage.ball_span_mm * math.tan(math.radians(wanted_deg))
    return rod_for_height_mm(linkage, arm_deg, wanted_mm)


def stroke_for_roll_mm(linkage: Linkage, arm_deg: float, each_way_deg: float) -> float | CannotReach:
    """Return the stroke that a rod needs to roll so far each way; exact."""
    longest = rod_for_roll_mm(linkage, arm_deg, -each_way_deg)
    shortest = rod_for_roll_mm(linkage, arm_deg, each_way_deg)
    if isinstance(longest, CannotReach):
        return longest
    return shortest if isinstance(shortest, CannotReach) else longest - shortest


def stroke_by_ratio_mm(span_mm: float, each_way_deg: float, ratio: float) -> float:
    """Return the stroke by the short cut S = 2 s tan(roll) / ratio; good while the rod stands about square."""
    return 2 * span_mm * math.tan(math.radians(each_way_deg)) / ratio


def levelling(linkage: Linkage, arm_deg: float, shortest_mm: float, longest_mm: float) -> Levelling | CannotReach:
    """Return the roll that a rod gives between two lengths, the other rod staying as it is."""
    up, down = rise_mm(linkage, arm_deg, shortest_mm), rise_mm(linkage, arm_deg, longest_mm)
    if isinstance(up, CannotReach):
        return up
    if isinstance(down, CannotReach):
        return down
    return Levelling(roll_of_rise_deg(linkage, up), -roll_of_rise_deg(linkage, down), up, -down)


def off_middle_mm(closed_mm: float, open_mm: float, other_rod_mm: float) -> float:
    """Return how much a tilt cylinder's mid stroke is longer than the other rod; roll is equal both ways at nought."""
    return (closed_mm + open_mm) / 2 - other_rod_mm
