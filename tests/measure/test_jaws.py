"""Inside jaws: the chord, and offset and width learnt from known bores, against NumPy and SciPy."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize

from fieldlog.measure.jaws import Caliper, KnownBore, learnt_jaws, stated_jaws

EXAMPLES = settings(max_examples=60, derandomize=True, deadline=None)
SIZES = st.lists(st.sampled_from([6.0, 8.0, 10.0, 12.7, 16.0, 25.4, 38.1]), min_size=2, max_size=4, unique=True)


def bore(size_mm: float, width_mm: float, offset_mm: float = 0.0, u_mm: float = 0.002) -> KnownBore:
    """Return a known bore as jaws of a width and an offset read it."""
    return KnownBore(size_mm, 0.005, math.sqrt(size_mm**2 - width_mm**2) - offset_mm, u_mm, 8.0)


@EXAMPLES
@given(size=st.floats(6, 60), width=st.floats(0.1, 2.5))
def test_correction_undoes_the_chord(size: float, width: float) -> None:
    """What flat jaws read of a bore comes back as the bore, and corrected is never under what was read."""
    read = math.sqrt(size**2 - width**2)
    jaws = stated_jaws(width, 0.1, (), Caliper("blue", "caliper"))
    assert jaws.corrected_mm(read) == pytest.approx(size, rel=1e-12)
    assert jaws.corrected_mm(read) >= read


@EXAMPLES
@given(size=st.floats(8, 60), width=st.floats(0.3, 2.0), error=st.floats(0.01, 0.3))
def test_doubt_of_a_stated_width_is_the_slope_of_the_correction(size: float, width: float, error: float) -> None:
    """The jaws' part is dD/dw times the doubt of w, taken by a numerical slope."""
    jaws = stated_jaws(width, error, (), Caliper("blue", "caliper"))
    read = math.sqrt(size**2 - width**2)
    slope = (math.hypot(read, width + 1e-5) - math.hypot(read, width - 1e-5)) / 2e-5
    assert jaws.terms_at(size)[0].half_width == pytest.approx(slope * error, rel=1e-3)


@EXAMPLES
@given(sizes=SIZES, width=st.floats(0.5, 2.0), offset=st.floats(-0.05, 0.05))
def test_two_sizes_tell_offset_and_width_apart(sizes: list[float], width: float, offset: float) -> None:
    """Exact readings of bores of different sizes give back offset and width."""
    jaws = learnt_jaws([bore(size, width, offset) for size in sorted(sizes)], 5.0, Caliper("blue", "caliper"))
    assert jaws.offset_mm == pytest.approx(offset, abs=1e-4)
    assert jaws.width_mm == pytest.approx(width, abs=2e-3)
    assert not jaws.complaint
    assert not jaws.remark


@EXAMPLES
@given(seed=st.integers(0, 10_000), sizes=SIZES)
def test_least_squares_agrees_with_scipy(seed: int, sizes: list[float]) -> None:
    """Weighted least squares of D = sqrt((m + c)^2 + w^2) by SciPy gives the same offset, width and doubts."""
    hand = np.random.default_rng(seed)
    bores = [bore(size, 1.2, 0.02, u_mm=float(hand.uniform(0.001, 0.004))) for size in sorted(sizes)]
    bores = [KnownBore(b.size_mm, 0.0, b.mean_mm + hand.normal(0, b.u_mm), b.scatter_u_mm, 8.0) for b in bores]

    def misses(unknowns: list[float]) -> list[float]:
        return [(math.sqrt(b.size_mm**2 - unknowns[1]) - unknowns[0] - b.mean_mm) / b.u_mm for b in bores]

    found = optimize.least_squares(misses, [0.0, 1.0], xtol=1e-14, ftol=1e-14)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    jaws = learnt_jaws(bores, 5.0, Caliper("blue", "caliper"))
    assert jaws.offset_mm == pytest.approx(found.x[0], abs=1e-3)
    assert jaws.width_mm == pytest.approx(math.sqrt(found.x[1]), abs=0.01)
    assert jaws.offset.u_mm == pytest.approx(math.sqrt(covariance[0, 0]), rel=0.03)
    chord = 1 / (2 * 20.0)
    at_20 = math.sqrt(np.array([1, chord]) @ covariance @ np.array([1, chord]))
    assert math.hypot(*(term.u for term in jaws.terms_at(20.0))) == pytest.approx(at_20, rel=0.03)


def test_one_size_cannot_tell_and_says_so() -> None:
    """One bore: laid to the width, w = sqrt(D^2 - m^2); at its own size sure, farther off less so."""
    jaws = learnt_jaws([bore(20.0, 1.0)], 0.05, Caliper("blue", "caliper"))
    assert jaws.width_mm == pytest.approx(1.0, abs=1e-9)
    assert jaws.offset_mm == 0.0
    assert "cannot tell jaw width from offset" in jaws.remark
    assert "10.00 mm" in jaws.remark
    doubts = [math.hypot(*(term.u for term in jaws.terms_at(size))) for size in (20.0, 25.0, 40.0)]
    assert doubts[0] == pytest.approx(bore(20.0, 1.0).u_mm, rel=1e-9)
    assert doubts[0] < doubts[1] < doubts[2]


def test_bores_too_alike_cannot_tell_either() -> None:
    """Two bores 19 and 20 mm, known to 0.005 mm: the offset would be worth less than its usual limit."""
    jaws = learnt_jaws([bore(19.0, 1.0), bore(20.0, 1.0)], 0.05, Caliper("blue", "caliper"))
    assert jaws.offset_mm == 0.0
    assert jaws.remark


def test_stated_width_leaves_the_offset_to_the_bore() -> None:
    """A width of 1.0 mm stated and a bore of 20 mm that reads 19.955: 0.025 is the chord, 0.020 the offset."""
    jaws = stated_jaws(1.0, 0.1, [KnownBore(20.0, 0.005, 19.955, 0.005, 8.0)], Caliper("blue", "caliper"))
    assert jaws.offset_mm == pytest.approx(math.sqrt(399) - 19.955, abs=1e-9)
    assert jaws.corrected_mm(19.955) == pytest.approx(20.0, abs=1e-9)
    assert jaws.terms_at(20.0)[-1].u == pytest.approx(0.0, abs=1e-12)


def test_reading_over_the_known_bore_is_complained_about() -> None:
    """Flat jaws never read over: the sentence says so and what to look at; the doubt is not hidden in a width."""
    jaws = learnt_jaws([KnownBore(20.0, 0.005, 20.05, 0.005, 8.0)], 0.05, Caliper("blue", "caliper"))
    assert jaws.width_mm == 0.0
    assert jaws.offset_mm == pytest.approx(-0.05)
    assert "never do" in jaws.complaint
    assert "zero" in jaws.complaint


def test_larger_bore_lacking_more_is_complained_about() -> None:
    """The chord takes less off a larger bore; the other way round one of the bores is not what it is said to be."""
    bores = [KnownBore(8.0, 0.005, 7.99, 0.002, 8.0), KnownBore(25.0, 0.005, 24.90, 0.002, 8.0)]
    jaws = learnt_jaws(bores, 0.5, Caliper("blue", "caliper"))
    assert jaws.width_mm == 0.0
    assert "no width of jaws does" in jaws.complaint


def test_bore_that_does_not_go_with_the_others_is_named() -> None:
    """Three bores, one of them stated 0.1 mm wrong: that one does not fit."""
    good = [bore(size, 1.0) for size in (8.0, 30.0, 40.0)]
    wrong = KnownBore(16.1, 0.005, bore(16.0, 1.0).mean_mm, 0.002, 8.0)
    assert "does not go with the others" in learnt_jaws([*good, wrong], 0.5, Caliper("blue", "caliper")).complaint


def test_jaws_wider_than_the_hole_do_not_go_in() -> None:
    """Jaws of 12 mm do not stand in a hole that reads 10."""
    jaws = stated_jaws(12.0, 0.1, (), Caliper("blue", "caliper"))
    assert not jaws.go_into(10.0)
    assert jaws.go_into(19.0)
