"""What the fleet page says of a machine, in words and plain numbers: all that is needed before one is opened.

These records are handed from process to process and kept between two sittings, so they hold nothing but text,
numbers, dates and each other, and importing them loads no arithmetic. `wear/due.py` makes them.
"""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.wear.verdicts import Verdict

_FEWEST_LENDERS = 3
_FAST = 4.0  # times the fastest: more than any kind of joints can make likely


@dataclass(frozen=True, slots=True)
class Named:
    """Id and shown name of a machine or a joint."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class RateRow:
    """How fast the clearance of one joint grows, mm per hour or day; `rate` is None with fewer than two days.

    `like` is the kind of its machine as far as machines are compared. `axis` is "hours", "days" or "days in use",
    `span` what lies between its first and last measuring day, `least_span` what must for others to borrow from it;
    `least_left` the lower bound of what is left.
    """

    machine: Named
    joint: Named
    like: str
    kind: str
    axis: str
    rate: float | None
    rate_u: float | None
    dof: float
    days: int
    span: float
    least_left: float | None
    least_span: float = 100.0


@dataclass(frozen=True, slots=True)
class DueItem:
    """One joint or link that needs something; `brief` is its number against its limit, empty when there is none.

    `life` is what is left in a few words, `outlook` the rate and the forecast in full; both may be empty. Items are
    put in order by `order`, the smallest first; `twin` is the id of the joint on the other side.
    `borrowed` says from where, if anything in it is borrowed from like joints.
    """

    machine: Named
    joint: Named
    verdict: Verdict
    reason: str
    next_step: str
    brief: str
    life: str
    outlook: str
    order: tuple[float, ...]
    is_link: bool = False
    twin: str = ""
    borrowed: str = ""


@dataclass(frozen=True, slots=True)
class Borrower:
    """A joint with few readings: what is known of it for its kind to foretell the rest, in plain numbers.

    `line` is its own line (centre, level, slope, variance of the level, covariance, variance of the slope, degrees of
    freedom), `ahead` its limit, watch line (or None), last measuring day, season's end (or None) and least wait, all
    along its axis; where that stands today, and how a place on it comes to a date, say the others. `parts` are what
    would be ordered; `item` is its row in the due list, of use where `is_due` or where its kind says that it soon is.
    """

    row: RateRow
    line: tuple[float, float, float, float, float, float, float]
    ahead: tuple[float, float | None, float, float | None, float]
    today: float
    now: float
    as_of: datetime.date
    per_year: float | None
    in_use: str
    parts: str
    item: DueItem
    is_due: bool


@dataclass(frozen=True, slots=True)
class MachineSummary:
    """A machine on one line: its worst finding, how many joints have which verdict, what is due on it, its rates."""

    machine: Named
    kind: str
    meter_hours: Decimal | None
    last_day: datetime.date | None
    worst: Verdict
    severity: int
    counts: tuple[tuple[Verdict, int], ...]
    due: tuple[DueItem, ...]
    rates: tuple[RateRow, ...] = ()
    borrowers: tuple[Borrower, ...] = ()

    @property
    def n_joints(self) -> int:
        """How many joints the machine has."""
        return sum(count for _, count in self.counts)


def due_first(summaries: Iterable[MachineSummary]) -> tuple[DueItem, ...]:
    """Return what is due over the whole fleet, worst first, those alike as they come.

    Of joints that are equally grave the one on the other side comes right behind.

    What joints with few readings borrow from their kind is worked out here, where all machines are known.
    """
    found = tuple(summaries)
    items = [item for summary in found for item in summary.due]
    if _may_borrow(found):
        from fieldlog.wear.borrowing import with_borrowed

        items = with_borrowed(found)
    return _sides_together(sorted(items, key=lambda item: item.order))


def _may_borrow(summaries: Sequence[MachineSummary]) -> bool:
    """Tell whether anything borrowed can show: a joint that is due, or could be if it wore four times as fast as any.

    Most days nothing does, and the arithmetic need not be loaded.
    """
    rates: dict[tuple[str, str], list[float]] = {}
    for row in (row for summary in summaries for row in summary.rates if row.rate is not None):
        rates.setdefault((row.kind, row.axis), []).append(row.rate or 0.0)
    return any(_is_near(one, rates.get((one.row.kind, one.row.axis), [])) for s in summaries for one in s.borrowers)


def _is_near(borrower: Borrower, rates: Sequence[float]) -> bool:
    if len(rates) < _FEWEST_LENDERS or borrower.is_due:
        return len(rates) >= _FEWEST_LENDERS
    limit_mm, watch_mm, last, season_end, _ = borrower.ahead
    until = max(season_end or borrower.today, 2 * borrower.today - last)
    grown = _FAST * max(max(rates), 0.0) * (until - last)
    return borrower.line[1] + 4 * borrower.line[3] ** 0.5 + grown >= (watch_mm or limit_mm)


def _sides_together(items: Sequence[DueItem]) -> tuple[DueItem, ...]:
    """Return the items with the joint on the other side right behind the one that comes first, if it is as grave."""
    by_joint = {(item.machine.id, item.joint.id): item for item in items if not item.is_link}
    found: dict[int, DueItem] = {}
    for item in items:
        twin = by_joint.get((item.machine.id, item.twin)) if item.twin and not item.is_link else None
        for one in (item, *([twin] if twin is not None and twin.order[0] == item.order[0] else [])):
            found.setdefault(id(one), one)
    return tuple(found.values())


def worst_first(summaries: Iterable[MachineSummary]) -> list[MachineSummary]:
    """Return the machines by their worst finding, those alike as they come."""
    return sorted(summaries, key=lambda summary: -summary.severity)
