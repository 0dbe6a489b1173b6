"""Fieller's interval where part of the doubt is known beforehand: against SciPy, and against a simulation."""

import math
import random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize
from scipy import stats as scipy_stats

from fieldlog.measure.crossing import crossing, slope_doubt
from fieldlog.measure.line_fit import Point, Straight, fit_points
from tests.values import shared


def variance_at(line: Straight, x: float) -> tuple[float, float]:
    """Return the variance of the line's height, and what of it is scatter."""
    d = x - line.centre
    scatter = line.level_variance - line.known_variance + 2 * d * line.covariance + d * d * line.slope_variance
    return scatter + line.known_variance, scatter


def height_gap(line: Straight, x: float, limit: float) -> float:
    """Return how far the height's 95 % interval is from just reaching the limit, with t by Welch-Satterthwaite."""
    total, scatter = variance_at(line, line.centre + (limit - line.level_mm) / line.slope)
    t = scipy_stats.t.ppf(0.975, total**2 / (scatter**2 / line.dof))
    height = line.level_mm + line.slope * (x - line.centre)
    return float(abs(height - limit) - t * math.sqrt(variance_at(line, x)[0]))


@settings(max_examples=80, deadline=None)
@given(
    st.floats(0.0003, 0.003), st.floats(0.005, 0.03), st.floats(0.0, 0.05), st.integers(1, 40), st.integers(3, 8),
    st.floats(0.5, 1.5),
)  # fmt: skip
def test_both_ends_are_where_the_interval_of_the_height_reaches_the_limit(
    slope: float, u: float, u_shared: float, dof: int, days: int, limit: float
) -> None:
    """With a doubt that all days share: solved here by SciPy's root finder, with SciPy's t."""
    points = [
        Point(100.0 * n, 0.2 + 100 * slope * n, u, float(dof), (shared("caliper", u_shared),) if u_shared else ())
        for n in range(days)
    ]
    line = fit_points(points).straight(100.0)
    assume(slope_doubt(line) < 0.8)
    found = crossing(line, limit)
    assert found is not None
    assert height_gap(line, found.earliest, limit) == pytest.approx(0, abs=2e-4)
    assert height_gap(line, found.latest, limit) == pytest.approx(0, abs=2e-4)
    root = optimize.brentq(lambda x: height_gap(line, x, limit), found.at, found.latest + 1e-6 + abs(found.latest) * 2)
    assert found.latest == pytest.approx(root, rel=2e-3)


def test_without_a_shared_doubt_nothing_changes() -> None:
    """The degrees of freedom are those of the scatter everywhere."""
    line = fit_points([Point(x, 0.2 + 0.001 * x, 0.02, 5.0) for x in (0.0, 100.0, 250.0)]).straight(0.0)
    assert line.known_variance == 0
    assert {line.dof_at(x) for x in (-500.0, 0.0, 700.0)} == {15.0}


def test_a_doubt_known_beforehand_has_no_degrees_of_freedom_of_its_own() -> None:
    """Scatter u 0.01 with 3 degrees of freedom and a limit of 0.02: (0.0001 + 0.0004)^2 / (0.0001^2 / 3) = 75."""
    line = Straight(0.0, 0.5, 0.001, 0.0005, 0.0, 0.0, 3.0, 0.0004)
    assert line.dof_at(123.0) == pytest.approx(75)
    assert line.t_at(0.0) == pytest.approx(scipy_stats.t.ppf(0.975, 75), abs=1e-6)


def test_three_days_hold_what_they_promise() -> None:
    """4,000 joints with three days, scatter known from 5 readings a day, one caliper: 95 % of the intervals hold."""
    dice, held, given = random.Random("three days"), 0, 0
    for _ in range(4000):
        shift, xs = dice.gauss(0, 0.024), (0.0, dice.uniform(150, 450), 600.0)
        sigma = 0.02 * math.sqrt(sum(dice.gauss(0, 1) ** 2 for _ in range(15)) / 15)
        both = (shared("caliper", 0.024),)
        points = [Point(x, 0.2 + 0.0007 * x + shift + dice.gauss(0, 0.02), sigma, 5.0, both) for x in xs]
        found = crossing(fit_points(points).straight(300.0), 1.0)
        if found is not None:
            given += 1
            held += found.earliest <= 0.8 / 0.0007 <= found.latest
    assert given > 3900
    assert held / given == pytest.approx(0.955, abs=0.012)
