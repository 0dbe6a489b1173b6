"""One scatter for all days of a series."""

import math

import pytest

from fieldlog.wear.judge import DayScatter, pooled


def test_days_are_pooled_by_their_degrees_of_freedom_per_reading() -> None:
    """0.02 from 2 and 0.01 from 8 degrees of freedom, one reading each: sqrt((2 x 4 + 8 x 1) / 10) hundredths."""
    both = pooled([DayScatter(0.02, 2.0, 1), DayScatter(0.01, 8.0, 1)])
    assert [day.u_mm for day in both] == pytest.approx([0.01 * math.sqrt(1.6)] * 2)
    assert sum(day.dof for day in both) == pytest.approx(10.0)


def test_more_readings_on_a_day_are_worth_more() -> None:
    """Twelve readings against three, all equally good: half the doubt."""
    one, other = pooled([DayScatter(0.02, 2.0, 3), DayScatter(0.01, 9.0, 12)])
    assert one.u_mm == pytest.approx(0.02)
    assert other.u_mm == pytest.approx(0.01)


def test_a_day_proved_to_scatter_more_keeps_its_own() -> None:
    """Ten times the others' scatter with nine degrees of freedom is proved; it neither gains nor spoils."""
    days = pooled([DayScatter(0.01, 9.0, 12)] * 3 + [DayScatter(0.1, 9.0, 12)])
    assert [day.u_mm for day in days] == pytest.approx([0.01, 0.01, 0.01, 0.1])


def test_one_day_alone_and_limits_are_left_as_they_are() -> None:
    """Nothing to put together."""
    assert pooled([]) == ()
    assert pooled([DayScatter(0.02, 2.0, 3)]) == (DayScatter(0.02, 2.0, 3),)
    endless = [DayScatter(0.0, math.inf, 1), DayScatter(0.0, math.inf, 1)]
    assert pooled(endless) == tuple(endless)
