"""Trends and rates as data, for those who draw or reckon further."""

import math
from collections.abc import Mapping, Sequence

from fieldlog.measure.crossing import Crossing
from fieldlog.measure.line_fit import Straight
from fieldlog.report.rates_view import used_line
from fieldlog.report.trend_view import measured_sentence, odd_day_sentence
from fieldlog.wear.forecast_words import forecast_sentence, rate_sentence, season_sentence
from fieldlog.wear.lenders import Lenders
from fieldlog.wear.measuring import MeasuringDue
from fieldlog.wear.odd_day import median_check
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trend import rate_half_width
from fieldlog.wear.trend_records import Mark, PartBefore, RateChange, Trend, TrendPoint
from fieldlog.wear.verdicts import Verdict

Data = Mapping[str, object]
_DIGITS = 6


def trend_data(trend: Trend, verdict: Verdict | None = None) -> Data:
    """Return one trend: its points and marks, its rate per 100 hours or days, its forecast; lengths in mm.

    `verdict` is that of its joint.
    """
    usage, limit, check = trend.usage, trend.limit, median_check(trend)
    said = (measured_sentence(trend, "mm", verdict), rate_sentence(trend, "mm"), forecast_sentence(trend, "mm"))
    odd = odd_day_sentence(check, trend, "mm") if check is not None else ""
    return {
        "of": trend.of,
        "hole": trend.hole,
        "axis": trend.axis,
        "in_use": usage.in_use.typed if usage.in_use is not None else None,
        "why_days": usage.why_days,
        "points": [_point(point) for point in trend.points],
        "marks": [_mark(mark) for mark in trend.marks],
        "limit_mm": _number(limit.renew_mm) if limit is not None else None,
        "watch_mm": _number(limit.watch_mm) if limit is not None and limit.watch_mm is not None else None,
        "origin": limit.origin if limit is not None else "",
        "measuring_days": trend.days,
        "span": _number(trend.span),
        "rate": _rate(trend.line) if trend.line is not None else None,
        "median_rate_mm_per_100": _number(100 * check.slope) if check is not None else None,
        "speeds_up": trend.curve is not None,
        "speeds_up_by_like_joints": trend.is_curve_by_like,
        "rate_change": _change(trend.rate_change) if trend.rate_change is not None else None,
        "part_before": _part_before(trend.before) if trend.before is not None else None,
        "now": _number(usage.now),
        "today": _number(usage.today),
        "season": {"end": _number(usage.season_end), "origin": usage.origin},
        "watch_reached": _crossing(trend, trend.watch),
        "limit_reached": _crossing(trend, trend.renew),
        "limit_reached_if_rate_doubles": _number(trend.if_faster),
        "chance_over_now": _number(trend.chance_now),
        "chance_over_at_season_end": _number(trend.chance_later),
        "no_rate": trend.no_rate,
        "no_forecast": trend.no_forecast,
        "odd_day": check.day.isoformat() if check is not None and check.day is not None else None,
        "sentences": [text for text in (*said, season_sentence(trend), odd) if text],
    }


def _point(point: TrendPoint) -> Data:
    return {
        "day": point.day.isoformat(),
        "at": _number(point.x),
        "mm": _number(point.value.value_mm),
        "plus_minus_mm": _number(point.value.expanded_mm),
        "part": point.part,
        "left_out": point.left_out,
    }


def _mark(mark: Mark) -> Data:
    return {
        "day": mark.day.isoformat(),
        "at": _number(mark.x),
        "deed": mark.deed,
        "begins_new_part": mark.is_cut,
        "text": mark.text,
    }


def _rate(line: Straight) -> Data:
    return {
        "mm_per_100": _number(100 * line.slope),
        "plus_minus": _number(100 * rate_half_width(line)),
        "u": _number(100 * line.slope_u),
        "dof": _number(line.dof),
    }


def _change(change: RateChange) -> Data:
    return {
        "day": change.mark.day.isoformat(),
        "mm_per_100_before": _number(100 * change.before),
        "mm_per_100_after": _number(100 * change.after),
        "u_of_change": _number(100 * change.change_u),
        "is_proved": change.is_proved,
    }


def _part_before(found: PartBefore) -> Data:
    return {
        "until": found.cut.day.isoformat(),
        "rate": _rate(found.line),
        "measuring_days": found.days,
        "span": _number(found.span),
    }


def _crossing(trend: Trend, reached: Crossing | None) -> Data | None:
    if reached is None:
        return None
    places = {"most_likely": reached.at, "earliest": reached.earliest, "latest": reached.latest}
    days = {name: trend.usage.date_at(x) for name, x in places.items()}
    return {
        name: {"at": _number(x), "day": day.isoformat() if (day := days[name]) else None} for name, x in places.items()
    }


def measuring_data(due: MeasuringDue | None) -> Data | None:
    """Return when to measure next."""
    if due is None:
        return None
    return {"day": due.day.isoformat(), "hours": _number(due.hours), "why": due.why, "is_overdue": due.is_overdue}


def rates_data(rows: Sequence[RateRow]) -> list[Data]:
    """Return the rates side by side, each with its kind's and with what is used."""
    lenders = Lenders(rows)
    return [_rate_row(row, lenders) for row in rows]


def _rate_row(row: RateRow, lenders: Lenders) -> Data:
    found, used = lenders.kind_for(row), used_line(row, lenders)
    return {
        "machine": row.machine.id,
        "joint": row.joint.id,
        "joint_kind": row.kind,
        "machine_kind": row.like,
        "axis": row.axis,
        "measuring_days": row.days,
        "own_mm_per_100": _number(100 * row.rate) if row.rate is not None else None,
        "own_u": _number(100 * row.rate_u) if row.rate_u is not None else None,
        "kind_mm_per_100": _number(100 * found[0].mean) if found is not None else None,
        "kind_joints": found[0].count if found is not None else 0,
        "kind_like": found[1] if found is not None else "",
        "used_mm_per_100": _number(100 * used.slope) if used is not None else None,
    }


def _number(value: float | None) -> float | None:
    return round(value, _DIGITS) if value is not None and math.isfinite(value) else None
