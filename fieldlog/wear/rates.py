"""Rates of like joints on like machines side by side, and what a joint with few readings may borrow from its kind."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldlog.measure.crossing import Crossing, crossing
from fieldlog.measure.line_fit import Straight
from fieldlog.measure.shrinkage import FEWEST_OF_A_KIND, Kind, blended, kind_of
from fieldlog.records.machine import Machine, shown_name
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.summary import Named, RateRow
from fieldlog.wear.trend import FEWEST_DAYS
from fieldlog.wear.trend_records import Trend

MOST_DOF = 1e6  # beyond that it is the normal distribution; kept finite to be written down
FEW_DAYS = 5  # measuring days from which on a joint speaks for itself: judgement


@dataclass(frozen=True, slots=True)
class Beside:
    """The rates of the whole fleet, and which machine is looked at beside them."""

    machine: str
    rows: Sequence[RateRow]


@dataclass(frozen=True, slots=True)
class Borrowed:
    """What a joint borrows: its kind, in words, the blended line, and when it reaches its limit by that."""

    kind: Kind
    like: str
    line: Straight
    renew: Crossing | None
    chance_later: float | None


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


def is_evidence(row: RateRow) -> bool:
    """Tell whether others may borrow from a joint: it has three days and 100 hours at least."""
    return row.rate is not None and row.days >= FEWEST_DAYS and row.span >= row.least_span


def kind_for(row: RateRow, rows: Iterable[RateRow]) -> tuple[Kind, str] | None:
    """Return what the other joints of a kind say, on like machines where there are enough, else on all of them.

    The joint itself is left out, so that it does not count twice. None with fewer than three others.
    """
    others = [
        other
        for other in rows
        if is_evidence(other)
        and (other.kind, other.axis) == (row.kind, row.axis)
        and (other.machine, other.joint) != (row.machine, row.joint)
    ]
    alike = [other for other in others if other.like == row.like and row.like]
    for group, words in ((alike, f"on machines of the kind {row.like}"), (others, "on all machines")):
        if len(group) >= FEWEST_OF_A_KIND:
            return kind_of([(other.rate or 0.0, other.rate_u or 0.0) for other in group]), words
    return None


def borrowed(trend: Trend, row: RateRow, rows: Sequence[RateRow]) -> Borrowed | None:
    """Return what a joint borrows from its kind; None with days enough of its own, or too few joints of the kind."""
    if not trend.fitted or (trend.days >= FEW_DAYS and not trend.no_forecast):
        return None
    found = kind_for(row, rows)
    if found is None:
        return None
    kind, like = found
    line = blended(_own_line(trend), kind)
    limit, end = trend.limit, trend.usage.season_end
    return Borrowed(
        kind=kind,
        like=like,
        line=line,
        renew=crossing(line, limit.renew_mm) if limit is not None and line.slope > 0 else None,
        chance_later=line.chance_over(end, limit.renew_mm) if limit is not None and end is not None else None,
    )


def _own_line(trend: Trend) -> Straight:
    """Return a joint's own line; with one measuring day only its height is known."""
    if trend.line is not None:
        return trend.line
    last = trend.fitted[-1]
    return Straight(last.x or 0.0, last.value.value_mm, 0.0, last.value.u_mm**2, 0.0, math.inf, last.value.dof)
