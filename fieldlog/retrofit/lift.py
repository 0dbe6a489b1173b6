"""Lift arm, lift rod and lower link: how high the balls go, and what one degree of the lift arm does.

The lift arm turns on the rockshaft (E), the rod (F to G) hangs from its end and holds the lower link (A to the ball).
Arm angles in degrees from straight back, up positive; lengths in mm.
"""

import math
from dataclasses import replace

from fieldlog.retrofit.linkage import Linkage, ball_at
from fieldlog.retrofit.plane import CannotReach, Point, away, direction_deg, distance_mm, meeting


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
