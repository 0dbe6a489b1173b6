"""Joints of a kind: the variance between them, and how far one of them is drawn towards the others."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from fieldlog.errors import MeasureError
from fieldlog.measure.crossing import LEAST_SPREAD, Kind, blended, kind_of
from fieldlog.measure.line_fit import Straight

RATES = st.lists(st.tuples(st.floats(0.01, 0.3), st.floats(0.002, 0.05)), min_size=3, max_size=12)


@settings(max_examples=60, deadline=None)
@given(RATES)
def test_variance_between_is_the_root_that_scipy_finds(rates: list[tuple[float, float]]) -> None:
    """Weighted squares about the weighted mean equal their degrees of freedom; nothing where they are fewer already."""
    values, us = np.array([r for r, _ in rates]), np.array([u for _, u in rates])

    def surplus(variance: float) -> float:
        weights = 1 / (us**2 + variance)
        return float(np.sum(weights * (values - np.average(values, weights=weights)) ** 2) - (len(rates) - 1))

    known = optimize.brentq(surplus, 0.0, 1.0, xtol=1e-15) if surplus(0.0) > 0 else 0.0
    floor = (LEAST_SPREAD * float(values.mean())) ** 2
    kind = kind_of(rates)
    variance = max(known, floor)
    assert kind.between_sd**2 == pytest.approx(variance, rel=1e-6)
    weights = 1 / (us**2 + variance)
    assert kind.mean == pytest.approx(float(np.average(values, weights=weights)), rel=1e-6)
    assert kind.mean_u == pytest.approx(float(weights.sum() ** -0.5), rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 0.3), st.floats(0.005, 0.1), st.floats(0.02, 0.2), st.floats(-0.9, 0.9))
def test_blend_is_one_more_measuring_of_the_slope(own: float, own_u: float, mean: float, r: float) -> None:
    """The same as adding the kind's slope as a third equation to the two that level and slope are known by."""
    level_u = 0.03
    kind = Kind(mean, 0.01, 0.04, 6, 5.0)
    covariance = np.array([[level_u**2, r * level_u * own_u], [r * level_u * own_u, own_u**2]])
    before = Straight(0.0, 0.5, own, covariance[0, 0], covariance[0, 1], covariance[1, 1], math.inf)
    after = blended(before, kind)
    information = np.linalg.inv(covariance) + np.diag([0.0, 1 / kind.spread**2])
    known = np.linalg.inv(information)
    right = np.linalg.inv(covariance) @ np.array([0.5, own]) + np.array([0.0, mean / kind.spread**2])
    assert (after.level_mm, after.slope) == pytest.approx(tuple(known @ right), rel=1e-7)
    assert after.level_variance == pytest.approx(known[0, 0], rel=1e-7)
    assert after.covariance == pytest.approx(known[0, 1], rel=1e-6, abs=1e-12)
    assert after.slope_variance == pytest.approx(known[1, 1], rel=1e-7)


def test_a_joint_without_a_rate_takes_its_kinds() -> None:
    """One measuring day: the kind's mean, with all the difference there is between joints."""
    kind = kind_of([(0.04, 0.005), (0.05, 0.005), (0.09, 0.01)])
    line = blended(Straight(0.0, 0.5, 0.0, 0.0009, 0.0, math.inf, math.inf), kind)
    assert line.slope == kind.mean
    assert line.slope_u == pytest.approx(math.hypot(kind.between_sd, kind.mean_u))
    assert line.level_mm == 0.5


def test_joints_that_agree_are_not_taken_for_one_joint() -> None:
    """Three alike say little about a fourth: a quarter of their mean is the least difference reckoned with."""
    assert kind_of([(0.05, 0.01)] * 3).between_sd == pytest.approx(0.0125)
    with pytest.raises(MeasureError, match="no kind"):
        kind_of([(0.05, 0.01)])
