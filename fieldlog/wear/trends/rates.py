"""What like joints on like machines lend to one with few readings: their rate, and what that foretells.

It works on plain rows alone, and loads nothing that the first screen does not need anyway but its own arithmetic.

Rates of like joints on like machines side by side, and what a joint with few readings may borrow from its kind.

Like joints of one machine looked at together, whether they wear faster and faster.

What a joint with few readings borrows from its kind for the due list: its place in it, and when to measure it.

A joint borrows from its kind with fewer than five days or no forecast: the others of its kind on like machines (words
before the first comma of the machine's kind), else on all, three at least, itself left out. Between-joint variance
after Paule & Mandel, never under a quarter of the mean. It is never put into a verdict. For the due list
(`wear/rates.py`) each overview carries its joints with few readings as plain numbers (`Borrower`), since only there
all machines are known: a sound one that by its kind may not last the season gets a row under its own verdict.
"""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldlog.measure.crossing import FEWEST_OF_A_KIND, Crossing, Kind, KindWithout, blended, crossing
from fieldlog.measure.line_fit import Straight
from fieldlog.quantity.distributions import normal_quantile, t_cdf
from fieldlog.quantity.said import Said, said
from fieldlog.records.machine import JointKind, Machine, shown_name
from fieldlog.records.seasons import InUse
from fieldlog.wear.states import JointState, MachineState
from fieldlog.wear.summary import Borrower, MachineRates, Named, RateRow
from fieldlog.wear.trends.hours import FEWEST_DAYS, day_after
from fieldlog.wear.trends.records import Trend


@dataclass(frozen=True, slots=True)
class Borrowed:
    """What a joint borrows: its kind, on which machines, the blended line, and when it reaches its lines by that.

    `measure_at` is half-way to the earliest that its watch line (else its limit) is reached.
    """

    kind: Kind
    like: Said
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
    """The joints that others may borrow from, by kind; asking costs the same in a large fleet as in a small one."""

    def __init__(self, rows: Iterable[RateRow]) -> None:
        self._others: dict[tuple[str, str], list[RateRow]] = {}
        self._alike: dict[tuple[str, str, str], list[RateRow]] = {}
        self._kinds: dict[tuple[str, ...], KindWithout] = {}
        for row in filter(is_evidence, rows):
            self._others.setdefault((row.kind, row.axis), []).append(row)
            if row.like:
                self._alike.setdefault((row.kind, row.axis, row.like), []).append(row)

    def kind_for(self, row: RateRow) -> tuple[Kind, Said] | None:
        """Return what the other joints of a kind say, on like machines where there are enough, else on all of them.

        The joint itself is left out, so that it does not count twice. None with fewer than three others.
        """
        alike, others = (row.kind, row.axis, row.like), (row.kind, row.axis)
        found = self._kind(alike, self._alike.get(alike, []), row)
        if found is not None:
            return found, said("trend.on_like_machines", like=row.like)
        found = self._kind(others, self._others.get(others, []), row)
        return (found, said("trend.on_all_machines")) if found is not None else None

    def _kind(self, key: tuple[str, ...], group: Sequence[RateRow], row: RateRow) -> Kind | None:
        is_in_it = is_evidence(row)
        if len(group) - is_in_it < FEWEST_OF_A_KIND:
            return None
        if key not in self._kinds:
            self._kinds[key] = KindWithout([_rate_of(other) for other in group])
        kind = self._kinds[key]
        return kind.without(*_rate_of(row)) if is_in_it else kind.whole


def _rate_of(row: RateRow) -> tuple[float, float]:
    return row.rate or 0.0, row.rate_u or 0.0


def is_evidence(row: RateRow) -> bool:
    """Tell whether others may borrow from a joint: it has three days and 100 hours at least."""
    return row.rate is not None and row.days >= FEWEST_DAYS and row.span >= row.least_span


def lent(own: Straight, found: tuple[Kind, Said], ahead: Ahead | None) -> Borrowed:
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
    return bool(trend.fitted) and (trend.days < FEW_DAYS or trend.no_forecast is not None)


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
    return Straight(last.x or 0.0, last.value.value, 0.0, last.value.u**2, 0.0, math.inf, last.value.dof)


FEWEST_JOINTS = 3
_SURE = 0.975
_TAIL = 1e-9


def kinds_that_speed_up(joints: Iterable[JointState]) -> frozenset[JointKind]:
    """Return the kinds of joints of a machine that are proved, together, to wear faster and faster.

    Each joint's squared term over its doubt is turned into a normal score z by its own t; their sum over the root of
    their number is a normal score again (S. A. Stouffer et al. 1949, from memory), to be over that of 97.5 %. From
    three joints on, each by its clearance; the joints are taken to be measured independently of each other.
    """
    scores: dict[JointKind, list[float]] = {}
    for joint in joints:
        trend = main_trend(joint)
        if trend is not None and trend.bend is not None:
            scores.setdefault(joint.joint.kind, []).append(_score(*trend.bend))
    limit = normal_quantile(_SURE)
    return frozenset(
        kind
        for kind, found in scores.items()
        if len(found) >= FEWEST_JOINTS and math.fsum(found) / math.sqrt(len(found)) > limit
    )


def _score(ratio: float, dof: float) -> float:
    return normal_quantile(min(max(t_cdf(ratio, dof), _TAIL), 1 - _TAIL))


ORDER_AT = 0.05  # as for a joint's own forecast
_QUARTERS = 4
_MOST_YEARS = 100.0


@dataclass(frozen=True, slots=True)
class Lending:
    """What its kind lends to a joint's row in the due list.

    `next_steps` come behind its own where the joint `is_due`; else they and `brief` stand in their place. `outlook`
    comes behind its own, `life` where it has none; `source` says from where it is borrowed.
    """

    row: RateRow
    is_due: bool
    order: tuple[float, ...]
    next_steps: tuple[Said, ...]
    brief: Said | None
    life: Said
    outlook: Said
    source: Said


def lendings(machines: Sequence[MachineRates]) -> list[Lending]:
    """Return what the rows of the due list rest on that is borrowed; each stands in for the joint's own, if it has one.

    `machines` are all of the fleet, since each may lend to any other.
    """
    lenders = Lenders(row for machine in machines for row in machine.rates)
    found = (_lending(borrower, lenders) for machine in machines for borrower in machine.borrowers)
    return [lending for lending in found if lending is not None]


def _lending(borrower: Borrower, lenders: Lenders) -> Lending | None:
    """Return what a joint borrows; None for one that is not due and, by its kind, may not be soon."""
    kind = lenders.kind_for(borrower.row)
    if kind is None:
        return None
    found = lent(Straight(*borrower.line), kind, Ahead(*borrower.ahead))
    is_late = found.measure_at is not None and found.measure_at <= borrower.today
    may_not_last = found.chance_later is not None and found.chance_later >= ORDER_AT
    if borrower.is_due:
        steps = (said("trend.may_not_last_by_like", parts=borrower.parts),) if may_not_last else ()
        return _placed(borrower, found, steps, None)
    if not (is_late or may_not_last):
        return None
    by = None if is_late or found.measure_at is None else _date(borrower, found.measure_at)
    steps = (said("trend.measure_and_ask_by_like", is_now=is_late, by=by, parts=borrower.parts),)
    return _placed(borrower, found, steps, said("trend.brief_by_like", is_now=is_late, by=by))


def _placed(borrower: Borrower, found: Borrowed, steps: tuple[Said, ...], brief: Said | None) -> Lending:
    """Return what is borrowed, in the place that the joint has by that where its own tells none."""
    order = list(borrower.order)
    if borrower.row.least_left is None and found.renew is not None and borrower.per_year:
        years = max(found.renew.earliest - borrower.today, 0.0) / borrower.per_year
        order[2] = float(math.floor(min(years, _MOST_YEARS) * _QUARTERS))
    count = found.kind.count
    return Lending(
        row=borrower.row,
        is_due=borrower.is_due,
        order=tuple(order),
        next_steps=steps,
        brief=brief,
        life=said("trend.life_by_like", count=count),
        outlook=borrowed_told(borrower, found),
        source=said("trend.from_like", count=count, like=found.like),
    )


def borrowed_told(borrower: Borrower, found: Borrowed) -> Said:
    """Say what the kind foretells, and that it is borrowed."""
    head = said("trend.borrowed_from_like", count=found.kind.count, like=found.like, days=borrower.row.days)
    if found.renew is None:
        return said("trend.no_forecast_by_like", head=head)
    earliest = found.renew.earliest
    left, date = earliest - borrower.today, _date(borrower, earliest)
    return said("trend.forecast_by_like", head=head, left=left, axis=borrower.row.axis, date=date)


def _date(borrower: Borrower, x: float) -> datetime.date | None:
    if not borrower.per_year:
        return None
    in_use = InUse.from_text(borrower.in_use) if borrower.in_use else None
    return day_after(borrower.as_of, (x - borrower.now) / borrower.per_year, in_use)
