"""Differences and sums of sizes that share a source of doubt: one unknown counts once, with its sign."""

import datetime
import math
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.measure.hole import Seen, growth, hole_size
from fieldlog.quantity.estimate import Estimate, Part, added, difference, difference_of_days, limit_of, scaled
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Instrument

SPRING, AUTUMN = datetime.date(2026, 4, 1), datetime.date(2026, 10, 1)
BLUE = Instrument(
    "blue",
    resolution=parse_length("0.01 mm"),
    error_limit=parse_length("0.03 mm"),
    inside_error_limit=parse_length("0.04 mm"),
)


def part(u: float, cause: str = "", *, moves: str = "", is_reversed: bool = False) -> Part:
    return Part("part", u, math.inf, "somewhere", cause=cause, moves=moves, is_reversed=is_reversed)


def one_reading(day: datetime.date, size: str, tool: Instrument) -> Estimate:
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
    assert change.value_mm == pytest.approx(0.13)
    assert change.u_mm == pytest.approx(math.sqrt(2 * 0.02**2 + 0.03**2 / 3))
    (limit,) = [p for p in change.parts if p.cause.startswith("blue: inside limit")]
    assert limit.u_mm == 0
    assert "the same both times: cancels" in limit.source
    assert now.u_mm == pytest.approx(math.sqrt(0.02**2 + 0.04**2 / 3 + 0.03**2 / 3))


def test_two_calipers_count_in_full() -> None:
    """Another caliper on the other day shares nothing."""
    now, before = one_reading(AUTUMN, "19.55", replace(BLUE, id="red")), one_reading(SPRING, "19.42", BLUE)
    assert difference(now, before).u_mm == pytest.approx(math.hypot(now.u_mm, before.u_mm))


def test_jaws_learnt_from_the_same_bores_cancel_but_for_the_size() -> None:
    """Offset and width are the same unknowns both days; at nearly the same size next to nothing is left of them."""
    bores = [("7.995 mm", "7.86; 7.87; 7.86"), ("24.995 mm", "24.95; 24.96; 24.95")]
    checks = tuple(
        Check("blue", SPRING, "known bore", parse_shown_list(shown), parse_length(size), parse_length("0.005 mm"))
        for size, shown in bores
    )
    tool = replace(BLUE, checks=(*checks, Check("blue", SPRING, "zero", parse_shown_list("0.00; 0.01"))))
    now, before = one_reading(AUTUMN, "19.55", tool), one_reading(SPRING, "19.42", tool)
    jaws = [p for p in difference(now, before).parts if "offset" in p.name or "width" in p.name or "bore's" in p.name]
    assert len(jaws) == 3
    assert all(p.u_mm < 0.0005 for p in jaws)


def test_what_two_holes_owe_to_one_caliper_adds_up_in_a_sum() -> None:
    """Backlash is the sum of two clearances: the same jaws read both holes, so their error is there twice."""
    both = added(Estimate(0.3, (part(0.02, "jaws"),)), Estimate(0.4, (part(0.02, "jaws"),)))
    assert both.u_mm == pytest.approx(0.04)
    assert scaled(both, -0.5).parts[0].is_reversed


def test_one_that_moves_counts_once_between_two_days_and_not_at_all_within_one() -> None:
    """A zero of 0.01 on one day and 0.03 on another leaves the larger; on one day it cancels."""

    def zero(u: float, day: str) -> Estimate:
        return Estimate(1.0, (part(u, "zero", moves=day),))

    assert difference(zero(0.01, "a"), zero(0.03, "b")).u_mm == pytest.approx(0.03)
    assert difference(zero(0.01, "a"), zero(0.01, "a")).u_mm == 0
    assert added(zero(0.03, "a"), zero(0.04, "b")).u_mm == pytest.approx(0.05)


@given(
    shared=st.lists(st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1)), min_size=1, max_size=4),
    own=st.tuples(st.floats(0, 0.1), st.floats(0, 0.1)),
)
def test_a_difference_is_that_of_correlated_quantities(
    shared: list[tuple[float, float]], own: tuple[float, float]
) -> None:
    """The variance is that of the covariance matrix (GUM 5.2.2) with shared causes as its columns."""
    estimates = [
        Estimate(0.0, (part(own[k]), *(part(abs(c[k]), f"c{n}", is_reversed=c[k] < 0) for n, c in enumerate(shared))))
        for k in (0, 1)
    ]
    wanted = own[0] ** 2 + own[1] ** 2 + sum((a - b) ** 2 for a, b in shared)
    assert difference(*estimates).u_mm ** 2 == pytest.approx(wanted, abs=1e-12)
    total = own[0] ** 2 + own[1] ** 2 + sum((a + b) ** 2 for a, b in shared)
    assert added(*estimates).u_mm ** 2 == pytest.approx(total, abs=1e-12)


def test_a_change_agrees_with_a_simulation() -> None:
    """Drawn with one scale error for both sides, and a zero that moves: the interval holds 95 of 100."""
    dice, held = random.Random(7), 0
    parts = (
        Part("scatter", 0.02, math.inf, ""),
        replace(limit_of("limit", 0.04, ""), cause="limit"),
    )
    for _ in range(2000):
        scale, moved = dice.uniform(-0.04, 0.04), dice.uniform(-0.03, 0.03)
        sizes = [
            Estimate(dice.gauss(20, 0.02) + scale + off, (*parts, replace(limit_of("z", 0.03, ""), cause="z", moves=m)))
            for off, m in ((0.0, "a"), (moved, "b"))
        ]
        gap = difference(*sizes)
        held += abs(gap.value_mm) <= gap.expanded_mm
    assert 0.935 <= held / 2000 <= 0.965


def test_two_people_with_one_caliper_read_differently() -> None:
    """The usual 0.01 mm for each who was in no study; one person alone has none of it."""
    now, before = one_reading(AUTUMN, "19.55 mm", BLUE), one_reading(SPRING, "19.42 mm", BLUE)
    alone = growth(Seen(now, AUTUMN, "sam"), Seen(before, SPRING, "sam"))
    both = growth(Seen(now, AUTUMN, "sam"), Seen(before, SPRING, "kim"))
    assert both.u_mm**2 - alone.u_mm**2 == pytest.approx(2 * 0.01**2)
    assert "sam and kim" in both.parts[-1].source
