"""The oval fitted to a bore: against NumPy's least squares, and what is said of round, odd and hopeless sets."""

import math
import random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldlog.errors import MeasureError
from fieldlog.measure.bore import Bore, BoreShape, distinct_lines, fit_bore
from fieldlog.quantity.distributions import f_quantile
from tests.values import part

BORE = Bore("round/eye/near", "eye/near", "2026-04-01")
EXAMPLES = settings(max_examples=150, derandomize=True, deadline=None)
LIMIT_MM = 0.05
LIMIT = part("caliper, inside jaws", LIMIT_MM / math.sqrt(3), math.inf, "limit")
USUAL_MM = 0.02
READINGS = st.lists(
    st.tuples(st.integers(0, 359).map(lambda half: half / 2), st.floats(19, 23)), min_size=5, max_size=20
)


def fitted(pairs: list[tuple[float, float]], step_mm: float = 0.0) -> BoreShape:
    """Return the fit with a caliper of 0.05 mm."""
    return fit_bore(pairs, (LIMIT,), USUAL_MM, step_mm, BORE)


def fitted_or_skipped(pairs: list[tuple[float, float]]) -> BoreShape:
    """Return the fit, or leave the example out when its lines cannot tell a shape."""
    try:
        return fitted(pairs)
    except MeasureError:
        assume(False)
        raise


def measured(amplitude_mm: float, axis_deg: float, repeats: int, seed: int, sd_mm: float) -> list[tuple[float, float]]:
    """Return made-up readings of an oval of mean size 20 at the four usual lines."""
    hand = random.Random(seed)
    return [
        (line, 20 + amplitude_mm * math.cos(math.radians(2 * (line - axis_deg))) + hand.gauss(0, sd_mm))
        for line in (0.0, 45.0, 90.0, 135.0)
        for _ in range(repeats)
    ]


@EXAMPLES
@given(pairs=READINGS)
def test_fit_agrees_with_numpy(pairs: list[tuple[float, float]]) -> None:
    """D0, a and b are NumPy's least-squares solution, for any angles and any unequal repeats."""
    shape = fitted_or_skipped(pairs)
    twice = np.radians([2 * angle for angle, _ in pairs])
    design = np.column_stack([np.ones(len(pairs)), np.cos(twice), np.sin(twice)])
    sizes = np.array([size for _, size in pairs])
    solution = np.linalg.lstsq(design, sizes, rcond=None)[0]
    assert (shape.d0_mm, shape.a_mm, shape.b_mm) == pytest.approx(tuple(map(float, solution)), rel=1e-9, abs=1e-9)


@EXAMPLES
@given(pairs=READINGS)
def test_uncertainties_agree_with_the_covariance_of_numpy(pairs: list[tuple[float, float]]) -> None:
    """The scatter parts of all sizes and of the axis follow from NumPy's covariance of the three parameters."""
    pairs = [(angle, size / 20 + 3 * math.cos(math.radians(2 * angle))) for angle, size in pairs]
    shape = fitted_or_skipped(pairs)
    assert not shape.is_round_within_error
    twice = np.radians([2 * angle for angle, _ in pairs])
    design = np.column_stack([np.ones(len(pairs)), np.cos(twice), np.sin(twice)])
    covariance = np.linalg.inv(design.T @ design) * shape.scatter.sd_mm**2
    unit = np.array([shape.a_mm, shape.b_mm]) / math.hypot(shape.a_mm, shape.b_mm)
    for estimate, weights in (
        (shape.mean, [1, 0, 0]),
        (shape.smallest, [1, -unit[0], -unit[1]]),
        (shape.largest, [1, unit[0], unit[1]]),
        (shape.ovality, [0, 2 * unit[0], 2 * unit[1]]),
    ):
        expected = math.sqrt(float(np.array(weights) @ covariance @ np.array(weights)))
        assert estimate.parts[0].u_mm == pytest.approx(expected, rel=1e-6)


@EXAMPLES
@given(pairs=READINGS)
def test_scatter_is_the_residual_of_the_fit(pairs: list[tuple[float, float]]) -> None:
    """With two or more readings to spare the scatter is the residual's, with n - 3 degrees of freedom."""
    shape = fitted_or_skipped(pairs)
    left = [
        size - shape.d0_mm - shape.a_mm * math.cos(math.radians(2 * a)) - shape.b_mm * math.sin(math.radians(2 * a))
        for a, size in pairs
    ]
    assert shape.scatter.dof == len(pairs) - 3
    assert shape.scatter.sd_mm == pytest.approx(math.sqrt(sum(r * r for r in left) / (len(pairs) - 3)), rel=1e-6)


@EXAMPLES
@given(pairs=READINGS, turn=st.integers(1, 359))
def test_turning_the_hole_turns_only_the_axis(pairs: list[tuple[float, float]], turn: int) -> None:
    """Reading the clock from another hour moves the axis by as much and leaves every size alone."""
    first = fitted_or_skipped(pairs)
    second = fitted_or_skipped([((angle + turn / 2) % 180, size) for angle, size in pairs])
    assert second.ovality.value == pytest.approx(first.ovality.value, abs=1e-8)
    assert second.smallest.value == pytest.approx(first.smallest.value, abs=1e-8)
    if first.axis_deg is not None and second.axis_deg is not None and first.ovality.value > 0.01:
        moved = (second.axis_deg - first.axis_deg - turn / 2) % 180
        assert min(moved, 180 - moved) == pytest.approx(0, abs=1e-5)


@EXAMPLES
@given(pairs=READINGS)
def test_round_is_only_said_when_the_ovality_interval_holds_zero(pairs: list[tuple[float, float]]) -> None:
    """An ovality interval that leaves out zero is never called round within error."""
    shape = fitted_or_skipped(pairs)
    assert (shape.axis_deg is None) == shape.is_round_within_error
    if shape.is_round_within_error:
        assert shape.ovality.value <= shape.ovality.plus_minus * (1 + 1e-9)


def test_instrument_limit_counts_in_sizes_but_not_in_ovality() -> None:
    """A caliper that is off is off all round: its limit is a part of every size and of no difference."""
    shape = fitted(measured(0.1, 30, 3, seed=1, sd_mm=0.01))
    assert LIMIT in shape.mean.terms
    assert LIMIT in shape.smallest.terms
    assert LIMIT in shape.largest.terms
    assert LIMIT not in shape.ovality.terms
    assert shape.ovality.u < LIMIT.u < shape.smallest.u


def test_largest_is_more_than_any_line_when_the_axis_lies_between() -> None:
    """Half way between two lines the oval is larger than any line read: the fit, not the maximum, is the answer."""
    readings = [(line, 20 + 0.2 * math.cos(math.radians(2 * (line - 22.5)))) for line in (0.0, 45.0, 90.0, 135.0)]
    shape = fitted(readings)
    assert shape.largest.value == pytest.approx(20.2, abs=1e-12)
    assert max(size for _, size in readings) < 20.15


def test_four_single_readings_lean_on_the_usual_repeatability() -> None:
    """One reading to spare cannot tell the scatter: eight degrees of the usual stand beside it, and it is said."""
    shape = fitted([(0, 20.0), (45, 20.0), (90, 20.0), (135, 20.02)])
    residual = 0.01**2  # the misfit of (+, -, +, -) is a quarter of 0.02 at each line
    assert shape.scatter.dof == 9
    assert shape.scatter.sd_mm == pytest.approx(math.sqrt((8 * USUAL_MM**2 + residual) / 9), rel=1e-9)
    assert "usual" in shape.scatter.source


def test_identical_readings_are_no_better_than_the_step() -> None:
    """Readings that agree to the last digit still leave the step of the caliper in doubt."""
    shape = fitted([(line, 20.0) for line in (0.0, 45.0, 90.0, 135.0) for _ in range(3)], step_mm=0.01)
    assert shape.scatter.sd_mm == pytest.approx(0.01 / math.sqrt(12))
    assert shape.is_round_within_error
    assert shape.smallest.value == shape.largest.value == 20.0


@pytest.mark.parametrize("axis", [0.0, 20.0, 90.0, 135.0, 179.5])
def test_axis_points_along_the_oval(axis: float) -> None:
    """A clear oval gives its direction, and the half-width holds it."""
    shape = fitted(measured(0.2, axis, 3, seed=5, sd_mm=0.01))
    assert shape.axis_deg is not None
    apart = (shape.axis_deg - axis) % 180
    assert min(apart, 180 - apart) < shape.axis_half_width_deg * 1.5
    assert 0 <= shape.axis_deg < 180
    assert shape.axis_half_width_deg < 5


def test_axis_half_width_is_the_covariance_carried_to_the_angle() -> None:
    """For n readings evenly spread the axis is known to t s / (2 e) sqrt(2 / n) radians (first order)."""
    shape = fitted(measured(0.2, 60, 4, seed=9, sd_mm=0.01))
    amplitude = shape.ovality.value / 2
    radians = shape.ovality.coverage * shape.scatter.sd_mm * math.sqrt(2 / 16) / (2 * amplitude)
    assert shape.axis_half_width_deg == pytest.approx(math.degrees(radians), rel=1e-9)


def test_round_holes_are_called_oval_one_time_in_twenty() -> None:
    """The F test keeps its 5 %: of 2,000 truly round holes about 100 are called oval (seeded; 4 sigma)."""
    called = sum(not fitted(measured(0, 0, 3, seed=k, sd_mm=0.02)).is_round_within_error for k in range(2000))
    assert 61 <= called <= 139


@pytest.mark.parametrize("amplitude_mm", [0.0, 0.01, 0.1])
def test_intervals_cover_the_true_sizes(amplitude_mm: float) -> None:
    """Smallest, largest and ovality lie in their 95 % intervals 93 to 98 times in a hundred, round holes too."""
    sure = (part("sure", 0.0, math.inf, ""),)
    held = [0, 0, 0]
    for k in range(1500):
        shape = fit_bore(measured(amplitude_mm, 17.0 * k, 3, seed=k, sd_mm=0.02), sure, USUAL_MM, 0.0, BORE)
        truths = (20 - amplitude_mm, 20 + amplitude_mm, 2 * amplitude_mm)
        sizes = (shape.smallest, shape.largest, shape.ovality)
        for i, (size, truth) in enumerate(zip(sizes, truths, strict=True)):
            held[i] += abs(size.value - truth) <= size.plus_minus
    assert all(0.93 <= count / 1500 <= 0.98 for count in held), held


def test_misfit_is_seen_when_repeats_agree_and_lines_do_not() -> None:
    """Repeats within 0.01 at each line and a square hole: the oval does not fit, and that is said."""
    square = [(line, 20 + 0.2 * math.cos(math.radians(4 * line)) + d) for line in range(0, 180, 30) for d in (0, 0.01)]
    assert not fitted([(float(line), size) for line, size in square]).fits_oval


def test_misfit_is_not_claimed_without_repeats() -> None:
    """Without repeats nothing tells scatter from misfit, so no misfit is claimed."""
    assert fitted([(float(k), 20 + 0.2 * math.cos(math.radians(4 * k))) for k in range(0, 180, 30)]).fits_oval


def test_misfit_is_rarely_claimed_of_a_true_oval() -> None:
    """At 1 % a true oval is called a misfit about once in a hundred (seeded; 4 sigma of 1,000)."""
    claimed = sum(not fitted(measured(0.1, 40, 3, seed=k, sd_mm=0.02)).fits_oval for k in range(1000))
    assert claimed <= 23


def test_misfit_threshold_is_the_f_quantile() -> None:
    """Just over the 1 % point of F the oval no longer fits; just under it does."""
    repeats = 0.01  # each line twice, half the gap apart on either side: pure scatter 2 x 0.005^2 a line

    def pairs(misfit_mm: float) -> list[tuple[float, float]]:
        signs = zip((0.0, 45.0, 90.0, 135.0), (1, -1, 1, -1), strict=True)
        return [(a, 20 + s * misfit_mm + d) for a, s in signs for d in (-repeats / 2, repeats / 2)]

    pure = 4 * 2 * (repeats / 2) ** 2 / 4
    edge = math.sqrt(f_quantile(0.99, 1, 4) * pure / 8)
    assert fitted(pairs(edge * 0.999)).fits_oval
    assert not fitted(pairs(edge * 1.001)).fits_oval


@pytest.mark.parametrize("angles", [[0.0, 90.0], [0.0, 0.5, 180.0], [0.0], []])
def test_fewer_than_three_lines_are_refused(angles: list[float]) -> None:
    """Two lines, or three that are one and the same, make no oval, and the message names lines to add."""
    with pytest.raises(MeasureError, match="three or more"):
        fitted([(angle, 20.0) for angle in angles])


@pytest.mark.parametrize("angles", [[0.0, 15.0, 30.0], [0.0, 5.0, 10.0, 15.0], [170.0, 0.0, 10.0]])
def test_angles_too_close_together_are_refused(angles: list[float]) -> None:
    """Lines in a narrow fan would magnify every error: refused, with what to do."""
    with pytest.raises(MeasureError, match="angles are too close together"):
        fitted([(angle, 20.0) for angle in angles])


def test_many_repeats_on_one_line_do_not_spoil_the_fit() -> None:
    """Thirty repeats on one line and one on two others are unbalanced, not too close together."""
    shape = fitted([(0.0, 20.0)] * 30 + [(45.0, 20.1), (90.0, 20.2)])
    assert shape.largest.value > 20.19


def test_same_line_from_both_ends_is_one_line() -> None:
    """7:30 and 1:30 are one line, 0 and 180 degrees too."""
    assert distinct_lines([45.0, 225.0, 0.0, 180.0, 179.9]) == (0.0, 45.0)
