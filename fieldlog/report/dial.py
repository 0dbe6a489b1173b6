"""The bore as a dial: the round hole it was, and what it has become, with the difference drawn larger than life."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.report.canvas import Canvas
from fieldlog.report.lines import Line, Span

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
