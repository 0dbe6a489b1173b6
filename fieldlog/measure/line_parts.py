"""What the doubt of a fitted rate is made of: how much of it every day's scatter and every shared source brings in.

A least-squares slope is a weighted sum of the days' values, with weights that only the times and the known doubts
decide. So its variance is the sum over the days of weight squared times variance, and over the shared sources of the
square of (weight times the source's size on the day, summed): independent parts that add up to the whole exactly.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import mul
from typing import Literal

from fieldlog.measure.line_fit import Fit, Point, shared_sources
from fieldlog.measure.matrices import solve_normal

Origin = Literal["stated", "beyond", "alone", "shared"]
_NOTHING = 1e-9  # of the whole


@dataclass(frozen=True, slots=True)
class SlopePart:
    """One source of a slope's doubt, mm per x, with its degrees of freedom, and the points (by number) it touches.

    "stated" is the scatter that the readings show on their own day, "beyond" what the days lie farther from the line
    than that tells, "alone" a named source that one day only has, "shared" one that several days have in common.
    """

    origin: Origin
    name: str
    u: float
    dof: float
    touches: tuple[int, ...]


def parts_of(points: Sequence[Point], fit: Fit, row: Sequence[float]) -> tuple[SlopePart, ...]:
    """Return the parts of `row` times the coefficients of `fit`, which went through `points`; a slope or its change.

    slope = sum(a_i y_i); u^2 = scale sum(a_i^2 u_i^2) + sum over sources of (sum(a_i s_i))^2, s_i being the source's
    size on day i. What touches all days alike brings in nothing, since the weights of a slope add up to nothing.

    Source: GUM (JCGM 100:2008) 5.2.2, for the linear combination that generalised least squares is.
    """
    sources = shared_sources(points)
    weights = _weights(points, fit, list(sources.values()), row)
    every, factor = tuple(range(len(points))), min(fit.scale, 1.0)
    whole = math.fsum((a * p.u_mm) ** 2 for a, p in zip(weights, points, strict=True))
    alone = [
        SlopePart("alone", name, math.sqrt(factor) * abs(weights[i]) * u, math.inf, (i,))
        for i, point in enumerate(points)
        for name, u in point.alone
    ]
    stated = factor * whole - math.fsum(part.u**2 for part in alone)
    left = float(max(len(points) - len(fit.coefficients), 1))
    found = [
        SlopePart("stated", "", math.sqrt(max(stated, 0.0)), math.fsum(p.dof for p in points), every),
        SlopePart("beyond", "", math.sqrt(max(fit.scale - 1.0, 0.0) * whole), left, every),
        *alone,
        *(
            SlopePart("shared", name, abs(math.fsum(weights[i] * u for i, u in on.items())), math.inf, tuple(on))
            for name, on in sources.items()
        ),
    ]
    total = math.hypot(*(part.u for part in found))
    return tuple(part for part in found if part.u > _NOTHING * total)


def _weights(
    points: Sequence[Point], fit: Fit, sources: Sequence[Mapping[int, float]], row: Sequence[float]
) -> list[float]:
    """Return what each point's value is multiplied with, the sources being unknowns of their own as in the fit."""
    terms = [(*fit.row(p.x), *(source.get(i, 0.0) for source in sources)) for i, p in enumerate(points)]
    heavy = [1 / ((fit.scale or 1.0) * p.u_mm**2) for p in points]
    rows = [term[: len(row)] for term in terms]
    covariance = solve_normal(rows, [p.value_mm for p in points], heavy, sources).covariance
    lean = [math.fsum(r * line[k] for r, line in zip(row, covariance, strict=False)) for k in range(len(covariance))]
    return [w * math.fsum(map(mul, lean, term)) for w, term in zip(heavy, terms, strict=True)]
