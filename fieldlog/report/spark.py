"""A joint's clearance over the days of its span in a few cells, the limit being full scale."""

from fieldlog.wear.rates import main_trend
from fieldlog.wear.states import JointState

CELLS = 8
_BLOCKS = "▁▂▃▄▅▆▇█"
_ASCII = "_.-=+*%#"
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
