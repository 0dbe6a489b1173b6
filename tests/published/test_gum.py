"""Published values of the GUM (JCGM 100:2008) and of the tables that go with it.

Printed digits are held to half a unit in their last place unless the line says why not.
"""

import math

import pytest

from fieldlog.measure.instruments import USUAL_REPEATABILITY_DOF, mean, sample_sd
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.rounding import places_for, size_text
from tests.values import part, sized

TEMPERATURES = (  # GUM 4.4.3, table 1, in degC
    *(96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07),
    *(100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72),
)
LEVELS = (0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973)  # GUM table G.2, its columns
TABLE_G2 = {
    1: "1.84 6.31 12.71 13.97 63.66 235.80",
    2: "1.32 2.92 4.30 4.53 9.92 19.21",
    3: "1.20 2.35 3.18 3.31 5.84 9.22",
    4: "1.14 2.13 2.78 2.87 4.60 6.62",
    5: "1.11 2.02 2.57 2.65 4.03 5.51",
    6: "1.09 1.94 2.45 2.52 3.71 4.90",
    7: "1.08 1.89 2.36 2.43 3.50 4.53",
    8: "1.07 1.86 2.31 2.37 3.36 4.28",
    9: "1.06 1.83 2.26 2.32 3.25 4.09",
    10: "1.05 1.81 2.23 2.28 3.17 3.96",
    12: "1.04 1.78 2.18 2.23 3.05 3.76",
    15: "1.03 1.75 2.13 2.18 2.95 3.59",
    20: "1.03 1.72 2.09 2.13 2.85 3.42",
    25: "1.02 1.71 2.06 2.11 2.79 3.33",
    30: "1.02 1.70 2.04 2.09 2.75 3.27",
    50: "1.01 1.68 2.01 2.05 2.68 3.16",
    100: "1.005 1.660 1.984 2.025 2.626 3.077",
    math.inf: "1.000 1.645 1.960 2.000 2.576 3.000",
}
G2_CELLS = tuple(
    (dof, level, text)
    for dof, row in TABLE_G2.items()
    for level, text in zip(LEVELS, row.split(), strict=True)
    if (dof, level) != (1, 0.9973)
)


def two_sided(level: float, dof: float) -> float:
    """Return the factor that spans the middle share `level`."""
    return t_quantile((1 + level) / 2, dof)


def test_temperatures_of_gum_4_4_3() -> None:
    """GUM 4.4.3: mean 100.145, s 1.489 (printed 1.49), s over root n 0.333 (printed 0.33)."""
    assert mean(TEMPERATURES) == pytest.approx(100.145, abs=1e-12)
    assert sample_sd(TEMPERATURES) == pytest.approx(1.489, abs=0.0005)
    assert sample_sd(TEMPERATURES) / math.sqrt(20) == pytest.approx(0.333, abs=0.0005)


@pytest.mark.parametrize(("dof", "level", "printed"), G2_CELLS)
def test_table_g2(dof: float, level: float, printed: str) -> None:
    """GUM table G.2: each factor comes out to its printed digits."""
    decimals = len(printed.partition(".")[2])
    assert two_sided(level, dof) == pytest.approx(float(printed), abs=0.5001 * 10.0**-decimals)


def test_table_g2_first_cell_of_three_sigma_is_printed_with_another_share() -> None:
    """GUM table G.2 prints 235.80 at 99.73 % with one degree of freedom; that is the exact 3 sigma share's value."""
    three_sigma = math.erf(3 / math.sqrt(2))
    assert two_sided(0.9973, 1) == pytest.approx(235.784, abs=0.0005)
    assert two_sided(three_sigma, 1) == pytest.approx(235.80, abs=0.02)
    assert abs(two_sided(0.9973, 1) - 235.80) > 0.005


def test_table_g2_is_wrong_at_35_degrees_of_freedom() -> None:
    """GUM table G.2 and NIST TN 1297 print 1.70 for 90 % at 35 degrees of freedom; exact is 1.6896, thus 1.69."""
    assert two_sided(0.90, 35) == pytest.approx(1.6896, abs=0.00005)
    assert f"{two_sided(0.90, 35):.2f}" != "1.70"


@pytest.mark.parametrize(
    ("dof", "factor"),
    list(enumerate([12.7062, 4.3027, 3.1824, 2.7764, 2.5706, 2.4469, 2.3646, 2.3060, 2.2622, 2.2281], start=1)),
)
def test_four_decimal_t_table(dof: int, factor: float) -> None:
    """The t table for 97.5 % on one side, four decimals (any statistics handbook)."""
    assert t_quantile(0.975, dof) == pytest.approx(factor, abs=0.00005)


def test_coverage_factor_of_tn_1297() -> None:
    """NIST TN 1297 B.2: eight degrees of freedom give k = 2.3 for 95 %."""
    assert sized(0.0, (part("a", 1.0, 8.0, "B.2"),)).coverage == pytest.approx(2.3, abs=0.05)


def test_end_gauge_of_gum_h1() -> None:
    """GUM H.1: u_c 32 nm, 16.7 degrees of freedom, t99 2.92, U99 93 nm, the last from the rounded 32."""
    parts = (
        part("standard", 25.0, 18.0, "H.1.3.1"),
        part("difference", 9.7, 25.6, "H.1.3.2"),
        part("expansion", 2.9, 50.0, "H.1.3.4"),
        part("temperature", 16.6, 2.0, "H.1.3.5"),
    )
    gauge = sized(50_000_838.0, parts)
    assert gauge.u_mm**2 == pytest.approx(1002, abs=2)  # the printed inputs are rounded
    assert gauge.u_mm == pytest.approx(32, abs=0.5)
    assert gauge.dof == pytest.approx(16.7, abs=0.1)
    k99 = two_sided(0.99, math.floor(gauge.dof))
    assert k99 == pytest.approx(2.92, abs=0.005)
    assert k99 * 32 == pytest.approx(93, abs=0.5)
    assert k99 * gauge.u_mm == pytest.approx(92.5, abs=0.05)  # unrounded; the printed 93 is 2.92 x 32


def test_comparison_of_gum_h1_has_25_6_degrees_of_freedom() -> None:
    """GUM H.1.3.2: 5.8 nm with 24, 3.9 nm with 5 and 6.7 nm with 8 make 9.7 nm; the printed 25.6 dof use that 9.7."""
    together = sized(0.0, (part("a", 5.8, 24, ""), part("b", 3.9, 5, ""), part("c", 6.7, 8, "")))
    assert together.u_mm == pytest.approx(9.7, abs=0.05)
    assert 9.7**4 / (together.u_mm**4 / together.dof) == pytest.approx(25.6, abs=0.05)
    assert together.dof == pytest.approx(25.45, abs=0.05)  # unrounded


@pytest.mark.parametrize(("reliability", "dof"), [(0.25, 8), (0.10, 50), (0.50, 2)])
def test_usual_repeatability_has_the_dof_of_gum_g_4_2(reliability: float, dof: float) -> None:
    """GUM G.4.2: a doubt judged good to 25 % has 8 degrees of freedom; that is what ours is given."""
    assert 0.5 * reliability**-2 == pytest.approx(dof)
    assert (dof == USUAL_REPEATABILITY_DOF) == (reliability == 0.25)


def test_rounding_of_gum_7_2_6() -> None:
    """GUM 7.2.6: 10.057 62 ohm with 27 mohm is written 10.058 with 0.027; at most two digits are kept."""
    resistor = sized(10.05762, (part("a", 0.027 / t_quantile(0.975, math.inf), math.inf, ""),))
    assert size_text(resistor, "mm") == "10.058 ± 0.027 mm"


@pytest.mark.parametrize(
    ("expanded", "places"), [(0.0104, 3), (0.029, 3), (0.03, 2), (0.059, 2), (0.1, 2), (0.28, 2), (0.3, 1), (1.4, 1)]
)
def test_digits_kept_after_gum_7_2_6(expanded: float, places: int) -> None:
    """Two digits from 1 and 2, one digit from 3 to 9: never more than the two that GUM 7.2.6 allows."""
    assert places_for(expanded, 3) == places


def test_welch_satterthwaite_of_equal_parts() -> None:
    """GUM G.4.1: two equal doubts of 5 degrees of freedom each have 10 together; a sure one adds none."""
    five, other = part("a", 1.0, 5.0), part("a", 1.0, 5.0)
    assert sized(0.0, (five, other)).dof == pytest.approx(10)
    assert sized(0.0, (five, part("b", 1.0, math.inf, ""))).dof == pytest.approx(20)
