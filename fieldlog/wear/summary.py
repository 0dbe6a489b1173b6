"""What the fleet page says of a machine, in words and plain numbers: all that is needed before one is opened.

These records are handed from process to process and kept between two sittings, so they hold nothing but text,
numbers, dates and each other, and importing them loads no arithmetic. `wear/due.py` makes them.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.wear.verdicts import Verdict


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
    put in order by `order`, the smallest first.
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

    @property
    def n_joints(self) -> int:
        """How many joints the machine has."""
        return sum(count for _, count in self.counts)


def due_first(summaries: Iterable[MachineSummary]) -> tuple[DueItem, ...]:
    """Return what is due over the whole fleet, worst first, those alike as they come."""
    return tuple(sorted((item for summary in summaries for item in summary.due), key=lambda item: item.order))


def worst_first(summaries: Iterable[MachineSummary]) -> list[MachineSummary]:
    """Return the machines by their worst finding, those alike as they come."""
    return sorted(summaries, key=lambda summary: -summary.severity)
