"""What a joint with few readings borrows from its kind for the due list: its place in it, and when to measure it.

Nothing here is a verdict: what is borrowed is said to be, orders nothing and condemns nothing. It works on what the
fleet page knows of every machine, so that no machine's files are read for another's sake.
"""

import datetime
import math
from collections.abc import Sequence
from dataclasses import replace

from fieldlog.measure.line_fit import Straight
from fieldlog.records.days import month_text
from fieldlog.records.in_use import InUse
from fieldlog.wear.axis import UNITS, day_after, rounded
from fieldlog.wear.lenders import Ahead, Borrowed, Lenders, lent
from fieldlog.wear.summary import Borrower, DueItem, MachineRates

ORDER_AT = 0.05  # as for a joint's own forecast
_QUARTERS = 4
_MOST_YEARS = 100.0


def borrowed_items(machines: Sequence[MachineRates]) -> list[DueItem]:
    """Return the rows of the due list that rest on what is borrowed; each stands in for the joint's own, if it has one.

    `machines` are all of the fleet, since each may lend to any other.
    """
    lenders = Lenders(row for machine in machines for row in machine.rates)
    found = (_item(borrower, lenders) for machine in machines for borrower in machine.borrowers)
    return [item for item in found if item is not None]


def _item(borrower: Borrower, lenders: Lenders) -> DueItem | None:
    """Return the row of a joint that borrows; None for one that is not due and, by its kind, may not be soon."""
    kind = lenders.kind_for(borrower.row)
    if kind is None:
        return None
    found = lent(Straight(*borrower.line), kind, Ahead(*borrower.ahead))
    is_late = found.measure_at is not None and found.measure_at <= borrower.today
    may_not_last = found.chance_later is not None and found.chance_later >= ORDER_AT
    ask = f"ask where {borrower.parts} can be had. Order nothing on a borrowed rate: its own readings decide."
    if borrower.is_due:
        step = f"{borrower.item.next_step} By its kind it may not last the season: {ask}"
        item = replace(borrower.item, next_step=step) if may_not_last else borrower.item
        return _placed(item, borrower, found)
    if not (is_late or may_not_last):
        return None
    when = "now" if is_late else f"by {_when(borrower, found)}"
    return _placed(
        replace(
            borrower.item,
            brief=f"borrowed: {when.removeprefix('by ')}" if is_late else f"borrowed: {when}",
            next_step=f"Measure again {when}, and {ask}",
        ),
        borrower,
        found,
    )


def _placed(item: DueItem, borrower: Borrower, found: Borrowed) -> DueItem:
    """Return a row with what is borrowed said, and in the place that it has by that where its own tells none."""
    order = list(item.order)
    if borrower.row.least_left is None and found.renew is not None and borrower.per_year:
        years = max(found.renew.earliest - borrower.today, 0.0) / borrower.per_year
        order[2] = float(math.floor(min(years, _MOST_YEARS) * _QUARTERS))
    said = borrowed_ahead(borrower, found)
    return replace(
        item,
        order=tuple(order),
        outlook=" ".join(part for part in (item.outlook, said) if part),
        life=item.life or f"from {found.kind.count} like joints",
        borrowed=f"from {found.kind.count} like joints {found.like}",
    )


def borrowed_ahead(borrower: Borrower, found: Borrowed) -> str:
    """Return what the kind foretells, said to be borrowed."""
    days = {1: "one measuring day", 2: "two measuring days"}.get(borrower.row.days, f"{borrower.row.days} days")
    said = f"Borrowed from {found.kind.count} like joints {found.like}, since it has {days} of its own:"
    if found.renew is None:
        return f"{said} even so no forecast can be given."
    left, unit = found.renew.earliest - borrower.today, UNITS[borrower.row.axis]
    if left <= 0:
        return f"{said} it may have reached its limit already."
    date = _date(borrower, found.renew.earliest)
    month = f" ({month_text(date)})" if date is not None else ""
    return f"{said} it may reach its limit in {rounded(left)} {unit}{month} at the earliest."


def _when(borrower: Borrower, found: Borrowed) -> str:
    """Return the month by which a joint is to be measured."""
    date = _date(borrower, found.measure_at) if found.measure_at is not None else None
    return month_text(date) if date is not None else "the end of the season"


def _date(borrower: Borrower, x: float) -> datetime.date | None:
    if not borrower.per_year:
        return None
    in_use = InUse.from_text(borrower.in_use) if borrower.in_use else None
    return day_after(borrower.as_of, (x - borrower.now) / borrower.per_year, in_use)
