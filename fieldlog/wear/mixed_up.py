"""A link that seems to open shorter than it closes: said once, and nothing is worked out from it."""

from fieldlog.measure.travel import taped_travel
from fieldlog.wear.states import LinkReport

MIXED_UP = "It opens shorter than it closes: closed and open are mixed up, or an edge is wrong; tape both again."


def is_mixed_up(report: LinkReport) -> bool:
    """Tell whether the link would open shorter than it closes."""
    closed, opened = report.closed, report.open
    if closed is None or opened is None:
        return False
    travel = taped_travel(closed, opened)
    return travel is not None and travel.value_mm < 0
