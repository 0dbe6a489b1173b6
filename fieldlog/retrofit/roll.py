"""Roll (side to side): what one lift rod does when the other keeps its length.

The balls stand the ball-centre span apart; raising one by dh rolls the implement by atan(dh / span). Positive roll
is the adjusted rod's side up, so a shorter rod rolls positive. The shoulder span of the implement is one ball
narrower and is not used here.
"""

import math
from dataclasses import dataclass

from fieldlog.retrofit.lift import arm_end, ball_of_arm, rod_for_height_mm, rod_low_end, with_rod
from fieldlog.retrofit.linkage import Linkage
from fieldlog.retrofit.plane import CannotReach, direction_deg


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
