"""A limit in a few cells: the bar of how much is used up, and a joint's clearance over the days of its span.

One scale for every bar of one width: the upright of the limit is always in the same cell, so that bars under each
other can be compared without reading a number. Solid is surely used up, fuzzy is the doubt, an arrow runs off the end.
"""

import math

from fieldlog.pages.lines import Line, Span, line
from fieldlog.wear.states import JointState
from fieldlog.wear.trends.rates import main_trend

LEAST_CELLS = 8
SOLID, FUZZY, UPRIGHT, ARROW, TICK, EMPTY = "█", "▒", "│", "►", "╷", " "
_BEFORE = 10 / 13  # this share of the cells lies under the limit, the rest over it
_DUST = 1e-9  # of a cell: what floats lose, and no more


def limit_cell(cells: int) -> int:
    """Return in which cell of a bar the limit's upright stands; it depends on the width alone."""
    return int(max(cells, LEAST_CELLS) * _BEFORE)


def limit_bar(
    value: float, plus_minus: float, limit: float, new_most: float | None = None, cells: int = 13, mark: str = "picture"
) -> Line:
    """Return the bar, `cells` wide and never under 8; value, doubt, limit and the most of a new part in one unit.

    A cell is solid where all of it is under the value less its doubt, fuzzy where some of it is under the value and its
    doubt. What is no number, or no limit, is an empty bar with its upright. Plain ASCII is a matter of `in_ascii`.
    """
    cells = max(cells, LEAST_CELLS)
    at = limit_cell(cells)
    row = [EMPTY] * (cells - 1)  # the cells of the scale; the upright between two of them takes no room on it
    runs_off = False
    if _is_drawn(value, limit):
        step, doubt = limit / at, abs(plus_minus) if not math.isnan(plus_minus) else math.inf
        solid = _whole((value - doubt) / step, len(row))
        ends = (value + doubt) / step
        reached = math.ceil(max(0.0, min(ends - _DUST, float(len(row)))))
        row[:reached] = [SOLID] * min(solid, reached) + [FUZZY] * (reached - solid)
        runs_off = ends > len(row) + _DUST
        if new_most is not None and 0 < new_most <= limit:
            row[min(math.ceil(new_most / step - _DUST), at) - 1] = TICK
    if runs_off:
        row[-1] = ARROW
    text = "".join((*row[:at], UPRIGHT, *row[at:]))
    return line(Span(text, mark))


def _is_drawn(value: float, limit: float) -> bool:
    return math.isfinite(value) and math.isfinite(limit) and limit > 0


def _whole(cells: float, most: int) -> int:
    """Return how many whole cells lie under a place, of so many."""
    return math.floor(max(0.0, min(cells + _DUST, float(most))))


def share_words(value: float, plus_minus: float, limit: float) -> str:
    """Return what the bar shows, in words: 'a third used up', 'surely over', ...; empty without a limit."""
    if not _is_drawn(value, limit):
        return ""
    low, high = (value - plus_minus) / limit, (value + plus_minus) / limit
    if low > 1:
        return "surely over its limit"
    if high > 1:
        return "at its limit within its doubt"
    return (
        f"{max(round(100 * value / limit), 0)} % of its limit used up, surely under {max(math.ceil(100 * high), 1)} %"
    )


CELLS = 8
_BLOCKS = "▁▂▃▄▅▆▇█"
_ASCII = "_.-=+*X#"
_OVER = "!"


def spark_of(state: JointState, cells: int = CELLS, *, ascii_only: bool = False) -> str:
    """Return one cell a measuring day, the last `cells` days; `!` is over the limit. Empty under two days.

    Eight heights are eighths of the limit; without a limit of the clearance, of the largest day.
    """
    trend = main_trend(state)
    days = [p for p in trend.points if p.part == trend.last_part and not p.left_out] if trend is not None else []
    if trend is None or len(days) < 2:
        return ""
    values = [point.value.value_mm for point in days]
    full = trend.limit.renew_mm if trend.limit is not None else max(values)
    return "".join(_cell(value, full, _ASCII if ascii_only else _BLOCKS) for value in values[-cells:])


def _cell(value_mm: float, full_mm: float, signs: str) -> str:
    if full_mm <= 0:
        return signs[0]
    if value_mm > full_mm:
        return _OVER
    return signs[min(max(int(value_mm / full_mm * len(signs)), 0), len(signs) - 1)]
