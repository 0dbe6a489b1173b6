"""Values against the figures of hitches, offers and repairs: the same doubt both ways, while both are in use."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.estimate import Figure, FigurePart, as_figure, as_value

SAME = 1e-9
U = st.floats(0.001, 1.0)
DOF = st.floats(1.0, 50.0)


@st.composite
def figures(draw: st.DrawFn) -> Figure:
    """Return a figure with scatter, some limits, and something judged."""
    parts = [FigurePart("scatter of 3 readings", draw(U), draw(DOF), "own repeats")]
    for name in draw(st.lists(st.sampled_from(("inside", "outside", "zero")), unique=True)):
        parts.append(FigurePart(name, draw(U), math.inf, "logbook", is_limit=True))
    if draw(st.booleans()):
        parts.append(FigurePart("shape other than an oval", draw(U), math.inf, "judged"))
    return Figure(draw(st.floats(-100, 100)), "kN", tuple(parts), draw(st.one_of(st.none(), DOF)))


@given(figures())
def test_figures_there_and_back_are_the_same(figure: Figure) -> None:
    """Also where a fit tells the degrees of freedom of everything in one."""
    value = as_value(figure, "pull")
    told = (value.u, value.dof, value.k, value.plus_minus)
    assert told == pytest.approx((figure.u, figure.dof, figure.coverage, figure.expanded), rel=SAME)
    assert as_figure(value) == figure
