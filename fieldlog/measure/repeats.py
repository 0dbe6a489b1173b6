"""A handful of repeats: mean, scatter, and what the mean is worth."""

import math
from collections.abc import Sequence

from fieldlog.errors import MeasureError
from fieldlog.measure.distributions import f_quantile
from fieldlog.measure.estimate import Estimate, Part, limit_of
from fieldlog.measure.instruments import USUAL_REPEATABILITY_DOF
from fieldlog.records.frozen import dataclass

FEWEST_DOF = 2.0
_WIDER_AT = 0.95


@dataclass(frozen=True, slots=True)
class Scatter:
    """The standard deviation of a single reading, its degrees of freedom and where it comes from."""

    sd_mm: float
    dof: float
    source: str


def mean(values: Sequence[float]) -> float:
    """Return the arithmetic mean, summed without loss."""
    if not values:
        raise MeasureError("No reading to take a mean of.")
    return math.fsum(values) / len(values)


def sample_sd(values: Sequence[float]) -> float:
    """Return the sample standard deviation (n - 1), by two passes; at least two values."""
    if len(values) < 2:
        raise MeasureError("One reading alone has no scatter; measure again.")
    centre = mean(values)
    return math.sqrt(math.fsum((value - centre) ** 2 for value in values) / (len(values) - 1))


def pooled_scatter(
    groups: Sequence[Sequence[float]], usual_mm: float, floor_mm: float = 0.0, known: Scatter | None = None
) -> Scatter:
    """Return the scatter of one reading, pooled over groups of repeats of the same thing.

    With fewer than two degrees of freedom the readings cannot tell their own scatter, and the usual
    repeatability stands in, weighted by its degrees of freedom. `floor_mm` is the least standard deviation
    that the step of the instrument allows (step / sqrt(12); GUM F.2.2.1).
    """
    squares = math.fsum(math.fsum((v - mean(group)) ** 2 for v in group) for group in groups if len(group) > 1)
    dof = float(sum(len(group) - 1 for group in groups if group))
    return scatter_from(squares, dof, usual_mm, floor_mm, known)


def scatter_from(
    sum_of_squares: float, dof: float, usual_mm: float, floor_mm: float = 0.0, known: Scatter | None = None
) -> Scatter:
    """Return the scatter from a sum of squared residuals; see `pooled_scatter`.

    `known` is what a gauge study found for this person with this instrument: today's repeats are pooled with it,
    unless they scatter more than that by an F test at 5 %; then they alone count.
    """
    if known is not None and not _is_wider(sum_of_squares, dof, known):
        together = known.dof + dof
        sd = math.sqrt((known.dof * known.sd_mm**2 + sum_of_squares) / together)
        return Scatter(max(sd, floor_mm), together, f"{known.source}, and {dof:g} degrees of freedom of today")
    if dof >= FEWEST_DOF:
        return Scatter(max(math.sqrt(sum_of_squares / dof), floor_mm), dof, f"own repeats, {dof:g} degrees of freedom")
    together = USUAL_REPEATABILITY_DOF + dof
    sd = math.sqrt((USUAL_REPEATABILITY_DOF * usual_mm**2 + sum_of_squares) / together)
    source = f"usual repeatability {usual_mm:g} mm, too few repeats to tell"
    return Scatter(max(sd, floor_mm), together, source)


def _is_wider(sum_of_squares: float, dof: float, known: Scatter) -> bool:
    if dof < FEWEST_DOF:
        return False
    if known.sd_mm <= 0:
        return sum_of_squares > 0
    return sum_of_squares / dof / known.sd_mm**2 > f_quantile(_WIDER_AT, dof, known.dof)


def estimate_of_mean(
    values: Sequence[float], common: tuple[Part, ...], usual_mm: float, step: float, known: Scatter | None = None
) -> Estimate:
    """Return the mean of repeats with its uncertainty: u^2 = max(s^2 / n, step^2 / 12) + limit^2 / 3 ...

    `common` is what repeating does not lessen, such as the instrument's limit. Valid for one or more repeats of
    the same thing with one instrument. Source: GUM (JCGM 100:2008) 4.2, 4.3.7, F.2.2.1.
    """
    scatter = pooled_scatter([values], usual_mm, known=known)
    name = f"scatter of {len(values)} readings" if len(values) > 1 else "scatter of one reading"
    return Estimate(mean(values), (scatter_part(name, scatter, len(values), step), *common))


def scatter_part(name: str, scatter: Scatter, count: int, step_mm: float) -> Part:
    """Return the scatter of a mean as a part, or the step of the readings where that is coarser (GUM F.2.2.1)."""
    u_mm, of_step_mm = scatter.sd_mm / math.sqrt(count), step_mm / math.sqrt(12)
    if u_mm >= of_step_mm:
        return Part(name, u_mm, scatter.dof, scatter.source)
    return limit_of("step of the readings", step_mm / 2, f"{name} is within the step of {step_mm:.3g} mm")
