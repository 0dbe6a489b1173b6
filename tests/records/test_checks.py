"""What instruments show in a check, temperatures, and deviations."""

import datetime

import pytest

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import parse_temperature
from fieldlog.records.checks import Check, parse_shown, parse_shown_list
from tests.spoken import refused


@pytest.mark.parametrize(
    ("text", "mm", "typed"),
    [
        ("0.00", 0.0, "0.00 mm"),
        ("-0.02", -0.02, "-0.02 mm"),
        ("+0.01 mm", 0.01, "0.01 mm"),
        ("−0.01", -0.01, "-0.01 mm"),
        ("-0.0005 in", -0.0127, "-0.0005 in"),
    ],
)
def test_shown_keeps_its_sign_and_its_typing(text: str, mm: float, typed: str) -> None:
    """A closed caliper may show less than nothing."""
    shown = parse_shown(text)
    assert float(shown.mm) == pytest.approx(mm)
    assert shown.typed == typed


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.00 0.01 -0.01", [0.0, 0.01, -0.01]),
        ("0.00, 0.01", [0.0, 0.01]),
        ("0,01 0,02", [0.01, 0.02]),
        ("0.7871 in 0.7870 in", [19.99234, 19.9898]),
        ("0.7871 in; 20.00 mm", [19.99234, 20.0]),
        ("19.95", [19.95]),
    ],
)
def test_several_are_read_at_once(text: str, mm: list[float]) -> None:
    """Blanks, commas with blanks, or semicolons between; a unit stays with its number."""
    assert [float(shown.mm) for shown in parse_shown_list(text)] == pytest.approx(mm)


@pytest.mark.parametrize("text", ["", "  ", "wide", "0.00 x", "--1", "1 bar"])
def test_what_is_no_reading_is_refused(text: str) -> None:
    """The message says what would be taken."""
    with refused(r"0\.02|several", QuantityError):
        parse_shown_list(text)


def test_deviation_is_mean_less_known_size() -> None:
    """Three readings of a 20.00 pin: 20.02 in the mean is 0.02 over."""
    day = datetime.date(2026, 3, 4)
    check = Check("a", day, "known outside", parse_shown_list("20.01 20.02 20.03"), parse_length("20.00"))
    assert check.deviation_mm == pytest.approx(0.02)
    assert Check("a", day, "zero", parse_shown_list("-0.02 0.00")).deviation_mm == pytest.approx(-0.01)


@pytest.mark.parametrize(
    ("text", "deg_c"), [("8 degC", 8.0), ("8", 8.0), ("46.4 °F", 8.0), ("-5 °C", -5.0), ("281.15 K", 8.0)]
)
def test_temperatures_go_through_their_units(text: str, deg_c: float) -> None:
    """Degrees of either kind, with or without the sign; a bare number is degC."""
    assert parse_temperature(text).deg_c == pytest.approx(deg_c)


@pytest.mark.parametrize("text", ["warm", "8 bar", "100 degC", "-80"])
def test_what_is_no_weather_is_refused(text: str) -> None:
    """Nobody measures links in boiling water."""
    with pytest.raises(QuantityError):
        parse_temperature(text)
