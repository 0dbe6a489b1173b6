"""Whole characters on a sheet, for every picture that has a scale and words; its ASCII twin is a matter of `in_ascii`.

Dots on a grid of characters, for what is round: braille where the terminal has it, plain ASCII elsewhere.

The bore as a dial: the round hole it was, and what it has become, with the difference drawn larger than life.

What the dial of a hole draws: this season's shape over its first one and over the hole as made; and its legend.

A joint's clearance over the days of its span in a few cells, the limit being full scale.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from fieldlog.measure.hole import HoleSize
from fieldlog.pages.lines import Line, Span, fit, in_ascii, line
from fieldlog.quantity.text import day_text
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.trends.rates import main_trend

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


@dataclass(frozen=True, slots=True)
class DialShape:
    """A bore as D0 + a cos 2t + b sin 2t, the as-made size it is laid over, and the readings' lines.

    `first` is the shape that it had when it was first measured, where that is another day.
    """

    d0_mm: float
    a_mm: float
    b_mm: float
    as_made_mm: float
    readings: tuple[tuple[float, float], ...] = ()
    first: "DialShape | None" = None

    def diameter_mm(self, angle_deg: float) -> float:
        """The fitted diameter along a line."""
        twice = math.radians(2 * angle_deg)
        return self.d0_mm + self.a_mm * math.cos(twice) + self.b_mm * math.sin(twice)


def dial_lines(shape: DialShape, columns: int, rows: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Draw the dial in `columns` x `rows`; `o` stands where a reading was taken, the sparse ring is as made.

    `+` stands along the shape of the first day.
    """
    canvas = Canvas(columns - 2 * _MARGIN_COLUMNS, rows - 2, ascii_only=ascii_only)
    centre_x = (canvas.columns * canvas.across - 1) / 2
    centre_y = (canvas.rows * canvas.down - 1) / 2
    radius = min(centre_x, centre_y)
    gain = magnification(shape)
    scale = _radius_scale(shape, radius, gain)
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
    return tuple(_framed(canvas, columns))


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


def _framed(canvas: Canvas, columns: int) -> Iterable[Line]:
    yield Line((Span("12".center(columns), "dim"),))
    middle = canvas.rows // 2
    for row in range(canvas.rows):
        text = canvas.row(row)
        left, right = (" 9 ", " 3 ") if row == middle else ("   ", "   ")
        yield Line((Span(left, "dim"), Span(text, "picture"), Span(right, "dim")))
    yield Line((Span("6".center(columns), "dim"),))


def dial_shape(state: HoleState) -> DialShape | None:
    """Return the latest shape over the hole's own smallest size and its first shape; None without a shape."""
    latest = state.latest
    if latest is None or state.identity is None:
        return None
    face = latest.best_face
    if face.shape is None:
        return None
    as_made_mm = state.identity.value_mm
    readings = tuple((group.angle_deg, group.mean_mm) for group in face.groups)
    first = first_shaped(state)
    shape = first.best_face.shape if first is not None else None
    before = DialShape(shape.d0_mm, shape.a_mm, shape.b_mm, as_made_mm) if shape is not None else None
    return DialShape(face.shape.d0_mm, face.shape.a_mm, face.shape.b_mm, as_made_mm, readings, before)


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
    return tuple(line(Span(fit(f"   {text}", width), "dim")) for text in rows)


CELLS = 8
_BLOCKS = "▁▂▃▄▅▆▇█"
_ASCII = "_.-=+*%#"
_OVER = "!"


def spark_of(state: JointState, cells: int = CELLS, *, ascii_only: bool = False) -> str:
    """Return one cell a measuring day, the last `cells` days; `!` is over the limit. Empty under two days.

    Eight heights are eighths of the limit; without a limit of the clearance, of the largest day.
    """
    trend = main_trend(state)
    days = [p for p in trend.points if p.part == trend.last_part and not p.left_out] if trend is not None else []
    if trend is None or len(days) < 2:
        return ""
    values = [point.value.value_mm for point in days]
    full = trend.limit.renew_mm if trend.limit is not None else max(values)
    return "".join(_cell(value, full, _ASCII if ascii_only else _BLOCKS) for value in values[-cells:])


def _cell(value_mm: float, full_mm: float, signs: str) -> str:
    if full_mm <= 0:
        return signs[0]
    if value_mm > full_mm:
        return _OVER
    return signs[min(max(int(value_mm / full_mm * len(signs)), 0), len(signs) - 1)]
