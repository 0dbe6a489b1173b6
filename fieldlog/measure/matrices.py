"""Small systems of normal equations, solved by Cholesky's method; enough for a handful of coefficients."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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
    wide = [[*row, *(source.get(n, 0.0) for source in sources)] for n, row in enumerate(rows)]
    size, own = len(wide[0]), len(rows[0])
    normal = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            cell = math.fsum(w * row[i] * row[j] for w, row in zip(weights, wide, strict=True))
            normal[i][j] = normal[j][i] = cell + (1.0 if i == j >= own else 0.0)
    right = [math.fsum(w * row[i] * v for w, row, v in zip(weights, wide, values, strict=True)) for i in range(size)]
    lower = _cholesky(normal)
    found = _solved(lower, right)
    unit = [[1.0 if i == j else 0.0 for i in range(size)] for j in range(size)]
    inverse = tuple(tuple(_solved(lower, column)) for column in unit)
    residuals = (v - sum(a * b for a, b in zip(found, row, strict=True)) for v, row in zip(values, wide, strict=True))
    chi = math.fsum(w * r * r for w, r in zip(weights, residuals, strict=True)) + math.fsum(d * d for d in found[own:])
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
