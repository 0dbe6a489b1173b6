"""Rates of like joints on like machines side by side, and what a joint with few readings may borrow from its kind."""

import math
from collections.abc import Iterable, Sequence

from fieldlog.measure.line_fit import Straight
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Machine, shown_name
from fieldlog.wear.axis import FEWEST_DAYS
from fieldlog.wear.lenders import Ahead, Borrowed, Lenders, lent
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.summary import Named, RateRow
from fieldlog.wear.trend_records import Trend

MOST_DOF = 1e6  # beyond that it is the normal distribution; kept finite to be written down
FEW_DAYS = 5  # measuring days from which on a joint speaks for itself: judgement


@dataclass(frozen=True, slots=True)
class Beside:
    """The rates of the whole fleet, and which machine is looked at beside them."""

    machine: str
    rows: Sequence[RateRow]


def like_of(machine: Machine) -> str:
    """Return the kind of a machine as far as machines are compared: what stands before the first comma."""
    return machine.kind.partition(",")[0].strip().casefold()


def rate_rows(state: MachineState) -> tuple[RateRow, ...]:
    """Return the rates of a machine's joints, each by its hole that wears fastest."""
    rows = [_row(state.machine, joint) for joint in state.joints]
    return tuple(row for row in rows if row is not None)


def main_trend(joint: JointState) -> Trend | None:
    """Return the clearance that a joint is known by: of the hole with a line that has the most days, the fastest."""
    found = [trend for trend in joint.trends if trend.of == "clearance"]
    return max(found, key=lambda t: (t.line is not None, min(t.days, FEWEST_DAYS), _slope(t)), default=None)


def _slope(trend: Trend) -> float:
    return trend.line.slope if trend.line is not None else -math.inf


def _row(machine: Machine, joint: JointState) -> RateRow | None:
    trend = main_trend(joint)
    if trend is None or not trend.fitted:
        return None
    line = trend.line
    return RateRow(
        machine=Named(machine.id, shown_name(machine)),
        joint=Named(joint.joint.id, shown_name(joint.joint)),
        like=like_of(machine),
        kind=joint.joint.kind,
        axis=trend.axis,
        rate=line.slope if line is not None else None,
        rate_u=line.slope_u if line is not None else None,
        dof=min(line.dof, MOST_DOF) if line is not None else 1.0,
        days=trend.days,
        span=trend.span,
        least_left=trend.least_left,
        least_span=trend.usage.least_span,
    )


def may_borrow(trend: Trend) -> bool:
    """Tell whether a joint has too few days, or no forecast, of its own."""
    return bool(trend.fitted) and (trend.days < FEW_DAYS or bool(trend.no_forecast))


def borrowed(trend: Trend, row: RateRow, rows: Iterable[RateRow]) -> Borrowed | None:
    """Return what a joint borrows from its kind; None with days enough of its own, or too few joints of the kind."""
    found = Lenders(rows).kind_for(row) if may_borrow(trend) else None
    return lent(own_line(trend), found, ahead_of(trend)) if found is not None else None


def ahead_of(trend: Trend) -> Ahead | None:
    """Return what lies ahead of a joint, None without a limit."""
    limit, usage = trend.limit, trend.usage
    if limit is None:
        return None
    last = max((point.x for point in trend.fitted if point.x is not None), default=usage.now)
    return Ahead(limit.renew_mm, limit.watch_mm, last, usage.season_end, usage.first_look)


def own_line(trend: Trend) -> Straight:
    """Return a joint's own line; with one measuring day only its height is known."""
    if trend.line is not None:
        return trend.line
    last = trend.fitted[-1]
    return Straight(last.x or 0.0, last.value.value_mm, 0.0, last.value.u_mm**2, 0.0, math.inf, last.value.dof)
