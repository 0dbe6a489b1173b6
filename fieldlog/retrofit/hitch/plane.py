"""Where two links of known length meet in a plane, the closed form that every part of the hitch is solved with.

Two circles meet in two points, one on either side of the line between their centres. A linkage stays on its side
unless it is taken apart, so the side is what is asked for, not the upper or the lower point.

One hitch seen from the side, as plain numbers, and the implement's position at a height of the balls.

A linkage stays on its side. Two circles meet twice; `retrofit/hitch/plane.py` asks for the side, not for the upper
point, so a pitch past the line of mast and top link cannot be reached instead of jumping.
"""

import math
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import Refusal

Side = Literal["left", "right"]
LinkName = Literal["link", "top link", "lower link", "lift rod"]


class Point(NamedTuple):
    """A place in the side view: behind the rear axle's centre and above the ground, in mm."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class CannotReach(Refusal):
    """Two links that do not meet: by how much the one named is too short (+) or too long (-).

    `why` stands instead where no length is missing.
    """

    short_mm: float
    what: LinkName = "link"
    why: str | Said = ""

    @property
    def said(self) -> Said:
        """What is to be said of it, as the end of a sentence."""
        if self.why:
            return said("hitch.cannot_reach", why=self.why)
        return said("hitch.too_short_or_long", what=self.what, short_mm=self.short_mm)

    def sentence(self) -> str:
        """Return it in the words of a file's problem, for links that miss."""
        word = "short" if self.short_mm > 0 else "long"
        return f"cannot reach: {self.what} {max(abs(self.short_mm), 1):.0f} mm too {word}"


def distance_mm(first: Point, second: Point) -> float:
    """Return how far two points are apart."""
    return math.hypot(second.x_mm - first.x_mm, second.y_mm - first.y_mm)


def away(start: Point, length_mm: float, angle_deg: float) -> Point:
    """Return the end of a bar from `start`; 0 degrees is straight back, 90 straight up."""
    turn = math.radians(angle_deg)
    return Point(start.x_mm + length_mm * math.cos(turn), start.y_mm + length_mm * math.sin(turn))


def direction_deg(start: Point, end: Point) -> float:
    """Return the direction from one point to another, -180 to 180 degrees; 0 is straight back, 90 straight up."""
    return math.degrees(math.atan2(end.y_mm - start.y_mm, end.x_mm - start.x_mm))


def meeting(
    first: Point, first_mm: float, second: Point, second_mm: float, side: Side, what: LinkName = "link"
) -> Point | CannotReach:
    """Return where a bar from `first` and a bar from `second` meet, on one side of the way from first to second.

    Along the line between the centres, k = (r1^2 - r2^2 + d^2) / 2d; across it, h = sqrt(r1^2 - k^2). They meet
    while |r1 - r2| <= d <= r1 + r2 (the triangle inequality); outside that the answer is by how much the second
    bar misses. Lengths in mm, above zero. Euclid I.22; any book on planar linkages.
    """
    apart_mm = distance_mm(first, second)
    least_mm, most_mm = abs(apart_mm - first_mm), apart_mm + first_mm
    if second_mm < least_mm:
        return CannotReach(least_mm - second_mm, what)
    if second_mm > most_mm or apart_mm == 0:
        return CannotReach(most_mm - second_mm, what)
    along_mm = (first_mm**2 - second_mm**2 + apart_mm**2) / (2 * apart_mm)
    across_mm = math.sqrt(max(first_mm**2 - along_mm**2, 0.0))
    across_mm = across_mm if side == "left" else -across_mm
    ux, uy = (second.x_mm - first.x_mm) / apart_mm, (second.y_mm - first.y_mm) / apart_mm
    return Point(
        first.x_mm + along_mm * ux - across_mm * uy,
        first.y_mm + along_mm * uy + across_mm * ux,
    )


def crossing(first: tuple[Point, Point], second: tuple[Point, Point]) -> Point | None:
    """Return where the lines through two pairs of points cross, None when they are parallel."""
    (a, b), (c, d) = first, second
    ax, ay, cx, cy = b.x_mm - a.x_mm, b.y_mm - a.y_mm, d.x_mm - c.x_mm, d.y_mm - c.y_mm
    turn = ax * cy - ay * cx
    if abs(turn) <= 1e-9 * math.hypot(ax, ay) * math.hypot(cx, cy):
        return None
    share = ((c.x_mm - a.x_mm) * cy - (c.y_mm - a.y_mm) * cx) / turn
    return Point(a.x_mm + share * ax, a.y_mm + share * ay)


SAME_PITCH_DEG = 1e-3  # far finer than any reading, far coarser than float dust near the position in one line


@dataclass(frozen=True, slots=True)
class Linkage:
    """A hitch with one choice of holes and lengths.

    `bracket` is the top link's hole on the tractor, `rod_hole_mm` how far from the lower link's pivot the lift rod
    is pinned, `rod_mm` the rod's length, `mast_mm` from the balls to the upper hitch point.
    """

    lower_pivot: Point
    lower_link_mm: float
    bracket: Point
    top_link_mm: float
    mast_mm: float
    arm_pivot: Point
    lift_arm_mm: float
    rod_mm: float
    rod_hole_mm: float
    ball_span_mm: float


class Offset(NamedTuple):
    """A point of the implement as it is measured with the mast upright: behind and above the balls, in mm."""

    behind_mm: float
    above_mm: float


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the implement is: its ball, its upper hitch point, and its pitch (fore-aft, nose up positive)."""

    ball: Point
    upper: Point
    pitch_deg: float

    def place(self, offset: Offset) -> Point:
        """Return where a point of the implement is: its offset turned by the pitch about the balls."""
        turn = math.radians(self.pitch_deg)
        sin, cos = math.sin(turn), math.cos(turn)
        return Point(
            self.ball.x_mm + offset.behind_mm * cos + offset.above_mm * sin,
            self.ball.y_mm - offset.behind_mm * sin + offset.above_mm * cos,
        )


def ball_at(linkage: Linkage, height_mm: float) -> Point | CannotReach:
    """Return the ball at a height above ground: the lower link's end, behind its pivot.

    x = xA + sqrt(a^2 - (h - yA)^2), for |h - yA| <= a; beyond it the lower link is short by the rest.
    """
    rise_mm = height_mm - linkage.lower_pivot.y_mm
    if abs(rise_mm) > linkage.lower_link_mm:
        return CannotReach(abs(rise_mm) - linkage.lower_link_mm, "lower link")
    back_mm = math.sqrt(linkage.lower_link_mm**2 - rise_mm**2)
    return Point(linkage.lower_pivot.x_mm + back_mm, height_mm)


def pose_at(linkage: Linkage, height_mm: float) -> Pose | CannotReach:
    """Return the implement's position with the balls at a height, or by how much the top link misses."""
    ball = ball_at(linkage, height_mm)
    if isinstance(ball, CannotReach):
        return ball
    upper = meeting(ball, linkage.mast_mm, linkage.bracket, linkage.top_link_mm, "right", "top link")
    if isinstance(upper, CannotReach):
        return upper
    return Pose(ball, upper, 90.0 - direction_deg(ball, upper))


def pitch_deg(linkage: Linkage, height_mm: float) -> float | CannotReach:
    """Return the pitch (fore-aft) at a height of the balls, nose up positive."""
    pose = pose_at(linkage, height_mm)
    return pose if isinstance(pose, CannotReach) else pose.pitch_deg


def with_top_link(linkage: Linkage, top_link_mm: float) -> Linkage:
    """Return the same hitch with another length of top link."""
    return replace(linkage, top_link_mm=top_link_mm)


def length_for_pitch_mm(linkage: Linkage, height_mm: float, wanted_deg: float) -> float | CannotReach:
    """Return the top link's length that gives a pitch at a height: the distance from bracket to upper hitch point.

    L = |D - B| with D = C + m (sin pitch, cos pitch). Past the position where mast and top link lie in one line the
    same length gives another pitch, since the hitch stays on its side; such a pitch cannot be reached.
    """
    ball = ball_at(linkage, height_mm)
    if isinstance(ball, CannotReach):
        return ball
    upper = Pose(ball, ball, wanted_deg).place(Offset(0.0, linkage.mast_mm))
    length_mm = distance_mm(linkage.bracket, upper)
    pose = pose_at(with_top_link(linkage, length_mm), height_mm)
    if isinstance(pose, Pose) and abs(pose.pitch_deg - wanted_deg) < SAME_PITCH_DEG:
        return length_mm
    return CannotReach(0.0, "top link", said("hitch.in_one_line"))


def reach_mm(linkage: Linkage, height_mm: float) -> tuple[float, float] | CannotReach:
    """Return the shortest and longest top link that can be pinned at a height.

    |d - m| and d + m, with d from the ball to the bracket and m the mast; there mast and top link lie in one line.
    """
    ball = ball_at(linkage, height_mm)
    if isinstance(ball, CannotReach):
        return ball
    apart_mm = distance_mm(ball, linkage.bracket)
    return abs(apart_mm - linkage.mast_mm), apart_mm + linkage.mast_mm


def pitch_rate_deg_per_mm(linkage: Linkage, height_mm: float) -> float | CannotReach:
    """Return how much pitch one millimetre of top link gives: 1 / (m cos g), g between top link and mast's normal.

    In degrees a mm; about 57.3 / m while the top link stands square to the mast, endless where they lie in line.
    """
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    lean = math.radians(pose.pitch_deg)
    link = math.radians(direction_deg(linkage.bracket, pose.upper))
    square = math.cos(lean) * math.cos(link) - math.sin(lean) * math.sin(link)
    return math.degrees(1 / (linkage.mast_mm * square)) if abs(square) > 1e-9 else math.copysign(math.inf, square)


def virtual_hitch_point(linkage: Linkage, height_mm: float) -> Point | CannotReach | None:
    """Return where the lines of lower and top link cross, the point the implement swings about; None if parallel."""
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    return crossing((linkage.lower_pivot, pose.ball), (linkage.bracket, pose.upper))


def pitch_by_height_deg_per_mm(linkage: Linkage, height_mm: float) -> float | CannotReach:
    """Return how the pitch changes for each mm of lift, the top link keeping its length; nose up positive.

    From (D - B) . (dC + m dpitch (cos pitch, -sin pitch)) = 0 with dC = (-tan alpha, 1) dh. Endless where mast and
    top link lie in one line.
    """
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    link_x, link_y = pose.upper.x_mm - linkage.bracket.x_mm, pose.upper.y_mm - linkage.bracket.y_mm
    back_mm = pose.ball.x_mm - linkage.lower_pivot.x_mm
    slope = (height_mm - linkage.lower_pivot.y_mm) / back_mm if back_mm else math.inf
    lean = math.radians(pose.pitch_deg)
    square_mm = linkage.mast_mm * (link_x * math.cos(lean) - link_y * math.sin(lean))
    along = link_x * slope - link_y
    return math.degrees(along / square_mm) if abs(square_mm) > 1e-6 else math.copysign(math.inf, along)
