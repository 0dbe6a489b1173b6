"""Published tape accuracy classes, inch fractions as exact decimals, and tape methods worked by hand."""

from decimal import Decimal

import pytest

from fieldlog.measure.instruments import error_limit_mm, limit_term
from fieldlog.measure.lengths import functional_lengths
from fieldlog.measure.taping import expansion_mm
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Instrument, TapeClass
from fieldlog.standards.instruments import tape_error_limit_mm

CLASSES: tuple[tuple[TapeClass, float, float], ...] = (
    # directive 2014/32/EU, MI-008 (the same in OIML R 35-1): class, length in m, limit in mm
    ("I", 3, 0.4),
    ("I", 5, 0.6),
    ("I", 8, 0.9),
    ("I", 10, 1.1),
    ("II", 3, 0.9),
    ("II", 5, 1.3),
    ("II", 8, 1.9),
    ("II", 10, 2.3),
    ("II", 0.7, 0.5),
)


@pytest.mark.parametrize(("tape_class", "length_m", "limit_mm"), CLASSES)
def test_tape_class(tape_class: TapeClass, length_m: float, limit_mm: float) -> None:
    """MI-008: a tape of a class is right within a + b L, L in whole metres rounded up."""
    assert tape_error_limit_mm(tape_class, length_m * 1000) == pytest.approx(limit_mm, abs=1e-9)
    tape = Instrument(id="tape", kind="tape", tape_class=tape_class)
    assert error_limit_mm(tape, "length", length_m * 1000) == pytest.approx(limit_mm, abs=1e-9)
    assert limit_term(tape, "length", length_m * 1000).u == pytest.approx(limit_mm / 3**0.5, abs=1e-9)


def test_length_is_rounded_up_to_whole_metres() -> None:
    """MI-008: 0.7 m of class II is allowed 0.5 mm; 0.44, from the plain length, would be wrong."""
    assert tape_error_limit_mm("II", 700) == pytest.approx(0.5, abs=1e-9)
    assert tape_error_limit_mm("II", 1000) == pytest.approx(0.5, abs=1e-9)
    assert tape_error_limit_mm("II", 1000.5) == pytest.approx(0.7, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        # drills and reamers: n/64 in, exact decimals (reference table of inch sizes)
        ("3/4", ".7500"),
        ("49/64", ".765625"),
        ("25/32", ".78125"),
        ("7/8", ".8750"),
        ("57/64", ".890625"),
        ("29/32", ".90625"),
        ("1-1/64", "1.015625"),
        ("1-1/8", "1.1250"),
        ("1-9/64", "1.140625"),
    ],
)
def test_inch_fraction_is_exact(text: str, inches: str) -> None:
    """Inch fractions are exact decimals, and an inch is 25.4 mm exactly (NIST SP 811)."""
    assert parse_length(text).mm == Decimal(inches) * Decimal("25.4")


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # pin sizes of the hitch trade, inch and mm
        ("5/8", "15.875"),
        ("3/4", "19.05"),
        ("7/8", "22.225"),
        ("1 in", "25.4"),
        ("1-1/8", "28.575"),
        ("1-1/4", "31.75"),
        ("1-7/16", "36.5125"),
        ("1-3/4", "44.45"),
        ("2 in", "50.8"),
    ],
)
def test_trade_inch_sizes_in_mm(text: str, mm: str) -> None:
    """The inch pin sizes of the trade come out at their exact millimetres."""
    assert parse_length(text).mm == Decimal(mm)


def test_functional_length_of_trade_1_5() -> None:
    """C 650 with clearances 0.6 and 1.1: 650.85 pulled, 649.15 pushed, 1.7 of backlash (derived)."""
    assert functional_lengths(650, 0.6, 1.1) == pytest.approx((650.85, 649.15, 1.7), abs=1e-9)


@pytest.mark.parametrize(
    ("length_mm", "kelvin", "grown_mm"), [(600, 20, 0.138), (1000, 20, 0.230), (700, -25, -0.201), (50, 10, 0.0058)]
)
def test_steel_grows_as_worked(length_mm: float, kelvin: float, grown_mm: float) -> None:
    """Steel at 11.5e-6 a kelvin (GUM H.1.2): the worked growths of usual lengths."""
    assert expansion_mm(length_mm, kelvin) == pytest.approx(grown_mm, abs=0.0006)
