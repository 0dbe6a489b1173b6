"""How sizes are written: the digits follow the doubt, in both units, rounded half up."""

import math
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.rounding import both_plain_text, both_text, change_text, mm_text, places_for, size_text
from fieldlog.quantity.value import Value
from tests.values import part, sized

K95 = 1.959963984540054  # normal 97.5 % point (any table)
EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)


def known(value_mm: float, expanded_mm: float) -> Value:
    """Return an estimate with the given 95 % half-width."""
    return sized(value_mm, (part("a", expanded_mm / K95, math.inf, ""),))


@pytest.mark.parametrize(
    ("value_mm", "expanded_mm", "text"),
    [
        (19.4233, 0.0391, "19.42 ± 0.04 mm"),
        (19.4233, 0.0289, "19.423 ± 0.029 mm"),
        (19.4233, 0.0301, "19.42 ± 0.03 mm"),
        (19.4233, 0.101, "19.42 ± 0.10 mm"),
        (19.4233, 0.96, "19.4 ± 1.0 mm"),
        (650.4, 1.44, "650.4 ± 1.4 mm"),
        (650.4, 3.2, "650 ± 3 mm"),
        (650.4, 14.2, "650 ± 14 mm"),
        (19.4233, 0.0021, "19.423 ± 0.002 mm"),
        (19.4233, 0.0002, "19.423 ± 0.001 mm"),
    ],
)
def test_digits_follow_the_doubt(value_mm: float, expanded_mm: float, text: str) -> None:
    """Two digits of doubt from 1 and 2, one from 3 up, never finer than 0.001 mm and never none where there is some."""
    assert size_text(known(value_mm, expanded_mm), "mm") == text


def test_both_units_each_have_their_own_digits() -> None:
    """The person's unit comes first; the other is rounded by its own doubt."""
    size = known(19.4233, 0.0391)
    assert both_text(size, "mm") == "19.42 ± 0.04 mm (0.7647 ± 0.0015 in)"
    assert both_text(size, "in") == "0.7647 ± 0.0015 in (19.42 ± 0.04 mm)"


@pytest.mark.parametrize(
    ("value_mm", "text"),
    [
        (0.052, "+0.05 ± 0.06 mm"),
        (-0.052, "-0.05 ± 0.06 mm"),
        (0.001, "0.00 ± 0.06 mm"),
        (-0.001, "0.00 ± 0.06 mm"),
        (0.0, "0.00 ± 0.06 mm"),
    ],
)
def test_change_has_its_sign_unless_it_rounds_to_none(value_mm: float, text: str) -> None:
    """A change shows which way it went; one that rounds to nothing went no way."""
    assert change_text(known(value_mm, 0.061), "mm") == text


@pytest.mark.parametrize(
    ("value_mm", "text"),
    [(19.425, "19.43 mm"), (2.675, "2.68 mm"), (1.005, "1.01 mm"), (-19.425, "-19.43 mm"), (-0.001, "0.00 mm")],
)
def test_plain_lengths_round_half_up(value_mm: float, text: str) -> None:
    """Half rounds away from zero as a person does on paper, whatever the float below it says."""
    assert mm_text(value_mm, "mm") == text


def test_plain_lengths_in_both_units() -> None:
    """Two decimals for mm, four for inches, the person's unit first."""
    assert both_plain_text(19.05, "mm") == "19.05 mm (0.7500 in)"
    assert both_plain_text(19.05, "in") == "0.7500 in (19.05 mm)"
    assert mm_text(19.05, "in", 4) == "0.7500 in"


@EXAMPLES
@given(hundredths_of_a_micron=st.integers(0, 10**7), places=st.integers(0, 4))
def test_rounding_agrees_with_decimal(hundredths_of_a_micron: int, places: int) -> None:
    """Rounding agrees with decimal arithmetic's half up."""
    exact = Decimal(hundredths_of_a_micron) / 10**5
    expected = exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    assert mm_text(float(exact), "mm", places) == f"{expected} mm"


@EXAMPLES
@given(expanded=st.floats(0.003, 90))
def test_doubt_keeps_one_or_two_digits(expanded: float) -> None:
    """The rounded doubt is within half of its last digit, and that digit is the first or the second one."""
    places = places_for(expanded, 3)
    digits = expanded * 10.0**places
    assert places in {0, 3} or 2.99 < digits < 30.01
    assert digits < 100
