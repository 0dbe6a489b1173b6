"""When a limit is reached, opened up: level, rate and what ties them, t, the limit, and so Fieller's interval.

Everything is said about today, so that level, rate and their correlation are all that is needed to work it out again.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from fieldlog.measure.crossing import Crossing, slope_doubt
from fieldlog.measure.line_fit import Fit, Straight
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.estimate import Interval, Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.wear.numbers.rates import PER, Behind, scatter_steps, used_word
from fieldlog.wear.numbers.season import WORK_WORD
from fieldlog.wear.trends.hours import FEWEST_DAYS, Usage
from fieldlog.wear.trends.rates import Borrowed
from fieldlog.wear.trends.records import Trend

FIELLER = (
    "Best: where level + rate x = limit, x from now on. Both ends: where the gap between line and limit is t times the "
    "doubt of the line there, gap² = t² (u_level² + 2 r u_level u_rate x + u_rate² x²), a quadratic in x (Fieller "
    "1954); it has two ends only while g = (t u_rate / rate)² is under 1."
)
_BY_CURVE = (
    " The curve gets there where level + rate x + squared term x² = limit, give or take its band; of line and curve "
    "the earlier counts at all three places."
)
_BORROWED = " by own and borrowed rate"
_MOST_G = 1e6
_NO_FORECAST = "A forecast needs three measuring days, 100 h (or days) between them, and g under 1."


def crossing_numbers(behind: Behind) -> Iterator[Number]:
    """Yield when the limit and the watch line are reached, or the numbers for which that is not foretold."""
    trend, limit = behind.trend, behind.trend.limit
    if limit is None or trend.line is None:
        return
    if trend.no_forecast:
        yield _refused(behind, trend.line)
    if trend.renew is not None:
        yield _reached(behind, "limit", limit.renew_mm, trend.renew)
        yield from _if_faster(behind, trend.renew)
    if trend.watch is not None and limit.watch_mm is not None:
        yield _reached(behind, "watch line", limit.watch_mm, trend.watch)


def borrowed_crossings(behind: Behind, found: Borrowed) -> Iterator[Number]:
    """Yield when limit and watch line are reached by a rate that is partly borrowed, and when to look again by that."""
    limit = behind.trend.limit
    if limit is None:
        return
    lent = replace(behind, trend=replace(behind.trend, line=found.line, curve=None))
    for word, line_mm, crossing in (
        ("limit", limit.renew_mm, found.renew),
        ("watch line", limit.watch_mm, found.watch),
    ):
        if crossing is not None and line_mm is not None:
            number = _reached(lent, word, line_mm, crossing, used_word(behind.rate_word))
            yield replace(number, word=f"{number.word}{_BORROWED}", about=f"{number.about}{_BORROWED}")
    if found.measure_at is not None:
        yield _look_again(behind, found, found.measure_at)


def _look_again(behind: Behind, found: Borrowed, at: float) -> Number:
    first = [reached.earliest for reached in (found.watch, found.renew) if reached is not None]
    last = max((p.x for p in behind.trend.fitted if p.x is not None), default=behind.trend.usage.now)
    day = behind.trend.usage.date_at(at)
    return Number(
        f"{behind.thing}, look again{_BORROWED}",
        f"{behind.about}: when to measure again{_BORROWED}, counted from the last time",
        exactly(at - last, behind.unit),
        (),
        steps=(
            Step("last measured", exactly(last, behind.unit)),
            Step("earliest that its watch line, else its limit, is reached", exactly(min(first), behind.unit)),
            Step("at least", exactly(behind.trend.usage.first_look, behind.unit), "less is not asked for"),
        ),
        formula="Half-way from the last measuring to the earliest. Nothing is ordered on a borrowed rate.",
        said=f"By {day_text(day)}." if day is not None else "",
    )


def _if_faster(behind: Behind, renew: Crossing) -> Iterator[Number]:
    """Yield the earliest by a rate that doubles on the way, where one is foretold."""
    usage, faster = behind.trend.usage, behind.trend.if_faster
    if faster is None:
        return
    earliest = exactly(renew.earliest - usage.today, behind.unit)
    day = usage.date_at(faster)
    yield Number(
        f"{behind.thing}, limit reached if faster",
        f"{behind.about}: limit reached at the earliest if it wears faster as it gets loose, counted from now",
        exactly(faster - usage.today, behind.unit),
        behind.all_keys,
        steps=(
            Step(
                "earliest at an even rate", earliest, "the lower end of its interval", f"{behind.thing}, limit reached"
            ),
            Step("ln 2", exactly(math.log(2.0), ""), "of the way, where the rate doubles in step with the wear"),
        ),
        formula="dc/dt = r (1 + (c - now) / gap) takes gap ln 2 / r. Twice as fast at the end is a judgement.",
        said=f"By {day_text(day)}." if day is not None else "",
    )


def _reached(behind: Behind, word: str, limit_mm: float, found: Crossing, rate_word: str = "") -> Number:
    trend = behind.trend
    now, line = trend.usage.today, trend.line
    assert line is not None
    assert trend.limit is not None
    bent = trend.curve
    return Number(
        f"{behind.thing}, {word} reached",
        f"{behind.about}: {word} reached, counted from now",
        Interval(found.at - now, found.earliest - now, found.latest - now, behind.unit),
        behind.all_keys,
        steps=(
            *line_steps(behind, line, rate_word or behind.rate_word, found.at),
            Step(word, exactly(limit_mm, "mm"), trend.limit.origin, behind.limit_word),
            *(scatter_steps(behind, fit) if (fit := behind.line_fit) is not None and not rate_word else ()),
            *(_curve_steps(behind, bent) if bent is not None else ()),
            *_calendar_steps(trend),
        ),
        formula=FIELLER + (_BY_CURVE if bent is not None else ""),
        said=said("trend.reached", trend=trend, crossing=found),
    )


def _of_shape(behind: Behind, shape: str, u: float, dof: float) -> Term:
    return Term(Source(f"{behind.id}/{shape}", "line", label=shape, dof=dof), u)


def line_steps(behind: Behind, line: Straight, rate_word: str, at_limit: float | None = None) -> tuple[Step, ...]:
    """Return level now, rate, their correlation, t and g: all that Fieller's interval is worked out from.

    t has the degrees of freedom of the line's height where it reaches the limit, else those of its rate.
    """
    now, unit = behind.trend.usage.today, behind.unit
    level = Value(line.value_at(now), "mm", (_of_shape(behind, "line", line.u_at(now), line.dof_at(now)),))
    rate = Value(PER * line.slope, behind.rate_unit, (_of_shape(behind, "line", PER * line.slope_u, line.dof),))
    at = f"{now:.0f} h on the meter" if unit == "h" else day_text(behind.trend.usage.as_of)
    dof = line.dof_at(at_limit) if at_limit is not None else line.dof
    t = t_quantile(0.975, dof)
    g = (t * line.slope_u / line.slope) ** 2 if line.slope else math.inf
    return (
        Step("level of the line now", level, f"at {at}; {behind.trend.days} measuring days"),
        Step("rate", rate, "with its 95 % half-width", rate_word),
        Step(
            "correlation of the two, r",
            exactly(line.correlation_at(now), ""),
            "an error in one goes with one in the other",
        ),
        Step("Student's t for 95 %", exactly(t, ""), f"{_dof(dof)} degrees of freedom; half-width = t u"),
        Step("g", exactly(g, "") if math.isfinite(g) else "endless", "(t u_rate / rate)²"),
    )


def _dof(dof: float) -> str:
    return f"{dof:.0f}" if dof < 1000 else "endless"


def _curve_steps(behind: Behind, curve: Fit) -> tuple[Step, ...]:
    now = behind.trend.usage.today
    bend, u = curve.extra
    height = Value(curve.value_at(now), "mm", (_of_shape(behind, "curve", curve.u_at(now), curve.dof),))
    squared = _of_shape(behind, "curve", PER**2 * u, curve.dof)
    t = t_quantile(0.95, curve.dof)
    tangent = curve.straight(now)
    rate = _of_shape(behind, "curve", PER * tangent.slope_u, curve.dof)
    return (
        Step("level of the curve now", height, "the parabola through the same days"),
        Step("rate of the curve now", Value(PER * tangent.slope, behind.rate_unit, (rate,)), "its slope there"),
        Step(
            "squared term",
            Value(PER**2 * bend, f"{behind.rate_unit} squared", (squared,)),
            f"proved above nothing: {bend / u:.1f} u, more than t of {t:.2f} (5 % on that side)"
            if not behind.trend.is_curve_by_like
            else f"{bend / u:.1f} u, not proved alone; those of like joints on this machine are, taken together",
        ),
    )


def _calendar_steps(trend: Trend) -> tuple[Step, ...]:
    usage = trend.usage
    if usage.axis == "days" or not usage.per_year:
        return ()
    if usage.axis == "days in use":
        return (Step("work", exactly(usage.per_year, "days in use a year"), _makes_the_dates(usage)),)
    return (Step("work", exactly(usage.per_year, "h a year"), _makes_the_dates(usage), WORK_WORD),)


def _makes_the_dates(usage: Usage) -> Said:
    return said("season.makes_the_dates", origin=usage.origin, usage=usage)


def _refused(behind: Behind, line: Straight) -> Number:
    """Return what there is too little of in a line that foretells nothing: days, hours, or slope beyond doubt (g)."""
    trend, g = behind.trend, slope_doubt(line)
    short, value = "g", exactly(min(g, _MOST_G), "")
    if trend.days < FEWEST_DAYS:
        short, value = "measuring days", exactly(float(trend.days), "days")
    elif trend.span < trend.usage.least_span:
        short, value = "between first and last day", exactly(trend.span, behind.unit)
    steps = (
        Step("measuring days", exactly(float(trend.days), ""), f"at least {FEWEST_DAYS}"),
        Step("between first and last", exactly(trend.span, behind.unit), f"at least {trend.usage.least_span:.0f}"),
        *line_steps(behind, line, behind.rate_word),
        *(scatter_steps(behind, fit) if (fit := behind.line_fit) is not None else ()),
    )
    return Number(
        f"{behind.thing}, no forecast",
        f"{behind.about}: why there is no forecast: {short}",
        value,
        behind.all_keys,
        steps=steps,
        formula=f"{_NO_FORECAST} Where g is 1 or more, the rate may be nil, and no interval has an end.",
        said=trend.no_forecast or "",
    )
