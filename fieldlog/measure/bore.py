"""The shape of a bore from caliper readings at their angles: D(t) = D0 + a cos 2t + b sin 2t by least squares.

Published as the second harmonic of a diameter; for equally spaced lines it is the plain Fourier sum
(`reference-values` of the project: ovality, section 5). A two-point reading cannot see odd lobes.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from fieldlog.errors import MeasureError
from fieldlog.measure.distributions import f_cdf, f_quantile, t_quantile
from fieldlog.measure.estimate import Estimate, Part
from fieldlog.measure.oval_lines import Lines, Matrix, oval_lines, variance
from fieldlog.measure.repeats import Scatter, mean, scatter_from
from fieldlog.measure.wall_wear import not_oval_part
from fieldlog.records.frozen import dataclass

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
