"""What a bore worn into one wall lacks of an oval: the geometry of two circles, and Bayes' rule by quadrature."""

import math
import random

import numpy as np
import pytest

from fieldlog.measure.bore import LOBES_OF_AMPLITUDE, SHARE_WITH_WAVE, Bore, BoreShape, fit_bore
from fieldlog.quantity.source import Term
from tests.benchmarks.simulated import Diameter, one_wall, oval

BORE = Bore("round/eye/near", "eye/near", "2026-04-01")
LINES = (0.0, 45.0, 90.0, 135.0)


def fitted(diameter: Diameter, repeats: int = 3, sd_mm: float = 0.01) -> BoreShape:
    """Return the oval fitted to repeats along the four usual lines, nothing common to them."""
    hand = random.Random(3)
    pairs = [(line, diameter(line) + hand.gauss(0, sd_mm)) for line in LINES for _ in range(repeats)]
    return fit_bore(pairs, (), 0.02, 0.0, BORE)


def part_of(shape: BoreShape) -> Term:
    """Return the part of the largest size."""
    return next(term for term in shape.largest.terms if term.source.kind == "shape")


@pytest.mark.parametrize("axis_deg", [0.0, 45.0, 90.0])
def test_worn_wall_is_within_its_part(axis_deg: float) -> None:
    """Trade knowledge 2.6: pin 22.0 worn 0.5 into a bore of 22.4 is 22.90 by 22.40; the oval says 22.92 by 22.42."""
    shape = fitted(one_wall(22.4, 22.0, 0.5, axis_deg), sd_mm=0.003)
    for size, true_mm in ((shape.largest, 22.90), (shape.smallest, 22.40)):
        missed = abs(size.value - true_mm)
        assert missed > 0.01
        assert missed < 2 * part_of(shape).u


def test_oval_that_fits_needs_little() -> None:
    """A true oval along a line, proved by many repeats: the part shrinks towards nothing."""
    few, many = (part_of(fitted(oval(20.0, 0.4, 0.0), repeats=n, sd_mm=0.01)).u for n in (1, 12))
    assert many < few
    assert many < 0.2 * LOBES_OF_AMPLITUDE * 0.2


def test_round_bore_has_no_such_part() -> None:
    """Round within error: there is no wave to be in step with anything."""
    shape = fitted(oval(20.0, 0.0, 0.0))
    assert all(term.source.kind != "shape" for term in shape.largest.terms)


def test_part_is_the_root_mean_square_after_bayes() -> None:
    """The closed form agrees with Bayes' rule worked out on a grid of waves, for lines on the axis."""
    amplitude, sd_mm, repeats, wave = 0.2, 0.02, 3, 0.012
    pairs = [
        (line, 20 + amplitude * math.cos(math.radians(2 * line)) + wave * math.cos(math.radians(4 * line)) + off)
        for line in LINES
        for off in (-sd_mm, 0.0, sd_mm)
    ]
    shape = fit_bore(pairs, (), 0.02, 0.0, BORE)
    u = shape.scatter.sd_mm / math.sqrt(repeats * len(LINES))
    expected = LOBES_OF_AMPLITUDE * amplitude
    grid = np.linspace(-0.2, 0.2, 40_001)
    step = grid[1] - grid[0]
    like = np.exp(-0.5 * ((wave - grid) / u) ** 2)
    before = np.exp(-0.5 * (grid / expected) ** 2) / (expected * math.sqrt(2 * math.pi))
    with_wave = SHARE_WITH_WAVE * float(np.sum(like * before) * step)
    without = (1 - SHARE_WITH_WAVE) * math.exp(-0.5 * (wave / u) ** 2)
    square = SHARE_WITH_WAVE * float(np.sum(like * before * grid**2) * step) / (with_wave + without)
    assert part_of(shape).u == pytest.approx(math.sqrt(square), rel=1e-3)
