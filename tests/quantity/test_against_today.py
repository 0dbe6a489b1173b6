"""Values against the figures of hitches, offers and repairs: the same doubt both ways, while both are in use."""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.estimate import Figure, FigurePart, as_figure, as_value
from fieldlog.quantity.value import carried
from fieldlog.retrofit.carried import Carried, Measure
from fieldlog.retrofit.carried import carried as carried_figures

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


@given(st.lists(figures(), min_size=3, max_size=3), st.floats(0.5, 2))
def test_answers_of_independent_figures_are_those_carried_today(inputs: Sequence[Figure], stretch: float) -> None:
    """A curved formula of three inputs that share nothing."""
    plain = [Figure(100 + figure.value / 4, "mm", figure.parts) for figure in inputs]
    measures = {name: Measure(f.value, f.parts, name) for name, f in zip("abc", plain, strict=True)}
    values = {name: as_value(figure, name) for name, figure in zip("abc", plain, strict=True)}

    def answer(v: object) -> float:
        a, b, c = (dict(v)[name] for name in "abc")  # type: ignore[call-overload]
        return float(math.sqrt(a * a + b * b - stretch * a * b * math.cos(c / 100)))

    theirs = carried_figures(answer, measures)
    assert isinstance(theirs, Carried)
    ours, figure = carried(answer, values, "mm"), theirs.figure("mm")
    assert ours.value == pytest.approx(theirs.value, rel=SAME)
    assert (ours.u, ours.dof, ours.k) == pytest.approx((figure.u, figure.dof, figure.coverage), rel=SAME)
    assert ours.plus_minus == pytest.approx(figure.expanded, rel=SAME)
