"""Where two links of known length meet in a plane, the closed form that every part of the hitch is solved with.

Two circles meet in two points, one on either side of the line between their centres. A linkage stays on its side
unless it is taken apart, so the side is what is asked for, not the upper or the lower point.
"""

import math
from typing import Literal, NamedTuple

Side = Literal["left", "right"]


class Point(NamedTuple):
    """A place in the side view: behind the rear axle's centre and above the ground, in mm."""

    x_mm: float
    y_mm: float


class CannotReach(NamedTuple):
    """Two links that do not meet: by how much the one named is too short (+) or too long (-).

    `why` stands instead where no length is missing.
    """

    short_mm: float
    what: str = "link"
    why: str = ""

    def sentence(self) -> str:
        """Say it in the words of the shop."""
        if self.why:
            return f"cannot reach: {self.why}"
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
    first: Point, first_mm: float, second: Point, second_mm: float, side: Side, what: str = "link"
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
