"""All that is said of wear over time, opened up: forecast, chances, decision, rate, days, and the readings of each.

Which opened numbers stand on which page; asked by the screens, the printed budgets and the data alike.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fieldlog.quantity.page_number import Number
from fieldlog.records.entries import MachineLog
from fieldlog.wear.history import Index
from fieldlog.wear.numbers.chances import borrowed_chance, chance_numbers
from fieldlog.wear.numbers.crossings import borrowed_crossings, crossing_numbers
from fieldlog.wear.numbers.links import measuring_number, slack_numbers
from fieldlog.wear.numbers.rates import (
    Behind,
    before_number,
    borrowed_number,
    change_numbers,
    day_number,
    median_number,
    rate_number,
    used_word,
)
from fieldlog.wear.numbers.season import season_numbers, work_number
from fieldlog.wear.numbers.sizes import hole_numbers, joint_numbers, shape_numbers
from fieldlog.wear.season import JointSeason, Season, machine_season
from fieldlog.wear.shapes import hole_shape
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.trends.rates import Beside, borrowed, main_trend
from fieldlog.wear.trends.records import Trend

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


@dataclass(frozen=True, slots=True)
class Ground:
    """What a machine's pages rest on: its state and entries, the fleet's rates, a season and the one before."""

    state: MachineState
    log: MachineLog
    index: Index
    beside: Beside
    seasons: tuple[Season, Season]


def joint_page(joint: JointState, ground: Ground) -> list[Number]:
    """Return all numbers of a joint's finding."""
    trends = trend_numbers(joint, ground.beside)
    return [*joint_numbers(joint, ground.log), *_of_joint(joint), *_work(joint, ground), *trends]


def joint_answers(joint: JointState, ground: Ground) -> list[Number]:
    """Return what is said of a joint's wear over time, without the single days."""
    return [*answer_numbers(joint, ground.beside), *_of_joint(joint), *_work(joint, ground)]


def rates_page(joint: JointState, ground: Ground) -> list[Number]:
    """Return a joint's numbers over time, the rate that it is reckoned with first."""
    return [*rates_first(joint, ground.beside), *_work(joint, ground)]


def trend_page(joint: JointState, what: tuple[str, str], ground: Ground) -> list[Number]:
    """Return the numbers of one picture: of the trend of a thing (such as "clearance") of a hole."""
    found = [trend for trend in joint.trends if (trend.of, trend.hole) == what]
    numbers = [number for trend in found for number in numbers_of(trend, joint, ground.beside)]
    return [*numbers, *_work(joint, ground)]


def hole_page(joint: JointState, hole: HoleState, ground: Ground) -> list[Number]:
    """Return all numbers of a hole's page: its sizes, its shape, its wear over time."""
    over_time = trend_numbers(joint, ground.beside, hole.hole.id)
    shape = shape_numbers(hole_shape(hole, ground.index))
    return [*hole_numbers(hole), *shape, *over_time, *(_work(joint, ground) if over_time else ())]


def season_page(joint_id: str, ground: Ground) -> list[Number]:
    """Return what a joint wore in a season, and all that the season's page says of it in numbers."""
    season = next((one for one in seasons_of(ground) if one.state.joint.id == joint_id), None)
    return season_numbers(season, ground.seasons[0], ground.log) if season is not None else []


def seasons_of(ground: Ground) -> Sequence[JointSeason]:
    """Return the season of each joint of a machine."""
    return machine_season(ground.state, ground.index, *ground.seasons).joints


def _of_joint(joint: JointState) -> list[Number]:
    main = main_trend(joint)
    latest = Behind(main, joint).latest if main is not None else None
    due = measuring_number(joint)
    return [*slack_numbers(joint, latest.keys if latest is not None else ()), *([due] if due is not None else [])]


def _work(joint: JointState, ground: Ground) -> list[Number]:
    found = work_number(joint.trends[0].usage, ground.log) if joint.trends else None
    return [found] if found is not None else []
