"""Chances, the decision under doubt, what would settle it and what is left: each opened up to what it follows from."""

from collections.abc import Iterator
from dataclasses import replace

from fieldlog.measure.line_fit import Fit, Straight
from fieldlog.quantity.estimate import Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.wear.judge import MOST_TIMES, Measured, lasting, repeated, settling
from fieldlog.wear.numbers.rates import Behind, used_word
from fieldlog.wear.trends.rates import Borrowed
from fieldlog.wear.trends.records import TrendPoint, life_told
from fieldlog.wear.verdicts import LimitInForce

_CHANCE = "Chance over = the share of Student's t below (value - limit) / u, with its degrees of freedom."
_GUARD = (
    "Guard band (ISO 14253-1, from memory): the whole 95 % interval has to lie on one side. Under only when the room "
    "is more than the half-width, over only when it is less than minus that; renewed only when over on two separate "
    "days."
)
_SETTLE = (
    "n times as many readings bring the scatter down by the root of n; what all readings with these jaws share stays. "
    "Settled when the 95 % half-width is under the gap."
)


def chance_numbers(behind: Behind) -> Iterator[Number]:
    """Yield the decision on each line, the chances, what would settle it, and the least that is left."""
    trend, limit, latest = behind.trend, behind.trend.limit, behind.latest
    if limit is None:
        return
    yield _limit(behind, limit)
    if latest is not None:
        yield _room(behind, latest, limit, "limit", limit.renew_mm)
        yield _by_measuring(behind, latest, limit)
        yield from _settled(behind, latest, limit)
        if limit.watch_mm is not None:
            yield _room(behind, latest, limit, "watch line", limit.watch_mm)
    if trend.line is not None and trend.chance_now is not None:
        yield _by_line(behind, trend.usage.today, trend.chance_now, "now")
    end = trend.usage.season_end
    if trend.line is not None and trend.chance_later is not None and end is not None:
        yield _by_line(behind, end, trend.chance_later, "at the season's end")
    if trend.least_left is not None and trend.renew is not None:
        yield _left(behind, trend.least_left)


def _limit(behind: Behind, limit: LimitInForce) -> Number:
    """Return the limit itself: who says so, its watch line, and the pin where it is a share of it."""
    stated, size = behind.state.joint.pin, behind.state.pin_size
    steps = [Step("who says so", limit.origin)]
    if limit.watch_mm is not None:
        steps.append(Step("watch line", exactly(limit.watch_mm, "mm")))
    if stated is not None:
        steps.append(Step("pin", stated.typed, "as stated; shares are taken of it"))
    elif size is not None:
        steps.append(Step("pin", size, behind.state.pin_origin or ""))
    return Number(
        behind.limit_word,
        f"{behind.about}: the limit it is renewed at",
        exactly(limit.renew_mm, "mm"),
        (),
        steps=tuple(steps),
        formula="The nearest one counts: the hole's own, the joint's, the machine's, the fleet's, else usual practice.",
    )


def _room(behind: Behind, latest: TrendPoint, limit: LimitInForce, word: str, line_mm: float) -> Number:
    room = line_mm - latest.value
    now = Measured(latest.day, latest.value)
    proof = "Proved under it: the room is more than its doubt."
    if now.is_over(line_mm):
        days = {p.day for p in _of_part(behind) if Measured(p.day, p.value).is_over(line_mm)}
        proof = f"Proved over it, on {len(days)} measuring {'day' if len(days) == 1 else 'days'}."
    elif not now.is_under(line_mm):
        proof = "Not decided: the line lies within the doubt, so it is measured again."
    return Number(
        f"{behind.thing}, room to {word}",
        f"{behind.about}: {word} less what was measured {day_text(latest.day)}",
        room,
        behind.keys([latest]),
        is_change=True,
        steps=(*_measured_steps(behind, latest), Step(word, exactly(line_mm, "mm"), limit.origin, behind.limit_word)),
        formula=_GUARD,
        said=proof,
    )


def _of_part(behind: Behind) -> list[TrendPoint]:
    return [point for point in behind.trend.points if point.part == behind.trend.last_part]


def _measured_steps(behind: Behind, latest: TrendPoint) -> tuple[Step, ...]:
    opens = behind.day_word(latest) if latest in behind.trend.fitted else ""
    return (Step("measured", latest.value, f"{day_text(latest.day)}, with its 95 % half-width", opens),)


def _by_measuring(behind: Behind, latest: TrendPoint, limit: LimitInForce) -> Number:
    over = Measured(latest.day, latest.value).chance_over(limit.renew_mm)
    return Number(
        f"{behind.thing}, chance over by last measuring",
        f"{behind.about}: chance that it is over its limit, by {day_text(latest.day)} alone",
        exactly(100 * over, "%"),
        behind.keys([latest]),
        steps=(
            *_measured_steps(behind, latest),
            Step("limit", exactly(limit.renew_mm, "mm"), limit.origin, behind.limit_word),
            *_t_steps(latest.value.value - limit.renew_mm, latest.value.u, latest.value.dof),
        ),
        formula=_CHANCE,
        said=said("trend.chance", over=over),
    )


def _t_steps(gap_mm: float, u_mm: float, dof: float) -> tuple[Step, ...]:
    ratio = f"{gap_mm / u_mm:.2f}" if u_mm > 0 else "endless"
    known = f"{dof:.1f}" if dof < 1000 else "endless"
    return (
        Step("u", exactly(u_mm, "mm"), "one standard uncertainty of the value"),
        Step("(value - limit) / u", ratio, f"{known} degrees of freedom"),
    )


def borrowed_chance(behind: Behind, found: Borrowed) -> Iterator[Number]:
    """Yield the chance at the season's end by a rate that is partly borrowed."""
    end = behind.trend.usage.season_end
    if found.chance_later is None or end is None:
        return
    lent = replace(behind, trend=replace(behind.trend, line=found.line, curve=None))
    number = _by_line(lent, end, found.chance_later, "at the season's end", used_word(behind.rate_word))
    by = " by own and borrowed rate"
    yield replace(number, word=f"{number.word}{by}", about=f"{number.about}{by}")


def _by_line(behind: Behind, x: float, over: float, when: str, opens: str = "") -> Number:
    trend, limit = behind.trend, behind.trend.limit
    assert trend.line is not None
    assert limit is not None
    shape: Straight | Fit = trend.line
    by_curve = trend.curve is not None and over > trend.line.chance_over(x, limit.renew_mm)
    if trend.curve is not None and by_curve:
        shape = trend.curve
    name = "curve" if by_curve else "line"
    u_mm, value_mm = shape.u_at(x), shape.value_at(x)
    dof = shape.dof_at(x) if isinstance(shape, Straight) else shape.dof
    height = Value(value_mm, "mm", (Term(Source(f"{behind.id}/{name}", "line", label=name, dof=dof), u_mm),))
    return Number(
        f"{behind.thing}, chance over {when}",
        f"{behind.about}: chance that it is over its limit {when}, by all its days",
        exactly(100 * over, "%"),
        behind.all_keys,
        steps=(
            *(_season_steps(behind) if when != "now" else ()),
            Step(
                f"level of the {name} {when}",
                height,
                f"at {x:.0f} {behind.unit}; it rests on its rate",
                opens or behind.rate_word,
            ),
            Step("limit", exactly(limit.renew_mm, "mm"), limit.origin, behind.limit_word),
            *_t_steps(value_mm - limit.renew_mm, u_mm, dof),
        ),
        formula=_CHANCE,
        said=said("trend.chance", over=over),
    )


def _season_steps(behind: Behind) -> tuple[Step, ...]:
    usage = behind.trend.usage
    return (
        Step("now", exactly(usage.today, behind.unit), "where the meter stands" if behind.unit == "h" else "today"),
        Step("the coming season", exactly(usage.planned or 0.0, behind.unit), usage.origin),
    )


def _settled(behind: Behind, latest: TrendPoint, limit: LimitInForce) -> Iterator[Number]:
    """Yield how many readings would settle it, for the limit, else for the watch line, where either is in doubt."""
    now = Measured(latest.day, latest.value)
    lines = (("limit", limit.renew_mm), ("watch line", limit.watch_mm))
    open_lines = [(w, mm) for w, mm in lines if mm is not None and not now.is_over(mm) and not now.is_under(mm)]
    for word, line_mm in open_lines[:1]:
        yield _settling(behind, latest, (word, line_mm, limit.origin))


def _settling(behind: Behind, latest: TrendPoint, line: tuple[str, float, str | Said]) -> Number:
    word, line_mm, origin = line
    found = settling(latest.value, line_mm)
    shown = max(found.times, 2) if found.times is not None else MOST_TIMES
    about, value = "how many times as many readings in all", exactly(float(shown), "times")
    how = f"{shown} times as many readings in all settle it, if it stays where it is."
    if found.times is None:
        about, value = "no number of readings does; what doubt is left at best", exactly(found.best_mm, "mm")
        how = f"Not even {MOST_TIMES} times as many readings settle it with these jaws."
    return Number(
        f"{behind.thing}, to settle the {word}",
        f"{behind.about}: to settle it against the {word}, {about}",
        value,
        behind.keys([latest]),
        steps=(
            *_measured_steps(behind, latest),
            Step(word, exactly(line_mm, "mm"), origin, behind.limit_word),
            Step("gap", exactly(found.gap_mm, "mm"), "between the two"),
            Step(f"half-width with {shown} times as many", exactly(repeated(latest.value, shown).plus_minus, "mm")),
            Step("half-width with endless readings", exactly(found.best_mm, "mm"), _shared_names(latest.value)),
        ),
        formula=_SETTLE,
        said=how,
    )


def _shared_names(value: Value) -> str:
    names = [row.source.label for row in lasting(value).rows]
    return f"what stays: {'; '.join(names)}" if names else "nothing stays"


def _left(behind: Behind, least: float) -> Number:
    trend = behind.trend
    assert trend.renew is not None
    left, per_year = life_told(trend), trend.usage.per_year
    earliest, now = exactly(trend.renew.earliest, behind.unit), exactly(trend.usage.today, behind.unit)
    return Number(
        f"{behind.thing}, left at least",
        f"{behind.about}: least that is left until its limit",
        exactly(least, behind.unit),
        behind.all_keys,
        steps=(
            Step("limit reached at the earliest", earliest, "lower end of its interval", _limit_word(behind)),
            Step("now", now, "where it stands"),
        ),
        formula="The lower end of the interval less now, never under 0: what the order of the due list goes by.",
        said=said("trend.left_in_years", left=left, least=least, axis=trend.axis, per_year=per_year),
    )


def _limit_word(behind: Behind) -> str:
    return f"{behind.thing}, limit reached"
