"""What a gauge study of one's own shop says, from data with known truth."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import MeasureError
from fieldlog.measure.gauge_study import gauge_study


def made(
    seed: int, people: int, holes: int, trials: int, hands_mm: float = 0.03, scatter_mm: float = 0.02
) -> list[list[list[float]]]:
    """Return readings with known standard deviations."""
    dice = np.random.default_rng(seed)
    sizes, levels = dice.normal(20, 0.5, holes), dice.normal(0, hands_mm, people)
    return [
        [[float(sizes[h] + levels[p] + dice.normal(0, scatter_mm)) for _ in range(trials)] for h in range(holes)]
        for p in range(people)
    ]


@settings(max_examples=30, derandomize=True)
@given(seed=st.integers(0, 10**6), people=st.integers(1, 4), holes=st.integers(2, 6), trials=st.integers(2, 4))
def test_sums_of_squares_add_up_to_the_total(seed: int, people: int, holes: int, trials: int) -> None:
    """NumPy's total sum of squares is people, holes, interaction and repeats together."""
    readings = made(seed, people, holes, trials)
    row = gauge_study(readings).anova
    parts = (row.people, row.holes, row.interaction, row.repeats)
    values = np.array(readings)
    assert sum(part.sum_mm2 for part in parts) == pytest.approx(((values - values.mean()) ** 2).sum(), rel=1e-9)
    assert sum(part.dof for part in parts) == people * holes * trials - 1


def test_known_scatter_and_hands_are_found_on_average() -> None:
    """Over many studies the variances come out as they were put in; seed 1 to 400."""
    found = [gauge_study(made(seed, 3, 6, 3)).by_anova for seed in range(1, 401)]
    assert np.mean([study.repeatability_mm**2 for study in found]) == pytest.approx(0.02**2, rel=0.03)
    assert np.mean([study.reproducibility_mm**2 for study in found]) == pytest.approx(0.03**2, rel=0.12)


def test_a_person_who_reads_one_hole_differently_is_an_interaction() -> None:
    """It is not pooled then, and counts as reproducibility."""
    readings = made(3, 3, 5, 3)
    readings[1][2] = [value + 0.3 for value in readings[1][2]]
    study = gauge_study(readings)
    assert not study.anova.is_pooled
    assert study.by_anova.reproducibility_mm > 0.05


def test_no_scatter_at_all_gives_zeros_and_no_error() -> None:
    """A coarse caliper repeats itself; the number of categories has no end then."""
    study = gauge_study([[[20.0, 20.0], [21.0, 21.0]], [[20.0, 20.0], [21.0, 21.0]]])
    assert study.by_anova.gauge_mm == 0
    assert math.isinf(study.by_anova.categories)
    assert study.smallest_change_mm() == 0


def test_smallest_change_shrinks_with_repeats_and_grows_with_a_second_person() -> None:
    """One person with four readings a day sees half of what he sees with one."""
    study = gauge_study(made(7, 3, 6, 3))
    assert study.smallest_change_mm(4) == pytest.approx(study.smallest_change_mm(1) / 2)
    assert study.smallest_change_mm(4, same_person=False) > study.smallest_change_mm(4)


@pytest.mark.parametrize(
    "readings",
    [[], [[[1.0, 2.0]]], [[[1.0], [2.0]]], [[[1.0, 2.0], [1.0]]], [[[1.0, 2.0], [1.0, float("nan")]]]],
)
def test_an_unfinished_study_says_what_is_missing(readings: list[list[list[float]]]) -> None:
    """Refused in a sentence."""
    with pytest.raises(MeasureError):
        gauge_study(readings)
