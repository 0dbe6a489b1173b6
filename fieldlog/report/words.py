"""Small wordings that screens and sheets share: verdict marks, dates, sizes."""

from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from fieldlog.report.lines import Span
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.measure.estimate import Estimate
    from fieldlog.records.quantities import Units

SIGNS = MappingProxyType(
    {
        Verdict.STOP: "##",
        Verdict.RENEW: "!!",
        Verdict.PLAN: "->",
        Verdict.REMEASURE: "??",
        Verdict.SOUND: "ok",
    }
)
VERDICT_WIDTH = 14


def verdict_span(verdict: Verdict, width: int = VERDICT_WIDTH) -> Span:
    """Return sign and word of a verdict, so that it can be told without colour."""
    return Span(f"{SIGNS[verdict]} {verdict.value}".ljust(width), verdict.value)


def hours_text(hours: Decimal | None) -> str:
    """Return meter hours with their unit, empty when there are none."""
    return f"{hours.normalize():f} h" if hours is not None else ""


def size_or_dash(estimate: "Estimate | None", units: "Units") -> str:
    """Return a size with its uncertainty in the person's unit, a dash when it is not known."""
    from fieldlog.measure.rounding import size_text

    return size_text(estimate, units) if estimate is not None else "-"


def both_or_dash(estimate: "Estimate | None", units: "Units") -> str:
    """Return a size in both units, a dash when it is not known."""
    from fieldlog.measure.rounding import both_text

    return both_text(estimate, units) if estimate is not None else "-"


def count_text(count: int, one: str, many: str = "") -> str:
    """Return '1 reading' or '3 readings'."""
    return f"{count} {one if count == 1 else many or one + 's'}"
