"""Whole characters on a sheet, for every picture that has a scale and words; its ASCII twin is a matter of `in_ascii`.

Dots on a grid of characters, for what is round: braille where the terminal has it, plain ASCII elsewhere.

The bore as a dial: the round hole it was, its first shape and what it has become, the difference larger than life.

An eye with the metal left around its hole at the clocks.

Pictures on the shared canvas, no plotting library: one picture in about a millisecond, and the band left out in
ASCII, where it would merge with the line; its width is then a number in the legend.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from types import MappingProxyType

from fieldlog.measure.depth import Wall
from fieldlog.measure.hole import HoleSize
from fieldlog.pages.lines import Line, Span, fit, in_ascii, line
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.clock import apart_deg, clock_text
from fieldlog.wear.states import HoleState

_MOST_STEPS = 2000  # what runs far off the sheet is drawn coarsely
_LIGHT, _HEAVY = ("─", "│", "╱", "╲"), ("━", "┃", "╱", "╲")


class Grid:
    """Characters with their marks on so many columns and rows; what is put later stands over what was put before."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._cells: dict[tuple[int, int], tuple[str, str]] = {}

    def put(self, column: int, row: int, char: str, mark: str = "picture") -> None:
        """Put one character; what lies off the sheet is left out."""
        if self.holds(column, row):
            self._cells[column, row] = char, mark

    def holds(self, column: int, row: int) -> bool:
        """Tell whether a cell is on the sheet."""
        return 0 <= column < self.columns and 0 <= row < self.rows

    def char(self, column: int, row: int) -> str:
        """Return what stands in a cell, a blank where nothing does."""
        return self._cells.get((column, row), (" ", ""))[0]

    def write(self, column: int, row: int, text: str, mark: str = "") -> None:
        """Put a text, a cell a character."""
        for number, char in enumerate(text):
            self.put(column + number, row, char, mark)

    def has_room(self, column: int, row: int, text: str, over: str = "") -> bool:
        """Tell whether a text and a blank on either side of it would hide nothing but blanks and signs of `over`."""
        if not (0 <= row < self.rows and column >= 0 and column + len(text) <= self.columns):
            return False
        free = f" {over}"
        return all(self.char(at, row) in free for at in range(column - 1, column + len(text) + 1))

    def stroke(
        self, start: tuple[float, float], end: tuple[float, float], *, is_heavy: bool = False, mark: str = "picture"
    ) -> list[tuple[int, int]]:
        """Draw a straight line between two cells by its slope, and return the cells that it goes through."""
        level, upright, rising, falling = _HEAVY if is_heavy else _LIGHT
        (x0, y0), (x1, y1) = start, end
        is_level = abs(x1 - x0) >= abs(y1 - y0)
        steps = min(max(round(abs(x1 - x0) if is_level else abs(y1 - y0)), 1), _MOST_STEPS)
        spots = [(round(x0 + (x1 - x0) * n / steps), round(y0 + (y1 - y0) * n / steps)) for n in range(steps + 1)]
        slope = rising if (x1 - x0) * (y1 - y0) < 0 else falling
        for number, (column, row) in enumerate(spots):
            after = spots[min(number + 1, steps)]
            is_step = after[1] != row if is_level else after[0] != column
            self.put(column, row, slope if is_step else level if is_level else upright, mark)
        return spots

    def curve(self, spots: Iterable[tuple[int, int]], mark: str = "picture") -> None:
        """Draw a light curve through cells in their order, each by the way to the next."""
        path: list[tuple[int, int]] = []
        for column, row in spots:
            if path and path[-1] == (column, row):
                continue
            if len(path) > 1 and max(abs(column - path[-2][0]), abs(row - path[-2][1])) <= 1:
                path.pop()  # a corner that a slope cuts
            path.append((column, row))
        level, upright, rising, falling = _LIGHT
        for (column, row), (to_column, to_row) in pairwise(path):
            way = (to_column - column) * (to_row - row)
            sign = (rising if way < 0 else falling) if way else level if to_row == row else upright
            self.put(column, row, sign, mark)

    def lines(self) -> tuple[Line, ...]:
        """Return the rows, neighbours of one mark in one span."""
        return tuple(Line(tuple(self._spans(row))) for row in range(self.rows))

    def _spans(self, row: int) -> Iterable[Span]:
        cells = (self._cells.get((column, row), (" ", "")) for column in range(self.columns))
        for mark, group in groupby(cells, key=lambda cell: cell[1]):
            yield Span("".join(char for char, _ in group), mark)


def in_twin(drawn: Sequence[Line]) -> tuple[Line, ...]:
    """Return a picture in plain ASCII, cell by cell."""
    return tuple(Line(tuple(Span(in_ascii(span.text), span.mark) for span in row.spans), row.target) for row in drawn)


_BRAILLE_BASE = 0x2800
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Canvas:
    """Dots on a grid of characters: 2 x 4 a character in braille, 1 x 2 in plain ASCII."""

    def __init__(self, columns: int, rows: int, *, ascii_only: bool) -> None:
        self.columns, self.rows, self.ascii_only = columns, rows, ascii_only
        self.across, self.down = (1, 2) if ascii_only else (2, 4)
        self.dots: dict[tuple[int, int], int] = {}
        self.letters: dict[tuple[int, int], str] = {}

    def dot(self, x: float, y: float) -> None:
        """Set one dot; x to the right, y down, in dots."""
        column, in_column = divmod(round(x), self.across)
        row, in_row = divmod(round(y), self.down)
        if 0 <= column < self.columns and 0 <= row < self.rows:
            bit = 1 << in_row if self.ascii_only else _BRAILLE_BITS[in_row][in_column]
            self.dots[column, row] = self.dots.get((column, row), 0) | bit

    def letter(self, x: float, y: float, letter: str) -> None:
        """Put a letter over the character that a dot is in."""
        self.letters[round(x) // self.across, round(y) // self.down] = letter

    def bar(self, start: tuple[float, float], end: tuple[float, float], every: int = 1) -> None:
        """Draw a straight line, or with `every` above 1 only each so many-eth dot of it."""
        steps = max(math.ceil(max(abs(end[0] - start[0]), abs(end[1] - start[1]))), 1)
        for step in range(0, steps + 1, every):
            share = step / steps
            self.dot(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))

    def row(self, row: int) -> str:
        """Return one row of characters."""
        return "".join(self.cell(column, row) for column in range(self.columns))

    def cell(self, column: int, row: int) -> str:
        """Return one character."""
        if (column, row) in self.letters:
            return self.letters[column, row]
        bits = self.dots.get((column, row), 0)
        if not bits:
            return " "
        return ("", "'", ".", ":")[bits] if self.ascii_only else chr(_BRAILLE_BASE + bits)


_STEPS = 720
_MAGNIFICATIONS = (1, 2, 3, 5, 8, 10, 15, 20, 30, 50, 80, 100, 150, 200)
_WEAR_SHARE = 0.30  # the most of the dial's radius that the wear may take up
_MARGIN_COLUMNS = 3
_FIRST_EVERY_DEG = 15
_USUAL = (0.0, 45.0, 90.0, 135.0)  # 12, 1:30, 3 and 4:30
_BETWEEN_DEG = 22.4  # a line is read when one nearer than half-way to the next was
_SLANTING = MappingProxyType(
    {45.0: (("1:30", True, True), ("7:30", False, False)), 135.0: (("4:30", True, False), ("10:30", False, True))}
)


@dataclass(frozen=True, slots=True)
class DialShape:
    """A bore as D0 + a cos 2t + b sin 2t, the as-made size it is laid over, and the readings' lines.

    `first` is the shape that it had when it was first measured, where that is another day; `axis_deg` the long axis,
    None where the hole is round within its doubt.
    """

    d0_mm: float
    a_mm: float
    b_mm: float
    as_made_mm: float
    readings: tuple[tuple[float, float], ...] = ()
    first: "DialShape | None" = None
    axis_deg: float | None = None

    def diameter_mm(self, angle_deg: float) -> float:
        """The fitted diameter along a line."""
        twice = math.radians(2 * angle_deg)
        return self.d0_mm + self.a_mm * math.cos(twice) + self.b_mm * math.sin(twice)


def dial_lines(shape: DialShape, columns: int, rows: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Draw the dial in `columns` x `rows`; `o` stands where a reading was taken, the sparse ring is as made.

    `+` stands along the shape of the first day. The two lines to measure next go right across, with their hours.
    """
    canvas = Canvas(columns - 2 * _MARGIN_COLUMNS, rows - 2, ascii_only=ascii_only)
    centre_x = (canvas.columns * canvas.across - 1) / 2
    centre_y = (canvas.rows * canvas.down - 1) / 2
    radius = min(centre_x, centre_y)
    gain = magnification(shape)
    scale = _radius_scale(shape, radius, gain)
    following = next_lines(shape)
    for angle in following:
        first, last = (_place((centre_x, centre_y), angle + half, radius) for half in (0, 180))
        canvas.bar(first, last, 2 * canvas.across + 1)
    for step in range(0, _STEPS, 12):
        _put(canvas, (centre_x, centre_y), step * 360 / _STEPS, scale(shape.as_made_mm))
    for step in range(_STEPS):
        angle = step * 360 / _STEPS
        _put(canvas, (centre_x, centre_y), angle, scale(shape.diameter_mm(angle)))
    if shape.first is not None:
        for angle in range(0, 360, _FIRST_EVERY_DEG):
            canvas.letter(*_place((centre_x, centre_y), angle, scale(shape.first.diameter_mm(angle))), "+")
    for angle, size_mm in shape.readings:
        for end in (angle, angle + 180):
            x, y = _place((centre_x, centre_y), end, scale(size_mm))
            canvas.letter(x, y, "o")
    _corners(canvas, following)
    return tuple(_framed(canvas, columns, following))


def _corners(canvas: Canvas, following: Sequence[float]) -> None:
    """Write the hours of the slanting lines into the corners, which the hole leaves free."""
    for angle in following:
        for hours, is_right, is_top in _SLANTING.get(angle, ()):
            start = canvas.columns - len(hours) if is_right else 0
            for number, char in enumerate(hours):
                canvas.letters[start + number, 0 if is_top else canvas.rows - 1] = char


def next_lines(shape: DialShape) -> tuple[float, float]:
    """Return the two lines to measure next, as angles from 12.

    First those of the usual four that were not read, the nearest to the long way first; else along it and across it.
    """
    long_way = shape.axis_deg if shape.axis_deg is not None else math.degrees(math.atan2(shape.b_mm, shape.a_mm)) / 2
    nearest = sorted(_USUAL, key=lambda angle: apart_deg(angle, long_way))
    unread = [angle for angle in nearest if all(apart_deg(angle, read) > _BETWEEN_DEG for read, _ in shape.readings)]
    first, second = ([*unread, nearest[0], nearest[-1]] if shape.readings else [nearest[0], nearest[-1]])[:2]
    return first, second


def dial_sentences(shape: DialShape, units: Units) -> tuple[str, ...]:
    """Return what the dial shows: which way the hole is worn, its size along and across, what to measure next."""
    following = " and ".join(_line_words(angle) for angle in next_lines(shape))
    found = [f"Measure next from {following}."]
    if shape.axis_deg is None:
        return ("Round, as far as it was measured.", *found)
    across = (shape.axis_deg + 90) % 180
    sizes = [f"{mm_text(shape.diameter_mm(at), units)} from {_line_words(at)}" for at in (shape.axis_deg, across)]
    return (f"Worn towards {_line_words(shape.axis_deg, ' and ')}.", f"{', '.join(sizes)}.", *found)


def _line_words(angle_deg: float, between: str = " to ") -> str:
    return between.join(clock_text(angle_deg).split("-"))


def magnification(shape: DialShape) -> int:
    """How many times larger than life the departure from as-made is drawn, in round steps."""
    shapes = [shape] if shape.first is None else [shape, shape.first]
    largest = max(one.d0_mm + math.hypot(one.a_mm, one.b_mm) for one in shapes)
    most = max([largest - shape.as_made_mm, *(size - shape.as_made_mm for _, size in shape.readings)], default=0.0)
    if most <= 0:
        return _MAGNIFICATIONS[-1]
    wanted = _WEAR_SHARE * shape.as_made_mm / most
    return max((step for step in _MAGNIFICATIONS if step <= wanted), default=1)


def _radius_scale(shape: DialShape, radius: float, gain: int) -> "_Scale":
    inner = radius * (1 - _WEAR_SHARE)
    return _Scale(inner, shape.as_made_mm, gain, radius)


@dataclass(frozen=True, slots=True)
class _Scale:
    inner: float
    as_made_mm: float
    gain: int
    limit: float

    def __call__(self, diameter_mm: float) -> float:
        grown = self.gain * (diameter_mm - self.as_made_mm) / self.as_made_mm
        return max(0.2 * self.inner, min(self.inner * (1 + grown), self.limit))


def _place(centre: tuple[float, float], angle_deg: float, radius: float) -> tuple[float, float]:
    turn = math.radians(angle_deg)
    return centre[0] + radius * math.sin(turn), centre[1] - radius * math.cos(turn)


def _put(canvas: Canvas, centre: tuple[float, float], angle_deg: float, radius: float) -> None:
    canvas.dot(*_place(centre, angle_deg, radius))


def _framed(canvas: Canvas, columns: int, following: Sequence[float]) -> Iterable[Line]:
    upright, level = ("strong" if angle in following else "dim" for angle in (0.0, 90.0))
    yield Line((Span("12".center(columns), upright),))
    middle = canvas.rows // 2
    for row in range(canvas.rows):
        left, right = (" 9 ", " 3 ") if row == middle else ("   ", "   ")
        yield Line((Span(left, level), Span(canvas.row(row), "picture"), Span(right, level)))
    yield Line((Span("6".center(columns), upright),))


def dial_shape(state: HoleState) -> DialShape | None:
    """Return the latest shape over the hole's own smallest size and its first shape; None without a shape."""
    latest = state.latest
    if latest is None or state.identity is None:
        return None
    face = latest.best_face
    if face.shape is None:
        return None
    as_made_mm = state.identity.value
    readings = tuple((group.angle_deg, group.mean_mm) for group in face.groups)
    first = first_shaped(state)
    shape = first.best_face.shape if first is not None else None
    before = DialShape(shape.d0_mm, shape.a_mm, shape.b_mm, as_made_mm) if shape is not None else None
    return DialShape(
        face.shape.d0_mm, face.shape.a_mm, face.shape.b_mm, as_made_mm, readings, before, face.shape.axis_deg
    )


def first_shaped(state: HoleState) -> HoleSize | None:
    """Return the first day since the last renewal on which the hole's shape was seen; None when that is the latest."""
    since = state.history[state.span_start : -1]
    return next((size for size in since if size.best_face.shape is not None), None)


def dial_note(shape: DialShape, state: HoleState, width: int) -> tuple[Line, ...]:
    """Return the dial's legend."""
    rows = [f"wear drawn {magnification(shape)} x; dots as made"]
    latest, first = state.latest, first_shaped(state)
    if shape.first is not None and first is not None and latest is not None:
        rows.append(f"o {day_text(latest.day)}, + {day_text(first.day)}")
    else:
        rows[0] = f"wear drawn {magnification(shape)} x; o read"
    along = f"worn towards {_line_words(shape.axis_deg, ' and ')}" if shape.axis_deg is not None else "round so far"
    following = f"next: {', '.join(clock_text(angle) for angle in next_lines(shape))}"
    told = [line(Span(fit(f"   {text}", width), "strong")) for text in (along, following)]
    return (*told, *(line(Span(fit(f"   {text}", width), "dim")) for text in rows))


_EYE_MARGIN = 9  # columns at either side for the metal's thickness


def eye_lines(
    walls: Sequence[Wall], hole_mm: float, units: Units, columns: int, rows: int, *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Draw the hole to scale in the metal around it, its thickness at 12, 3, 6 and 9; the thinnest between stars.

    Nothing without two walls or where there is no room; between the walls that were measured the ring is guessed.
    """
    if len(walls) < 2 or columns < 2 * _EYE_MARGIN + 8 or rows < 7 or hole_mm <= 0:
        return ()
    canvas = Canvas(columns - 2 * _EYE_MARGIN, rows - 2, ascii_only=ascii_only)
    centre = (canvas.columns * canvas.across - 1) / 2, (canvas.rows * canvas.down - 1) / 2
    most_mm = hole_mm / 2 + max(wall.size.value for wall in walls)
    scale = min(centre) / most_mm
    for step in range(_STEPS):
        angle = step * 360 / _STEPS
        _put(canvas, centre, angle, scale * (hole_mm / 2 + _wall_at(walls, angle)))
        _put(canvas, centre, angle, scale * hole_mm / 2)
    texts = {round(wall.point_deg) % 360: _metal(wall, units).partition(" ")[0] for wall in walls}
    thinnest = min(walls, key=lambda wall: wall.size.value).point_deg
    texts[round(thinnest) % 360] = f"*{texts[round(thinnest) % 360]}*"
    return tuple(_eye_frame(canvas, columns, texts))


def _metal(wall: Wall, units: Units) -> str:
    return mm_text(wall.size.value, units, 1 if units == "mm" else 2)


def _eye_frame(canvas: Canvas, columns: int, texts: Mapping[int, str]) -> Iterable[Line]:
    def at(angle: int, word: str) -> str:
        return f"{word}: {texts[angle]}" if angle in texts else word

    yield line(at(0, "12").center(columns))
    middle = canvas.rows // 2
    for row in range(canvas.rows):
        sides = (at(270, "9"), at(90, "3")) if row == middle else ("", "")
        left, right = sides[0].rjust(_EYE_MARGIN - 1), sides[1].ljust(_EYE_MARGIN - 1)
        yield line(f"{left} ", Span(canvas.row(row), "picture"), f" {right}")
    yield line(at(180, "6").center(columns))


def _wall_at(walls: Sequence[Wall], angle_deg: float) -> float:
    """Return the metal at a point of the rim, evenly between the walls measured before and after it."""
    before = max(walls, key=lambda wall: -((angle_deg - wall.point_deg) % 360))
    after = max(walls, key=lambda wall: -((wall.point_deg - angle_deg) % 360))
    span = (after.point_deg - before.point_deg) % 360
    share = (angle_deg - before.point_deg) % 360 / span if span else 0.0
    return before.size.value + share * (after.size.value - before.size.value)


def eye_sentences(walls: Sequence[Wall], units: Units) -> tuple[str, ...]:
    """Return the metal left, clock by clock, and where it is thinnest."""
    if not walls:
        return ()
    thinnest = min(walls, key=lambda wall: wall.size.value)
    each = ", ".join(f"{_metal(wall, units)} at {wall.clock}" for wall in walls)
    return (f"Metal left: {each}.", f"Thinnest at {thinnest.clock}: {size_text(thinnest.size, units)}.")
