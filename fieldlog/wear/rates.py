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
    """What a joint borrows: its kind, in words, the blended line, and when it reaches its lines by that.

    `measure_at` is half-way to the earliest that its watch line (else its limit) is reached.
    """

    kind: Kind
    like: str
    line: Straight
    watch: Crossing | None = None
    renew: Crossing | None = None
    chance_later: float | None = None
    measure_at: float | None = None


@dataclass(frozen=True, slots=True)
class Ahead:
    """What lies ahead of a joint: its limit and watch line, its last measuring day, its season's end on the axis.

    `least` are the hours or days within which nothing is asked for again.
    """

    limit_mm: float
    watch_mm: float | None
    last: float
    season_end: float | None
    least: float


class Lenders:
    """The joints that others may borrow from, by kind."""

    def __init__(self, rows: Iterable[RateRow]) -> None:
        self._others: dict[tuple[str, str], list[RateRow]] = {}
        self._alike: dict[tuple[str, str, str], list[RateRow]] = {}
        self._kinds: dict[tuple[str, ...], tuple[Kind, str] | None] = {}
        for row in filter(is_evidence, rows):
            self._others.setdefault((row.kind, row.axis), []).append(row)
            if row.like:
                self._alike.setdefault((row.kind, row.axis, row.like), []).append(row)

    def kind_for(self, row: RateRow) -> tuple[Kind, str] | None:
        """Return what the other joints of a kind say, on like machines where there are enough, else on all of them.

        The joint itself is left out, so that it does not count twice. None with fewer than three others.
        """
        own = (row.machine.id, row.joint.id) if is_evidence(row) else ("", "")
        key = (row.kind, row.axis, row.like, *own)
        if key not in self._kinds:
            self._kinds[key] = self._worked_out(row)
        return self._kinds[key]

    def _worked_out(self, row: RateRow) -> tuple[Kind, str] | None:
        alike = self._alike.get((row.kind, row.axis, row.like), [])
        others = self._others.get((row.kind, row.axis), [])
        for group, words in ((alike, f"on machines of the kind {row.like}"), (others, "on all machines")):
            rates = [
                (other.rate or 0.0, other.rate_u or 0.0)
                for other in group
                if (other.machine, other.joint) != (row.machine, row.joint)
            ]
            if len(rates) >= FEWEST_OF_A_KIND:
                return kind_of(rates), words
        return None


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


def lent(own: Straight, found: tuple[Kind, str], ahead: Ahead | None) -> Borrowed:
    """Return a joint's own line drawn towards its kind, and what that foretells."""
    kind, like = found
    line = blended(own, kind)
    if ahead is None or line.slope <= 0:
        return Borrowed(kind, like, line)
    renew = crossing(line, ahead.limit_mm)
    watch = crossing(line, ahead.watch_mm) if ahead.watch_mm is not None else None
    first = min((reached.earliest for reached in (watch, renew) if reached is not None), default=None)
    return Borrowed(
        kind=kind,
        like=like,
        line=line,
        watch=watch,
        renew=renew,
        chance_later=line.chance_over(ahead.season_end, ahead.limit_mm) if ahead.season_end is not None else None,
        measure_at=ahead.last + max((first - ahead.last) / 2, ahead.least) if first is not None else None,
    )


def own_line(trend: Trend) -> Straight:
    """Return a joint's own line; with one measuring day only its height is known."""
    if trend.line is not None:
        return trend.line
    last = trend.fitted[-1]
    return Straight(last.x or 0.0, last.value.value_mm, 0.0, last.value.u_mm**2, 0.0, math.inf, last.value.dof)
