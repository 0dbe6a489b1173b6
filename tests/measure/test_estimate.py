"""Differences and sums of sizes that share a source of doubt: one unknown counts once, with its sign."""

import datetime
import math
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.measure.hole import Seen, growth, hole_size
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.source import limit, zero
from fieldlog.quantity.value import CANCELS, Value, difference_of_days
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Instrument
from tests.values import part, shared, sized

SPRING, AUTUMN = datetime.date(2026, 4, 1), datetime.date(2026, 10, 1)
BLUE = Instrument(
    "blue",
    resolution=parse_length("0.01 mm"),
    error_limit=parse_length("0.03 mm"),
    inside_error_limit=parse_length("0.04 mm"),
)


def one_reading(day: datetime.date, size: str, tool: Instrument) -> Value:
    reading = BoreReading(
        at="09:00:00", round=f"{day}-sam", day=day, who="sam", hole="eye", size=parse_length(size),
        clock=parse_clock("12"), instrument=tool.id,
    )  # fmt: skip
    return hole_size([reading], {tool.id: tool}).largest


def test_the_same_jaws_cancel_and_the_zero_counts_once() -> None:
    """By hand: two single readings of 0.02 mm scatter, an unchecked zero that may move by 0.03 mm, nothing else.

    u = sqrt(2 * 0.02^2 + 0.03^2 / 3) = 0.0332 mm, where each day by itself also has the limit of 0.04 mm.
    """
    now, before = one_reading(AUTUMN, "19.55 mm", BLUE), one_reading(SPRING, "19.42 mm", BLUE)
    change = difference_of_days((now, AUTUMN), (before, SPRING))
    assert change.value == pytest.approx(0.13)
    assert change.u == pytest.approx(math.sqrt(2 * 0.02**2 + 0.03**2 / 3))
    (row,) = [row for row in change.rows if row.source.kind == "limit"]
    assert row.u == 0
    assert row.cancels
    assert any(told.source.endswith(CANCELS) for told in change.parts)
    assert now.u == pytest.approx(math.sqrt(0.02**2 + 0.04**2 / 3 + 0.03**2 / 3))


def test_two_calipers_count_in_full() -> None:
    """Another caliper on the other day shares nothing."""
    now, before = one_reading(AUTUMN, "19.55", replace(BLUE, id="red")), one_reading(SPRING, "19.42", BLUE)
    assert (now - before).u == pytest.approx(math.hypot(now.u, before.u))


def test_a_caliper_that_nobody_named_is_another_one_on_another_day() -> None:
    """Nothing of it cancels between two days, and all of it within one."""
    unnamed = replace(BLUE, id="")
    now, before, same = (one_reading(day, "19.42", unnamed) for day in (AUTUMN, SPRING, SPRING))
    assert (now - before).u == pytest.approx(math.hypot(now.u, before.u))
    assert (same - before).u == 0


def test_jaws_learnt_from_the_same_bores_cancel_but_for_the_size() -> None:
    """Offset and width are the same unknowns both days; at nearly the same size next to nothing is left of them."""
    bores = [("7.995 mm", "7.86; 7.87; 7.86"), ("24.995 mm", "24.95; 24.96; 24.95")]
    checks = tuple(
        Check("blue", SPRING, "known bore", parse_shown_list(shown), parse_length(size), parse_length("0.005 mm"))
        for size, shown in bores
    )
    tool = replace(BLUE, checks=(*checks, Check("blue", SPRING, "zero", parse_shown_list("0.00; 0.01"))))
    now, before = one_reading(AUTUMN, "19.55", tool), one_reading(SPRING, "19.42", tool)
    jaws = [row for row in (now - before).rows if row.source.kind == "jaws"]
    assert len(jaws) == 3
    assert all(row.u < 0.0005 for row in jaws)


def test_what_two_holes_owe_to_one_caliper_adds_up_in_a_sum() -> None:
    """Backlash is the sum of two clearances: the same jaws read both holes, so their error is there twice."""
    both = sized(0.3, [shared("jaws", 0.02)]) + sized(0.4, [shared("jaws", 0.02)])
    assert both.u == pytest.approx(0.04)
    assert (both * -0.5).terms[0].u == pytest.approx(-0.02)


def test_one_that_moves_counts_once_between_two_days_and_not_at_all_within_one() -> None:
    """A zero of 0.01 on one day and 0.03 on another leaves the larger; on one day it cancels."""

    def off(u: float, day: str) -> Value:
        return sized(1.0, [zero("blue/zero", day, math.sqrt(3) * u)])

    assert (off(0.01, "a") - off(0.03, "b")).u == pytest.approx(0.03)
    assert (off(0.01, "a") - off(0.01, "a")).u == 0
    assert (off(0.03, "a") + off(0.04, "b")).u == pytest.approx(0.05)


@given(
    both=st.lists(st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1)), min_size=1, max_size=4),
    own=st.tuples(st.floats(0, 0.1), st.floats(0, 0.1)),
)
def test_a_difference_is_that_of_correlated_quantities(
    both: list[tuple[float, float]], own: tuple[float, float]
) -> None:
    """The variance is that of the covariance matrix (GUM 5.2.2) with shared sources as its columns."""
    first, second = (
        sized(0.0, [part("own", own[k]), *(shared(f"c{n}", c[k]) for n, c in enumerate(both))]) for k in (0, 1)
    )
    wanted = own[0] ** 2 + own[1] ** 2 + sum((a - b) ** 2 for a, b in both)
    assert (first - second).u ** 2 == pytest.approx(wanted, abs=1e-12)
    total = own[0] ** 2 + own[1] ** 2 + sum((a + b) ** 2 for a, b in both)
    assert (first + second).u ** 2 == pytest.approx(total, abs=1e-12)


def test_a_change_agrees_with_a_simulation() -> None:
    """Drawn with one scale error for both sides, and a zero that moves: the interval holds 95 of 100."""
    dice, held = random.Random(7), 0
    for _ in range(2000):
        scale, moved = dice.uniform(-0.04, 0.04), dice.uniform(-0.03, 0.03)
        first, second = (
            sized(
                dice.gauss(20, 0.02) + scale + off,
                [part("scatter", 0.02), limit("blue/limit", 0.04), zero("blue/zero", day, 0.03)],
            )
            for off, day in ((0.0, "a"), (moved, "b"))
        )
        gap = first - second
        held += abs(gap.value) <= gap.plus_minus
    assert 0.935 <= held / 2000 <= 0.965


def test_two_people_with_one_caliper_read_differently() -> None:
    """The usual 0.01 mm for each who was in no study; one person alone has none of it."""
    now, before = one_reading(AUTUMN, "19.55 mm", BLUE), one_reading(SPRING, "19.42 mm", BLUE)
    alone = growth(Seen(now, AUTUMN, "sam"), Seen(before, SPRING, "sam"))
    both = growth(Seen(now, AUTUMN, "sam"), Seen(before, SPRING, "kim"))
    assert both.u**2 - alone.u**2 == pytest.approx(2 * 0.01**2)
    assert "sam and kim" in both.rows[-1].source.why


def test_jaws_checked_twice_with_one_mean_are_learnt_twice() -> None:
    """Five readings in spring and three in autumn that happen to have one mean: nothing learnt of them is the same."""

    def bore(day: datetime.date, shown: str) -> Check:
        return Check(
            "blue", day, "known bore", parse_shown_list(shown), parse_length("20.00 mm"), parse_length("0.005")
        )

    checks = (bore(SPRING, "19.95; 19.96; 19.94; 19.95; 19.95"), bore(AUTUMN, "19.95; 19.95; 19.95"))
    later, tool = datetime.date(2027, 11, 1), replace(BLUE, checks=checks)
    change = one_reading(later, "19.55", tool) - one_reading(SPRING, "19.42", tool)
    jaws = [row for row in change.rows if row.source.kind == "jaws"]
    assert len({row.source.id for row in jaws}) == len(jaws) > 1
    assert not any(row.cancels for row in jaws)
