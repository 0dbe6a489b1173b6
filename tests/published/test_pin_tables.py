"""Nominal pins, near pairs, tape classes and service limits against printed figures."""

from decimal import Decimal

import pytest

from fieldlog.records.machine import JointKind, TapeClass
from fieldlog.standards.instruments import tape_error_limit_mm
from fieldlog.standards.joints import INCH_PINS, JOINT_DEFAULTS, NOMINAL_PINS, PIN_LIMITS, is_one_size

MM = {pin.name: pin.mm for pin in NOMINAL_PINS}

# 1 in = 25.4 mm exactly (international yard and pound agreement of 1959), so these are exact.
EXACT = [
    ("1/2 in", "12.7"),
    ("9/16 in", "14.2875"),
    ("5/8 in", "15.875"),
    ("3/4 in", "19.05"),
    ("7/8 in", "22.225"),
    ("1 in", "25.4"),
    ("1-1/8 in", "28.575"),
    ("1-1/4 in", "31.75"),
    ("1-3/8 in", "34.925"),
    ("1-7/16 in", "36.5125"),
    ("1-1/2 in", "38.1"),
    ("1-3/4 in", "44.45"),
    ("2 in", "50.8"),
]

# Inch pin, metric neighbour, inch less metric in mm, and whether they are one size in use. The differences follow
# from the exact inch; that they cannot be told apart in a hole is common practice, no source.
NEAR_PAIRS = [
    ("5/8 in", "16 mm", "-0.125", False),
    ("3/4 in", "19 mm", "0.050", True),
    ("7/8 in", "22 mm", "0.225", False),
    ("1 in", "25 mm", "0.400", False),
    ("1-1/8 in", "28 mm", "0.575", False),
    ("1-1/4 in", "32 mm", "-0.250", False),
    ("1-3/8 in", "35 mm", "-0.075", True),
    ("1-1/2 in", "38 mm", "0.100", True),
    ("1-3/4 in", "45 mm", "-0.550", False),
    ("2 in", "50 mm", "0.800", False),
]

# Directive 2014/32/EU annex X (MI-008) chapter I, table 1, also UK SI 2016/1153 schedule 1I: +/- (a + b L) mm with L
# rounded up to the next whole metre; the values for whole lengths are those that makers print on their tapes.
TAPES: list[tuple[TapeClass, int, str]] = [
    ("I", 3000, "0.4"),
    ("I", 5000, "0.6"),
    ("I", 8000, "0.9"),
    ("I", 10000, "1.1"),
    ("II", 3000, "0.9"),
    ("II", 5000, "1.3"),
    ("II", 8000, "1.9"),
    ("II", 10000, "2.3"),
    ("II", 700, "0.5"),  # not 0.44: rounded up to 1 m
    ("II", 1001, "0.7"),
    ("III", 1000, "1.0"),
    ("III", 10000, "4.6"),
]

# Limits of clearance that workshop manuals of small machines print (makers withheld): kind of joint, pin, limit.
MANUALS: list[tuple[JointKind, float, float]] = [
    ("bushed", 30.0, 1.0),  # mini excavator, cylinder pins of 30 to 35 mm
    ("bushed", 35.0, 1.0),
    ("pivot", 40.0, 0.3),  # compact tractor, front axle centre pivot
    ("pivot", 28.0, 0.4),  # the same, steering knuckle
]


@pytest.mark.parametrize(("name", "mm"), EXACT)
def test_inch_pin_is_exact(name: str, mm: str) -> None:
    """Every inch pin is its fraction times 25.4 mm, to the last digit."""
    assert MM[name] == Decimal(mm)


def test_no_inch_pin_is_left_out() -> None:
    """The table above holds every inch pin, so that none escapes the check."""
    assert {name for name, _ in EXACT} == {pin.name for pin in INCH_PINS}


@pytest.mark.parametrize(("inch", "metric", "gap", "one_size"), NEAR_PAIRS)
def test_near_pair_is_as_far_apart_as_printed(inch: str, metric: str, gap: str, one_size: bool) -> None:
    """The near pairs differ by what the table says, and are one size only where a hole cannot tell them."""
    assert MM[inch] - MM[metric] == Decimal(gap)
    assert is_one_size(inch, metric) is one_size
    assert is_one_size(metric, inch) is one_size


@pytest.mark.parametrize(("tape", "length_mm", "limit"), TAPES)
def test_tape_error_is_as_the_directive_says(tape: TapeClass, length_mm: int, limit: str) -> None:
    """The permitted error of a class at a length."""
    assert tape_error_limit_mm(tape, length_mm) == pytest.approx(float(limit), abs=1e-12)


@pytest.mark.parametrize(("kind", "pin_mm", "limit_mm"), MANUALS)
def test_usual_limit_is_near_what_manuals_print(kind: JointKind, pin_mm: float, limit_mm: float) -> None:
    """The defaults are a synthesis of these, an eighth of a millimetre off at most."""
    assert JOINT_DEFAULTS[kind].renew.at_mm(pin_mm) == pytest.approx(limit_mm, abs=0.125)


@pytest.mark.parametrize(("new_mm", "limit_mm"), [(31.5, 29.5), (40.0, 37.5)])
def test_drawbar_pin_limit_is_near_what_a_manual_prints(new_mm: float, limit_mm: float) -> None:
    """A tractor operator's manual: pin 31.5 to 29.5, 40 to 37.5 mm."""
    assert new_mm - PIN_LIMITS["drawbar"].at_mm(new_mm) == pytest.approx(limit_mm, abs=0.15)


@pytest.mark.parametrize(("new_mm", "limit_mm"), [(33.0, 35.0), (41.0, 43.0)])
def test_drawbar_hole_limit_is_near_what_a_manual_prints(new_mm: float, limit_mm: float) -> None:
    """The same manual: hole 33 to 35, 41 to 43 mm along the pull; 6 % is 0.46 mm more than the second."""
    assert new_mm + JOINT_DEFAULTS["drawbar"].renew.at_mm(new_mm) == pytest.approx(limit_mm, abs=0.5)


def test_coupling_pin_limit_is_near_what_a_maker_prints() -> None:
    """A trailer coupling's permitted wear: pin 38 to 36 mm, 5 %."""
    assert 38.0 - PIN_LIMITS["hitch"].at_mm(38.0) == pytest.approx(36.0, abs=0.15)
