"""All that is said of wear over time, opened up: forecast, chances, decision, rate, days, and the readings of each."""

from collections.abc import Iterator

from fieldlog.wear.chance_numbers import borrowed_chance, chance_numbers
from fieldlog.wear.crossing_numbers import borrowed_crossings, crossing_numbers
from fieldlog.wear.numbers import Number
from fieldlog.wear.rate_numbers import (
    before_number,
    borrowed_number,
    change_numbers,
    median_number,
    rate_number,
    used_word,
)
from fieldlog.wear.rates import Beside, borrowed, main_trend
from fieldlog.wear.states import JointState
from fieldlog.wear.trend_behind import Behind, day_number
from fieldlog.wear.trend_records import Trend

NOBODY = Beside("", ())


def trend_numbers(state: JointState, beside: Beside = NOBODY, hole: str = "") -> list[Number]:
    """Return all numbers of a joint's trends, those of one hole alone where it is named; the days come last of each.

    `beside` are the rates of the fleet, for a joint that borrows from its kind.
    """
    wanted = (trend for trend in state.trends if not hole or trend.hole == hole)
    return [number for trend in wanted for number in numbers_of(trend, state, beside)]


def numbers_of(trend: Trend, state: JointState, beside: Beside) -> list[Number]:
    """Return the numbers of one trend, its days last."""
    behind = Behind(trend, state)
    return [*_answers(behind, beside), *(day_number(point, behind) for point in trend.fitted)]


def answer_numbers(state: JointState, beside: Beside = NOBODY) -> list[Number]:
    """Return what a joint's trends say, without the single days."""
    return [number for trend in state.trends for number in _answers(Behind(trend, state), beside)]


def rates_first(state: JointState, beside: Beside) -> list[Number]:
    """Return all numbers of a joint's trends, the rate of the clearance that it is known by before the others."""
    main = main_trend(state)
    rate = Behind(main, state).rate_word if main is not None else ""
    ranks = {used_word(rate): 0, rate: 1}
    return sorted(trend_numbers(state, beside), key=lambda number: ranks.get(number.word, len(ranks)))


def _answers(behind: Behind, beside: Beside) -> Iterator[Number]:
    yield from crossing_numbers(behind)
    yield from chance_numbers(behind)
    yield from _borrowed(behind, beside)
    for number in (rate_number(behind), median_number(behind), before_number(behind)):
        if number is not None:
            yield number
    yield from change_numbers(behind)


def _borrowed(behind: Behind, beside: Beside) -> Iterator[Number]:
    """Yield the rate a joint with few readings is reckoned with, and when it reaches its limit by that."""
    if behind.trend is not main_trend(behind.state):
        return
    here = (beside.machine, behind.state.joint.id)
    row = next((row for row in beside.rows if (row.machine.id, row.joint.id) == here), None)
    found = borrowed(behind.trend, row, beside.rows) if row is not None else None
    if found is None:
        return
    yield borrowed_number(behind, found)
    yield from borrowed_crossings(behind, found)
    yield from borrowed_chance(behind, found)
