"""A straight line, a bent one or a curve through measured days, with the doubt of each day and what they share.

The same caliper is wrong by the same amount on every day: that moves the whole line up or down but does not make
it steeper. So what several days share is no scatter: each shared source is one unknown more, known beforehand to
be nothing give or take its uncertainty, and is solved for together with the line (the same as generalised least
squares with those covariances; GUM F.1.2.3 says why they count).

What the doubt of a fitted rate is made of: how much of it every day's scatter and every shared source brings in.

What days share is no scatter (`measure/line_fit.py`, `wear/series.py`). A caliper's limit of error, its unchecked
zero, an offset learnt for its jaws, a pin that nobody measured and one reading of the pin that serves several days
are one unknown each, common to the days they touch, solved for with the line (generalised least squares). Touching
all days alike they move the level and not the rate; two calipers one after the other make the rate doubtful too. A
zero that does drift from day to day shows itself in the residuals.

A rate's doubt told apart adds up (`measure/line_fit.py`): a slope is a weighted sum of the days' values, so each
day's scatter and each shared source has its own share of the variance. Its factor is t at the degrees of freedom of
the fit (`Figure.joint_dof`), as everywhere else; Welch-Satterthwaite over the parts would give another number.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import mul
from types import MappingProxyType
from typing import Literal, NamedTuple

from fieldlog.errors import MeasureError
from fieldlog.quantity.distributions import f_quantile, t_cdf, t_quantile
from fieldlog.quantity.matrices import Solution, solve_normal
from fieldlog.quantity.source import Source, Term

Shape = Literal["line", "bend", "curve"]
_COEFFICIENTS: Mapping[Shape, int] = MappingProxyType({"line": 2, "bend": 3, "curve": 3})
_AGREES = 0.99  # residuals under this point of F are what the stated uncertainties explain
_MOST_DOF = 1e6
_JUDGED_DOF = 8.0  # a judged uncertainty, good to 25 %: GUM (JCGM 100:2008) G.4.2


@dataclass(frozen=True, slots=True)
class Point:
    """One measured value over hours or days: `u_mm` is its own doubt, `shared` that of sources other days share.

    `dof` are the degrees of freedom of `u_mm`; `alone` is what else than scatter is in it.
    """

    x: float
    value_mm: float
    u_mm: float
    dof: float = math.inf
    shared: tuple[Term, ...] = ()
    alone: tuple[Term, ...] = ()


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line through (`centre`, `level_mm`) with the covariance of level and slope there.

    `dof` are the degrees of freedom of the scatter; `known_variance` is what of `level_variance` is no scatter but is
    known beforehand, such as one caliper's limit of error on all days.
    """

    centre: float
    level_mm: float
    slope: float
    level_variance: float
    covariance: float
    slope_variance: float
    dof: float
    known_variance: float = 0.0

    def value_at(self, x: float) -> float:
        """The line's height at x."""
        return self.level_mm + self.slope * (x - self.centre)

    def u_at(self, x: float) -> float:
        """The standard uncertainty of the line's height at x."""
        d = x - self.centre
        return math.sqrt(max(self.level_variance + 2 * d * self.covariance + d * d * self.slope_variance, 0.0))

    def correlation_at(self, x: float) -> float:
        """The correlation of the line's height at x with its slope, 0 where one of them carries no doubt."""
        u_mm = self.u_at(x)
        if u_mm == 0 or self.slope_u == 0:
            return 0.0
        return (self.covariance + (x - self.centre) * self.slope_variance) / (u_mm * self.slope_u)

    @property
    def slope_u(self) -> float:
        """The standard uncertainty of the slope."""
        return math.sqrt(self.slope_variance)

    def dof_at(self, x: float) -> float:
        """The effective degrees of freedom of the line's height at x (Welch-Satterthwaite; GUM G.4.1)."""
        variance = self.u_at(x) ** 2
        scatter = variance - self.known_variance
        if not self.known_variance or scatter <= 0:
            return self.dof if scatter > 0 or not self.known_variance else _MOST_DOF
        return min(self.dof * (variance / scatter) ** 2, max(_MOST_DOF, self.dof))

    def t(self, share: float = 0.95) -> float:
        """Student's t for a two-sided interval of the slope that holds this share."""
        return t_quantile((1 + share) / 2, self.dof)

    def t_at(self, x: float, share: float = 0.95) -> float:
        """Student's t for a two-sided interval of the height at x that holds this share."""
        return t_quantile((1 + share) / 2, self.dof_at(x))

    def chance_over(self, x: float, limit_mm: float) -> float:
        """The chance that the true line is over a limit at x, by Student's t."""
        u_mm, gap_mm = self.u_at(x), self.value_at(x) - limit_mm
        return t_cdf(gap_mm / u_mm, self.dof_at(x)) if u_mm > 0 else float(gap_mm > 0)


@dataclass(frozen=True, slots=True)
class Fit:
    """A fitted shape. `ratio` is the residual variance over the stated one, `scale` what the stated was multiplied by.

    `known_variance` is that of what all points share, which moves the level and nothing else.
    Coefficients belong to the terms of `row`, which are centred and scaled to keep the arithmetic clean.
    """

    shape: Shape
    centre: float
    spread: float
    knot: float
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    dof: float
    ratio: float
    scale: float
    n_points: int
    known_variance: float = 0.0

    def row(self, x: float) -> tuple[float, ...]:
        """The terms at x: 1, the distance from the centre, and its square or the distance beyond the bend."""
        return _row(self.shape, x, self.centre, self.spread, self.knot)

    def value_at(self, x: float) -> float:
        """The fitted height at x."""
        return math.fsum(c * term for c, term in zip(self.coefficients, self.row(x), strict=True))

    def u_at(self, x: float) -> float:
        """The standard uncertainty of the fitted height at x."""
        return math.sqrt(max(self._between(self.row(x), self.row(x)), 0.0))

    @property
    def extra(self) -> tuple[float, float]:
        """The third coefficient in mm per x (a bend) or mm per x squared (a curve), with its standard uncertainty."""
        unit = self.spread if self.shape == "bend" else self.spread**2
        return self.coefficients[2] / unit, math.sqrt(self.covariance[2][2]) / unit

    @property
    def is_extra_proved(self) -> bool:
        """Tell whether the third coefficient is proved not to be nothing, at 95 % by Student's t."""
        value, u = self.extra
        return abs(value) > t_quantile(0.975, self.dof) * u

    @property
    def bends_up(self) -> bool:
        """Tell whether the third coefficient is proved to be above nothing, at 95 % on that side alone."""
        value, u = self.extra
        return value > t_quantile(0.95, self.dof) * u

    def straight(self, at: float, *, is_tail: bool = True) -> Straight:
        """Return the line itself, or the part of a bent line beyond (or before) its bend, about x = `at`."""
        level, slope = self._straight_rows(at, is_tail=is_tail)
        return Straight(
            centre=at,
            level_mm=math.fsum(c * term for c, term in zip(self.coefficients, level, strict=True)),
            slope=math.fsum(c * term for c, term in zip(self.coefficients, slope, strict=True)),
            level_variance=self._between(level, level),
            covariance=self._between(level, slope),
            slope_variance=self._between(slope, slope),
            dof=self.dof,
            known_variance=self.known_variance,
        )

    def slope_row(self, at: float, *, is_tail: bool = True) -> tuple[float, ...]:
        """By what the coefficients are multiplied to give the slope at x = `at`."""
        return self._straight_rows(at, is_tail=is_tail)[1]

    @property
    def extra_row(self) -> tuple[float, ...]:
        """The same for the third coefficient as `extra` gives it."""
        return (0.0, 0.0, 1 / (self.spread if self.shape == "bend" else self.spread**2))

    def _straight_rows(self, at: float, *, is_tail: bool) -> tuple[tuple[float, ...], tuple[float, ...]]:
        z, per = (at - self.centre) / self.spread, 1 / self.spread
        if self.shape == "line":
            return (1.0, z), (0.0, per)
        if self.shape == "curve":
            return (1.0, z, z * z), (0.0, per, 2 * z * per)
        beyond = (at - self.knot) / self.spread if is_tail else 0.0
        return (1.0, z, beyond), (0.0, per, per if is_tail else 0.0)

    def _between(self, one: Sequence[float], other: Sequence[float]) -> float:
        rows = self.covariance
        return math.fsum(a * rows[i][j] * b for i, a in enumerate(one) for j, b in enumerate(other) if a and b)


def _row(shape: Shape, x: float, centre: float, spread: float, knot: float) -> tuple[float, ...]:
    z = (x - centre) / spread
    if shape == "line":
        return (1.0, z)
    return (1.0, z, z * z) if shape == "curve" else (1.0, z, max(x - knot, 0.0) / spread)


def fit_points(
    points: Sequence[Point], shape: Shape = "line", *, knot: float = 0.0, is_scale_known: bool = True
) -> Fit:
    """Return the weighted least-squares fit through points; weights are 1 / u^2.

    The scatter counted is never less than what was stated (sigma >= u). When the residuals show more, and that is
    proved (F test, 1 %), it is theirs alone, with their degrees of freedom. When it is not proved, both are put
    together, each by its degrees of freedom, of which what was stated counts 8 at the most: how evenly a thing wears
    is not known better than to 25 % (GUM G.4.2). With `is_scale_known` False the stated values are only weights.

    Source: weighted least squares and generalised least squares as in NIST/SEMATECH e-Handbook 4.1.4 and 4.4.5.2.

    Raises:
        MeasureError: there are fewer points than coefficients, or they do not lie apart.
    """
    size = _COEFFICIENTS[shape]
    if len(points) < size + (0 if is_scale_known else 1):
        raise MeasureError(f"{len(points)} points do not make a {shape}.")
    weights = [1 / point.u_mm**2 for point in points]
    centre = math.fsum(w * p.x for w, p in zip(weights, points, strict=True)) / math.fsum(weights)
    spread = max(abs(point.x - centre) for point in points)
    if not spread > 0:
        raise MeasureError("All points lie at the same hours; nothing tells a rate.")
    rows = [_row(shape, point.x, centre, spread, knot) for point in points]
    system = System(rows, [point.value_mm for point in points], weights, *_sources(points))
    first = solve_normal(system.rows, system.values, system.weights, system.sources)
    left = len(points) - size
    ratio = first.chi_squared / left if left else 1.0
    scale, dof = _scale(ratio, left, sum(p.dof for p in points)) if is_scale_known else (ratio, float(left))
    coefficients, covariance = _scaled(system, first, scale)
    known = system.level_variance
    return Fit(shape, centre, spread, knot, coefficients, covariance, dof, ratio, scale, len(points), known)


class System(NamedTuple):
    """What is solved: terms and values of the points, their weights, what some of them share, and what all share."""

    rows: Sequence[Sequence[float]]
    values: Sequence[float]
    weights: Sequence[float]
    sources: Sequence[Mapping[int, float]]
    level_variance: float


def _scaled(system: System, first: Solution, scale: float) -> tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]:
    """Return coefficients and covariance with the points' own variances multiplied by `scale`."""
    size, factor, last = len(system.rows[0]), scale, first
    if system.sources and scale > 0:
        last, factor = (
            solve_normal(system.rows, system.values, [w / scale for w in system.weights], system.sources),
            1.0,
        )
    covariance = [[factor * cell for cell in row[:size]] for row in last.covariance[:size]]
    covariance[0][0] += system.level_variance
    return last.coefficients[:size], tuple(map(tuple, covariance))


def _scale(ratio: float, left: int, stated_dof: float) -> tuple[float, float]:
    """Return by how much the stated variances are multiplied, and the degrees of freedom then."""
    stated = min(stated_dof, _MOST_DOF)
    if left == 0 or ratio <= 1.0:
        return 1.0, stated_dof
    if ratio > f_quantile(_AGREES, float(left), stated):
        return ratio, float(left)
    known = min(stated, _JUDGED_DOF)
    return (known + left * ratio) / (known + left), stated_dof + left


def _sources(points: Sequence[Point]) -> tuple[list[Mapping[int, float]], float]:
    """Return, for each shared source, the points that it touches and by how much.

    One that touches all alike moves the whole line and does nothing else, so its variance is only added to that of
    the level; the second number is the sum of those.
    """
    touched = [on for _, on in shared_sources(points)]
    common = [len(source) == len(points) and len(set(source.values())) == 1 for source in touched]
    apart = [source for source, is_common in zip(touched, common, strict=True) if not is_common]
    return apart, math.fsum(source[0] ** 2 for source, is_common in zip(touched, common, strict=True) if is_common)


def shared_sources(points: Sequence[Point]) -> list[tuple[Source, Mapping[int, float]]]:
    """Return every shared source, the same by its id: the points that it touches, by number, and its signed size."""
    found: dict[str, tuple[Source, dict[int, float]]] = {}
    for number, point in enumerate(points):
        for term in point.shared:
            if term.u != 0:
                found.setdefault(term.source.id, (term.source, {}))[1][number] = term.u
    return list(found.values())


Origin = Literal["stated", "beyond", "alone", "shared"]
_NOTHING = 1e-9  # of the whole


@dataclass(frozen=True, slots=True)
class SlopePart:
    """One source of a slope's doubt, mm per x, signed, its degrees of freedom, and the points (by number) it touches.

    "stated" is the scatter that the readings show on their own day, "beyond" what the days lie farther from the line
    than that tells: scatter of all days together, without a `source`. "alone" is a source that one day only has,
    "shared" one that several days have in common.
    """

    origin: Origin
    source: Source | None
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
    weights = _weights(points, fit, [on for _, on in sources], row)
    every, factor = tuple(range(len(points))), min(fit.scale, 1.0)
    whole = math.fsum((a * p.u_mm) ** 2 for a, p in zip(weights, points, strict=True))
    alone = [
        SlopePart("alone", term.source, math.sqrt(factor) * weights[i] * term.u, math.inf, (i,))
        for i, point in enumerate(points)
        for term in point.alone
    ]
    stated = factor * whole - math.fsum(part.u**2 for part in alone)
    left = float(max(len(points) - len(fit.coefficients), 1))
    found = [
        SlopePart("stated", None, math.sqrt(max(stated, 0.0)), math.fsum(p.dof for p in points), every),
        SlopePart("beyond", None, math.sqrt(max(fit.scale - 1.0, 0.0) * whole), left, every),
        *alone,
        *(
            SlopePart("shared", source, math.fsum([weights[i] * u for i, u in on.items()]), math.inf, tuple(on))
            for source, on in sources
        ),
    ]
    total = math.hypot(*(part.u for part in found))
    return tuple(part for part in found if abs(part.u) > _NOTHING * total)


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
