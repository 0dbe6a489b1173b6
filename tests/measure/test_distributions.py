"""The distributions hold to SciPy over wide ranges, and to themselves where SciPy is not needed."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldlog.errors import MeasureError
from fieldlog.quantity.distributions import f_cdf, f_quantile, normal_cdf, normal_quantile, t_cdf, t_quantile

CLOSE = 1e-9
LEAST_SHARE = 1e-280  # below this SciPy itself loses digits
EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)
DOFS = st.floats(-1, 6).map(lambda power: 10.0**power)
SHARES = st.one_of(
    st.floats(0.001, 0.999),
    st.floats(-12, -3).map(lambda power: 10.0**power),
    st.floats(-9, -3).map(lambda power: 1 - 10.0**power),
)


@EXAMPLES
@given(share=SHARES, dof=DOFS)
def test_t_quantile_agrees_with_scipy(share: float, dof: float) -> None:
    """Student's quantiles agree with SciPy to 1e-9 from a tenth to a million degrees of freedom."""
    assert t_quantile(share, dof) == pytest.approx(float(stats.t.ppf(share, dof)), rel=CLOSE, abs=1e-15)


@EXAMPLES
@given(t=st.floats(-40, 40), dof=DOFS)
def test_t_cdf_agrees_with_scipy(t: float, dof: float) -> None:
    """Student's shares agree with SciPy to 1e-9, far tails included."""
    expected = float(stats.t.cdf(t, dof))
    if expected > LEAST_SHARE:
        assert t_cdf(t, dof) == pytest.approx(expected, rel=CLOSE)


@EXAMPLES
@given(share=SHARES, top=st.floats(-0.5, 4), bottom=st.floats(-0.5, 5))
def test_f_quantile_agrees_with_scipy(share: float, top: float, bottom: float) -> None:
    """Fisher's quantiles agree with SciPy to 1e-9."""
    dofs = 10.0**top, 10.0**bottom
    assert f_quantile(share, *dofs) == pytest.approx(float(stats.f.ppf(share, *dofs)), rel=CLOSE)


@EXAMPLES
@given(f=st.floats(-3, 3), top=st.floats(-0.5, 5), bottom=st.floats(-0.5, 5))
def test_f_cdf_agrees_with_scipy(f: float, top: float, bottom: float) -> None:
    """Fisher's shares agree with SciPy to 1e-9."""
    point, dofs = 10.0**f, (10.0**top, 10.0**bottom)
    expected = float(stats.f.cdf(point, *dofs))
    if expected > LEAST_SHARE:
        assert f_cdf(point, *dofs) == pytest.approx(expected, rel=CLOSE)


@EXAMPLES
@given(share=st.one_of(st.floats(0.001, 0.999), st.floats(-250, -3).map(lambda power: 10.0**power)))
def test_normal_quantile_agrees_with_scipy(share: float) -> None:
    """Normal quantiles agree with SciPy to 1e-9, down to shares of 1e-250."""
    assert normal_quantile(share) == pytest.approx(float(stats.norm.ppf(share)), rel=CLOSE, abs=1e-15)


@EXAMPLES
@given(z=st.floats(-35, 35))
def test_normal_cdf_agrees_with_scipy(z: float) -> None:
    """Normal shares agree with SciPy to 1e-9."""
    assert normal_cdf(z) == pytest.approx(float(stats.norm.cdf(z)), rel=CLOSE)


def test_many_random_t_quantiles_agree_with_scipy() -> None:
    """Two thousand seeded random quantiles, degrees of freedom as Welch-Satterthwaite gives them, hold to 1e-9."""
    source = random.Random(20260301)
    draws = [(source.uniform(0.5, 0.9999), 10 ** source.uniform(0, 8)) for _ in range(2000)]
    ours = [t_quantile(share, dof) for share, dof in draws]
    theirs = stats.t.ppf([share for share, _ in draws], [dof for _, dof in draws])
    assert ours == pytest.approx(list(map(float, theirs)), rel=CLOSE)


@EXAMPLES
@given(share=SHARES, dof=DOFS)
def test_t_is_symmetric_and_its_own_inverse(share: float, dof: float) -> None:
    """The quantile undoes the share, and both sides of the t distribution mirror each other."""
    t = t_quantile(share, dof)
    assert t_cdf(t, dof) == pytest.approx(share, rel=1e-8)
    assert t_cdf(-t, dof) + t_cdf(t, dof) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("share", [0.6, 0.975, 0.995, 0.9999])
def test_infinite_dof_is_the_normal_distribution(share: float) -> None:
    """With infinite degrees of freedom t is the normal quantile, and 1e12 come close to it."""
    assert t_quantile(share, math.inf) == pytest.approx(float(stats.norm.ppf(share)), rel=CLOSE)
    assert t_quantile(share, 1e12) == pytest.approx(t_quantile(share, math.inf), rel=1e-10)
    assert t_cdf(t_quantile(share, math.inf), math.inf) == pytest.approx(share, rel=CLOSE)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, 1.5, math.nan])
def test_impossible_share_is_refused(share: float) -> None:
    """A share outside 0 to 1 has no quantile."""
    with pytest.raises(MeasureError, match="between 0 and 1"):
        t_quantile(share, 5)


@pytest.mark.parametrize("dof", [0.0, -1.0, math.nan])
def test_no_degrees_of_freedom_are_refused(dof: float) -> None:
    """Without degrees of freedom the message asks for more readings."""
    with pytest.raises(MeasureError, match="more readings"):
        t_quantile(0.975, dof)
    with pytest.raises(MeasureError, match="more readings"):
        f_cdf(1.0, 2.0, dof)
