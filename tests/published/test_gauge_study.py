"""The gauge study against the published worksheet of AIAG MSA and against SciPy."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from fieldlog.measure import gauge_study as module
from fieldlog.measure.gauge_study import GaugeStudy, gauge_study

# AIAG, Measurement Systems Analysis, 4th ed.: 3 appraisers, 3 trials, 10 parts; rows are trials
AIAG = {
    "A": [[0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36],
          [0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25],
          [0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31]],
    "B": [[0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68],
          [0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62],
          [0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50]],
    "C": [[0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49],
          [-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77],
          [-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16]],
}  # fmt: skip


@pytest.fixture(scope="module")
def aiag() -> GaugeStudy:
    """The published study."""
    return gauge_study([[list(trials) for trials in zip(*rows, strict=True)] for rows in AIAG.values()])


def test_sums_of_squares_are_the_published_ones(aiag: GaugeStudy) -> None:
    """AIAG MSA: 3.1673, 88.3619, 0.3590, 2.7589 with 2, 9, 18 and 60 degrees of freedom; p = 0.974."""
    rows = (aiag.anova.people, aiag.anova.holes, aiag.anova.interaction, aiag.anova.repeats)
    assert [round(row.sum_mm2, 4) for row in rows] == [3.1673, 88.3619, 0.3590, 2.7589]
    assert [row.dof for row in rows] == [2, 9, 18, 60]
    assert aiag.anova.people.mean_mm2 / aiag.anova.repeats.mean_mm2 == pytest.approx(34.44, abs=0.005)
    assert aiag.anova.holes.mean_mm2 / aiag.anova.repeats.mean_mm2 == pytest.approx(213.52, abs=0.005)
    assert aiag.anova.p_interaction == pytest.approx(0.974, abs=0.0005)
    assert aiag.anova.is_pooled
    assert aiag.repeatability_dof == 78


def test_standard_deviations_by_anova_are_the_published_ones(aiag: GaugeStudy) -> None:
    """AIAG MSA: EV 0.199933, AV 0.226838, GRR 0.302373, PV 1.042327, TV 1.085; 4 categories (4.86 cut off)."""
    found = aiag.by_anova
    assert found.repeatability_mm == pytest.approx(0.199933, abs=1e-6)
    assert found.reproducibility_mm == pytest.approx(0.226838, abs=1e-6)
    assert found.gauge_mm == pytest.approx(0.302373, abs=2e-6)
    assert found.holes_mm == pytest.approx(1.042327, abs=1e-6)
    assert found.total_mm == pytest.approx(1.085, abs=5e-4)
    # the manual multiplies by 1.41, not by the square root of 2: 4.8605 there
    assert found.categories * 1.41 / math.sqrt(2) == pytest.approx(4.8605, abs=1e-3)
    assert math.floor(found.categories) == 4


def test_standard_deviations_by_ranges_are_the_published_ones(aiag: GaugeStudy) -> None:
    """AIAG MSA: 0.202, 0.230, 0.306, 1.105 (1.104), 1.146; 5 categories: the two ways disagree on this one study."""
    found = aiag.by_ranges
    assert found is not None
    numbers = (found.repeatability_mm, found.reproducibility_mm, found.gauge_mm)
    assert numbers == pytest.approx((0.201857, 0.229667, 0.305766), abs=2e-5)
    # the worksheet rounds 1/d2* for ten parts to 0.3146, which moves the fourth digit
    assert (found.holes_mm, found.total_mm) == pytest.approx((1.104596, 1.146135), abs=2e-4)
    assert math.floor(found.categories) == 5


def test_range_constants_are_what_integration_gives() -> None:
    """d2 is the mean range of n normal values; d2* for one sample is the root of its variance and square."""
    for n, published in module._D2.items():
        mean, square = _range_moments(n)
        assert published == pytest.approx(mean, abs=6e-6)
        assert module._D2_ONE_SAMPLE[n] == pytest.approx(math.sqrt(square), abs=6e-5)


def _range_moments(n: int) -> tuple[float, float]:
    """Mean and mean square of the range of n standard normal values, by integrating over its distribution."""
    x, widths = np.linspace(-9, 9, 1801), np.linspace(0, 11, 551)
    inside = stats.norm.cdf(x + widths[:, None]) - stats.norm.cdf(x)
    above = 1 - integrate.simpson(n * stats.norm.pdf(x) * inside ** (n - 1), x=x)
    return float(integrate.simpson(above, x=widths)), float(integrate.simpson(2 * widths * above, x=widths))


def test_one_way_part_agrees_with_scipy(aiag: GaugeStudy) -> None:
    """People's sum of squares against everything else is SciPy's one-way analysis."""
    levels = [np.array(rows).ravel() for rows in AIAG.values()]
    row = aiag.anova
    rest = row.holes.sum_mm2 + row.interaction.sum_mm2 + row.repeats.sum_mm2
    assert row.people.mean_mm2 / (rest / 87) == pytest.approx(stats.f_oneway(*levels).statistic)
