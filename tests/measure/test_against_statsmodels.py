"""Lines, curves, bands and Fieller's interval against statsmodels: weighted and generalised least squares."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from statsmodels.regression.linear_model import GLS, WLS

from fieldlog.measure.crossing import crossing, slope_doubt
from fieldlog.measure.line_fit import Point, fit_points
from tests.values import shared

Floats = npt.NDArray[np.float64]
DAYS = st.lists(
    st.tuples(st.integers(0, 200), st.floats(0.1, 2.0), st.floats(0.01, 0.08)),
    min_size=4,
    max_size=12,
    unique_by=lambda day: day[0],
)


def columns(days: list[tuple[int, float, float]]) -> tuple[Floats, Floats, Floats]:
    """Return hours (10 apart at least), values and their uncertainties."""
    return np.array([10.0 * d[0] for d in days]), np.array([d[1] for d in days]), np.array([d[2] for d in days])


@settings(max_examples=60, deadline=None)
@given(DAYS)
def test_weighted_line_with_its_residual_scale(days: list[tuple[int, float, float]]) -> None:
    """Where the stated uncertainties are only weights: coefficients, covariance, scale, and the band anywhere."""
    xs, ys, us = columns(days)
    known = WLS(ys, np.column_stack([np.ones_like(xs), xs]), weights=1 / us**2).fit()
    fit = fit_points([Point(x, y, u) for x, y, u in zip(xs, ys, us, strict=True)], is_scale_known=False)
    line = fit.straight(0.0)
    assert fit.scale == pytest.approx(known.scale, rel=1e-7, abs=1e-12)
    assert (line.level_mm, line.slope) == pytest.approx(tuple(known.params), rel=1e-7, abs=1e-9)
    assert line.level_variance == pytest.approx(known.cov_params()[0, 0], rel=1e-6, abs=1e-14)
    assert line.slope_variance == pytest.approx(known.cov_params()[1, 1], rel=1e-6, abs=1e-16)
    for x in (0.0, 700.0, 4000.0):
        there = known.get_prediction([[1.0, x]])
        assert line.u_at(x) == pytest.approx(float(there.se_mean[0]), rel=1e-6, abs=1e-9)
        low, high = there.conf_int(alpha=0.05)[0]
        half = line.t_at(x) * line.u_at(x)
        assert (line.value_at(x) - half, line.value_at(x) + half) == pytest.approx((low, high), rel=1e-6, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(DAYS)
def test_weighted_line_with_known_scatter_is_never_surer_than_that(days: list[tuple[int, float, float]]) -> None:
    """Covariance is statsmodels' normalised one times our scale, which is never under 1."""
    xs, ys, us = columns(days)
    known = WLS(ys, np.column_stack([np.ones_like(xs), xs]), weights=1 / us**2).fit()
    fit = fit_points([Point(x, y, u, 10.0) for x, y, u in zip(xs, ys, us, strict=True)])
    line = fit.straight(0.0)
    assert fit.ratio == pytest.approx(known.scale, rel=1e-7, abs=1e-12)
    assert fit.scale >= 1.0
    assert line.slope_variance == pytest.approx(fit.scale * known.normalized_cov_params[1, 1], rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(DAYS, st.floats(0.005, 0.05), st.integers(1, 3))
def test_an_error_that_some_days_share_is_that_of_generalised_least_squares(
    days: list[tuple[int, float, float]], u_shared: float, last: int
) -> None:
    """The last days read with another caliper: GLS with the whole covariance matrix.

    The days lie within their own doubt of a line, so that nothing but what was stated counts.
    """
    xs, off, us = columns(days)
    ys = 0.2 + 0.0004 * xs + 0.7 * us * (off - 1)
    touched = np.arange(len(xs)) >= len(xs) - last
    sigma = np.diag(us**2) + u_shared**2 * np.outer(touched, touched)
    known = GLS(ys, np.column_stack([np.ones_like(xs), xs]), sigma=sigma).fit()
    points = [
        Point(x, y, u, shared=(shared("other", u_shared),) if is_touched else ())
        for x, y, u, is_touched in zip(xs, ys, us, touched, strict=True)
    ]
    fit = fit_points(points)
    assert fit.scale == 1.0
    line = fit.straight(0.0)
    assert (line.level_mm, line.slope) == pytest.approx(tuple(known.params), rel=1e-6, abs=1e-9)
    assert line.slope_variance == pytest.approx(known.normalized_cov_params[1, 1], rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(DAYS)
def test_curve_with_its_band(days: list[tuple[int, float, float]]) -> None:
    """The parabola's height, its uncertainty, and the squared term by which speeding up is told."""
    xs, ys, us = columns(days)
    assume(len(days) >= 5)
    scaled = xs / 1000.0
    known = WLS(ys, np.column_stack([np.ones_like(xs), scaled, scaled**2]), weights=1 / us**2).fit()
    fit = fit_points([Point(x, y, u) for x, y, u in zip(xs, ys, us, strict=True)], "curve", is_scale_known=False)
    for x in (0.0, 900.0, 2500.0):
        there = known.get_prediction([[1.0, x / 1000, (x / 1000) ** 2]])
        assert fit.value_at(x) == pytest.approx(float(there.predicted_mean[0]), rel=1e-5, abs=1e-6)
        assert fit.u_at(x) == pytest.approx(float(there.se_mean[0]), rel=1e-5, abs=1e-7)
    bend, u = fit.extra
    assert bend / u == pytest.approx(float(known.tvalues[2]), rel=1e-5, abs=1e-5)
    assert fit.bends_up == (known.tvalues[2] > 0 and known.pvalues[2] / 2 < 0.05)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0004, 0.002), st.lists(st.floats(-0.03, 0.03), min_size=5, max_size=9), st.floats(0.7, 1.8))
def test_both_ends_of_fiellers_interval_lie_on_the_edge_of_statsmodels_band(
    slope: float, noise: list[float], limit: float
) -> None:
    """The band of the mean, 95 %, just reaches the limit there."""
    xs = 80.0 * np.arange(len(noise))
    ys = 0.2 + slope * xs + np.array(noise)
    assume(np.ptp(noise) > 1e-3)
    known = WLS(ys, np.column_stack([np.ones_like(xs), xs])).fit()
    line = fit_points([Point(x, y, 1.0) for x, y in zip(xs, ys, strict=True)], is_scale_known=False).straight(100.0)
    assume(slope_doubt(line) < 0.9)
    found = crossing(line, limit)
    assert found is not None
    for end, side in ((found.earliest, 1), (found.latest, 0)):
        edge = float(known.get_prediction([[1.0, end]]).conf_int(alpha=0.05)[0][side])
        assert edge == pytest.approx(limit, abs=1e-5 + 1e-6 * math.fabs(end))
