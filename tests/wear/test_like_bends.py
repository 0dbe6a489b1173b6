"""Like joints that each bend a little are proved to speed up together; a few of them, or straight ones, are not."""

import random

import pytest
from scipy import stats

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.states import JointState
from fieldlog.wear.trends.rates import FEWEST_JOINTS, kinds_that_speed_up, main_trend
from fieldlog.wear.trends.records import Trend
from tests.speaking import forecast_sentence
from tests.wear.build import Book, limit
from tests.wear.test_trend import day

HOURS = tuple(range(0, 800, 100))


def machine_of(bends: list[float]) -> Book:
    """A machine of bushed joints, each wearing by 0.05 mm per 100 h at first, its rate growing by its own bend."""
    names = [f"j{number}" for number in range(len(bends))]
    machine = Machine(
        "digger",
        joints=tuple(Joint(name, kind="bushed", pin=parse_length("30")) for name in names),
        holes=tuple(Hole(f"h-{name}", joint=name, kind="bushed") for name in names),
        limits=tuple(limit("1.5", joint=name) for name in names),
    )
    book, dice = Book(machine=machine), random.Random("bends")
    for hours in HOURS:
        book.meter(day(hours), str(hours))
        for name, bend in zip(names, bends, strict=True):
            wear = 0.2 + 0.0005 * hours + bend * hours**2 + dice.gauss(0, 0.012)
            book.pin_is(day(hours), 30.0, joint=name)
            book.bore(day(hours), round(30.0 + wear, 3), hole=f"h-{name}")
    return book


def known(state: JointState) -> Trend:
    """The clearance that a joint is known by."""
    found = main_trend(state)
    assert found is not None
    return found


def together(states: tuple[JointState, ...]) -> float:
    """Return the chance of such bends without any speeding up, by SciPy."""
    bends = [known(state).bend for state in states]
    alone = [1 - stats.t.cdf(bend[0], bend[1]) for bend in bends if bend is not None]
    return float(stats.combine_pvalues(alone, method="stouffer").pvalue)


def test_four_joints_that_each_bend_a_little_speed_up_together() -> None:
    """SciPy's combined p is under 2.5 %; those not proved alone follow their curve all the same, and say why."""
    states = machine_of([2.5e-7] * 4).state.joints
    assert together(states) < 0.025
    assert kinds_that_speed_up(states) == {"bushed"}
    alone = [known(state) for state in states if not known(state).is_curve_by_like]
    by_like = [known(state) for state in states if known(state).is_curve_by_like]
    assert by_like
    assert all(trend.curve is None or trend.curve.bends_up for trend in alone)
    for trend in by_like:
        assert trend.curve is not None
        assert not trend.curve.bends_up
        said = forecast_sentence(trend, "mm")
        assert "Like joints on this machine, taken together, wear faster and faster" in said


@pytest.mark.parametrize("bends", [[0.0] * 4, [-1.5e-7] * 4, [2.5e-7] * (FEWEST_JOINTS - 1)])
def test_straight_ones_slowing_ones_and_too_few_do_not(bends: list[float]) -> None:
    """Bedding-in bends the other way; two joints are no kind."""
    states = machine_of(bends).state.joints
    assert kinds_that_speed_up(states) == frozenset()
    assert not any(known(state).is_curve_by_like for state in states)


def test_the_rule_is_stouffers_at_two_and_a_half_percent() -> None:
    """Whatever the joints do, the answer is that of SciPy's combined p."""
    for number in range(12):
        dice = random.Random(number)
        states = machine_of([dice.uniform(-1e-7, 3e-7) for _ in range(3)]).state.joints
        assert (kinds_that_speed_up(states) == {"bushed"}) == (together(states) < 0.025)
