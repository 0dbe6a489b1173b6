"""Small systems of normal equations, solved by Cholesky's method; enough for a handful of coefficients."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import mul

from fieldlog.errors import MeasureError

Matrix = list[list[float]]
_SINGULAR = 1e-13  # of a pivot against what stood there before


@dataclass(frozen=True, slots=True)
class Solution:
    """Coefficients, then what was found for the shared sources; the covariance of all; the weighted residual sum."""

    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    chi_squared: float


def solve_normal(
    rows: Sequence[Sequence[float]],
    values: Sequence[float],
    weights: Sequence[float],
    sources: Sequence[Mapping[int, float]] = (),
) -> Solution:
    """Return the weighted least-squares solution of rows x = values with shared sources of doubt.

    Each source gives the rows that it touches and its standard uncertainty there; its size is an unknown of its
    own with mean 0 and variance 1. The sum of squares is that of the residuals and of those unknowns together,
    which is the one of generalised least squares.
    """
    columns = [list(column) for column in zip(*rows, strict=True)]
    own = len(columns)
    columns += [[source.get(n, 0.0) for n in range(len(rows))] for source in sources]
    size = len(columns)
    weighted = [list(map(mul, weights, column)) for column in columns]
    normal = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            cell = math.fsum(map(mul, weighted[i], columns[j]))
            normal[i][j] = normal[j][i] = cell + (1.0 if i == j >= own else 0.0)
    right = [math.fsum(map(mul, column, values)) for column in weighted]
    lower = _cholesky(normal)
    found = _solved(lower, right)
    unit = [[1.0 if i == j else 0.0 for i in range(size)] for j in range(size)]
    inverse = tuple(tuple(_solved(lower, column)) for column in unit)
    residuals = list(values)
    for coefficient, column in zip(found, columns, strict=True):
        residuals = [rest - coefficient * cell for rest, cell in zip(residuals, column, strict=True)]
    chi = math.fsum(map(mul, weights, map(mul, residuals, residuals))) + math.fsum(d * d for d in found[own:])
    return Solution(tuple(found), inverse, chi)


def _cholesky(matrix: Matrix) -> Matrix:
    size = len(matrix)
    lower = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            rest = matrix[i][j] - sum(lower[i][k] * lower[j][k] for k in range(j))
            if i > j:
                lower[i][j] = rest / lower[j][j]
            elif rest > _SINGULAR * matrix[i][i]:
                lower[i][i] = math.sqrt(rest)
            else:
                raise MeasureError("The points do not lie apart enough to tell the terms from each other.")
    return lower


def _solved(lower: Matrix, right: Sequence[float]) -> list[float]:
    size = len(lower)
    forward = [0.0] * size
    for i in range(size):
        forward[i] = (right[i] - sum(lower[i][k] * forward[k] for k in range(i))) / lower[i][i]
    found = [0.0] * size
    for i in reversed(range(size)):
        found[i] = (forward[i] - sum(lower[k][i] * found[k] for k in range(i + 1, size))) / lower[i][i]
    return found


Row = tuple[float, float, float]
Three = tuple[Row, Row, Row]


def inverse_of_three(m: Three) -> Three:
    """Invert a symmetric 3 x 3 matrix by cofactors."""
    (p, q, r), (_, s, t), (_, _, u) = m
    c00, c01, c02 = s * u - t * t, r * t - q * u, q * t - r * s
    c11, c12, c22 = p * u - r * r, q * r - p * t, p * s - q * q
    d = p * c00 + q * c01 + r * c02
    return (c00 / d, c01 / d, c02 / d), (c01 / d, c11 / d, c12 / d), (c02 / d, c12 / d, c22 / d)


def root_of_three(m: Three) -> Three:
    """Return the lower Cholesky factor of a symmetric positive 3 x 3 matrix."""
    (p, q, r), (_, s, t), (_, _, u) = m
    a = math.sqrt(p)
    b, c = q / a, r / a
    d = math.sqrt(s - b * b)
    e = (t - b * c) / d
    return (a, 0.0, 0.0), (b, d, 0.0), (c, e, math.sqrt(u - c * c - e * e))
