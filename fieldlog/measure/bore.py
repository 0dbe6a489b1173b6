"""The shape of a bore from caliper readings at their angles: D(t) = D0 + a cos 2t + b sin 2t by least squares.

All that depends on the angles alone is worked out once: people measure along the same few lines again and again.

Round within error by an F test of the two oval components together, not by comparing ovality with its own interval:
the amplitude is never negative, so that interval would call too many round holes oval.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from fieldlog.errors import MeasureError
from fieldlog.measure.instruments import Scatter, mean, scatter_from
from fieldlog.quantity.distributions import f_cdf, f_quantile, t_quantile
from fieldlog.quantity.matrices import Row, Three, inverse_of_three, root_of_three
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import Value

FEWEST_LINES = 3
_SAME_LINE_DEG = 1.0
_LEAST_SPREAD = 0.1 / 27  # between lines at 12, 1 and 2 o'clock (0.028) and three within 40 degrees (0.0034)


@dataclass(frozen=True, slots=True)
class Lines:
    """Readings' lines: the different ones, which readings lie along each, and the least-squares matrices.

    `rows` are the rows (1, cos 2t, sin 2t) of the readings, `inverse` the inverse of their normal matrix, and `root`
    its lower Cholesky factor: what three independent unknowns of one scatter do to the fitted three.
    """

    lines_deg: tuple[float, ...]
    along: tuple[tuple[int, ...], ...]
    rows: tuple[Row, ...]
    inverse: Three
    root: Three


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
    inverse = inverse_of_three(_normal_matrix(rows))
    return Lines(lines, along, rows, inverse, root_of_three(inverse))


def oval_row(angle_deg: float) -> Row:
    """Return what the mean size and the two components of an oval weigh along a line."""
    twice = math.radians(2 * angle_deg)
    return 1.0, math.cos(twice), math.sin(twice)


def variance(inverse: Three, weights: Row) -> float:
    """Return the variance of a weighted sum of the fitted three, in units of the variance of one reading."""
    x, y, z = weights
    (a, b, c), (d, e, f), (g, h, i) = inverse
    return math.fsum(
        (x * a * x, x * b * y, x * c * z, y * d * x, y * e * y, y * f * z, z * g * x, z * h * y, z * i * z)
    )


def _apart(first: float, second: float) -> float:
    gap = abs(first - second) % 180.0
    return min(gap, 180.0 - gap)


def _normal_matrix(rows: Sequence[Row]) -> Three:
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


LOBES_OF_AMPLITUDE = 0.10  # the wave's root mean square over the amplitude, where there is one: own working, see above
SHARE_WITH_WAVE = 0.3  # bores that have one: chosen so that ovals and worn walls are both held 95 times in 100


def not_oval_mm(
    angles_deg: Sequence[float],
    residuals_mm: Sequence[float],
    inverse: tuple[Row, Row, Row],
    fitted: tuple[float, float],
    sd_mm: float,
    *,
    is_largest: bool,
) -> float:
    """Return what four lobes in step with the oval may do to its largest or its smallest size, in mm.

    It is the root mean square of the wave by Bayes' rule: beforehand there is none, or, in `SHARE_WITH_WAVE`
    of all bores, one of `LOBES_OF_AMPLITUDE` times the amplitude, normally distributed; the residuals then tell.

    Args:
        angles_deg: the line of each reading.
        residuals_mm: the residuals from the oval.
        inverse: the inverse of its normal matrix.
        fitted: its two components a and b in mm.
        sd_mm: the standard deviation of one reading.
        is_largest: for the largest size, else for the smallest.
    """
    amplitude_mm = math.hypot(*fitted)
    axis = math.atan2(fitted[1], fitted[0]) / 2
    waves = [math.cos(4 * (math.radians(angle) - axis)) for angle in angles_deg]
    rows = [oval_row(angle) for angle in angles_deg]
    sums = [math.fsum(row[k] * wave for row, wave in zip(rows, waves, strict=True)) for k in range(3)]
    taken = tuple(math.fsum(inverse[k][j] * sums[j] for j in range(3)) for k in range(3))
    left = [wave - _dot(row, taken) for row, wave in zip(rows, waves, strict=True)]
    seen = math.fsum(part**2 for part in left) / max(sd_mm, 1e-6) ** 2
    told = math.fsum(part * miss for part, miss in zip(left, residuals_mm, strict=True)) / max(sd_mm, 1e-6) ** 2
    wave_mm = _wave_mm(seen, told, LOBES_OF_AMPLITUDE * amplitude_mm)
    at = axis if is_largest else axis + math.pi / 2
    return abs(1 - _dot(oval_row(math.degrees(at)), taken)) * wave_mm


def _wave_mm(seen: float, told: float, expected_mm: float) -> float:
    """Return the root mean square of the wave, with `seen` the weight of what the lines show, `told` / `seen` it."""
    if expected_mm <= 0:
        return 0.0
    known = seen + 1 / expected_mm**2
    log_odds = 0.5 * (told**2 / known - math.log(known * expected_mm**2))
    odds = SHARE_WITH_WAVE / (1 - SHARE_WITH_WAVE) * math.exp(min(log_odds, 100.0))
    return math.sqrt(odds / (1 + odds) * ((told / known) ** 2 + 1 / known))


def _dot(row: Sequence[float], other: Sequence[float]) -> float:
    return math.fsum(a * b for a, b in zip(row, other, strict=True))


class Bore(NamedTuple):
    """What the sources of a bore's doubt are known by: a measuring of a bore, the bore itself, and the day; all ids."""

    measuring: str
    bore: str
    day: str

    def shape(self, kind: str, label: str, why: str, *, is_limit: bool = False) -> Source:
        """Return what a fitted shape leaves out: of one bore it is never far from itself, so it counts once."""
        whose = f"{self.bore}/shape"
        return Source(f"{whose}, {kind}, {self.day}", "shape", label=label, why=why, is_limit=is_limit, wanders=whose)


ROUND_SIGNIFICANCE = 0.05
MISFIT_SIGNIFICANCE = 0.01


@dataclass(frozen=True, slots=True)
class BoreShape:
    """A fitted oval: sizes with their uncertainty, and the long axis where there is one.

    `axis_deg` is measured clockwise from the 12-6 line, 0 to under 180; None when the bore is round within
    error. `fits_oval` is false when repeats at one line agree far better than the oval fits the lines.
    """

    d0_mm: float
    a_mm: float
    b_mm: float
    mean: Value
    smallest: Value
    largest: Value
    ovality: Value
    axis_deg: float | None
    axis_half_width_deg: float
    is_round_within_error: bool
    fits_oval: bool
    scatter: Scatter


def fit_bore(
    readings: Sequence[tuple[float, float]],
    common: tuple[Term, ...],
    usual_mm: float,
    step_mm: float,
    whose: Bore,
    known: Scatter | None = None,
) -> BoreShape:
    """Fit the oval to (angle in degrees, diameter in mm) pairs at three or more lines, any spacing.

    What is `common` to all lines, such as the instrument's limit, counts in the sizes but not in ovality or axis.

    Raises:
        MeasureError: fewer than three lines, or lines so close together that the shape cannot be told.
    """
    lines = oval_lines(tuple(angle for angle, _ in readings))
    fitted, residuals = _least_squares(readings, lines)
    inverse = lines.inverse
    squares = math.fsum(residual**2 for residual in residuals)
    found = scatter_from(squares, float(len(readings) - 3), usual_mm, step_mm / math.sqrt(12), known)
    misfit = _lack_of_fit(readings, lines, residuals, step_mm)
    shape = _shape(fitted, lines, found, (common, whose), fits_oval=misfit is None or not misfit.is_proved)
    if shape.is_round_within_error:
        return shape
    angles = [angle for angle, _ in readings]
    least, most = (
        not_oval_mm(angles, residuals, inverse, fitted[1:], found.sd_mm, is_largest=is_largest)
        for is_largest in (False, True)
    )
    why = "a wall worn by its pin is not quite an oval; judged from its ovality and how the lines fit"
    source = whose.shape("worn wall", "shape other than an oval", why)
    smallest, largest = shape.smallest, shape.largest
    return replace(
        shape,
        smallest=replace(smallest, terms=(*smallest.terms, Term(source, least))),
        largest=replace(largest, terms=(*largest.terms, Term(source, most))),
    )


def _least_squares(
    readings: Sequence[tuple[float, float]], lines: Lines
) -> tuple[tuple[float, float, float], list[float]]:
    """Return the fitted (D0, a, b) and the residuals, all in mm."""
    centre = mean([size for _, size in readings])
    rows, inverse = lines.rows, lines.inverse
    shifted = [size - centre for _, size in readings]
    sums = [math.fsum([row[k] * size for row, size in zip(rows, shifted, strict=True)]) for k in range(3)]
    shift, a_mm, b_mm = (math.fsum(inverse[k][j] * sums[j] for j in range(3)) for k in range(3))
    residuals = [size - shift - a_mm * row[1] - b_mm * row[2] for row, size in zip(rows, shifted, strict=True)]
    return (centre + shift, a_mm, b_mm), residuals


def oval_residuals(readings: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return each reading's residual from the fitted oval in mm, with its leverage (0 to 1).

    Raises:
        MeasureError: fewer than three lines, or lines too close together.
    """
    lines = oval_lines(tuple(angle for angle, _ in readings))
    _, residuals = _least_squares(readings, lines)
    leverages = [variance(lines.inverse, row) for row in lines.rows]
    return list(zip(residuals, leverages, strict=True))


def _shape(
    fitted: tuple[float, float, float],
    lines: Lines,
    found: Scatter,
    doubt: tuple[tuple[Term, ...], Bore],
    *,
    fits_oval: bool,
) -> BoreShape:
    d0_mm, a_mm, b_mm = fitted
    common, whose = doubt
    amplitude = math.hypot(a_mm, b_mm)
    is_round = _is_round(a_mm, b_mm, lines.inverse, found)
    along = (a_mm / amplitude, b_mm / amplitude) if amplitude > 0 else (1.0, 0.0)
    across = (-along[1], along[0])
    oval = _oval(lines, found, along, f"{whose.measuring}/oval", is_round=is_round)
    u_axis = found.sd_mm * math.sqrt(max(variance(lines.inverse, (0.0, *across)), 0.0))
    half_width = math.degrees(0.5 * t_quantile(0.975, found.dof) * u_axis / amplitude) if amplitude > 0 else 90.0
    return BoreShape(
        d0_mm=d0_mm,
        a_mm=a_mm,
        b_mm=b_mm,
        mean=Value(d0_mm, "mm", (*oval.terms(1.0, 0.0), *common)),
        smallest=Value(d0_mm - amplitude, "mm", (*oval.terms(1.0, -1.0), *common)),
        largest=Value(d0_mm + amplitude, "mm", (*oval.terms(1.0, 1.0), *common)),
        ovality=Value(2 * amplitude, "mm", oval.terms(0.0, 2.0)),
        axis_deg=None if is_round else _axis_deg(a_mm, b_mm),
        axis_half_width_deg=min(half_width, 90.0),
        is_round_within_error=is_round,
        fits_oval=fits_oval,
        scatter=found,
    )


class _Oval(NamedTuple):
    """The scatter of an oval's mean size and amplitude: a pool of three unknowns, and one for its direction."""

    lines: Lines
    sd_mm: float
    along: tuple[float, float]
    widened: float
    sources: tuple[Source, ...]

    def terms(self, mean: float, amplitude: float) -> tuple[Term, ...]:
        """Return what the scatter does to so many mean sizes and amplitudes."""
        x, y, z = mean, amplitude * self.along[0], amplitude * self.along[1]
        (a, _, _), (b, c, _), (d, e, f) = self.lines.root
        shares = (x * a + y * b + z * d, y * c + z * e, z * f, amplitude * self.widened)
        return tuple([Term(source, share * self.sd_mm) for source, share in zip(self.sources, shares, strict=False)])


def _oval(lines: Lines, found: Scatter, along: tuple[float, float], pool: str, *, is_round: bool) -> _Oval:
    """Return the scatter of an oval; where none is proved, its direction is one unknown more."""
    widened = 0.0
    if is_round:
        spread = (_widening(found.dof) ** 2 - 1) * variance(lines.inverse, (0.0, *along))
        widened = math.sqrt(max(spread, 0.0))
    label = "scatter of the readings round the oval"
    sources = tuple(
        Source(f"{pool}/{n}", "scatter", label=label, why=found.source, dof=found.dof, pool=pool)
        for n in range(4 if widened else 3)
    )
    return _Oval(lines, found.sd_mm, along, widened, sources)


def _axis_deg(a_mm: float, b_mm: float) -> float:
    """Return the direction of the long axis, 0 to under 180 degrees; a hair under 0 would round up to 180."""
    axis = math.degrees(0.5 * math.atan2(b_mm, a_mm)) % 180.0
    return axis if axis < 180.0 else 0.0


def _widening(dof: float) -> float:
    """Return by how much the doubt of an amplitude grows where no oval is proved.

    A length in two components, never negative, comes out too large when there is no oval; with this factor
    its 95 % interval is that of the F test (Scheffe's), so that "round within error" and an interval that
    leaves out zero are never said together.
    """
    return math.sqrt(2 * f_quantile(1 - ROUND_SIGNIFICANCE, 2.0, dof)) / t_quantile(0.975, dof)


def _is_round(a_mm: float, b_mm: float, inverse: Three, scatter: Scatter) -> bool:
    """Tell whether (a, b) is zero within error, by the F test with 2 and the scatter's degrees of freedom.

    The amplitude itself is never negative, so comparing it with its own interval would call too many round
    holes oval; the two components are tested together instead.
    """
    if scatter.sd_mm == 0:
        return a_mm == 0 and b_mm == 0
    (_, _, _), (_, v11, v12), (_, _, v22) = inverse
    determinant = v11 * v22 - v12 * v12
    distance = (a_mm * a_mm * v22 - 2 * a_mm * b_mm * v12 + b_mm * b_mm * v11) / determinant
    f = distance / (2 * scatter.sd_mm**2)
    return f_cdf(f, 2.0, scatter.dof) < 1 - ROUND_SIGNIFICANCE


@dataclass(frozen=True, slots=True)
class LackOfFit:
    """How badly the lines miss the oval, as variance ratio to the scatter of the repeats at one line."""

    f: float
    misfit_dof: int
    pure_dof: int
    worst_mm: float
    repeats_mm: float

    @property
    def is_proved(self) -> bool:
        """True when chance gives such a misfit in fewer than one case in a hundred."""
        share = f_cdf(self.f, float(self.misfit_dof), float(self.pure_dof))
        return self.f > 0 and share >= 1 - MISFIT_SIGNIFICANCE


def lack_of_fit(readings: Sequence[tuple[float, float]], step_mm: float) -> LackOfFit | None:
    """Test the oval against the pure scatter of the repeats; None where repeats or a fourth line lack.

    F = (sum of squares of the fit less that of the repeats) / (lines - 3), over the repeats' own mean square
    with (readings - lines) degrees of freedom, which is at least what the step allows. Source: N. R. Draper and
    H. Smith, Applied Regression Analysis, lack of fit and pure error.
    """
    try:
        lines = oval_lines(tuple(angle for angle, _ in readings))
    except MeasureError:
        return None
    _, residuals = _least_squares(readings, lines)
    return _lack_of_fit(readings, lines, residuals, step_mm)


def _lack_of_fit(
    readings: Sequence[tuple[float, float]], lines: Lines, residuals: Sequence[float], step_mm: float
) -> LackOfFit | None:
    groups = [[readings[i][1] for i in among] for among in lines.along]
    pure_dof, misfit_dof = sum(len(group) - 1 for group in groups), len(groups) - 3
    if pure_dof < 1 or misfit_dof < 1:
        return None
    squares = math.fsum(residual**2 for residual in residuals)
    pure = math.fsum(math.fsum((v - mean(group)) ** 2 for v in group) for group in groups)
    pure_mean = max(pure / pure_dof, step_mm**2 / 12)
    f = max(squares - pure, 0.0) / misfit_dof / pure_mean if pure_mean > 0 else 0.0
    misses = [mean([residuals[i] for i in among]) for among in lines.along]
    return LackOfFit(f, misfit_dof, pure_dof, max(map(abs, misses)), math.sqrt(pure_mean))
