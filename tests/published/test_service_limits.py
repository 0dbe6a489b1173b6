"""Service limits and clearances as workshop manuals of small machines print them, against our arithmetic and defaults.

Makers are not named. Front-axle rows: pin 39.938 to 40.000 in a bush of 40.000 to 40.115 mm, printed clearance 0 to
0.177 mm, limit 0.3. Backhoe: printed in mm and inches, 1.0 mm or 0.0394 in; the carrying pivot 0.5 mm. Hitch lift
shaft: 0.025 to 0.089 mm (0.000984 to 0.003504 in), limit 0.30 mm (0.011811 in). Bush wall of a compact track loader:
half worn, 0.063 in. Drawbar pins 31.5 and 40 mm: 29.5 and 37.5 at least; their holes 33 and 41 mm: 35 and 43 at most.
"""

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.rounding import mm_text
from fieldlog.standards.fits import Limits, clearance_range_mm
from fieldlog.standards.joints import BUSH_WALL_RENEW, JOINT_DEFAULTS, PIN_LIMITS
from tests.values import limit_of, sized


def test_a_front_axles_clearance_by_interval_arithmetic() -> None:
    """Least is the smallest bush less the largest pin, most the largest bush less the smallest pin."""
    least, most = clearance_range_mm(Limits(0.0, 0.115), Limits(-0.062, 0.0))
    assert (least, most) == pytest.approx((0.000, 0.177), abs=1e-9)


def test_a_clearance_from_two_tolerances_lies_within_the_printed_one() -> None:
    """As a measured bore and pin whose doubt is the tolerance: the middle of the printed range, never beyond it."""
    bush = sized(40.0575, (limit_of("bush", 0.0575, "as made"),))
    pin = sized(39.969, (limit_of("pin", 0.031, "as made"),))
    found = bush - pin
    assert found.value == pytest.approx(0.0885, abs=1e-9)
    assert found.value - found.plus_minus > 0.0
    assert found.value + found.plus_minus < 0.177


@pytest.mark.parametrize(
    ("inches", "mm"),
    [("0.0394 in", 1.0), ("0.002 in", 0.05), ("0.007 in", 0.18), ("0.011811 in", 0.30), ("0.003504 in", 0.089),
     ("0.000984 in", 0.025), ("0.063 in", 1.6)],
)  # fmt: skip
def test_limits_printed_in_both_units_are_one_limit(inches: str, mm: float) -> None:
    """To the last digit that the manual prints in millimetres."""
    assert float(parse_length(inches).mm) == pytest.approx(mm, abs=0.005)
    assert mm_text(float(parse_length("1.0 mm").mm), "in", 4) == "0.0394 in"


@pytest.mark.parametrize("pin_mm", [30.0, 35.0])
def test_the_default_for_bushed_joints_is_what_manuals_print_for_their_pins(pin_mm: float) -> None:
    """Cylinder pins of 30 to 35 mm: 1.0 mm, 2.9 to 3.3 % of the pin."""
    assert JOINT_DEFAULTS["bushed"].renew.at_mm(pin_mm) == pytest.approx(1.0)


def test_the_default_for_pivots_is_never_above_a_printed_one_of_its_kind() -> None:
    """A main swing pin 0.5 mm; an axle of 40 mm 0.3 mm, which is tighter still: the manual's own has to be typed."""
    assert JOINT_DEFAULTS["pivot"].renew.at_mm(50.0) <= 0.5
    assert JOINT_DEFAULTS["pivot"].renew.at_mm(40.0) == pytest.approx(0.4)
    assert JOINT_DEFAULTS["pivot"].watch.at_mm(40.0) <= 0.3


@pytest.mark.parametrize(("pin_mm", "least_mm"), [(31.5, 29.5), (40.0, 37.5)])
def test_drawbar_pins_are_renewed_where_manuals_print_it(pin_mm: float, least_mm: float) -> None:
    """6 % off the pin, to the half millimetre that manuals round to."""
    left_mm = pin_mm - PIN_LIMITS["drawbar"].at_mm(pin_mm)
    assert left_mm == pytest.approx(least_mm, abs=0.15)
    assert left_mm > least_mm - 1e-9


@pytest.mark.parametrize(("hole_mm", "most_mm"), [(33.0, 35.0), (41.0, 43.0)])
def test_drawbar_holes_are_renewed_where_manuals_print_it(hole_mm: float, most_mm: float) -> None:
    """6 % and 5 % along the pull: ours is 6 %, within half a millimetre of both."""
    assert hole_mm + JOINT_DEFAULTS["drawbar"].renew.at_mm(hole_mm) == pytest.approx(most_mm, abs=0.5)


def test_half_of_a_loaders_bush_wall() -> None:
    """Printed: 0.063 in, 50 % worn; so the wall is 0.126 in when new."""
    wall_mm = float(parse_length("0.126 in").mm)
    assert BUSH_WALL_RENEW * wall_mm == pytest.approx(float(parse_length("0.063 in").mm))
    assert sized(BUSH_WALL_RENEW * wall_mm).value == pytest.approx(1.6, abs=0.01)
