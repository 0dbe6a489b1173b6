"""Rates of like joints on like machines side by side, and what those with few readings borrow from their kind."""

import math
from collections.abc import Sequence

from fieldlog.measure.line_fit import Straight
from fieldlog.measure.rounding import mm_text, size_text
from fieldlog.measure.shrinkage import Kind, blended
from fieldlog.records.quantities import Units
from fieldlog.report.fleet_view import JointTarget
from fieldlog.report.lines import BLANK, Line, Span, fit, line, wrapped
from fieldlog.report.words import count_text
from fieldlog.wear.axis import UNITS, rounded
from fieldlog.wear.forecast_words import rate_of
from fieldlog.wear.lenders import Lenders
from fieldlog.wear.rates import FEW_DAYS
from fieldlog.wear.summary import RateRow

_NAME_WIDTH = 16
_RATE_WIDTH = 15
_DAYS_WIDTH = 8
_LEFT_WIDTH = 12
_WIDE = 76


def rates_lines(rows: Sequence[RateRow], units: Units, width: int) -> tuple[Line, ...]:
    """Return the page: a table for each kind of joint on each kind of machine, the fastest first."""
    lines: list[Line] = []
    lenders = Lenders(rows)
    groups: dict[tuple[str, str, str], list[RateRow]] = {}
    for row in rows:
        groups.setdefault((row.kind, row.like, row.axis), []).append(row)
    for (kind, like, axis), group in sorted(groups.items()):
        unit = UNITS.get(axis, axis)
        where = f" on machines of the kind {like}" if like else ""
        lines += [BLANK] if lines else []
        lines += wrapped(f"{kind.capitalize()} joints{where}, {units} per 100 {unit}", width, "", "head")
        lines += [row for one in sorted(group, key=_fastest) for row in _row_lines(one, lenders, units, width)]
    if not lines:
        return wrapped("No joint is measured yet.", width, "", "dim")
    left = ", what is left at the least" if width >= _WIDE else ""
    return (*wrapped(f"Own rate with its doubt, measuring days{left}.", width, "", "dim"), BLANK, *lines)


def _fastest(row: RateRow) -> float:
    return -row.rate if row.rate is not None else math.inf


def _row_lines(row: RateRow, lenders: Lenders, units: Units, width: int) -> tuple[Line, ...]:
    is_wide = width >= _WIDE
    days = count_text(row.days, "day").rjust(_DAYS_WIDTH)
    left = (
        (f"{rounded(row.least_left)} left" if row.least_left is not None else "").rjust(_LEFT_WIDTH) if is_wide else ""
    )
    room = width - _NAME_WIDTH - _RATE_WIDTH - len(days) - len(left) - 2
    head = line(
        fit(row.machine.name, _NAME_WIDTH),
        " ",
        fit(row.joint.name, max(room, 6)),
        " ",
        Span(own_rate_text(row, units).rjust(_RATE_WIDTH), "strong"),
        Span(f"{days}{left}", "dim"),
        target=JointTarget(row.machine.id, row.joint.id),
    )
    used = used_text(row, lenders, units)
    return (head, *wrapped(used, width, "   ", "dim")) if used else (head,)


def own_rate_text(row: RateRow, units: Units) -> str:
    """Return a joint's own rate with its doubt, a dash where it has none."""
    if row.rate is None or row.rate_u is None:
        return "-"
    return size_text(rate_of(row.rate, row.rate_u, row.dof), units).removesuffix(f" {units}")


def used_text(row: RateRow, lenders: Lenders, units: Units) -> str:
    """Return what a joint with few readings is reckoned with; empty where it speaks for itself or the kind is small."""
    found = _borrows_from(row, lenders)
    if found is None:
        return ""
    kind, like = found
    line_of = used_line(row, lenders)
    assert line_of is not None

    def number(slope: float) -> str:
        return mm_text(100 * slope, units, 3 if units == "mm" else 4).removesuffix(f" {units}")

    own = f"own {number(row.rate)}" if row.rate is not None else "none of its own"
    return f"{own}, kind {number(kind.mean)} from {kind.count} joints {like}: used {number(line_of.slope)}"


def used_line(row: RateRow, lenders: Lenders) -> Straight | None:
    """Return the blended rate of a joint with few readings as the slope of a line; None where it speaks for itself."""
    found = _borrows_from(row, lenders)
    if found is None:
        return None
    variance = row.rate_u**2 if row.rate_u is not None else math.inf
    return blended(Straight(0.0, 0.0, row.rate or 0.0, 0.0, 0.0, variance, row.dof), found[0])


def _borrows_from(row: RateRow, lenders: Lenders) -> tuple[Kind, str] | None:
    return lenders.kind_for(row) if row.days < FEW_DAYS or row.least_left is None else None
