"""The lines that an oval is fitted to: all that depends on their angles alone, worked out once for each plan.

People measure along the same few lines again and again, so nearly every fit finds its lines here already.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

from fieldlog.errors import MeasureError
from fieldlog.records.frozen import dataclass

FEWEST_LINES = 3
_SAME_LINE_DEG = 1.0
_LEAST_SPREAD = 0.1 / 27  # between lines at 12, 1 and 2 o'clock (0.028) and three within 40 degrees (0.0034)

Row = tuple[float, float, float]
Matrix = tuple[Row, Row, Row]


@dataclass(frozen=True, slots=True)
class Lines:
    """Readings' lines: the different ones, which readings lie along each, and the least-squares matrices.

    `rows` are the rows (1, cos 2t, sin 2t) of the readings, `inverse` the inverse of their normal matrix.
    """

    lines_deg: tuple[float, ...]
    along: tuple[tuple[int, ...], ...]
    rows: tuple[Row, ...]
    inverse: Matrix


def distinct_lines(angles_deg: Sequence[float]) -> tuple[float, ...]:
    """Return the different lines across the hole, 0 and 180 degrees being one."""
    lines: list[float] = []
    for angle in angles_deg:
        if all(_apart(angle, other) > _SAME_LINE_DEG for other in lines):
            lines.append(angle % 180.0)
    return tuple(sorted(lines))


@lru_cache(maxsize=512)
def oval_lines(angles_deg: tuple[float, ...]) -> Lines:
    """Return the lines of readings at these angles.

    Raises:
        MeasureError: fewer than three lines, or lines so close together that an oval cannot be told.
    """
    lines = distinct_lines(angles_deg)
    if len(lines) < FEWEST_LINES:
        raise MeasureError(f"{len(lines)} line(s) across the hole: an oval needs three or more, such as 12, 1:30, 3.")
    _refuse_close(lines)
    rows = tuple(oval_row(angle) for angle in angles_deg)
    along = tuple(tuple(i for i, angle in enumerate(angles_deg) if _apart(angle, at) <= _SAME_LINE_DEG) for at in lines)
    return Lines(lines, along, rows, _inverse(_normal_matrix(rows)))


def oval_row(angle_deg: float) -> Row:
    """Return what the mean size and the two components of an oval weigh along a line."""
    twice = math.radians(2 * angle_deg)
    return 1.0, math.cos(twice), math.sin(twice)


def variance(inverse: Matrix, weights: Row) -> float:
    """Return the variance of a weighted sum of the fitted three, in units of the variance of one reading."""
    x, y, z = weights
    (a, b, c), (d, e, f), (g, h, i) = inverse
    return math.fsum(
        (x * a * x, x * b * y, x * c * z, y * d * x, y * e * y, y * f * z, z * g * x, z * h * y, z * i * z)
    )


def _apart(first: float, second: float) -> float:
    gap = abs(first - second) % 180.0
    return min(gap, 180.0 - gap)


def _normal_matrix(rows: Sequence[Row]) -> Matrix:
    def cell(i: int, j: int) -> float:
        return math.fsum(row[i] * row[j] for row in rows)

    n01, n02, n12 = cell(0, 1), cell(0, 2), cell(1, 2)
    return (cell(0, 0), n01, n02), (n01, cell(1, 1), n12), (n02, n12, cell(2, 2))


def _refuse_close(lines: tuple[float, ...]) -> None:
    """Refuse lines that would magnify every reading error; how often each was measured plays no part."""
    (p, q, r), (_, s, t), (_, _, u) = _normal_matrix([oval_row(angle) for angle in lines])
    determinant = p * (s * u - t * t) + q * (r * t - q * u) + r * (q * t - r * s)
    if determinant < _LEAST_SPREAD * p**3:
        raise MeasureError("The angles are too close together to tell an oval; spread them, such as 12, 1:30, 3, 4:30.")


def _inverse(m: Matrix) -> Matrix:
    """Invert a symmetric 3 x 3 matrix by cofactors."""
    (p, q, r), (_, s, t), (_, _, u) = m
    c00, c01, c02 = s * u - t * t, r * t - q * u, q * t - r * s
    c11, c12, c22 = p * u - r * r, q * r - p * t, p * s - q * q
    d = p * c00 + q * c01 + r * c02
    return (c00 / d, c01 / d, c02 / d), (c01 / d, c11 / d, c12 / d), (c02 / d, c12 / d, c22 / d)
