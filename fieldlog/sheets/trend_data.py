"""Trends and rates as data, for those who draw or reckon further.

A size as data, with everything its doubt is made of.

A number opened up, as data: value, doubt with its parts, what it follows from, and the keys of its readings.

Slack at the tool as data.
"""

import math
from collections.abc import Callable, Mapping, Sequence

from fieldlog.measure.crossing import Crossing
from fieldlog.measure.line_fit import Straight
from fieldlog.pages.figures import narrowed_most_by
from fieldlog.pages.joint import measured_sentence, odd_day_sentence
from fieldlog.pages.season import used_line
from fieldlog.quantity.estimate import Estimate, Figure, Interval, Step
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.page_number import AnyValue, Number, in_its_unit
from fieldlog.quantity.said import Said
from fieldlog.quantity.value import Value
from fieldlog.wear.numbers.page import Ground, joint_answers, season_page
from fieldlog.wear.states import JointState, MeasuringDue, ToolSlack
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trends.rates import Lenders
from fieldlog.wear.trends.records import (
    Mark,
    PartBefore,
    RateChange,
    Trend,
    TrendPoint,
    forecast_told,
    rate_told,
    season_told,
)
from fieldlog.wear.trends.trend import median_check, rate_half_width
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.speak import say, words_of

Data = Mapping[str, object]
_DIGITS = 6


def trend_data(trend: Trend, verdict: Verdict | None = None) -> Data:
    """Return one trend: its points and marks, its rate per 100 hours or days, its forecast; lengths in mm.

    `verdict` is that of its joint.
    """
    usage, limit, check = trend.usage, trend.limit, median_check(trend)
    told = (rate_told(trend), forecast_told(trend), season_told(usage, trend.chance_later))
    said = (measured_sentence(trend, "mm", verdict), *(words_of(one, "mm") for one in told))
    odd = odd_day_sentence(check, trend, "mm") if check is not None else ""
    return {
        "of": trend.of,
        "hole": trend.hole,
        "axis": trend.axis,
        "in_use": usage.in_use.typed if usage.in_use is not None else None,
        "why_days": words_of(usage.why_days, "mm"),
        "points": [_point(point) for point in trend.points],
        "marks": [_mark(mark) for mark in trend.marks],
        "limit_mm": _number_or_none(limit.renew_mm) if limit is not None else None,
        "watch_mm": _number_or_none(limit.watch_mm) if limit is not None and limit.watch_mm is not None else None,
        "origin": words_of(limit.origin, "mm") if limit is not None else "",
        "measuring_days": trend.days,
        "span": _number_or_none(trend.span),
        "rate": _rate(trend.line) if trend.line is not None else None,
        "median_rate_mm_per_100": _number_or_none(100 * check.slope) if check is not None else None,
        "speeds_up": trend.curve is not None,
        "speeds_up_by_like_joints": trend.is_curve_by_like,
        "rate_change": _change(trend.rate_change) if trend.rate_change is not None else None,
        "part_before": _part_before(trend.before) if trend.before is not None else None,
        "now": _number_or_none(usage.now),
        "today": _number_or_none(usage.today),
        "season": {"end": _number_or_none(usage.season_end), "origin": say(usage.origin, "mm")},
        "watch_reached": _crossing(trend, trend.watch),
        "limit_reached": _crossing(trend, trend.renew),
        "limit_reached_if_rate_doubles": _number_or_none(trend.if_faster),
        "chance_over_now": _number_or_none(trend.chance_now),
        "chance_over_at_season_end": _number_or_none(trend.chance_later),
        "no_rate": words_of(trend.no_rate, "mm"),
        "no_forecast": words_of(trend.no_forecast, "mm"),
        "odd_day": check.day.isoformat() if check is not None and check.day is not None else None,
        "sentences": [text for text in (*said, odd) if text],
    }


def _point(point: TrendPoint) -> Data:
    return {
        "day": point.day.isoformat(),
        "at": _number_or_none(point.x),
        "mm": _number_or_none(point.value.value),
        "plus_minus_mm": _number_or_none(point.value.plus_minus),
        "part": point.part,
        "left_out": words_of(point.left_out, "mm"),
    }


def _mark(mark: Mark) -> Data:
    return {
        "day": mark.day.isoformat(),
        "at": _number_or_none(mark.x),
        "deed": mark.deed,
        "begins_new_part": mark.is_cut,
        "text": mark.text,
    }


def _rate(line: Straight) -> Data:
    return {
        "mm_per_100": _number_or_none(100 * line.slope),
        "plus_minus": _number_or_none(100 * rate_half_width(line)),
        "u": _number_or_none(100 * line.slope_u),
        "dof": _number_or_none(line.dof),
    }


def _change(change: RateChange) -> Data:
    return {
        "day": change.mark.day.isoformat(),
        "mm_per_100_before": _number_or_none(100 * change.before),
        "mm_per_100_after": _number_or_none(100 * change.after),
        "u_of_change": _number_or_none(100 * change.change_u),
        "is_proved": change.is_proved,
    }


def _part_before(found: PartBefore) -> Data:
    return {
        "until": found.cut.day.isoformat(),
        "rate": _rate(found.line),
        "measuring_days": found.days,
        "span": _number_or_none(found.span),
    }


def _crossing(trend: Trend, reached: Crossing | None) -> Data | None:
    if reached is None:
        return None
    places = {"most_likely": reached.at, "earliest": reached.earliest, "latest": reached.latest}
    days = {name: trend.usage.date_at(x) for name, x in places.items()}
    return {
        name: {"at": _number_or_none(x), "day": day.isoformat() if (day := days[name]) else None}
        for name, x in places.items()
    }


def measuring_data(due: MeasuringDue | None) -> Data | None:
    """Return when to measure next."""
    if due is None:
        return None
    return {
        "day": due.day.isoformat(),
        "hours": _number_or_none(due.hours),
        "why": say(due.why, "mm"),
        "is_overdue": due.is_overdue,
    }


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
        "own_mm_per_100": _number_or_none(100 * row.rate) if row.rate is not None else None,
        "own_u": _number_or_none(100 * row.rate_u) if row.rate_u is not None else None,
        "kind_mm_per_100": _number_or_none(100 * found[0].mean) if found is not None else None,
        "kind_joints": found[0].count if found is not None else 0,
        "kind_like": say(found[1], "mm") if found is not None else "",
        "used_mm_per_100": _number_or_none(100 * used.slope) if used is not None else None,
    }


def _number_or_none(value: float | None) -> float | None:
    return round(value, _DIGITS) if value is not None and math.isfinite(value) else None


def size_data(estimate: Estimate | None) -> Mapping[str, object] | None:
    """Return a size with its 95 % half-width, standard uncertainty and degrees of freedom (null: infinite)."""
    if estimate is None:
        return None
    return {
        "mm": number(estimate.value),
        "plus_minus_mm": number(estimate.plus_minus),
        "u_mm": number(estimate.u_mm),
        "dof": number(estimate.dof) if math.isfinite(estimate.dof) else None,
        "coverage": Derivation(lambda: number(estimate.coverage)),
        "parts": Derivation(lambda: _parts_data(estimate)),
    }


def _parts_data(estimate: Estimate) -> list[Data]:
    return [
        {
            "name": part.name,
            "u_mm": number(part.u_mm),
            "dof": number(part.dof) if math.isfinite(part.dof) else None,
            "source": part.source,
            "is_limit": part.is_limit,
        }
        for part in estimate.parts
    ]


def number(value: float) -> float:
    """Return a number to six decimals: a millionth of a millimetre."""
    return round(value, _DIGITS)


_RATE_DIGITS = 9  # rates are small


class Derivation:
    """What a number follows from, made only where it is asked for: steps, parts, factor, readings as corrected."""

    __slots__ = ("make",)

    def __init__(self, make: Callable[[], object]) -> None:
        self.make = make


def plain(data: object, *, is_whole: bool = True) -> object:
    """Return data with every derivation made, or with none and without its key."""
    if isinstance(data, Mapping):
        kept = ((key, value) for key, value in data.items() if is_whole or not isinstance(value, Derivation))
        return {key: plain(value, is_whole=is_whole) for key, value in kept}
    if isinstance(data, Derivation):
        return plain(data.make())
    if isinstance(data, list | tuple):
        return [plain(value, is_whole=is_whole) for value in data]
    return data


def derived(make: Callable[[], Sequence[Number]]) -> Derivation:
    """Return numbers opened up, worked out only where they are asked for."""
    return Derivation(lambda: numbers_data(make()))


def numbers_data(numbers: Sequence[Number]) -> list[Data]:
    """Return numbers in their own units, lengths in mm; an infinite number of degrees of freedom is null.

    Readings that stand under an earlier number already are named by its word.
    """
    first: dict[tuple[str, ...], str] = {}
    found: list[Data] = []
    for number in numbers:
        known = first.setdefault(number.keys, number.word) if number.keys else number.word
        same = {"readings": [], "readings_of": known} if known != number.word else {"readings": list(number.keys)}
        found.append({**_opened(number), **same})
    return found


def opened_data(ground: Ground, joint: JointState) -> Data:
    """Return what is said of a joint's wear over time, opened up, and of its season."""
    return {
        "machine": ground.state.machine.id,
        "joint": joint.joint.id,
        "numbers": numbers_data(joint_answers(joint, ground)),
        "season": numbers_data(season_page(joint.joint.id, ground)),
    }


def _opened(number: Number) -> Data:
    value = in_its_unit(number.estimate)
    return {
        "word": number.word,
        "about": words_of(number.about, "mm"),
        "said": words_of(number.said, "mm"),
        **_value(value),
        **(_parts(value, number.estimate) if isinstance(value, Figure) else {}),
        "steps": [_step(step) for step in number.steps],
        "formula": number.formula,
        "typed": list(number.typed),
    }


def _value(value: Figure | Interval) -> Data:
    if isinstance(value, Interval):
        ends = {"lower": _finite(value.lower), "upper": _finite(value.upper)}
        return {"value": _finite(value.best), "unit": value.unit, **ends}
    found: dict[str, object] = {"value": _finite(value.value), "unit": value.unit}
    if value.parts:
        found |= {"plus_minus": _number(value.expanded), "u": _number(value.u), "dof": _finite(value.dof)}
    return found


def _parts(value: Figure, asked: AnyValue) -> Data:
    rows = [
        {"name": p.name, "u": _number(p.u), "dof": _finite(p.dof), "source": p.source, "is_limit": p.is_limit}
        for p in value.parts
    ]
    narrowed = narrowed_most_by(asked if isinstance(asked, Value) else value)
    return {"coverage": _number(value.coverage), "parts": rows, "narrowed_most_by": narrowed} if rows else {}


def _step(step: Step) -> Data:
    if isinstance(step.value, str | Said):
        known: Data = {"text": words_of(step.value, "mm")}
    else:
        known = _value(in_its_unit(step.value))
    return {"word": step.word, **known, "what": words_of(step.what, "mm"), "opens": step.opens}


def _finite(value: float) -> float | None:
    return _number(value) if math.isfinite(value) else None


def _number(value: float) -> float:
    return round(value, _RATE_DIGITS)


def tool_data(slack: ToolSlack | None) -> Mapping[str, object] | None:
    """Return what a joint's clearance is worth at the tool's edge; None without levers."""
    if slack is None:
        return None
    pitch = slack.pitch_deg
    return {
        "way": slack.way,
        "lever_arm_mm": _mm(slack.joint.lever_arm),
        "tool_radius_mm": _mm(slack.joint.tool_radius),
        "clearance": size_data(slack.clearance),
        "own": size_data(slack.own),
        "together": size_data(slack.together),
        "others": slack.others,
        "is_whole": slack.is_whole,
        "pitch_deg": round(pitch[0], _DIGITS) if pitch is not None else None,
        "pitch_plus_minus_deg": round(pitch[1], _DIGITS) if pitch is not None else None,
    }


def _mm(length: Length | None) -> float | None:
    return float(length.mm) if length is not None else None
