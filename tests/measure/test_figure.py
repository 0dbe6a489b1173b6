"""A figure in any unit carries its doubt as a length does, and intervals and steps are written in both units."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from fieldlog.quantity.estimate import Figure, FigurePart, Interval, as_figure, figure_limit
from fieldlog.quantity.units import also_shown_in, parse_value
from tests.values import limit_of, part, sized

END_GAUGE = Figure(  # GUM (JCGM 100:2008) H.1, table H.1: the components of the length of an end gauge, in nm
    838.0,
    "nm",
    (
        FigurePart("calibration of the standard", 25.0, 18, "certificate"),
        FigurePart("measured difference", 9.7, 25.6, "repeats, bias and fixture"),
        FigurePart("difference in expansion", 2.9, 50, "judged"),
        FigurePart("difference in temperature", 16.6, 2, "judged"),
    ),
)


def test_the_gums_end_gauge_in_nanometres() -> None:
    """GUM H.1.5 and H.1.6: u_c(l) = 32 nm, effective degrees of freedom 16.7; k is t at them (2.12 at 16, G.2)."""
    assert END_GAUGE.u == pytest.approx(32, abs=0.5)
    assert END_GAUGE.dof == pytest.approx(16.7, abs=0.15)
    assert END_GAUGE.coverage == pytest.approx(stats.t.ppf(0.975, END_GAUGE.dof), rel=1e-9)
    assert END_GAUGE.expanded == pytest.approx(END_GAUGE.coverage * END_GAUGE.u)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(1e-4, 10), st.floats(1, 200), st.booleans()), min_size=1, max_size=5),
    st.floats(-100, 100),
)
def test_a_length_as_a_figure_is_the_same_length(parts: list[tuple[float, float, bool]], value_mm: float) -> None:
    """One arithmetic: u, degrees of freedom, factor and half-width are the estimate's own."""
    estimate = sized(
        value_mm,
        tuple(limit_of("limit", u, "") if is_limit else part("scatter", u, dof, "") for u, dof, is_limit in parts),
    )
    figure = as_figure(estimate)
    assert figure.unit == "mm"
    assert figure.u == pytest.approx(estimate.u_mm, rel=1e-12)
    assert figure.dof == pytest.approx(estimate.dof, rel=1e-9) or math.isinf(figure.dof)
    assert figure.expanded == pytest.approx(estimate.plus_minus, rel=1e-9)


def test_a_limit_alone_covers_95_of_100_of_its_rectangle() -> None:
    """A limit of 2 degrees: 0.95 of it is the half-width, since nothing lies beyond (GUM 4.3.7)."""
    figure = Figure(10.0, "deg", (figure_limit("plumb line", 2.0, "judged"),))
    assert figure.expanded == pytest.approx(1.9)
    drawn = np.random.default_rng(7).uniform(-2.0, 2.0, 20_000)
    assert np.mean(np.abs(drawn) <= figure.expanded) == pytest.approx(0.95, abs=0.006)


def test_a_plain_number_has_no_doubt() -> None:
    """A count is what it is."""
    count = Figure(4.0, "times")
    assert (count.u, count.expanded) == (0.0, 0.0)
    assert math.isinf(count.dof)


@pytest.mark.parametrize(("unit", "typed"), [("kN", "1 lbf"), ("kg", "1 lb"), ("bar", "1 psi")])
def test_the_other_unit_is_that_which_can_be_typed(unit: str, typed: str) -> None:
    """What is shown beside and what is read back are one factor."""
    found = also_shown_in(unit)
    assert found is not None
    assert found[0] == typed.split()[1]
    assert found[1] * parse_value(typed, unit).amount == pytest.approx(1.0, rel=1e-12)


def test_an_interval_keeps_its_sides() -> None:
    """Most likely is not the middle."""
    reached = Interval(480.0, 290.0, 720.0, "h")
    assert reached.upper - reached.best > reached.best - reached.lower
