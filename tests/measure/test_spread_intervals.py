"""How sure a standard deviation is: against SciPy's chi-square, a published interval, and simulated gauge studies."""

import math
import random

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st
from scipy import stats

from fieldlog.measure.gauge_study import (
    AnovaRow,
    chi_square_quantile,
    difference_interval,
    gauge_study,
    sd_interval,
    sum_interval,
)

STUDIES = 1500


@seed(61)
@settings(max_examples=80, deadline=None)
@given(st.floats(0.001, 0.999), st.integers(1, 200))
def test_chi_square_is_scipys(p: float, dof: int) -> None:
    """To seven digits."""
    assert chi_square_quantile(p, dof) == pytest.approx(stats.chi2.ppf(p, dof), rel=1e-6)


def test_published_critical_values_bound_the_gears_standard_deviation() -> None:
    """NIST/SEMATECH handbook 1.3.5.8, GEAR.DAT (values from memory): s 0.0062789, 99 freedoms, 73.361 and 128.422."""
    found = sd_interval(0.6278908e-02, 99)
    assert found.lower == pytest.approx(0.6278908e-02 * math.sqrt(99 / 128.422), rel=1e-5)
    assert found.upper == pytest.approx(0.6278908e-02 * math.sqrt(99 / 73.361), rel=1e-5)


def test_intervals_hold_their_own_value_and_nothing_is_below_nought() -> None:
    """A difference of mean squares below nought is no spread at all, with an upper end all the same."""
    small, large = AnovaRow(2e-4, 2), AnovaRow(60e-4, 24)
    none = difference_interval(small, large, 1 / 15)
    assert none.best == none.lower == 0 < none.upper
    both = sum_interval(small, large, (1 / 15, 14 / 15))
    assert 0 < both.lower < both.best < both.upper


@pytest.mark.parametrize("people_mm", [0.0, 0.01, 0.03])
def test_they_hold_the_truth_in_simulated_studies(people_mm: float) -> None:
    """Three people, five holes, three times, seeded: 93 to 98 of 100 intervals hold repeats, people and both."""
    dice, repeat_mm = random.Random(62), 0.02
    held = {"repeats": 0, "people": 0, "both": 0}
    for _ in range(STUDIES):
        levels, holes = [dice.gauss(0, people_mm) for _ in range(3)], [dice.uniform(18, 20) for _ in range(5)]
        study = gauge_study(
            [[[hole + level + dice.gauss(0, repeat_mm) for _ in range(3)] for hole in holes] for level in levels]
        )
        scatter = study.anova.scatter
        repeats = sd_interval(study.by_anova.repeatability_mm, scatter.dof)
        people = difference_interval(study.anova.people, scatter, 1 / 15)
        both = sum_interval(study.anova.people, scatter, (1 / 15, 14 / 15))
        held["repeats"] += repeats.lower <= repeat_mm <= repeats.upper
        held["people"] += people.lower <= people_mm <= people.upper
        held["both"] += both.lower <= math.hypot(repeat_mm, people_mm) <= both.upper
    shares = {word: count / STUDIES for word, count in held.items()}
    assert all(0.93 <= share <= (1.0 if word == "people" else 0.985) for word, share in shares.items()), shares
