"""Values against estimates and figures: the same parts come to the same doubt, both ways, while both are in use."""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, Part, added, scaled
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import Value, total

SAME = 1e-9
CAUSES = ("blue: inside limit", "blue: outside limit", "blue: hands of sam")
DAYS = ("2026-04-01", "2026-10-01")


def as_value(estimate: Estimate, whose: str) -> Value:
    """Return an estimate as a value; a part without a cause is a source of its own, named by `whose` it is."""
    terms = []
    for number, part in enumerate(estimate.parts):
        name = (part.cause or f"{whose}/{number}") + (f", {part.moves}" if part.moves else "")
        source = Source(
            name, "limit", label=part.name, why=part.source, dof=part.dof, is_limit=part.is_limit,
            wanders=part.cause if part.moves else "",
        )  # fmt: skip
        terms.append(Term(source, -part.u_mm if part.is_reversed else part.u_mm))
    return Value(estimate.value_mm, "mm", tuple(terms))


def as_estimate(value: Value) -> Estimate:
    """Return a value as an estimate, its sources being the causes."""
    parts = (Part(s.label, abs(u), s.dof, s.why, s.is_limit, s.wanders or s.id, _day(s), u < 0) for s, u in value.terms)
    return Estimate(value.value, tuple(parts))


def _day(source: Source) -> str:
    return source.id.removeprefix(f"{source.wanders}, ") if source.wanders else ""


def as_figure(value: Value) -> Figure:
    """Return the budget of a value as a figure, its rows being the parts."""
    parts = (FigurePart(row.source.label, row.u, row.dof, row.source.why, row.source.is_limit) for row in value.rows)
    return Figure(value.value, value.unit, tuple(parts), value.whole_dof)


def of_figure(figure: Figure, whose: str) -> Value:
    """Return a figure as a value, all its parts being sources of its own."""
    sources = (
        Source(f"{whose}/{n}", "stated", label=part.name, why=part.source, dof=part.dof, is_limit=part.is_limit)
        for n, part in enumerate(figure.parts)
    )
    terms = (Term(source, part.u) for source, part in zip(sources, figure.parts, strict=True))
    return Value(figure.value, figure.unit, tuple(terms), figure.joint_dof)


U = st.floats(0.001, 1.0)
FACTORS = st.sampled_from([-2.0, -1.0, -0.5, 0.5, 1.0, 2.0])
DOF = st.floats(1.0, 50.0)


@st.composite
def estimates(draw: st.DrawFn) -> Estimate:
    """Return an estimate with scatter, limits that other estimates may share, and a zero of one of two days."""
    parts = [Part("scatter of 3 readings", draw(U), draw(DOF), "own repeats")]
    for cause in draw(st.lists(st.sampled_from(CAUSES), unique=True)):
        parts.append(Part(cause, draw(U), math.inf, "logbook", is_limit=cause != CAUSES[2], cause=cause))
    if draw(st.booleans()):
        day = draw(st.sampled_from(DAYS))
        parts.append(Part("zero", draw(U), math.inf, "no check", is_limit=True, cause="blue: zero", moves=day))
    if draw(st.booleans()):
        parts.append(Part("shape other than an oval", draw(U), math.inf, "judged"))
    return Estimate(draw(st.floats(-100, 100)), tuple(parts))


def assert_same(value: Value, estimate: Estimate) -> None:
    told = (value.value, value.u, value.dof, value.k, value.plus_minus)
    theirs = (estimate.value_mm, estimate.u_mm, estimate.dof, estimate.coverage, estimate.expanded_mm)
    assert told == pytest.approx(theirs, rel=SAME, abs=1e-12)


@given(st.lists(st.tuples(estimates(), FACTORS), min_size=1, max_size=2))
def test_sums_and_differences_of_two_days_are_those_of_estimates(weighted: Sequence[tuple[Estimate, float]]) -> None:
    """u, degrees of freedom and k, and the way there and back. Of more than two days of one zero they differ."""
    values = [(as_value(estimate, f"{n}"), factor) for n, (estimate, factor) in enumerate(weighted)]
    result = total(*values)
    theirs = added(*(scaled(estimate, factor) for estimate, factor in weighted))
    assert_same(result, theirs)
    for (value, _), (estimate, _) in zip(values, weighted, strict=True):
        assert_same(value, as_estimate(value))
        assert_same(value, estimate)
        assert as_value(as_estimate(value), "") == value
    back = added(*(scaled(as_estimate(value), factor) for value, factor in values))
    assert_same(result, back)


@given(estimates(), st.one_of(st.none(), DOF))
def test_figures_there_and_back_are_the_same(estimate: Estimate, whole_dof: float | None) -> None:
    """Also where a fit tells the degrees of freedom of everything in one."""
    parts = tuple(FigurePart(p.name, p.u_mm, p.dof, p.source, p.is_limit) for p in estimate.parts)
    figure = Figure(estimate.value_mm, "kN", parts, whole_dof)
    value = of_figure(figure, "pull")
    told = (value.u, value.dof, value.k, value.plus_minus)
    assert told == pytest.approx((figure.u, figure.dof, figure.coverage, figure.expanded), rel=SAME)
    assert as_figure(value) == figure
