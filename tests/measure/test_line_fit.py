"""Lines through days: against SciPy and NumPy, and what shared sources and too few days must do."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldlog.errors import MeasureError
from fieldlog.measure.crossing import crossing, curve_crossing, median_line, slope_doubt
from fieldlog.measure.line_fit import Point, fit_points
from tests.values import shared

HOURS = st.floats(0, 5000).map(lambda x: round(x, 1))
SIZES = st.floats(-1, 3).map(lambda y: round(y, 3))
DAYS = st.lists(st.tuples(HOURS, SIZES), min_size=4, max_size=30, unique_by=lambda pair: pair[0])


def spread_out(days: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    """Return hours and sizes, both at least somewhat apart: SciPy gives no doubt of a level line."""
    xs, ys = [x for x, _ in days], [y for _, y in days]
    assume(max(xs) - min(xs) > 50 and max(ys) - min(ys) > 0.01)
    return xs, ys


@settings(max_examples=80, deadline=None)
@given(DAYS)
def test_plain_line_is_scipys(days: list[tuple[float, float]]) -> None:
    """Without stated uncertainties it is ordinary least squares: scipy.stats.linregress."""
    xs, ys = spread_out(days)
    line = fit_points([Point(x, y, 1.0) for x, y in days], is_scale_known=False).straight(0.0)
    known = stats.linregress(xs, ys)
    assert line.slope == pytest.approx(known.slope, rel=1e-8, abs=1e-12)
    assert line.level_mm == pytest.approx(known.intercept, rel=1e-8, abs=1e-9)
    assert line.slope_u == pytest.approx(known.stderr, rel=1e-6, abs=1e-9)
    assert math.sqrt(line.level_variance) == pytest.approx(known.intercept_stderr, rel=1e-6, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(DAYS, st.data())
def test_weights_and_shared_sources_are_generalised_least_squares(
    days: list[tuple[float, float]], data: st.DataObject
) -> None:
    """Coefficients, covariance and sum of squares are those of the full covariance matrix, inverted by NumPy."""
    xs, ys = spread_out(days)
    n = len(days)
    us = data.draw(st.lists(st.floats(0.02, 0.2), min_size=n, max_size=n))
    calipers = data.draw(st.lists(st.sampled_from(["blue", "steel"]), min_size=n, max_size=n))
    points = [
        Point(x, y, u, shared=(shared(name, 0.03), shared("pin", 0.05)))
        for x, y, u, name in zip(xs, ys, us, calipers, strict=True)
    ]
    fit = fit_points(points)
    same = np.array([[0.03**2 * (a == b) + 0.05**2 for a in calipers] for b in calipers])
    full = np.diag(np.array(us) ** 2 * fit.scale) + same
    inverse = np.linalg.inv(full)
    design = np.column_stack([np.ones(n), np.array(xs) - 1000.0])
    covariance = np.linalg.inv(design.T @ inverse @ design)
    known = covariance @ design.T @ inverse @ np.array(ys)
    line = fit.straight(1000.0)
    assert line.level_mm == pytest.approx(known[0], rel=1e-6, abs=1e-7)
    assert line.slope == pytest.approx(known[1], rel=1e-6, abs=1e-9)
    assert line.level_variance == pytest.approx(covariance[0, 0], rel=1e-6)
    assert line.covariance == pytest.approx(covariance[0, 1], rel=1e-5, abs=1e-9)
    assert line.slope_variance == pytest.approx(covariance[1, 1], rel=1e-6)
    inverse = np.linalg.inv(np.diag(np.array(us) ** 2) + same)
    first = np.linalg.solve(design.T @ inverse @ design, design.T @ inverse @ np.array(ys))
    rest = np.array(ys) - design @ first
    assert fit.ratio == pytest.approx(float(rest @ inverse @ rest) / (n - 2), rel=1e-6, abs=1e-9)


@settings(max_examples=50, deadline=None)
@given(DAYS)
def test_curve_is_numpys(days: list[tuple[float, float]]) -> None:
    """The parabola is numpy.polyfit's."""
    xs, ys = spread_out(days)
    gaps = np.diff(sorted(xs))
    assume(sum(gap > 20 for gap in gaps) >= 3)
    fit = fit_points([Point(x, y, 1.0) for x, y in days], "curve")
    known = np.polynomial.Polynomial.fit(xs, ys, 2)
    for x in (min(xs), max(xs), 2500.0):
        assert fit.value_at(x) == pytest.approx(float(known(x)), rel=1e-6, abs=1e-6)
    assert fit.extra[0] == pytest.approx(float(known.convert().coef[2]), rel=1e-5, abs=1e-12)


@settings(max_examples=50, deadline=None)
@given(DAYS)
def test_median_line_is_scipys(days: list[tuple[float, float]]) -> None:
    """scipy.stats.theilslopes, with the height through the medians."""
    xs, ys = spread_out(days)
    known = stats.theilslopes(ys, xs, method="separate")
    line = median_line(xs, ys)
    assert line.slope == pytest.approx(known.slope, rel=1e-9, abs=1e-15)
    assert line.intercept == pytest.approx(known.intercept, rel=1e-9, abs=1e-9)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.0002, 0.002), st.floats(0.01, 0.06), st.floats(0.6, 2.0), st.sampled_from([0.9, 0.95, 0.99]))
def test_crossing_ends_lie_on_the_edges_of_the_band(slope: float, u_mm: float, limit: float, share: float) -> None:
    """At either end of Fieller's interval the limit is just t standard uncertainties from the line."""
    points = [Point(x, 0.2 + slope * x, u_mm, shared=(shared("caliper", 0.02),)) for x in (0.0, 150.0, 320.0, 500.0)]
    line = fit_points(points).straight(200.0)
    found = crossing(line, limit, share=share)
    assume(found is not None)
    assert found is not None
    assert found.earliest < found.at < found.latest
    assert line.value_at(found.at) == pytest.approx(limit)
    for end in (found.earliest, found.latest):
        assert abs(line.value_at(end) - limit) == pytest.approx(line.t(share) * line.u_at(end), rel=1e-6)


def test_shared_error_moves_the_level_and_not_the_rate() -> None:
    """One caliper on all days: the rate is as sure as without its error, the level is not."""
    hours = (0.0, 100.0, 250.0, 400.0)
    own = fit_points([Point(x, 0.2 + 0.001 * x, 0.02) for x in hours]).straight(200.0)
    with_it = fit_points([Point(x, 0.2 + 0.001 * x, 0.02, shared=(shared("blue", 0.05),)) for x in hours]).straight(
        200.0
    )
    assert with_it.slope_u == pytest.approx(own.slope_u)
    assert with_it.level_variance == pytest.approx(own.level_variance + 0.05**2)
    as_scatter = fit_points([Point(x, 0.2 + 0.001 * x, math.hypot(0.02, 0.05)) for x in hours]).straight(200.0)
    assert as_scatter.slope_u > 2 * own.slope_u


def test_another_caliper_at_the_end_makes_the_rate_doubtful() -> None:
    """A rate that rests on the difference of two calipers carries both their errors."""
    hours = (0.0, 100.0, 300.0, 400.0)
    one = [Point(x, 0.2, 0.01, shared=(shared("blue", 0.03),)) for x in hours]
    two = [Point(x, 0.2, 0.01, shared=(shared("blue" if x < 200 else "steel", 0.03),)) for x in hours]
    assert fit_points(two).straight(0.0).slope_u > 2 * fit_points(one).straight(0.0).slope_u


def test_sigma_is_never_below_what_was_stated_and_grows_with_the_residuals() -> None:
    """Perfectly straight data are no surer than their uncertainty; scattered data are less sure."""
    hours = [0.0, 100.0, 200.0, 300.0, 400.0]
    exact = fit_points([Point(x, 0.001 * x, 0.04) for x in hours])
    assert exact.scale == 1.0
    assert exact.straight(0.0).slope_u == pytest.approx(0.04 / math.sqrt(100000))
    wild = fit_points([Point(x, 0.001 * x + 0.2 * (-1) ** n, 0.04, dof=8) for n, x in enumerate(hours)])
    assert wild.scale == pytest.approx(wild.ratio)
    assert wild.ratio > 10
    assert wild.dof == 3  # proved larger than stated: only the residuals speak
    mild = fit_points([Point(x, 0.001 * x + 0.04 * (-1) ** n, 0.04, dof=8) for n, x in enumerate(hours)])
    assert 1 < mild.ratio < 2
    assert mild.dof == 5 * 8 + 3


def test_bend_has_a_rate_before_and_after() -> None:
    """0.1 per 100 h up to 200 h and 0.02 after: both are found, and the tail is what goes on."""
    points = [Point(x, 0.001 * min(x, 200) + 0.0002 * max(x - 200, 0), 0.01) for x in (0, 80, 160, 240, 320, 400)]
    fit = fit_points(points, "bend", knot=200.0)
    assert fit.straight(0.0, is_tail=False).slope == pytest.approx(0.001)
    assert fit.straight(400.0).slope == pytest.approx(0.0002)
    assert fit.straight(400.0).value_at(500.0) == pytest.approx(0.26)
    assert fit.extra[0] == pytest.approx(-0.0008)
    assert fit.is_extra_proved


def test_curve_that_speeds_up_crosses_earlier_than_its_line() -> None:
    """0.2 + (x / 1000)^2 reaches 1.2 mm at 1000 h."""
    points = [Point(x, 0.2 + (x / 1000) ** 2, 0.01) for x in (0.0, 100.0, 200.0, 300.0, 400.0, 500.0)]
    curve = fit_points(points, "curve")
    found = curve_crossing(curve, 1.2, 500.0, 20_000.0)
    assert found.at == pytest.approx(1000.0, rel=1e-6)
    assert found.earliest < found.at < found.latest
    assert curve.is_extra_proved
    assert curve.bends_up
    slowing = fit_points([Point(p.x, 1.0 - p.value_mm, 0.01) for p in points], "curve")
    assert slowing.is_extra_proved
    assert not slowing.bends_up
    line = crossing(fit_points(points).straight(0.0), 1.2)
    assert line is not None
    assert found.at < line.at
    assert curve_crossing(curve, 0.1, 500.0, 20_000.0).at == 500.0
    assert curve_crossing(curve, 1e6, 500.0, 20_000.0).earliest == 20_000.0


def test_what_cannot_be_fitted_is_refused() -> None:
    """One point; all on one day; too few for a curve; three days in two places for a curve."""
    with pytest.raises(MeasureError, match="1 points"):
        fit_points([Point(0.0, 1.0, 0.1)])
    with pytest.raises(MeasureError, match="same hours"):
        fit_points([Point(5.0, 1.0, 0.1), Point(5.0, 1.1, 0.1), Point(5.0, 1.2, 0.1)])
    with pytest.raises(MeasureError, match="2 points"):
        fit_points([Point(0.0, 1.0, 0.1), Point(9.0, 1.1, 0.1)], "curve")
    with pytest.raises(MeasureError, match="apart"):
        fit_points([Point(x, 1.0, 0.1) for x in (0.0, 0.0, 9.0, 9.0)], "curve")
    with pytest.raises(MeasureError, match="2 points"):
        fit_points([Point(0.0, 1.0, 0.1), Point(9.0, 1.1, 0.1)], is_scale_known=False)
    with pytest.raises(MeasureError, match="same hours"):
        median_line([3.0, 3.0], [1.0, 2.0])


def test_level_data_has_no_crossing() -> None:
    """A line without any slope never reaches a limit."""
    line = fit_points([Point(x, 0.3, 0.02) for x in (0.0, 100.0, 200.0)]).straight(0.0)
    assert slope_doubt(line) >= 1
    assert crossing(line, 1.0) is None


def test_chance_over_is_half_at_the_line_itself() -> None:
    """And nearly sure far from it."""
    line = fit_points([Point(x, 0.2 + 0.001 * x, 0.02) for x in (0.0, 100.0, 200.0)]).straight(0.0)
    assert line.chance_over(300.0, line.value_at(300.0)) == pytest.approx(0.5)
    assert line.chance_over(300.0, 0.1) > 0.999
    assert line.chance_over(300.0, 2.0) < 0.001
