"""Which opened numbers stand on which page; asked by the screens, the printed budgets and the data alike."""

from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.records.log import MachineLog
from fieldlog.wear.index import Index
from fieldlog.wear.numbers import Number, hole_numbers, joint_numbers, shape_numbers
from fieldlog.wear.rates import Beside, main_trend
from fieldlog.wear.season import JointSeason, Season, machine_season
from fieldlog.wear.season_numbers import season_numbers
from fieldlog.wear.shapes import hole_shape
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.tool_numbers import measuring_number, slack_numbers
from fieldlog.wear.trend_behind import Behind
from fieldlog.wear.trend_numbers import answer_numbers, numbers_of, rates_first, trend_numbers
from fieldlog.wear.work_numbers import work_number


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
