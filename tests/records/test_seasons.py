"""Days of the year and intervals as people write them."""

import datetime

import pytest

from fieldlog.errors import QuantityError
from fieldlog.records.seasons import GreaseEvery, SeasonStart
from tests.spoken import refused


@pytest.mark.parametrize(
    ("text", "month", "day"), [("1 Mar", 3, 1), ("15 October", 10, 15), ("Nov 3", 11, 3), ("29. Feb", 2, 29)]
)
def test_a_day_of_the_year_is_read(text: str, month: int, day: int) -> None:
    """In either order."""
    start = SeasonStart.from_text(text)
    assert (start.month, start.day) == (month, day)


def test_the_29th_of_february_is_the_28th_in_other_years() -> None:
    """2024 has one, 2025 has none."""
    start = SeasonStart.from_text("29 Feb")
    assert start.in_year(2024) == datetime.date(2024, 2, 29)
    assert start.in_year(2025) == datetime.date(2025, 2, 28)


@pytest.mark.parametrize("text", ["", "31 Feb", "0 Mar", "spring", "2026-03-01", "1 Foo", "1"])
def test_what_is_no_day_is_refused(text: str) -> None:
    """With what would be accepted."""
    with refused("1 Mar", QuantityError):
        SeasonStart.from_text(text)


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [("10 h", 10.0, "h"), ("every 50 hours", 50.0, "h"), ("14 days", 14.0, "days"), ("weekly", 7.0, "days")],
)
def test_an_interval_is_read(text: str, amount: float, unit: str) -> None:
    """In hours or days."""
    every = GreaseEvery.from_text(text)
    assert (every.amount, every.unit) == (amount, unit)


@pytest.mark.parametrize("text", ["", "10", "0 h", "-5 h", "often"])
def test_what_is_no_interval_is_refused(text: str) -> None:
    """A number without a unit could be hours or days."""
    with refused("10 h", QuantityError):
        GreaseEvery.from_text(text)
