"""The factor k for 95 %: against convolution by quadrature, and at its two ends, plain t and plain trapezoid."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from fieldlog.measure.instruments import size_of_mean
from fieldlog.quantity.distributions import coverage_factor, shape_factor
from tests.values import limit_of, part, sized

EXAMPLES = settings(max_examples=60, derandomize=True, deadline=None)
NODES, WEIGHTS = np.polynomial.legendre.leggauss(48)
LIMITS = st.lists(st.floats(0.05, 1.0), min_size=1, max_size=3)


def by_quadrature(bell: float, half_widths: list[float]) -> float:
    """Return k of a normal distribution and rectangles, each rectangle a mean over Gauss-Legendre points."""
    points, weights = np.zeros(1), np.ones(1)
    for a in half_widths:
        points = (points[:, None] + a * NODES[None, :]).ravel()
        weights = (weights[:, None] * WEIGHTS[None, :] / 2).ravel()
    u = math.sqrt(bell**2 + sum(a * a / 3 for a in half_widths))

    def missing(y: float) -> float:
        return float(weights @ stats.norm.cdf((y - points) / bell)) - 0.975

    return float(optimize.brentq(missing, 0, 5 * u, xtol=1e-12)) / u


@EXAMPLES
@given(bell=st.floats(0.1, 2.0), half_widths=LIMITS)
def test_shape_agrees_with_convolution(bell: float, half_widths: list[float]) -> None:
    """A bell and up to three limits: k as the convolution gives it, to the 1e-4 that folding small ones costs."""
    u = math.sqrt(bell**2 + sum(a * a / 3 for a in half_widths))
    assert shape_factor(u, tuple(half_widths), 0.95) == pytest.approx(by_quadrature(bell, half_widths), abs=1e-4)


@EXAMPLES
@given(half_widths=st.lists(st.floats(0.01, 1.0), min_size=4, max_size=7))
def test_many_limits_are_bell_shaped_enough(half_widths: list[float]) -> None:
    """With more than three limits the rest counts as a bell; against a simulation k is right to about 1 %."""
    u = math.sqrt(sum(a * a / 3 for a in half_widths))
    hand = np.random.default_rng(11)
    total = sum(hand.uniform(-a, a, 400_000) for a in half_widths)
    assert shape_factor(u, tuple(half_widths), 0.95) == pytest.approx(
        float(np.quantile(np.abs(total), 0.95)) / u, rel=0.01
    )


@EXAMPLES
@given(u=st.floats(0.001, 1), dof=st.floats(1, 200))
def test_without_a_limit_it_is_plain_t(u: float, dof: float) -> None:
    """GUM G.4: with bell-shaped parts only, k is Student's t at the effective degrees of freedom."""
    assert coverage_factor(u, dof, (), 0.95) == pytest.approx(float(stats.t.ppf(0.975, dof)), rel=1e-9)


@EXAMPLES
@given(limit=st.floats(0.001, 0.1), scatter=st.floats(0.001, 0.1), dof=st.integers(2, 30))
def test_a_limit_never_makes_k_larger_than_t(limit: float, scatter: float, dof: int) -> None:
    """A rectangle has no tails: k is never above t and never below 1.64."""
    scattered = part("scatter", scatter, dof, "")
    size = sized(20.0, (scattered, limit_of("limit", limit, "")))
    plain = sized(20.0, (scattered, part("limit", limit / math.sqrt(3), math.inf, "")))
    assert 1.64 <= size.coverage <= plain.coverage + 1e-9


def test_scatter_that_dominates_keeps_t() -> None:
    """Three repeats 0.06 apart with a limit of 0.03: the limit hardly shows, U stays at the 0.060 of plain t."""
    size = size_of_mean("pin", [19.40, 19.46, 19.41], (limit_of("caliper", 0.03, ""),), 0.02, 0.01)
    assert size.plus_minus == pytest.approx(0.060, abs=0.0015)


def test_a_lone_limit_covers_95_percent_of_its_rectangle() -> None:
    """A limit of 0.05 alone: 95 % of the rectangle is within 0.0475, k = 1.645; k = 2 would pass its very ends."""
    size = sized(20.0, (limit_of("caliper", 0.05, ""),))
    assert size.plus_minus == pytest.approx(0.0475)
    assert 2 * size.u_mm > 0.05


def test_nothing_uncertain_has_a_usable_factor() -> None:
    """No doubt at all: k is the normal 1.96 and the interval is nothing."""
    assert coverage_factor(0.0, math.inf, (), 0.95) == pytest.approx(1.96, abs=0.001)
    assert sized(1.0, (limit_of("none", 0.0, ""),)).plus_minus == 0.0
