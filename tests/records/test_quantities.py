"""Lengths as people type them: exact, with the step the typing shows, or refused with what is accepted."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import parse_value
from fieldlog.records.machine import parse_length_or_share
from fieldlog.words.speak import error_text
from tests.spoken import refused


@pytest.mark.parametrize(
    ("typed", "mm", "step_mm"),
    [  # exact by 1 in = 25.4 mm (NIST SP 811)
        ("19.42", "19.42", "0.01"),
        ("19.42 mm", "19.42", "0.01"),
        ("19.420mm", "19.420", "0.001"),
        ("52.7cm", "527", "1"),
        ("0.755 in", "19.177", "0.0254"),
        ("755 thou", "19.177", "0.0254"),
        ("3/4", "19.05", "6.35"),
        ("19-3/64", "483.790625", "0.396875"),
        ("20 3/4", "527.05", "6.35"),
        ("1' 8 3/4\"", "527.05", "6.35"),
        ("1’ 8¾”", "527.05", "6.35"),
        ("19,42", "19.42", "0.01"),
        ("0,755 in", "19.177", "0.0254"),
        (".5 in", "12.7", "2.54"),
        ("1/16", "1.5875", "1.5875"),
        ("2 m", "2000", "1000"),
    ],
)
def test_a_length_is_exact_and_knows_its_step(typed: str, mm: str, step_mm: str) -> None:
    """Every accepted form of the design."""
    length = parse_length(typed)
    assert length.mm == Decimal(mm)
    assert length.step_mm == Decimal(step_mm)


@pytest.mark.parametrize(("typed", "mm"), [("20 3/4-", "525.4625"), ("20 3/4+", "528.6375"), ('20 3/4" -', "525.4625")])
def test_just_under_and_just_over_shift_by_a_quarter_step_and_widen(typed: str, mm: str) -> None:
    """A quarter of 1/4 in is 1.5875 mm; half a step of doubt becomes three quarters."""
    length = parse_length(typed)
    assert length.mm == Decimal(mm)
    assert length.half_width_mm == Decimal("0.75") * Decimal("6.35")
    assert parse_length("20 3/4").half_width_mm == Decimal("0.5") * Decimal("6.35")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0.76.0", "19.42"),
        ("3/0", "divided in"),
        ("3/7", "divided in"),
        ("-0.5", "below zero"),
        ("12/13/14", "19.42"),
        ("", "Nothing typed"),
        ("abc", "unit of length"),
        ("1e5", "19.42"),
        ("nan", "unit of length"),
        ("19.42 mm+", "after a fraction"),
        ("3/4 mm", "read in inches"),
        ("1 5/4", "one inch or more"),
        ("1,250", "point"),
        ("12 mil", "unit of length"),
        ("9" * 50, "too long"),
        ("1/64-", ""),
        ("٣", "19.42"),
    ],
)
def test_what_is_no_length_is_refused_with_what_is_accepted(typed: str, said: str) -> None:
    """The message repeats the text and names the accepted form; 1/64- is fine and comes out above zero."""
    if typed == "1/64-":
        assert parse_length(typed).mm > 0
        return
    with pytest.raises(QuantityError) as refusal:
        parse_length(typed)
    assert said in error_text(refusal.value)


@settings(derandomize=True, max_examples=300)
@given(whole=st.integers(0, 500), power=st.integers(1, 6), top=st.integers(1, 63))
def test_fractions_of_an_inch_are_exact(whole: int, power: int, top: int) -> None:
    """Against exact rational arithmetic."""
    bottom = 2**power
    top %= bottom
    typed = f"{whole} {top}/{bottom}" if top else f"{whole} 0/{bottom}"
    wanted = (Fraction(whole) + Fraction(top, bottom)) * Fraction(254, 10)
    assert Fraction(parse_length(typed).mm) == wanted


@settings(derandomize=True, max_examples=300)
@given(st.text(max_size=30))
def test_no_text_whatever_breaks_the_parser(text: str) -> None:
    """It is a length or it is refused in a sentence."""
    try:
        length = parse_length(text)
    except QuantityError as refusal:
        said = error_text(refusal)
    else:
        said = "."
        assert length.mm >= 0
    assert said.endswith((".", '"'))


def test_shares_and_lengths_as_limits() -> None:
    """3.5 % is a share, 1.0 mm a length; nothing and more than the whole are refused."""
    assert parse_length_or_share("3.5 %") != parse_length_or_share("3.5 mm")
    for bad in ("0 %", "101 %", "0 mm"):
        with pytest.raises(QuantityError):
            parse_length_or_share(bad)


@pytest.mark.parametrize(
    ("typed", "unit", "amount"),
    [
        ("2500 psi", "bar", 172.369),
        ("5 gallon/minute", "liter/minute", 18.9271),
        ("68 degF", "degC", 20.0),
        ("170", "bar", 170),
    ],
)
def test_other_units_go_through_pint(typed: str, unit: str, amount: float) -> None:
    """1 psi = 6894.757 Pa, 1 US gallon = 3.785412 L (NIST SP 811, appendix B)."""
    assert parse_value(typed, unit).amount == pytest.approx(amount, rel=1e-5)


@pytest.mark.parametrize("typed", ["2500 kg", "psi psi", "1/0", "", "().__class__", "10**10**10"])
def test_a_value_of_another_kind_is_refused(typed: str) -> None:
    """The message says which unit is wanted, and nothing is executed."""
    with refused("bar", QuantityError):
        parse_value(typed, "bar")


@pytest.mark.parametrize(
    ("unit", "wanted"),
    [("lb", "kg"), ("lbf", "kN"), ("psi", "bar"), ("MPa", "bar"), ("kPa", "bar"), ("L/min", "liter/minute")],
)
def test_units_known_without_pint_are_those_of_pint(unit: str, wanted: str) -> None:
    """The shortcut for the commonest units gives what the library gives."""
    import pint

    expected = pint.UnitRegistry().Quantity(123.5, unit).to(wanted).magnitude
    assert parse_value(f"123.5 {unit}", wanted).amount == pytest.approx(expected, rel=1e-12)


def test_a_gallon_a_minute_known_without_pint_is_231_cubic_inches() -> None:
    """1 US gallon = 3.785411784 L (NIST SP 811, appendix B.8)."""
    assert parse_value("5 gpm", "liter/minute").amount == pytest.approx(5 * 231 * 25.4**3 / 1e6, rel=1e-12)
