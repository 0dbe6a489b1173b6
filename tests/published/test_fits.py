"""Limits and fits against ISO 286 and ANSI B4.1 as published, and a textbook's press fit."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import QuantityError
from fieldlog.standards.fits import RUNNING_FITS_ONE_INCH, STOCK_BUSHES, clearance_range_mm, fit_limits
from tests.spoken import refused

# least and most clearance in um: fits printed in public ISO 286 tables (25 and 50 mm rows, 25 H7/g6), the others
# by adding up the standard's table values
FITS = [
    (30, "H8", "f7", 20, 74),
    (25, "H8", "f7", 20, 74),
    (25, "H7", "g6", 7, 41),
    (50, "H7", "g6", 9, 50),
    (50, "H9", "d9", 80, 204),
    (40, "H9", "e9", 50, 174),
    (22, "H11", "d9", 65, 247),
    (28, "H11", "d9", 65, 247),
    (80, "H8", "f7", 30, 106),
    (120, "H9", "d9", 120, 294),
    (19, "H8", "h9", 0, 85),
]
# ANSI B4.1, 0.71 to 1.19 in, clearances printed in Machinery's Handbook, 31st ed., tables 8a and 8b
RUNNING = {
    "RC1": (0.3, 0.95), "RC2": (0.3, 1.2), "RC3": (0.8, 2.1), "RC4": (0.8, 2.8), "RC5": (1.6, 3.6),
    "RC6": (1.6, 4.8), "RC7": (2.5, 5.7), "RC8": (4.5, 10.0), "RC9": (7.0, 15.5),
}  # fmt: skip


@pytest.mark.parametrize(("size", "hole", "shaft", "least", "most"), FITS)
def test_clearances_are_those_of_the_published_fits(size: float, hole: str, shaft: str, least: int, most: int) -> None:
    """To the micrometre."""
    found = clearance_range_mm(fit_limits(size, hole), fit_limits(size, shaft))
    assert found == pytest.approx((least / 1000, most / 1000), abs=1e-9)


def test_the_standards_table_counts_where_a_published_one_was_made_from_formulas() -> None:
    """One public table prints 25 H9/d9 as -64/-116 and 10 H7 as +14; ISO 286 has -65/-117 and +15."""
    shaft = fit_limits(25, "d9")
    assert (shaft.upper_mm, shaft.lower_mm) == pytest.approx((-0.065, -0.117))
    assert fit_limits(10, "H7").upper_mm == pytest.approx(0.015)


# press fits in an H7 housing, interference in um; ISO 286, from memory
@pytest.mark.parametrize(
    ("size", "shaft", "least", "most"),
    [
        (25, "p6", 1, 35),
        (25, "r6", 7, 41),
        (25, "s6", 14, 48),
        (40, "p6", 1, 42),
        (40, "r6", 9, 50),
        (40, "s6", 18, 59),
    ],
)
def test_press_fits_in_an_h7_housing(size: float, shaft: str, least: int, most: int) -> None:
    """Interference is clearance below zero."""
    loosest, tightest = clearance_range_mm(fit_limits(size, "H7"), fit_limits(size, shaft))[::-1]
    assert (-loosest, -tightest) == pytest.approx((least / 1000, most / 1000), abs=1e-9)


def test_a_textbook_press_fit_of_two_inches() -> None:
    """Shigley, Mechanical Engineering Design, example 7-8: 2 in H7/s6 is 0.0007 to 0.0023 in of interference.

    His inch tables count 2 in among 30 to 50 mm; the metric standard puts 50.8 mm into the next range.
    """
    hole, shaft = fit_limits(50, "H7"), fit_limits(50, "s6")
    inches = [round(mm / 25.4, 4) for mm in (hole.upper_mm, shaft.lower_mm, shaft.upper_mm)]
    assert inches == [0.0010, 0.0017, 0.0023]


@pytest.mark.parametrize("name", sorted(RUNNING))
def test_inch_running_fits_add_up(name: str) -> None:
    """Least clearance is the shaft's, most the hole's and the shaft's together."""
    fit = RUNNING_FITS_ONE_INCH[name]
    assert (fit.least_clearance, fit.most_clearance) == pytest.approx(RUNNING[name], abs=1e-9)


def test_tolerances_follow_the_standards_own_formula_but_for_its_rounding() -> None:
    """ISO 286-1: IT7 is 16 i, i = 0.45 D^(1/3) + 0.001 D um, D the geometric mean of the range."""
    for low, high in ((3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120)):
        middle = (low * high) ** 0.5
        unit = 0.45 * middle ** (1 / 3) + 0.001 * middle
        for grade, factor in ((6, 10), (7, 16), (8, 25), (9, 40), (10, 64), (11, 100)):
            found = fit_limits(high, f"H{grade}").upper_mm * 1000
            assert found == pytest.approx(factor * unit, rel=0.05, abs=1)


@settings(max_examples=50, derandomize=True)
@given(size=st.floats(3.01, 120), letter=st.sampled_from("cdefgh"), grade=st.integers(5, 13))
def test_hole_letters_mirror_shaft_letters(size: float, letter: str, grade: int) -> None:
    """A hole lies above nominal by as much as the shaft of the same letter lies below."""
    hole, shaft = fit_limits(size, f"{letter.upper()}{grade}"), fit_limits(size, f"{letter}{grade}")
    assert (hole.lower_mm, hole.upper_mm) == pytest.approx((-shaft.upper_mm, -shaft.lower_mm))


@pytest.mark.parametrize(
    ("size", "name"), [(2, "H7"), (121, "H7"), (20, "H4"), (20, "H"), (20, "7H"), (20, "z6"), (20, "S7")]
)
def test_what_is_not_in_the_tables_is_refused(size: float, name: str) -> None:
    """No guess outside the tables."""
    with refused(r"use|write", QuantityError):
        fit_limits(size, name)


# wrapped bushes, ISO 3547, from a bearing maker's tolerance table: pin, outside, wall, fitted bore, clearance in um
WRAPPED = [
    (10, 12, 0.980, 1.005, 9.990, 10.058, 3, 86),
    (12, 14, 0.980, 1.005, 11.990, 12.058, 6, 92),
    (20, 23, 1.475, 1.505, 19.990, 20.071, 10, 112),
    (22, 25, 1.475, 1.505, 21.990, 22.071, 10, 112),
]


@pytest.mark.parametrize("row", WRAPPED)
def test_a_wrapped_bush_in_its_housing_leaves_the_printed_clearance(row: tuple[float, ...]) -> None:
    """Bore is the H7 housing less two walls; on an f7 shaft it runs as the table prints; both sizes can be bought."""
    pin, outside, thin, thick, bore_least, bore_most, least, most = row
    housing, shaft = fit_limits(outside, "H7"), fit_limits(pin, "f7")
    bore = (outside + housing.lower_mm - 2 * thick, outside + housing.upper_mm - 2 * thin)
    assert bore == pytest.approx((bore_least, bore_most), abs=5e-4)
    clearance = bore[0] - pin - shaft.upper_mm, bore[1] - pin - shaft.lower_mm
    assert clearance == pytest.approx((least / 1000, most / 1000), abs=1e-3)
    assert any((bush.bore_mm, bush.outside_mm) == (pin, outside) for bush in STOCK_BUSHES)
