"""Analysis of variance and lines against statsmodels, an independent reference, on seeded data of our own making."""

import random

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from fieldlog.measure.gauge_study import gauge_study
from fieldlog.measure.line_fit import Point, fit_points
from tests.values import shared


@pytest.mark.parametrize(("seed", "people", "holes", "trials"), [(1, 3, 5, 3), (2, 2, 3, 2), (3, 4, 10, 3)])
def test_two_way_analysis_of_variance(seed: int, people: int, holes: int, trials: int) -> None:
    """Sums of squares, degrees of freedom and the chance of the interaction are those of anova_lm."""
    dice = random.Random(seed)
    levels = [dice.gauss(0, 0.02) for _ in range(people)]
    sizes = [dice.uniform(19.3, 19.6) for _ in range(holes)]
    readings = [[[size + level + dice.gauss(0, 0.015) for _ in range(trials)] for size in sizes] for level in levels]
    flat = [(f"p{p}", f"h{h}", value) for p, rows in enumerate(readings) for h, row in enumerate(rows) for value in row]
    data = pd.DataFrame(flat, columns=["person", "hole", "mm"])
    table = anova_lm(ols("mm ~ C(person) * C(hole)", data).fit(), typ=2)
    ours = gauge_study(readings).anova
    rows = (ours.people, ours.holes, ours.interaction, ours.repeats)
    assert [row.sum_mm2 for row in rows] == pytest.approx(list(table["sum_sq"]), rel=1e-6)
    assert [row.dof for row in rows] == pytest.approx(list(table["df"]))
    assert ours.p_interaction == pytest.approx(table["PR(>F)"].iloc[2], rel=1e-6)


def test_a_line_whose_days_share_a_caliper_is_that_of_generalised_least_squares() -> None:
    """Two calipers one after the other: their limits as covariances in statsmodels' GLS give the same line."""
    dice = random.Random(4)
    hours = [0.0, 110.0, 250.0, 380.0, 520.0, 640.0]
    tools = ["blue", "blue", "blue", "red", "red", "red"]
    values = [0.3 + 0.0006 * x + dice.gauss(0, 0.01) for x in hours]
    points = [Point(x, y, 0.012, 8.0, (shared(tool, 0.02),)) for x, y, tool in zip(hours, values, tools, strict=True)]
    ours = fit_points(points)
    line = ours.straight(0.0)
    common = np.array([[0.02**2 * (a == b) for b in tools] for a in tools])
    sigma = np.diag([max(ours.scale, 1.0) * 0.012**2] * len(hours)) + common
    theirs = sm.GLS(values, sm.add_constant(np.array(hours)), sigma=sigma).fit(cov_type="fixed scale")
    assert [line.level_mm, line.slope] == pytest.approx(list(theirs.params), rel=1e-6)
    covariance = theirs.cov_params()
    assert line.slope_variance == pytest.approx(covariance[1][1], rel=1e-6)
    assert line.level_variance == pytest.approx(covariance[0][0], rel=1e-6)
