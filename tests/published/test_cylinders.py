"""Cylinders and columns against printed force and speed tables, the worked example, and textbook columns."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from fieldlog.errors import MeasureError
from fieldlog.retrofit.offers.cylinder import (
    Cylinder,
    column,
    drift_mm_per_ml,
    euler_kn,
    flow_for_seconds,
    hose_m_per_s,
    intensified_mpa,
    locked_rise_mpa,
    orifice_mm,
    pressure_to_hold_mpa,
    pull_kn,
    push_kn,
    stroke_seconds,
)

MPA_PER_PSI = 0.006894757293168
KN_PER_LBF = 0.0044482216152605
L_PER_US_GAL = 3.785411784

# bore and rod in inches: push and pull in lbf at 2000 psi, inches a minute per US gallon a minute out and in; the
# rows of 2x1, 3x1.5 and 4x2 as printed in public fluid-power tables, the others worked out with exact pi
INCH_ROWS = [
    (2, 1, 6283, 4712, 73.53, 98.04),
    (2, 1.125, 6283, 4295, 73.53, 107.56),
    (2, 1.25, 6283, 3829, 73.53, 120.66),
    (2.5, 1.125, 9817, 7829, 47.06, 59.01),
    (2.5, 1.5, 9817, 6283, 47.06, 73.53),
    (3, 1.25, 14137, 11683, 32.68, 39.55),
    (3, 1.5, 14137, 10603, 32.68, 43.57),
    (4, 2, 25133, 18850, 18.38, 24.51),
]
# bore and rod in mm: kN at 200 bar, mm/s per L/min, area ratio; worked out
METRIC_ROWS = [
    (40, 20, (25.13, 18.85, 13.26, 17.68, 1.333)),
    (50, 25, (39.27, 29.45, 8.49, 11.32, 1.333)),
    (63, 32, (62.34, 46.26, 5.35, 7.21, 1.348)),
    (80, 40, (100.53, 75.40, 3.32, 4.42, 1.333)),
]


@pytest.mark.parametrize(("bore", "rod", "push", "pull", "out", "back"), INCH_ROWS)
def test_inch_cylinders_push_pull_and_move_as_the_tables_say(
    bore: float, rod: float, push: float, pull: float, out: float, back: float
) -> None:
    """Pounds at 2000 psi to the pound; inches a minute per gallon to their printed digits."""
    cylinder = Cylinder(bore * 25.4, rod * 25.4, 25.4)
    assert push_kn(cylinder, 2000 * MPA_PER_PSI) / KN_PER_LBF == pytest.approx(push, abs=0.6)
    assert pull_kn(cylinder, 2000 * MPA_PER_PSI) / KN_PER_LBF == pytest.approx(pull, abs=0.6)
    assert 60 / stroke_seconds(cylinder.extend_litres, L_PER_US_GAL) == pytest.approx(out, abs=0.006)
    assert 60 / stroke_seconds(cylinder.retract_litres, L_PER_US_GAL) == pytest.approx(back, abs=0.006)


@pytest.mark.parametrize(("bore", "rod", "expected"), METRIC_ROWS)
def test_metric_cylinders_push_pull_and_move_as_the_tables_say(
    bore: float, rod: float, expected: tuple[float, ...]
) -> None:
    """Forces in kN at 200 bar, mm a second per litre a minute, area ratio."""
    cylinder = Cylinder(bore, rod, 1)
    speeds = 1 / stroke_seconds(cylinder.extend_litres, 1), 1 / stroke_seconds(cylinder.retract_litres, 1)
    found = (push_kn(cylinder, 20), pull_kn(cylinder, 20), *speeds)
    assert found == pytest.approx(expected[:4], abs=0.006)
    assert cylinder.area_ratio == pytest.approx(expected[4], abs=0.0006)


def test_a_vendors_worked_page_differs_only_by_its_pi() -> None:
    """6 in bore, 3 in rod: the page prints 70,650 and 52,975 lbf at 2500 psi and works with pi = 3.14."""
    cylinder = Cylinder(6 * 25.4, 3 * 25.4, 1)
    push = push_kn(cylinder, 2500 * MPA_PER_PSI) / KN_PER_LBF
    pull = pull_kn(cylinder, 2500 * MPA_PER_PSI) / KN_PER_LBF
    assert (push, pull) == pytest.approx((70685.8, 53014.4), abs=0.1)
    assert (push * 3.14 / math.pi, pull * 3.14 / math.pi) == pytest.approx(
        (70650, 52975), rel=3e-4
    )  # areas rounded to 28.26 and 21.19 there


def test_the_worked_top_link_cylinder() -> None:
    """Bore 50.8, rod 28.6, stroke 203 at 17.2 MPa: the trade example to its printed digits."""
    cylinder = Cylinder(50.8, 28.575, 203)
    assert (cylinder.bore_area_mm2, cylinder.ring_area_mm2) == pytest.approx((2027, 1386), abs=0.6)
    assert cylinder.area_ratio == pytest.approx(1.46, abs=0.005)
    assert (push_kn(cylinder, 17.2), pull_kn(cylinder, 17.2)) == pytest.approx((34.9, 23.8), abs=0.06)
    assert pull_kn(cylinder, 20.7) == pytest.approx(28.7, abs=0.06)
    assert pressure_to_hold_mpa(cylinder, 3.5) == pytest.approx(2.5, abs=0.05)
    assert pressure_to_hold_mpa(cylinder, 10.5) == pytest.approx(7.5, abs=0.1)
    volumes = cylinder.extend_litres, cylinder.retract_litres, cylinder.rod_litres
    assert volumes == pytest.approx((0.412, 0.282, 0.130), abs=0.001)
    times = stroke_seconds(cylinder.extend_litres, 18.9), stroke_seconds(cylinder.retract_litres, 18.9)
    assert times == pytest.approx((1.3, 0.9), abs=0.05)
    assert intensified_mpa(cylinder, 17.2) == pytest.approx(25, abs=0.2)
    assert (orifice_mm(5, 15), orifice_mm(3.5, 15)) == pytest.approx((0.94, 0.78), abs=0.006)
    assert (hose_m_per_s(18.9, 9.525), hose_m_per_s(18.9, 6.35)) == pytest.approx((4.4, 10), abs=0.06)
    assert drift_mm_per_ml(cylinder) == pytest.approx((0.49, 0.72), abs=0.005)
    assert locked_rise_mpa(25) == pytest.approx(27.5)
    assert flow_for_seconds(cylinder.extend_litres, 5) == pytest.approx(4.94, abs=0.01)


# rod, open length pin to pin: critical load in kN at 205 GPa; worked out from Euler's formula
COLUMNS = [
    (25, 800, 60.6),
    (28.575, 762, 114.0),
    (28.6, 737, 122),
    (31.75, 737, 186),
    (30, 800, 125.7),
    (36, 1000, 166.8),
]


@pytest.mark.parametrize(("rod", "length", "critical"), COLUMNS)
def test_slender_rods_follow_euler(rod: float, length: float, critical: float) -> None:
    """To the printed digits; pinned at both ends."""
    assert euler_kn(rod, length) == pytest.approx(critical, rel=0.005)


def test_a_textbook_column_and_the_four_cases() -> None:
    """Half-inch rod, 60 in, E 29e6 psi carries 243.9 lbf; a free end carries a quarter, fixed ends four times."""
    modulus_mpa = 29e6 * MPA_PER_PSI
    assert euler_kn(12.7, 60 * 25.4, 1, modulus_mpa) / KN_PER_LBF == pytest.approx(243.9, abs=0.1)
    loads = [column(20, 2000, ends).critical_kn for ends in ("fixed and free", "pinned both ends", "fixed both ends")]
    assert [load / loads[1] for load in loads] == pytest.approx([0.25, 1, 4])


def test_a_stubby_rod_is_held_by_johnson_and_the_two_meet() -> None:
    """Beside the turning point the two formulas agree; a stubby rod never carries more than it yields at."""
    turning_mm = math.sqrt(2 * math.pi**2 * 205_000 / 350) * 25 / 4
    just_above, just_below = column(25, turning_mm * 1.001), column(25, turning_mm * 0.999)
    assert just_above.is_euler
    assert not just_below.is_euler
    assert just_above.critical_kn == pytest.approx(just_below.critical_kn, rel=0.01)
    assert column(25, 50).critical_kn < 350 * math.pi * 25**2 / 4 / 1000


@settings(max_examples=50, derandomize=True)
@given(bore=st.floats(20, 200), share=st.floats(0.3, 0.8), stroke=st.floats(50, 1000), mpa=st.floats(1, 30))
def test_oil_and_force_agree_with_work(bore: float, share: float, stroke: float, mpa: float) -> None:
    """Pressure times volume is force times stroke, integrated by SciPy, both ways."""
    cylinder = Cylinder(bore, bore * share, stroke)
    for force, litres in (
        (push_kn(cylinder, mpa), cylinder.extend_litres),
        (pull_kn(cylinder, mpa), cylinder.retract_litres),
    ):
        work_j = integrate.quad(lambda _, kn=force: kn, 0, stroke)[0]
        assert work_j == pytest.approx(mpa * litres * 1000, rel=1e-9)


@pytest.mark.parametrize(
    ("bore", "rod", "stroke"), [(50, 50, 100), (50, 60, 100), (50, 0, 100), (50, 25, 0), (50, 25, -3)]
)
def test_what_is_no_cylinder_is_refused(bore: float, rod: float, stroke: float) -> None:
    """Rod larger than bore, no stroke: a sentence."""
    with pytest.raises(MeasureError, match=r"again|stroke"):
        Cylinder(bore, rod, stroke)
