"""The lines that an oval is fitted to: all that depends on their angles alone, worked out once for each plan.

People measure along the same few lines again and again, so nearly every fit finds its lines here already.

How far a worn bore may be from the oval that is fitted to it.

The shape of a bore from caliper readings at their angles: D(t) = D0 + a cos 2t + b sin 2t by least squares.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from fieldlog.errors import MeasureError
from fieldlog.measure.instruments import Scatter, mean, scatter_from
from fieldlog.quantity.distributions import f_cdf, f_quantile, t_quantile
from fieldlog.quantity.estimate import Estimate, Part

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


LOBES_OF_AMPLITUDE = 0.10  # the wave's root mean square over the amplitude, where there is one: own working, see above
SHARE_WITH_WAVE = 0.3  # bores that have one: chosen so that ovals and worn walls are both held 95 times in 100


def not_oval_part(
    angles_deg: Sequence[float],
    residuals_mm: Sequence[float],
    inverse: tuple[Row, Row, Row],
    fitted: tuple[float, float],
    sd_mm: float,
    *,
    is_largest: bool,
) -> Part:
    """Return what four lobes in step with the oval may do to its largest or its smallest size.

    The part is the root mean square of the wave by Bayes' rule: beforehand there is none, or, in `SHARE_WITH_WAVE`
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
    rows = [_row(math.radians(angle)) for angle in angles_deg]
    sums = [math.fsum(row[k] * wave for row, wave in zip(rows, waves, strict=True)) for k in range(3)]
    taken = tuple(math.fsum(inverse[k][j] * sums[j] for j in range(3)) for k in range(3))
    left = [wave - _dot(row, taken) for row, wave in zip(rows, waves, strict=True)]
    seen = math.fsum(part**2 for part in left) / max(sd_mm, 1e-6) ** 2
    told = math.fsum(part * miss for part, miss in zip(left, residuals_mm, strict=True)) / max(sd_mm, 1e-6) ** 2
    wave_mm = _wave_mm(seen, told, LOBES_OF_AMPLITUDE * amplitude_mm)
    at = axis if is_largest else axis + math.pi / 2
    u_mm = abs(1 - _dot(_row(at), taken)) * wave_mm
    source = "a wall worn by its pin is not quite an oval; judged from its ovality and how the lines fit"
    return Part("shape other than an oval", u_mm, math.inf, source)


def _wave_mm(seen: float, told: float, expected_mm: float) -> float:
    """Return the root mean square of the wave, with `seen` the weight of what the lines show, `told` / `seen` it."""
    if expected_mm <= 0:
        return 0.0
    known = seen + 1 / expected_mm**2
    log_odds = 0.5 * (told**2 / known - math.log(known * expected_mm**2))
    odds = SHARE_WITH_WAVE / (1 - SHARE_WITH_WAVE) * math.exp(min(log_odds, 100.0))
    return math.sqrt(odds / (1 + odds) * ((told / known) ** 2 + 1 / known))


def _row(angle: float) -> Row:
    return 1.0, math.cos(2 * angle), math.sin(2 * angle)


def _dot(row: Sequence[float], other: Sequence[float]) -> float:
    return math.fsum(a * b for a, b in zip(row, other, strict=True))


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
    mean: Estimate
    smallest: Estimate
    largest: Estimate
    ovality: Estimate
    axis_deg: float | None
    axis_half_width_deg: float
    is_round_within_error: bool
    fits_oval: bool
    scatter: Scatter


def fit_bore(
    readings: Sequence[tuple[float, float]],
    common: tuple[Part, ...],
    usual_mm: float,
    step_mm: float,
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
    scatter = scatter_from(squares, float(len(readings) - 3), usual_mm, step_mm / math.sqrt(12), known)
    misfit = _lack_of_fit(readings, lines, residuals, step_mm)
    shape = _shape(fitted, inverse, scatter, common, fits_oval=misfit is None or not misfit.is_proved)
    if shape.is_round_within_error:
        return shape
    angles = [angle for angle, _ in readings]
    least, most = (
        not_oval_part(angles, residuals, inverse, fitted[1:], scatter.sd_mm, is_largest=is_largest)
        for is_largest in (False, True)
    )
    smallest, largest = shape.smallest, shape.largest
    return replace(
        shape,
        smallest=replace(smallest, parts=(*smallest.parts, least)),
        largest=replace(largest, parts=(*largest.parts, most)),
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
    fitted: tuple[float, float, float], inverse: Matrix, scatter: Scatter, common: tuple[Part, ...], *, fits_oval: bool
) -> BoreShape:
    d0_mm, a_mm, b_mm = fitted
    amplitude = math.hypot(a_mm, b_mm)
    is_round = _is_round(a_mm, b_mm, inverse, scatter)
    along = (a_mm / amplitude, b_mm / amplitude) if amplitude > 0 else (1.0, 0.0)
    across = (-along[1], along[0])

    widening = _widening(scatter.dof) if is_round else 1.0
    along_spread = (widening**2 - 1) * variance(inverse, (0.0, *along))

    def part(weights: tuple[float, float, float], share: float = 0.0) -> Part:
        """Take `share` as the part of the oval's amplitude that is in the weights."""
        u_mm = scatter.sd_mm * math.sqrt(max(variance(inverse, weights) + share**2 * along_spread, 0.0))
        return Part("scatter of the readings round the oval", u_mm, scatter.dof, scatter.source)

    u_axis = part((0.0, *across)).u_mm
    half_width = math.degrees(0.5 * t_quantile(0.975, scatter.dof) * u_axis / amplitude) if amplitude > 0 else 90.0
    return BoreShape(
        d0_mm=d0_mm,
        a_mm=a_mm,
        b_mm=b_mm,
        mean=Estimate(d0_mm, (part((1.0, 0.0, 0.0)), *common)),
        smallest=Estimate(d0_mm - amplitude, (part((1.0, -along[0], -along[1]), 1.0), *common)),
        largest=Estimate(d0_mm + amplitude, (part((1.0, along[0], along[1]), 1.0), *common)),
        ovality=Estimate(2 * amplitude, (part((0.0, 2 * along[0], 2 * along[1]), 2.0),)),
        axis_deg=None if is_round else _axis_deg(a_mm, b_mm),
        axis_half_width_deg=min(half_width, 90.0),
        is_round_within_error=is_round,
        fits_oval=fits_oval,
        scatter=scatter,
    )


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


def _is_round(a_mm: float, b_mm: float, inverse: Matrix, scatter: Scatter) -> bool:
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
