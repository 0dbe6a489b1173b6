"""The metal beside a hole: which wall wore, against its opposite and against the first time."""

import datetime

import pytest

from fieldlog.measure.depth import Wall, gaps_since, opposite_gaps, walls_of
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import LigamentReading

SPRING, AUTUMN = datetime.date(2025, 4, 1), datetime.date(2025, 10, 1)


def walls(day: datetime.date = AUTUMN, **sizes: tuple[str, ...]) -> tuple[Wall, ...]:
    """Return the walls at points given as at_12=("14.2", ...)."""
    readings = [
        LigamentReading(
            at=f"09:{n:02d}:{k:02d}", round=f"{day}-sam", day=day, who="sam", hole="eye", size=parse_length(size),
            clock=parse_clock(point.removeprefix("at_")),
        )
        for n, (point, repeats) in enumerate(sizes.items())
        for k, size in enumerate(repeats)
    ]  # fmt: skip
    return walls_of(readings, {})


def test_the_thinner_wall_wore() -> None:
    """12 against 6 and 3 against 9 are two pairs; the thinner comes first, its difference is below zero."""
    found = opposite_gaps(walls(at_6=("13.4", "13.4"), at_12=("14.2", "14.2"), at_3=("12.0",), at_9=("12.0",)))
    assert [(gap.clock, gap.other, round(gap.size.value, 6)) for gap in found] == [("6", "12", -0.8), ("3", "9", 0)]
    assert [gap.is_proved for gap in found] == [True, False]
    assert len(found[0].keys) == 4


def test_the_calipers_limit_cancels_between_walls_and_counts_between_days() -> None:
    """Within a day only the scatter of both is left; across days each day's caliper counts too."""
    now, first = walls(at_12=("14.00",), at_6=("14.10",)), walls(SPRING, at_12=("14.50",))
    (opposite,) = opposite_gaps(now)
    assert all("scatter" in part.name for part in opposite.size.parts if part.u_mm > 0)
    assert any("cancels" in part.source for part in opposite.size.parts)
    (since,) = gaps_since(first, now)
    assert since.clock == "12"
    assert since.size.value == pytest.approx(-0.5)
    assert sum("outside jaws" in part.name for part in since.size.parts) >= 2
    assert since.is_proved


def test_a_small_difference_proves_nothing() -> None:
    """0.03 mm between two single readings is within their doubt."""
    (gap,) = opposite_gaps(walls(at_12=("14.00",), at_6=("14.03",)))
    assert not gap.is_proved


def test_one_wall_alone_has_no_opposite_and_none_is_nothing() -> None:
    """Nothing is made of what is not there."""
    assert opposite_gaps(walls(at_12=("14.0",), at_3=("14.0",))) == ()
    assert walls_of([], {}) == ()
    assert gaps_since(walls(SPRING, at_3=("14.0",)), walls(at_12=("14.0",))) == ()
