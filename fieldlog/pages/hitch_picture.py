"""The hitch from the side: tyre, cab, links and implement, drawn to scale; the tractor is at the left.

The scale holds for every position the hitch can take, so that only what moves is drawn anew.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldlog.pages.canvas import Canvas
from fieldlog.pages.lines import Line, Span
from fieldlog.retrofit.hitch.lift import arm_at, arm_end, rod_hole
from fieldlog.retrofit.hitch.look import Look, heights_of, shaft_joint, stub_of, surroundings_of
from fieldlog.retrofit.hitch.plane import CannotReach, Point, Pose, pose_at, with_top_link

_TYRE_STEPS = 96
_CAB_OVER_AXLE_MM = 1200.0
_AHEAD_MM = 350.0  # how much of the tyre ahead of the axle is drawn
_MARGIN_MM = 60.0
_LEAST_BEHIND_MM = 300.0
_DOTTED = 3


@dataclass(frozen=True, slots=True)
class Frame:
    """The part of the side view that is drawn, in mm."""

    left_mm: float
    right_mm: float
    top_mm: float
    bottom_mm: float


@dataclass(frozen=True, slots=True)
class _Paper:
    """A canvas with the frame laid over it, as large as fits, the ground at its foot."""

    canvas: Canvas
    frame: Frame

    @property
    def dots_per_mm(self) -> float:
        """The scale; dots are about square, in braille as in ASCII."""
        wide = (self.canvas.columns * self.canvas.across - 1) / (self.frame.right_mm - self.frame.left_mm)
        high = (self.canvas.rows * self.canvas.down - 1) / (self.frame.top_mm - self.frame.bottom_mm)
        return min(wide, high)

    def at(self, place: Point) -> tuple[float, float]:
        scale, foot = self.dots_per_mm, self.canvas.rows * self.canvas.down - 1
        return (place.x_mm - self.frame.left_mm) * scale, foot - (place.y_mm - self.frame.bottom_mm) * scale

    def bar(self, start: Point, end: Point, every: int = 1) -> None:
        self.canvas.bar(self.at(start), self.at(end), every)

    def letter(self, place: Point, letter: str) -> None:
        self.canvas.letter(*self.at(place), letter)


def frame_of(look: Look) -> Frame:
    """Return the frame that holds every position of the implement between its links' ends and heights."""
    setup = look.setup
    heights = heights_of(setup, look.setting)
    spots = [place for pose in _extremes(look, heights) for place in _outline(look, pose)]
    around = surroundings_of(setup)
    behind = max([place.x_mm for place in spots], default=look.linkage.lower_link_mm) + _MARGIN_MM
    tops = [place.y_mm for place in spots] + [around.tyre_radius_mm * 2, look.linkage.bracket.y_mm]
    bottoms = [place.y_mm for place in spots] + [0.0]
    floor = max(min(bottoms), -200.0)
    return Frame(-_AHEAD_MM, max(behind, _LEAST_BEHIND_MM), max(tops) + _MARGIN_MM, floor - _MARGIN_MM)


def picture_lines(look: Look, frame: Frame, columns: int, rows: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Draw the hitch in `columns` x `rows` characters: `o` a pin, `x` the point with the least spare room."""
    canvas = Canvas(columns, rows, ascii_only=ascii_only)
    paper = _Paper(canvas, frame)
    _tractor(paper, look)
    _links(paper, look)
    if isinstance(look.pose, Pose):
        _implement(paper, look, look.pose)
    return tuple(Line((Span(canvas.row(row), "picture"),)) for row in range(rows))


def _extremes(look: Look, heights: tuple[float, float] | CannotReach) -> Iterable[Pose]:
    setup, lengths = look.setup, [look.setting.top_link_mm]
    if look.setting.link < len(setup.ranges):
        link = setup.ranges[look.setting.link]
        lengths += [link.closed.mm, link.open.mm]
    for length_mm in lengths:
        for height_mm in (look.setting.height_mm,) if isinstance(heights, CannotReach) else heights:
            pose = pose_at(with_top_link(look.linkage, length_mm), height_mm)
            if isinstance(pose, Pose):
                yield pose


def _outline(look: Look, pose: Pose) -> list[Point]:
    return [pose.ball, pose.upper, *(pose.place(point.at) for point in look.setup.points)]


def _tractor(paper: _Paper, look: Look) -> None:
    around = surroundings_of(look.setup)
    paper.bar(Point(paper.frame.left_mm, 0.0), Point(paper.frame.right_mm * 2, 0.0), _DOTTED)
    centre, radius_mm = around.tyre_centre, around.tyre_radius_mm
    if centre is not None:
        for step in range(_TYRE_STEPS):
            turn = 2 * math.pi * step / _TYRE_STEPS
            place = Point(centre.x_mm + radius_mm * math.cos(turn), centre.y_mm + radius_mm * math.sin(turn))
            if place.x_mm >= paper.frame.left_mm:
                paper.canvas.dot(*paper.at(place))
    if around.cab_mm is not None and centre is not None:
        foot = Point(around.cab_mm, centre.y_mm + radius_mm)
        paper.bar(foot, Point(around.cab_mm, max(foot.y_mm + _CAB_OVER_AXLE_MM, paper.frame.top_mm)))


def _links(paper: _Paper, look: Look) -> None:
    linkage, height_mm = look.linkage, look.setting.height_mm
    arm, low = arm_at(linkage, height_mm), rod_hole(linkage, height_mm)
    if isinstance(arm, float) and isinstance(low, Point):
        end = arm_end(linkage, arm)
        paper.bar(linkage.arm_pivot, end)
        paper.bar(end, low)
    if isinstance(look.pose, Pose):
        paper.bar(linkage.lower_pivot, look.pose.ball)
        paper.bar(linkage.bracket, look.pose.upper)
        joint = shaft_joint(look.setup)
        if joint is not None:
            paper.bar(stub_of(look.setup), look.pose.place(joint), _DOTTED)
    paper.letter(linkage.lower_pivot, "o")
    paper.letter(linkage.bracket, "o")


def _implement(paper: _Paper, look: Look, pose: Pose) -> None:
    paper.bar(pose.ball, pose.upper)
    hull = _hull([pose.place(point.at) for point in look.setup.points] + [pose.ball])
    for start, end in zip(hull, [*hull[1:], *hull[:1]], strict=True):
        paper.bar(start, end)
    if look.rooms:
        at = {point.id: point.at for point in look.setup.points}
        paper.letter(pose.place(at[look.rooms[0].point_id]), "x")
    paper.letter(pose.ball, "o")
    paper.letter(pose.upper, "o")


def _hull(places: Sequence[Point]) -> list[Point]:
    """Return the outermost of some places in order around them (Andrew's monotone chain)."""
    spots = sorted(set(places))
    if len(spots) < 3:
        return spots
    return [*_half_hull(spots), *_half_hull(spots[::-1])]


def _half_hull(spots: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for spot in spots:
        while len(chain) >= 2 and _turn(chain[-2], chain[-1], spot) <= 0:
            chain.pop()
        chain.append(spot)
    return chain[:-1]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (c.x_mm - a.x_mm)
