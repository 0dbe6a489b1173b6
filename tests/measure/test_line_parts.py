"""The parts of a rate's doubt add up to it, and each is what plain linear algebra says it is."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from fieldlog.measure.line_fit import Fit, Point, Shape, fit_points, parts_of
from fieldlog.quantity.source import Term
from tests.values import shared

xs = st.lists(st.integers(0, 60), min_size=4, max_size=9, unique=True).map(sorted)


@st.composite
def days(draw: st.DrawFn) -> list[Point]:
    """Days with their own scatter, some with a limit of their own, and up to three sources shared by some of them."""
    places = draw(xs)
    rng = np.random.default_rng(draw(st.integers(0, 10_000)))
    n = len(places)
    both: list[list[Term]] = [[] for _ in places]
    for name in ("caliper", "zero", "pin")[: draw(st.integers(0, 3))]:
        on = rng.random(n) < draw(st.sampled_from([0.4, 0.7, 1.1]))
        size = rng.uniform(0.005, 0.08)
        for i in np.flatnonzero(on).tolist():
            both[i].append(shared(name, float(size)))
    points = []
    for i, x in enumerate(places):
        scatter = float(rng.uniform(0.005, 0.05))
        alone = (shared("other caliper", float(rng.uniform(0.005, 0.05))),) if rng.random() < 0.3 else ()
        u_mm = float(np.hypot(scatter, alone[0].u)) if alone else scatter
        value = 0.3 + 0.004 * x + float(rng.normal(0, draw(st.sampled_from([0.3, 1.0, 3.0])) * u_mm))
        points.append(Point(10.0 * x, value, u_mm, 6.0, tuple(both[i]), alone))
    return points


def covariances(points: list[Point], fit: Fit) -> dict[str, NDArray[np.float64]]:
    """Return the covariance of the days' values that each source makes."""
    n = len(points)
    own = np.diag([p.u_mm**2 for p in points])
    alone = np.diag([sum(term.u**2 for term in p.alone) for p in points])
    found = {"stated": own - alone, "alone": alone, "beyond": (fit.scale - 1.0) * own}
    for name in {term.source.id for p in points for term in p.shared}:
        size = np.array([sum(term.u for term in p.shared if term.source.id == name) for p in points])
        found[name] = np.outer(size, size)
    assert all(matrix.shape == (n, n) for matrix in found.values())
    return found


@settings(max_examples=80, deadline=None)
@given(days(), st.sampled_from(["line", "bend", "curve"]), st.booleans())
def test_the_parts_squares_add_up_to_the_variance(points: list[Point], shape: Shape, is_tail: bool) -> None:
    """Whatever days share what, and for a line, a bent line on either side, and a curve."""
    knot = (points[1].x + points[2].x) / 2
    fit = fit_points(points, shape, knot=knot)
    at = points[-1].x if is_tail else points[0].x
    variance = fit.straight(at, is_tail=is_tail).slope_variance
    parts = parts_of(points, fit, fit.slope_row(at, is_tail=is_tail))
    assert sum(part.u**2 for part in parts) == pytest.approx(variance, rel=1e-6)


@settings(max_examples=80, deadline=None)
@given(days())
def test_each_part_is_that_of_generalised_least_squares(points: list[Point]) -> None:
    """Against NumPy: A = (X' V^-1 X)^-1 X' V^-1, and a source with covariance C brings in row 2 of A C A'."""
    fit = fit_points(points)
    made = covariances(points, fit)
    design = np.array([[1.0, p.x] for p in points])
    inverse = np.linalg.inv(sum(made.values()))
    slope = (np.linalg.inv(design.T @ inverse @ design) @ design.T @ inverse)[1]
    expected = {name: float(slope @ matrix @ slope) for name, matrix in made.items()}
    found: dict[str, float] = dict.fromkeys(expected, 0.0)
    for part in parts_of(points, fit, fit.slope_row(0.0)):
        found[part.source.id if part.origin == "shared" and part.source else part.origin] += part.u**2
    whole = sum(expected.values())
    for name, variance in expected.items():
        assert found[name] == pytest.approx(variance, abs=1e-6 * whole), name


def test_what_all_days_share_is_not_in_the_rate() -> None:
    """One caliper on all days moves the level; a second one after half of them makes the rate doubtful."""
    values = (0.30, 0.40, 0.50, 0.60)
    one = [Point(100.0 * i, mm, 0.01, 8.0, (shared("first", 0.02),)) for i, mm in enumerate(values)]
    two = [
        Point(100.0 * i, mm, 0.01, 8.0, (shared("first" if i < 2 else "second", 0.02),)) for i, mm in enumerate(values)
    ]
    for points, names in ((one, set()), (two, {"first", "second"})):
        fit = fit_points(points)
        found = {part.source.id for part in parts_of(points, fit, fit.slope_row(0.0)) if part.source is not None}
        assert found == names
    assert fit_points(two).straight(0.0).slope_u > 1.2 * fit_points(one).straight(0.0).slope_u
