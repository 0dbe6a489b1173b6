"""When a machine works, as people write it, counted day by day against the calendar."""

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import QuantityError
from fieldlog.records.seasons import InUse
from tests.spoken import refused

DAYS = st.dates(datetime.date(1999, 1, 1), datetime.date(2040, 12, 31))
SUMMER = ("March to October", tuple(range(3, 11)))
WINTER = ("Nov-Feb", (11, 12, 1, 2))
TWICE = ("apr to jun, sep and december", (4, 5, 6, 9, 12))


@pytest.mark.parametrize(("text", "months"), [SUMMER, WINTER, TWICE, ("all year", tuple(range(1, 13)))])
@given(first=DAYS, last=DAYS)
@settings(max_examples=50, deadline=None)
def test_days_in_use_are_the_days_of_its_months(
    text: str, months: tuple[int, ...], first: datetime.date, last: datetime.date
) -> None:
    """Counted one by one."""
    start, end = min(first, last), max(first, last)
    days = (start + datetime.timedelta(days=n) for n in range((end - start).days))
    counted = sum(day.month in months for day in days)
    found = InUse.from_text(text)
    assert found.between(start, end) == counted
    assert found.between(end, start) == -counted


@given(start=DAYS, days=st.integers(-3000, 3000))
@settings(max_examples=100, deadline=None)
def test_the_day_after_so_many_days_is_the_first_one_that_fits(start: datetime.date, days: int) -> None:
    """Back through the same calendar."""
    found = InUse.from_text("15 Mar to 10 Oct, 2 days a week")
    day = found.day_after(start, days * 2 / 7)
    assert day is not None
    assert found.between(start, day) == pytest.approx(days * 2 / 7)
    assert found.between(start, day - datetime.timedelta(days=1)) < days * 2 / 7 - 1e-9


def test_a_year_by_hand() -> None:
    """March to October: 31 + 30 + 31 + 30 + 31 + 31 + 30 + 31 = 245 days; on three days of seven 105."""
    assert InUse.from_text("March to October").per_year == 245
    found = InUse.from_text("Mar-Oct, 3 days a week")
    assert found.per_year == pytest.approx(105)
    assert found.between(datetime.date(2024, 1, 1), datetime.date(2025, 1, 1)) == pytest.approx(105)
    assert InUse.from_text("4 days per week").per_year == pytest.approx(365 * 4 / 7)
    leap = InUse.from_text("February")
    assert leap.between(datetime.date(2024, 1, 1), datetime.date(2025, 1, 1)) == 29
    assert leap.between(datetime.date(2025, 1, 1), datetime.date(2026, 1, 1)) == 28


@pytest.mark.parametrize(
    "text", ["often", "March to", "8 days a week", "0 days a week", "Marz", "31 Feb to May", "3 Mar", "40 h", ","]
)
def test_what_says_nothing_of_months_is_refused(text: str) -> None:
    """With the text and what is accepted."""
    with refused("when it works; write its months", QuantityError):
        InUse.from_text(text)
