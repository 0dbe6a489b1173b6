"""The tests of readings that stand apart, held to NumPy's least squares and to their own limits."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldlog.errors import MeasureError
from fieldlog.measure.suspect import (
    Deviation,
    ceiling,
    esd_of_fit,
    generalised_esd,
    grubbs,
    grubbs_critical,
    stand_apart,
    studentised_critical,
)

EXAMPLES = settings(max_examples=60, derandomize=True, deadline=None)
SIZES = st.integers(1900, 2000).map(lambda steps: steps / 100)


@EXAMPLES
@given(values=st.lists(SIZES, min_size=3, max_size=15))
def test_no_statistic_exceeds_the_ceiling(values: list[float]) -> None:
    """Whatever is typed, |x - mean| / s stays at or under (n - 1) / sqrt(n)."""
    assert grubbs(values).statistic <= ceiling(len(values)) * (1 + 1e-9)


@EXAMPLES
@given(values=st.lists(SIZES, min_size=4, max_size=12, unique=True), shift=st.floats(-5, 5), scale=st.floats(0.1, 30))
def test_the_answer_does_not_depend_on_the_unit(values: list[float], shift: float, scale: float) -> None:
    """Inches, millimetres or another zero give the same statistics."""
    plain = generalised_esd(values, 2)
    moved = generalised_esd([shift + scale * value for value in values], 2)
    assert [s.statistic for s in moved] == pytest.approx([s.statistic for s in plain], rel=1e-6)


@EXAMPLES
@given(values=st.lists(SIZES, min_size=5, max_size=12, unique=True))
def test_first_step_agrees_with_numpy(values: list[float]) -> None:
    """The statistic is the largest deviation over NumPy's sample standard deviation."""
    data = np.array(values)
    expected = float(np.max(np.abs(data - data.mean())) / data.std(ddof=1))
    assert grubbs(values).statistic == pytest.approx(expected, rel=1e-9)


@EXAMPLES
@given(count=st.integers(4, 40), unknowns=st.integers(1, 2), alpha=st.sampled_from([0.01, 0.05, 0.1]))
def test_critical_values_agree_with_scipy(count: int, unknowns: int, alpha: float) -> None:
    """A studentised residual squared over f is a beta variate with 1/2 and (f - 1)/2."""
    spare = count - unknowns
    share = float(stats.beta.isf(alpha / count, 0.5, (spare - 1) / 2))
    assert studentised_critical(count, unknowns, alpha) == pytest.approx(math.sqrt(spare * share), rel=1e-9)


def test_residuals_of_a_fit_agree_with_numpy() -> None:
    """On a straight line through ten points the farthest studentised residual is NumPy's."""
    x = np.arange(10.0)
    y = 3 + 0.5 * x + np.array([0.1, -0.2, 0.05, 0.0, 2.0, -0.1, 0.2, -0.05, 0.1, -0.1])
    design = np.column_stack([np.ones(10), x])
    hat = design @ np.linalg.inv(design.T @ design) @ design.T

    def fit(left: object) -> list[Deviation]:
        return [Deviation(float(e), float(h)) for e, h in zip(y - hat @ y, np.diag(hat), strict=True)]

    (step,) = esd_of_fit(fit, [float(value) for value in y], 2, 1)
    residuals = y - hat @ y
    student = residuals / np.sqrt((residuals @ residuals / 8) * (1 - np.diag(hat)))
    assert step.index == 4
    assert step.statistic == pytest.approx(float(student[4]), rel=1e-12)
    without = np.delete(np.arange(10), 4)
    slope, intercept = np.polyfit(x[without], y[without], 1)
    assert step.deviation.from_the_others == pytest.approx(float(y[4] - (intercept + 4 * slope)), rel=1e-9)


def test_of_readings_all_the_same_none_stands_apart() -> None:
    """Zero spread, float dust included, is answered and not divided by."""
    assert stand_apart(generalised_esd([19.42] * 6, 2)) == ()
    assert grubbs([0.1 + 0.2, 0.3, 0.3, 0.3]).statistic == 0


@pytest.mark.parametrize("values", [[], [19.42], [19.42, 19.9]])
def test_fewer_than_three_readings_are_refused_in_words(values: list[float]) -> None:
    """One or two readings cannot tell which is wrong."""
    with pytest.raises(MeasureError, match="measure a third time"):
        grubbs(values)


def test_the_chance_of_a_false_mark_is_what_it_says() -> None:
    """Of 4,000 seeded sets of eight good readings, 5 % hold one that seems to stand apart."""
    dice = np.random.default_rng(1957)
    hits = sum(bool(stand_apart(generalised_esd(list(map(float, row)), 1))) for row in dice.normal(size=(4000, 8)))
    assert 0.04 < hits / 4000 < 0.06
    assert grubbs_critical(8) == pytest.approx(2.1266, abs=5e-5)
