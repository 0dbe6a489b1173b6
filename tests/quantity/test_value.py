"""A value and its sources: what two values share counts once, with its sign, in whichever order they were put together.

GUM is JCGM 100:2008.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldlog.quantity.source import Source, Term, Unsound, limit, scatter, zero
from fieldlog.quantity.value import Refusal, Value, carried, covariance, exactly, total
from tests.quantity.drawn import ALONE, ANY, FACTORS, POOLS, SIXTY_FOURTHS, WITHOUT_ZEROS, ZEROS, of_shares, values

LATER = replace(ZEROS[0], id="blue/zero, 2027-04-01")


class CannotReach(Refusal):
    """Two links that do not meet."""


@given(ANY)
def test_a_value_less_itself_is_nothing_without_doubt(a: Value) -> None:
    """Everything is shared, so everything cancels, and stays in the budget as that."""
    nothing = a - a
    assert (nothing.value, nothing.u, nothing.plus_minus) == (0, 0, 0)
    assert all(row.cancels for row in nothing.rows)
    assert nothing.terms or not a.terms


@given(ANY)
def test_a_value_and_itself_is_twice_the_value(a: Value) -> None:
    """What is shared adds up in full and not as root sum of squares."""
    assert a + a == 2 * a == a * 2
    assert (a + a).u == pytest.approx(2 * a.u, rel=1e-14)


@given(ANY, ANY, ANY)
def test_the_order_of_sums_and_differences_makes_no_difference(a: Value, b: Value, c: Value) -> None:
    """Also with pools and zeros, which are settled only when the doubt is asked for."""
    assert (a + c) - b == (a - b) + c == total((c, 1.0), (b, -1.0), (a, 1.0))
    assert a + b == b + a
    assert hash(a + b) == hash(b + a)
    one, other = (a + c) - b, (a - b) + c
    assert (one.u, one.dof, one.k) == pytest.approx((other.u, other.dof, other.k), rel=1e-12)


@given(ANY, ANY, FACTORS)
def test_scaling_goes_into_sums(a: Value, b: Value, factor: float) -> None:
    """A factor moves value and doubt alike, and neither degrees of freedom nor the factor for 95 %."""
    both = a + b
    assert factor * both == factor * a + factor * b
    assert (factor * both).u == pytest.approx(abs(factor) * both.u, rel=1e-14)
    assert (factor * both).dof == pytest.approx(both.dof, rel=1e-12)
    assert (factor * both).k == pytest.approx(both.k, rel=1e-12)
    assert both / factor == both * (1 / factor)
    assert -both == 0 - both == -1 * both


@given(WITHOUT_ZEROS, WITHOUT_ZEROS)
def test_the_covariance_is_what_the_sum_has_more_than_both(a: Value, b: Value) -> None:
    """Var(a + b) = var(a) + var(b) + 2 cov(a, b), and less it in the difference (GUM 5.2.2)."""
    shared = covariance(a, b)
    assert shared == covariance(b, a)
    assert (a + b).u ** 2 == pytest.approx(a.u**2 + b.u**2 + 2 * shared, abs=1e-12)
    assert (a - b).u ** 2 == pytest.approx(a.u**2 + b.u**2 - 2 * shared, abs=1e-12)


@given(ANY, SIXTY_FOURTHS)
def test_a_plain_number_brings_no_doubt(a: Value, number: float) -> None:
    """Only the value moves."""
    for moved, value in (
        (a + number, a.value + number),
        (number + a, a.value + number),
        (number - a, number - a.value),
    ):
        assert moved.value == value
        assert moved.u == pytest.approx(a.u, rel=1e-14)
    assert exactly(number, "mm").plus_minus == 0


def test_a_zero_of_two_days_counts_once_in_a_difference_and_twice_in_a_sum() -> None:
    """By hand: in between it may have changed by as much as the larger, 0.02 mm; of a sum both are in it."""
    spring, autumn = (of_shares(20.0, {source: u}) for source, u in zip(ZEROS, (0.01, 0.02), strict=True))
    assert (autumn - spring).u == pytest.approx(0.02)
    assert (spring - autumn).u == pytest.approx(0.02)
    assert (autumn + spring).u == pytest.approx(math.hypot(0.01, 0.02))
    assert (autumn - autumn).u == 0


@given(st.floats(0.001, 1), st.floats(0.001, 1), st.floats(0.001, 1))
def test_of_a_zero_of_many_days_the_larger_side_counts(one: float, two: float, three: float) -> None:
    """Two days added, less a third: never less than the two, and the same as the two when the third hardly counts."""
    a, b, c = (of_shares(20.0, {source: u}) for source, u in zip((*ZEROS, LATER), (one, two, three), strict=True))
    assert (a + b - c).u == pytest.approx(max(math.hypot(one, two), three))
    assert (c - a - b).u == pytest.approx((a + b - c).u)
    assert (a + b - 1e-9 * c).u == pytest.approx((a + b).u)


def test_a_zero_is_settled_when_the_doubt_is_asked_for_and_not_before() -> None:
    """A day's zero that comes back cancels in full, even after another day's was taken from it."""
    spring, autumn = (of_shares(20.0, {source: u}) for source, u in zip(ZEROS, (0.01, 0.02), strict=True))
    assert ((spring - autumn) + autumn).u == pytest.approx(0.01)
    assert ((spring + autumn) - autumn).u == pytest.approx(0.01)


def test_readings_of_one_pool_count_its_degrees_of_freedom_once() -> None:
    """The mean of twelve readings whose scatter is known with 9 degrees of freedom has 9 of them, not 9 times 12."""
    readings = [Value(20.0, "mm", (scatter(f"reading {i}", 0.02, 9.0, pool="round 1"),)) for i in range(12)]
    together = total(*((reading, 1 / 12) for reading in readings))
    assert together.u == pytest.approx(0.02 / math.sqrt(12))
    assert together.dof == pytest.approx(9)
    (row,) = together.rows
    assert row.u == together.u
    assert (readings[0] - readings[0]).u == 0


@given(ANY)
def test_what_better_measuring_takes_away_adds_up_to_all(a: Value) -> None:
    """Variances by what would be measured better are the whole, and without all of it nothing is left."""
    assert math.fsum(a.variances.values()) == pytest.approx(a.u**2, rel=1e-12)
    assert a.without(*a.variances).u == 0
    most = a.narrowed_most_by
    assert (most is None) == (len(a.variances) < 2)
    if most is not None:
        assert most.left.u**2 == pytest.approx(a.u**2 - most.share * a.u**2, abs=1e-12)
        assert most.share >= 1 / len(a.variances)


def test_one_taping_is_narrowed_as_one_thing() -> None:
    """Hook and typing, 0.6 mm each, are one taping and come before a limit of 0.7 mm."""
    taped = of_shares(500.0, {ALONE[8]: 0.6, ALONE[9]: 0.6, ALONE[4]: 0.7})
    most = taped.narrowed_most_by
    assert most is not None
    assert most.measured == "top link, closed"
    assert most.share == pytest.approx(0.72 / 1.21)
    assert most.left.u == pytest.approx(0.7)
    assert taped.without("round 1/tape", "blue/inside").u == pytest.approx(0.6)


@given(ANY)
def test_what_is_a_days_own_goes_by_kind(a: Value) -> None:
    """Scatter stays; limits, zeros and shapes go."""
    own = a.own()
    assert {term.source.kind for term in own.terms} <= {"scatter", "step", "temperature"}
    assert len(own.terms) == sum(term.source.kind == "scatter" for term in a.terms)
    assert len(a.own({"zero"}).terms) == sum(term.source in ZEROS for term in a.terms)


@given(ANY, ANY, ANY, FACTORS, st.lists(st.text(max_size=12), min_size=40, max_size=40))
def test_labels_are_for_people_only(a: Value, b: Value, c: Value, factor: float, words: list[str]) -> None:
    """With arbitrary words for every label and why, alike or not, nothing else changes."""
    texts = iter(words * 40)

    def said_otherwise(value: Value) -> Value:
        terms = (Term(replace(t.source, label=next(texts), why=next(texts)), t.u) for t in value.terms)
        return replace(value, terms=tuple(terms))

    def told(a: Value, b: Value, c: Value) -> list[object]:
        area = carried(lambda v: v["a"] * v["b"] - v["c"], {"a": a, "b": b, "c": c}, "mm2")
        out: list[object] = [covariance(a, b)]
        for value in (a + b, a - b - c, factor * a - b, a.own(), (a + c).without("round 5", "blue/zero"), area):
            most = value.narrowed_most_by
            budget = [(row.source.id, row.u, row.dof) for row in value.rows]
            out += [value, value.u, value.dof, value.k, budget, value.variances, most and (*most[:2], most.left.u)]
        return out

    assert told(a, b, c) == told(*map(said_otherwise, (a, b, c)))


def test_a_fitted_value_keeps_its_degrees_of_freedom() -> None:
    """Student's t of 3 at 95 % is 3.182 (GUM table G.2), also where a limit is in it; sums with doubt are refused."""
    slope = Value(0.2, "mm per 100 h", (limit("blue/inside", 0.05), scatter("days", 0.01, 8.0)), whole_dof=3.0)
    assert slope.k == pytest.approx(3.182, abs=0.0005)
    assert (2 * slope + 0.1).k == slope.k
    assert slope.without("days").whole_dof is None
    with pytest.raises(Unsound, match="fit again"):
        slope + Value(0.1, "mm per 100 h", (scatter("other", 0.01, 8.0),))


def test_mistakes_are_not_reckoned_on_with() -> None:
    """Two units, two sources of one id, one source twice in a value, a pool of two scatters."""
    mm, kn = exactly(1.0, "mm"), exactly(1.0, "kN")
    with pytest.raises(Unsound, match="cannot add kN and mm"):
        mm + kn
    one, other = (Value(1.0, "mm", (scatter("days", 0.1, dof),)) for dof in (3.0, 4.0))
    with pytest.raises(Unsound, match="two sources have the id days"):
        one + other
    twice = Value(1.0, "mm", (*one.terms, *one.terms))
    with pytest.raises(Unsound, match="twice in one value"):
        assert twice.u
    pool = Value(1.0, "mm", tuple(scatter(name, 0.1, dof, pool="round 1") for name, dof in (("a", 3.0), ("b", 4.0))))
    with pytest.raises(Unsound, match="more than one scatter"):
        assert pool.u
    with pytest.raises(Unsound, match="cannot add nothing"):
        total()


def test_units_change_by_a_factor() -> None:
    """An inch is 25.4 mm."""
    size = Value(25.4, "mm", (limit("blue/inside", 0.0508),)).as_unit("in", 1 / 25.4)
    assert size.unit == "in"
    assert size.value == pytest.approx(1.0)
    assert size.u == pytest.approx(0.002 / math.sqrt(3))


def test_more_doubt_can_be_put_to_a_value() -> None:
    """A source that is there already adds up with its sign."""
    size = Value(20.0, "mm", (limit("blue/inside", 0.03),))
    assert size.within(limit("blue/inside", 0.03), zero("blue/zero", "2026-04-01", 0.06)).u == pytest.approx(
        math.hypot(0.06, 0.06) / math.sqrt(3)
    )
    assert size.within() == size


@given(ANY, ANY, FACTORS, FACTORS)
def test_a_straight_formula_carries_like_the_sum(a: Value, b: Value, f: float, g: float) -> None:
    """Moved up and down by its doubt, a linear answer gives the weighted sum again, sources and signs included."""
    assume(a.u > 0 and b.u > 0)
    straight = carried(lambda v: f * v["a"] + g * v["b"] + 3, {"a": a, "b": b}, "mm")
    summed = total((a, f), (b, g)) + 3
    assert straight.value == pytest.approx(summed.value)
    assert straight.u == pytest.approx(summed.u, abs=1e-9)
    found = {term.source.id: term.u for term in straight.terms}
    assert found == pytest.approx({term.source.id: term.u for term in summed.terms}, abs=1e-9)


@given(values(*ALONE, *POOLS, least=1), st.floats(0.5, 3))
def test_an_input_that_is_there_twice_counts_as_itself(a: Value, share: float) -> None:
    """The area x times x has twice the slope, and x less x has none, whatever the key."""
    small = Value(20.0, "mm", tuple(Term(source, 1e-3 * share * u) for source, u, _ in a.terms))
    area = carried(lambda v: v["x"] * v["y"], {"x": small, "y": small}, "mm2")
    assert area.unit == "mm2"
    assert area.u == pytest.approx(40.0 * small.u)
    assert carried(lambda v: v["x"] - v["y"], {"x": small, "y": small}, "mm").u == pytest.approx(0, abs=1e-12)


def test_a_refusal_comes_through_and_a_half_reach_counts_one_side() -> None:
    """Nothing meets under 9.95 mm and over 30.05: from 10 mm with 0.1 mm of doubt only the longer move is reached."""
    gap = CannotReach()

    def answer(inputs: object) -> float | CannotReach:
        length = dict(inputs)["length"]  # type: ignore[call-overload]
        return length**2 if 9.95 < length < 30.05 else gap

    def length(value: float, u: float) -> dict[str, Value]:
        return {"length": Value(value, "mm", (Term(ALONE[0], u),))}

    assert carried(answer, length(9.0, 0.1), "mm2") is gap
    for best, least, most in ((10.0, 10.0, 10.1), (30.0, 29.9, 30.0), (20.0, 19.9, 20.1)):
        reached = carried(answer, length(best, 0.1), "mm2")
        assert isinstance(reached, Value)
        assert reached.u == pytest.approx(0.1 * (most**2 - least**2) / (most - least))


def test_what_does_not_move_an_answer_is_not_in_its_budget() -> None:
    """A source that only an unused input has leaves no row."""
    inputs = {name: Value(1.0, "mm", (Term(source, 0.1),)) for name, source in zip("ab", ALONE, strict=False)}
    (row,) = carried(lambda v: 2 * v["a"], inputs, "mm").rows
    assert row.source == ALONE[0]


def test_a_source_is_what_its_id_says() -> None:
    """Equal by id; whoever describes it otherwise does not agree, unless only in words."""
    one = Source("blue/inside", "limit", label="blue caliper")
    assert one == Source("blue/inside", "limit", label="another word") != Source("red/inside", "limit")
    assert one.agrees(replace(one, label="x", why="y"))
    assert not one.agrees(replace(one, dof=3.0))
    assert not one.agrees(replace(one, kind="zero"))
