"""The hitch from the side, drawn to scale, every member named.

The tractor is at the left, the whole rear tyre in sight, one scale for all. That scale holds for
every position the hitch can take, so that only what moves is drawn anew. Links are heavy, the implement is light. The
place with the least room to spare is marked and explained. Sentences say the same without the picture.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.pages.canvas import Grid, in_twin
from fieldlog.pages.lines import BLANK, Line, cells, packed, wrapped
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.text import harmless
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.retrofit.hitch.clearances import WANTED_MM, Clearance
from fieldlog.retrofit.hitch.lift import arm_at, arm_end, rod_hole
from fieldlog.retrofit.hitch.look import Look, heights_of, shaft_joint, stub_of, surroundings_of
from fieldlog.retrofit.hitch.plane import CannotReach, Offset, Point, Pose, distance_mm, pose_at, with_top_link
from fieldlog.words.speak import say

_TYRE_STEPS = 720
_CAB_OVER_AXLE_MM = 1200.0
_MARGIN_MM = 60.0
_LEAST_BEHIND_MM = 300.0
_PIN, _AXLE, _CLOSEST, _DOT = "○", "◉", "◆", "·"
_SCALES = {"mm": (50, 100, 200, 500, 1000, 2000, 5000, 10000), "in": (2, 4, 10, 20, 40, 80, 200, 400)}
_LONGEST_NAME = 16
_LINES = " ─│╱╲━┃·▔○◉◆"
_STROKES = frozenset(_LINES[:-3])  # where a letter may stand; not on a pin, another letter or the closest place
LEAST_ROWS, _LEAST_COLUMNS = 9, 30  # in less the hitch is told in words alone
_CAPTION = ((12, 3), (0, 2))  # from so many rows on, so many of them are words under the picture
Spots = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Frame:
    """The part of the side view that is drawn, in mm."""

    left_mm: float
    right_mm: float
    top_mm: float
    bottom_mm: float


class _Name(NamedTuple):
    """What a member is called, in full and short, the letter where there is room for neither, and where it is."""

    words: str
    brief: str
    letter: str
    spots: Spots


@dataclass(frozen=True, slots=True)
class _Paper:
    """A grid with the frame laid over it, as large as fits, the ground at its foot; a cell is twice as high as wide."""

    grid: Grid
    frame: Frame

    @property
    def columns_per_mm(self) -> float:
        wide = (self.grid.columns - 1) / (self.frame.right_mm - self.frame.left_mm)
        high = 2 * (self.grid.rows - 1) / (self.frame.top_mm - self.frame.bottom_mm)
        return min(wide, high)

    def at(self, place: Point) -> tuple[float, float]:
        scale = self.columns_per_mm
        row = self.grid.rows - 1 - (place.y_mm - self.frame.bottom_mm) * scale / 2
        return (place.x_mm - self.frame.left_mm) * scale, row

    def cell(self, place: Point) -> tuple[int, int]:
        column, row = self.at(place)
        return round(column), round(row)

    def bar(self, start: Point, end: Point, *, is_heavy: bool = False) -> Spots:
        mark = "strong" if is_heavy else "picture"
        return self.grid.stroke(self.at(start), self.at(end), is_heavy=is_heavy, mark=mark)

    def dots(self, start: Point, end: Point) -> Spots:
        """Put dots between two places where nothing else is."""
        (x0, y0), (x1, y1) = self.at(start), self.at(end)
        steps = min(max(round(max(abs(x1 - x0), abs(y1 - y0))), 1), 2 * (self.grid.columns + self.grid.rows))
        spots = [(round(x0 + (x1 - x0) * n / steps), round(y0 + (y1 - y0) * n / steps)) for n in range(steps + 1)]
        for column, row in spots:
            if self.grid.char(column, row) == " ":
                self.grid.put(column, row, _DOT)
        return spots

    def put(self, place: Point, sign: str) -> None:
        self.grid.put(*self.cell(place), sign, "strong")


def frame_of(look: Look) -> Frame:
    """Return the frame that holds the whole tyre and every position of the implement between its links' ends."""
    setup = look.setup
    heights = heights_of(setup, look.setting)
    spots = [place for pose in _extremes(look, heights) for place in _outline(look, pose)]
    around = surroundings_of(setup)
    behind = max([place.x_mm for place in spots], default=look.linkage.lower_link_mm) + _MARGIN_MM
    tops = [place.y_mm for place in spots] + [around.tyre_radius_mm * 2, look.linkage.bracket.y_mm]
    bottoms = [place.y_mm for place in spots] + [0.0]
    floor = max(min(bottoms), -200.0)
    ahead = around.tyre_radius_mm + _MARGIN_MM
    return Frame(-ahead, max(behind, _LEAST_BEHIND_MM), max(tops) + _MARGIN_MM, floor - _MARGIN_MM)


def picture_lines(
    look: Look, frame: Frame, columns: int, rows: int, units: Units = "mm", *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Draw the hitch from the side in `columns` x `rows`: the members by name, the scale, the place with least room."""
    if rows < LEAST_ROWS or columns < _LEAST_COLUMNS:
        told = (row for text in side_sentences(look, units) for row in wrapped(text, columns))
        drawn = (*told, *[BLANK] * rows)[:rows]
        return in_twin(drawn) if ascii_only else drawn
    below = next(count for least, count in _CAPTION if rows >= least)
    paper = _Paper(Grid(columns, rows - below), frame)
    _ground(paper)
    names = [*_tractor(paper, look), *_implement(paper, look), *_links(paper, look)]
    closest = _closest(paper, look, units)
    letters = [name for name in names if not _is_named(paper.grid, name)]
    caption = _caption(_scale_bar(paper, units), letters, closest, (below, columns))
    drawn = (*paper.grid.lines(), *caption, *[BLANK] * (below - len(caption)))[:rows]
    return in_twin(drawn) if ascii_only else drawn


def _caption(scale: str, names: Sequence[_Name], closest: list[str], room: tuple[int, int]) -> tuple[Line, ...]:
    """Return the words under the picture in so many rows and columns; the closest place is the last to be left off."""
    rows, columns = room
    full, brief = [f"{name.letter} {name.words}" for name in names], [f"{name.letter} {name.brief}" for name in names]
    ways = ([scale, *full, *closest], [scale, *brief, *closest])
    found = next((found for way in ways if len(found := packed(way, columns)) <= rows), None)
    return found if found is not None else packed([*closest, scale, *brief], columns)[:rows]


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


def _ground(paper: _Paper) -> None:
    row = round(paper.at(Point(0.0, 0.0))[1])
    for column in range(paper.grid.columns):
        paper.grid.put(column, row, "▔")


def _tractor(paper: _Paper, look: Look) -> Iterable[_Name]:
    """Draw the whole tyre by its slope, and the cab's back."""
    around = surroundings_of(look.setup)
    centre, radius_mm = around.tyre_centre, around.tyre_radius_mm
    if centre is None:
        return
    turns = [2 * math.pi * step / _TYRE_STEPS for step in range(_TYRE_STEPS + _TYRE_STEPS // 20)]
    rim = [Point(centre.x_mm + radius_mm * math.cos(t), centre.y_mm + radius_mm * math.sin(t)) for t in turns]
    paper.grid.curve(paper.cell(place) for place in rim)
    paper.put(centre, _AXLE)
    inside = [paper.cell(Point(centre.x_mm + radius_mm * x, centre.y_mm + radius_mm * y)) for x, y in _INSIDE]
    yield _Name("tyre", "tyre", "y", inside)
    if around.cab_mm is not None:
        foot = Point(around.cab_mm, centre.y_mm + radius_mm)
        top = Point(around.cab_mm, max(foot.y_mm + _CAB_OVER_AXLE_MM, paper.frame.top_mm))
        spots = paper.bar(foot, top)
        yield _Name("cab", "cab", "c", [spot for spot in spots if spot[1] >= 0])


_INSIDE = tuple((-0.35 + 0.1 * x, y) for y in (-0.5, -0.6, 0.5, -0.3, 0.3) for x in range(5))


def _links(paper: _Paper, look: Look) -> Iterable[_Name]:
    linkage, height_mm = look.linkage, look.setting.height_mm
    arm, low = arm_at(linkage, height_mm), rod_hole(linkage, height_mm)
    if isinstance(arm, float) and isinstance(low, Point):
        end = arm_end(linkage, arm)
        paper.bar(linkage.arm_pivot, end, is_heavy=True)
        yield _Name("lift rod", "rod", "r", paper.bar(end, low, is_heavy=True))
    if isinstance(look.pose, Pose):
        yield _Name("lower link", "lower", "l", paper.bar(linkage.lower_pivot, look.pose.ball, is_heavy=True))
        yield _Name("top link", "top", "t", paper.bar(linkage.bracket, look.pose.upper, is_heavy=True))
        joint = shaft_joint(look.setup)
        if joint is not None:
            yield _Name("PTO", "PTO", "p", paper.dots(stub_of(look.setup), look.pose.place(joint)))
        paper.put(look.pose.ball, _PIN)
        paper.put(look.pose.upper, _PIN)
    paper.put(linkage.lower_pivot, _PIN)
    paper.put(linkage.bracket, _PIN)


def _implement(paper: _Paper, look: Look) -> Iterable[_Name]:
    pose, item = look.pose, look.setup.implement
    if not isinstance(pose, Pose):
        return
    hull = _hull([pose.place(point.at) for point in look.setup.points] + [pose.ball])
    spots: list[tuple[int, int]] = []
    for start, end in zip(hull, [*hull[1:], *hull[:1]], strict=True):
        spots += paper.bar(start, end)
    yield _Name("mast", "mast", "m", paper.bar(pose.ball, pose.upper))
    name = harmless(item.name or item.id) if item is not None else ""
    if look.setup.points:
        fits = name and cells(name) == len(name) <= _LONGEST_NAME
        yield _Name(name if fits else "implement", "impl", "i", spots)


def _is_named(grid: Grid, name: _Name) -> bool:
    """Write a member's name beside it, where it hides nothing; else its letter on it, and tell that it wants words."""
    middle = len(name.spots) / 2
    spots = [spot for _, spot in sorted(enumerate(name.spots), key=lambda pair: abs(pair[0] - middle))]
    for words in (name.words, name.brief):
        for column, row in spots:
            half = len(words) // 2
            ways = (
                (column - half, row - 1),
                (column - half, row + 1),
                (column + 2, row),
                (column - len(words) - 1, row),
            )
            for at in ((column - half, row), *ways) if name.letter == "y" else ways:
                if grid.has_room(*at, words):
                    grid.write(*at, words)
                    return True
    around = [(column + x, row + y) for column, row in spots for x, y in ((1, 0), (-1, 0), (0, -1), (0, 1))]
    free = [spot for spot in spots if grid.char(*spot) in _STROKES]
    free += [spot for spot in around if grid.holds(*spot) and grid.char(*spot) == " "]
    apart = [(x, y) for x, y in free if not (grid.char(x - 1, y) + grid.char(x + 1, y)).strip(_LINES)]
    if free:
        grid.put(*(apart or free)[0], name.letter, "strong")
    return False


def _scale_bar(paper: _Paper, units: Units) -> str:
    per_unit = 1.0 if units == "mm" else float(MM_PER_INCH)
    wide = [(length, round(length * per_unit * paper.columns_per_mm)) for length in _SCALES[units]]
    length, columns = next((pair for pair in wide if pair[1] >= 4), wide[-1])
    return f"├{'─' * max(columns - 1, 1)}┤ {length} {units}"


def _closest(paper: _Paper, look: Look, units: Units) -> list[str]:
    """Mark the place with the least room to spare and the way to what it is nearest to; return what it is."""
    if isinstance(look.pose, CannotReach):
        return [say(look.pose.said, units)]
    if not look.rooms:
        return []
    least = look.rooms[0]
    at = {point.id: point.at for point in look.setup.points}
    place = look.pose.place(at.get(least.point_id, Offset(0.0, 0.0)))
    paper.dots(place, _nearest(look, least, place))
    paper.put(place, _CLOSEST)
    return [f"{_CLOSEST} {room_words(least, units)}"]


def _nearest(look: Look, least: Clearance, place: Point) -> Point:
    around = surroundings_of(look.setup)
    if least.obstacle == "ground" or around.tyre_centre is None:
        return Point(place.x_mm, 0.0)
    if least.obstacle == "cab":
        return Point(around.cab_mm or 0.0, place.y_mm)
    centre, apart = around.tyre_centre, max(distance_mm(place, around.tyre_centre), 1e-9)
    share = around.tyre_radius_mm / apart
    return Point(centre.x_mm + (place.x_mm - centre.x_mm) * share, centre.y_mm + (place.y_mm - centre.y_mm) * share)


def room_words(least: Clearance, units: Units) -> str:
    """Return 'frame corner 77 mm from tyre, wants 100', or how far it is under ground or inside something."""
    places = 0 if units == "mm" else 1
    size, wanted = mm_text(abs(least.room_mm), units, places), WANTED_MM[least.obstacle]
    if least.obstacle == "ground":
        return f"{least.point} {size} {'under' if least.room_mm < 0 else 'over'} ground"
    if least.room_mm < 0:
        return f"{least.point} {size} inside {least.obstacle}"
    asked = f", wants {mm_text(wanted, units, places).partition(' ')[0]}" if least.spare_mm < 0 else ""
    return f"{least.point} {size} from {least.obstacle}{asked}"


def side_sentences(look: Look, units: Units) -> tuple[str, ...]:
    """Return what the picture from the side shows, a fact a sentence."""
    places = 0 if units == "mm" else 2
    height, link = (mm_text(mm, units, places) for mm in (look.setting.height_mm, look.setting.top_link_mm))
    found = [f"From the side: balls at {height}, top link {link}."]
    if isinstance(look.pose, CannotReach):
        why = say(look.pose.said, units)
        return (*found, f"{why[:1].upper()}{why[1:]}.")
    lean = look.pose.pitch_deg
    way = "Mast upright." if abs(lean) < 0.05 else f"Nose {'up' if lean > 0 else 'down'} {abs(lean):.1f} degrees."
    return (*found, way, *(f"Closest: {room_words(least, units)}." for least in look.rooms[:1]))


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
