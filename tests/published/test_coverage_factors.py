"""Published coverage factors where limits of error dominate: EA-4/02's caliper and two sums of GUM supplement 1."""

import math

import pytest

from fieldlog.quantity.distributions import shape_factor
from tests.values import limit_of, sized

# EA-4/02, S10, calibration of a caliper, from memory: half-widths in mm, all rectangular
BLOCK = limit_of("gauge block", 0.0008, "S10.3")
TEMPERATURE = limit_of("temperature", 2 * 0.0017, "S10.5")
RESOLUTION = limit_of("resolution", 0.025, "S10.6")
MECHANICAL = limit_of("mechanical effects", 0.050, "S10.7")
S10 = sized(0.10, (BLOCK, TEMPERATURE, RESOLUTION, MECHANICAL))


def test_caliper_of_ea_4_02_s10() -> None:
    """EA-4/02 S10 (from memory): k 1.83 from the trapezoid of the two largest, error 0.10 mm, U 0.06 mm.

    The printed standard uncertainties 15, 29 and 33 um are rounded up from 14.4, 28.9 and 32.3.
    """
    standard = [part.u_mm * 1000 for part in S10.parts]
    assert standard == pytest.approx([0.46, 2.0, 14.4, 28.9], abs=0.05)
    assert S10.u_mm * 1000 == pytest.approx(32.34, abs=0.05)
    assert S10.coverage == pytest.approx(1.83, abs=0.005)
    assert S10.plus_minus == pytest.approx(0.06, abs=0.005)


def test_trapezoid_of_ea_4_02_s10() -> None:
    """EA-4/02 S10 (from memory): k = (1 - sqrt((1 - p)(1 - b^2))) / sqrt((1 + b^2) / 6), b = (50 - 25) / (50 + 25)."""
    beta = 25 / 75
    printed = (1 - math.sqrt(0.05 * (1 - beta**2))) / math.sqrt((1 + beta**2) / 6)
    two = sized(0.0, (RESOLUTION, MECHANICAL))
    assert two.coverage == pytest.approx(printed, rel=1e-9)
    assert printed == pytest.approx(1.8339, abs=0.00005)


def test_lone_rectangle_is_0_95_root_3() -> None:
    """A lone rectangle: 95 % of it is k = 0.95 sqrt(3) = 1.65 (EA-4/02 S9, from memory)."""
    assert sized(0.0, (MECHANICAL,)).coverage == pytest.approx(1.65, abs=0.005)


@pytest.mark.parametrize(
    ("uncertainties", "half_width"),
    [
        ((1, 1, 1, 1), 3.88),  # JCGM 101:2008, 9.2.3, four rectangles; the normal distribution would give 3.92
        ((1, 1, 1, 10), 17.0),  # JCGM 101:2008, 9.2.4, one dominates; the normal distribution would give 19.9
    ],
)
def test_rectangles_of_gum_supplement_1(uncertainties: tuple[float, ...], half_width: float) -> None:
    """JCGM 101:2008, 9.2.3 and 9.2.4 (from memory): the 95 % interval of a sum of rectangles, to its printed digits."""
    u = math.hypot(*uncertainties)
    limits = tuple(math.sqrt(3) * part for part in uncertainties)
    decimals = len(str(half_width).partition(".")[2])
    assert shape_factor(u, limits, 0.95) * u == pytest.approx(half_width, abs=0.51 * 10.0**-decimals)
