"""A trend together with what leads from it to its readings; the ground that all its opened numbers stand on.

A rate of wear opened up: what its doubt is made of, before and after a change of greasing, and what is borrowed.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from fieldlog.errors import MeasureError
from fieldlog.measure.crossing import Kind as Alike
from fieldlog.measure.line_fit import Fit, SlopePart, Straight, fit_points, parts_of
from fieldlog.quantity.estimate import Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.machine import shown_name
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.trends.hours import unit_of
from fieldlog.wear.trends.rates import Borrowed
from fieldlog.wear.trends.records import RateChange, Trend, TrendPoint
from fieldlog.wear.trends.trend import median_check

_THINGS = {"clearance": "clearance", "bore": "bore", "pin": "pin", "bush wall": "wall of the bush"}
PER = 100.0  # rates are said per 100 hours or days


@dataclass(frozen=True, slots=True)
class Behind:
    """One trend of a joint.

    All that a line tells (its rate, its height, when it reaches a limit) has Student's t at the degrees of freedom of
    its fit, also where limits of error are most of it and their rectangles would give a smaller factor, as they do in a
    change of two days. Fieller's interval, the chances and whether a rate is proved stand on that one t, and a rate
    whose own interval leaves out nought while no forecast can be given would be two answers to one question. The
    rectangles would need the weights of a fit whose scatter its residuals judge; of the two t is never the surer.
    """

    trend: Trend
    state: JointState

    @property
    def thing(self) -> str:
        """What wears, as a word that no other trend of the joint has: 'clearance', 'ear, clearance'."""
        hole = self.hole
        alone = hole is None or len(self.state.holes) < 2
        return self.trend.of if alone or hole is None else f"{shown_name(hole.hole)}, {self.trend.of}"

    @property
    def id(self) -> str:
        """What its sources are known by."""
        return f"{self.state.joint.id}/{self.trend.hole}/{self.trend.of}"

    @property
    def about(self) -> str:
        """The same at the beginning of a sentence."""
        hole, words = self.hole, _THINGS[self.trend.of]
        name = f" of {shown_name(hole.hole)}" if hole is not None and len(self.state.holes) > 1 else ""
        return f"{words[:1].upper()}{words[1:]}{name}"

    @property
    def hole(self) -> HoleState | None:
        """Its hole; a pin has none."""
        return next((hole for hole in self.state.holes if hole.hole.id == self.trend.hole), None)

    @property
    def unit(self) -> str:
        """Hours or days."""
        return unit_of(self.trend.axis)

    @property
    def rate_unit(self) -> str:
        """In what its rates are said."""
        return f"mm per {PER:.0f} {self.unit}"

    @property
    def latest(self) -> TrendPoint | None:
        """The last measuring since it was made new."""
        return next((p for p in reversed(self.trend.points) if p.part == self.trend.last_part), None)

    @property
    def rate_word(self) -> str:
        """The word of its rate."""
        return f"rate, {self.thing}"

    @property
    def limit_word(self) -> str:
        """The word of the limit in force on it."""
        return f"{self.thing}, limit"

    def day_word(self, point: TrendPoint) -> str:
        """Return the word of the value on a day."""
        return f"{self.thing}, {day_text(point.day)}"

    def keys(self, points: Iterable[TrendPoint]) -> tuple[str, ...]:
        """Return the readings behind some points, each once."""
        return tuple(dict.fromkeys(key for point in points for key in point.keys))

    @property
    def all_keys(self) -> tuple[str, ...]:
        """The readings of all days that its line goes through."""
        return self.keys(self.trend.fitted)

    @property
    def line_fit(self) -> Fit | None:
        """The fit that its line is of: bent at a change of habit where that is proved, else straight."""
        change = self.trend.rate_change
        if change is None or not change.is_proved or change.mark.x is None:
            return self.trend.fit
        return self.bent_fit

    @property
    def bent_fit(self) -> Fit | None:
        """The line with a bend at its last change of habit, proved or not; None without one."""
        change = self.trend.rate_change
        if change is None or change.mark.x is None:
            return None
        try:
            return fit_points(self.trend.fit_points, "bend", knot=change.mark.x)
        except MeasureError:
            return None


def day_number(point: TrendPoint, behind: Behind) -> Number:
    """Return the value of one measuring day."""
    about = f"{behind.about} on {day_text(point.day)}, as the line takes it"
    return Number(behind.day_word(point), about, point.value, behind.keys([point]))


_LEAST_SQUARES = (
    "The slope is a weighted sum of the days' values. Each day's scatter counts by its weight; what several days share "
    "counts by the sum of their weights, so what all days share alike adds nothing. The parts' squares add up to the "
    "whole."
)
_BLEND = (
    "used = own x weight + kind x (1 - weight), with weight = V / (u² + V): u is the doubt of the own rate, and V what "
    "one more joint of the kind may differ by (between joints squared, and the doubt of the kind's mean squared)."
)


def rate_number(behind: Behind) -> Number | None:
    """Return the rate of the line that goes on, its doubt told apart; None without a line."""
    trend, fit = behind.trend, behind.line_fit
    if trend.line is None or fit is None:
        return None
    days = trend.fitted
    row = fit.slope_row(trend.line.centre)
    span = f"{day_text(days[0].day)} to {day_text(days[-1].day)}"
    return Number(
        behind.rate_word,
        f"{behind.about}: wear per {PER:.0f} {behind.unit}, {span}",
        _rate(behind, fit, row, trend.line.slope),
        behind.all_keys,
        is_change=True,
        steps=scatter_steps(behind, fit),
        formula=_LEAST_SQUARES,
    )


def before_number(behind: Behind) -> Number | None:
    """Return the rate of the part before the last cut; None where that is not known."""
    trend, found = behind.trend, behind.trend.before
    if found is None:
        return None
    places = {(point.x, point.value_mm) for point in found.points}
    older = [p for p in trend.points if p.part == trend.last_part - 1 and (p.x, p.value.value) in places]
    alone = replace(
        trend,
        points=tuple(replace(point, part=trend.last_part) for point in older),
        fit=found.fit,
        line=found.line,
        fit_points=found.points,
        rate_change=None,
    )
    number = rate_number(Behind(alone, behind.state))
    if number is None:
        return None
    about = said("trend.about_before", about=number.about, cut=found.cut)
    return replace(number, word=f"rate of the part before, {behind.thing}", about=about)


def _rate(behind: Behind, fit: Fit, row: Sequence[float], slope: float) -> Value:
    found = parts_of(behind.trend.fit_points, fit, row)
    terms = tuple([Term(_source(part, behind, fit), PER * part.u) for part in found])
    return Value(PER * slope, behind.rate_unit, terms, whole_dof=fit.dof)


def _source(part: SlopePart, behind: Behind, fit: Fit) -> Source:
    """Return a part of a slope's doubt as a source: one that days share is itself, and only told what it touches."""
    days, scale = behind.trend.fitted, math.sqrt(fit.scale)
    if part.source is None and part.origin == "stated":
        label, why = "scatter of the days' readings", f"as their repeats and steps tell, {len(days)} days together"
        return Source(f"{behind.id}/readings", "scatter", label=label, why=why, dof=part.dof)
    if part.source is None:
        label, why = "scatter of the days round the line", f"{scale:.2f} times the scatter that their readings tell"
        return Source(f"{behind.id}/line", "line", label=label, why=f"{why} is counted", dof=part.dof)
    on = ", ".join(day_text(days[i].day) for i in part.touches[:3]) + (", .." if len(part.touches) > 3 else "")
    if part.origin == "shared":
        return replace(part.source, why=f"one error on {len(part.touches)} of {len(days)} days: {on}")
    label = part.source.label if part.source.kind == "scatter" else f"{part.source.label}, {on}"
    return replace(part.source, label=label, why="of that day alone")


def scatter_steps(behind: Behind, fit: Fit) -> tuple[Step, ...]:
    """Return the scatter of a day that a fit counts with, and whether readings or residuals tell it."""
    points = behind.trend.fit_points
    stated_mm = math.sqrt(len(points) / math.fsum(1 / p.u_mm**2 for p in points))
    residual_mm = stated_mm * math.sqrt(fit.ratio)
    left = len(points) - len(fit.coefficients)
    if not left:
        return (Step("scatter of a day", exactly(stated_mm, "mm"), "as its readings tell; no day is left to check it"),)
    which = "the readings' counts, since it is larger"
    if fit.scale == fit.ratio:
        which = "both agree" if fit.ratio == 1.0 else "this one counts: it is proved larger"
    elif fit.scale > 1:
        which = f"both are put together: {math.sqrt(fit.scale):.2f} times what the readings tell"
    return (
        Step("scatter of a day, as its readings tell", exactly(stated_mm, "mm"), "repeats, steps, temperature"),
        Step("scatter of a day, as it lies about the line", exactly(residual_mm, "mm"), f"{left} dof; {which}"),
    )


def median_number(behind: Behind) -> Number | None:
    """Return the rate by the medians, and the day that stands apart; None where nothing is odd."""
    trend, check = behind.trend, median_check(behind.trend)
    if check is None or (check.day is None and not check.disagrees):
        return None
    off = [point for point in trend.fitted if point.day == check.day]
    steps = [
        Step(f"{day_text(p.day)} lies off", exactly(check.off_mm, "mm"), "the others", behind.day_word(p)) for p in off
    ]
    if check.slope_without is not None:
        steps.append(Step("rate without it", _plain(check.slope_without, behind), "least squares"))
    return Number(
        f"rate by medians, {behind.thing}",
        f"{behind.about}: wear per {PER:.0f} {behind.unit} by the medians, which one bad day cannot move",
        _plain(check.slope, behind),
        behind.all_keys,
        is_change=True,
        steps=(Step("rate by least squares", _plain(_slope(behind), behind), "", behind.rate_word), *steps),
        formula="The median of the slopes between all pairs of days (Theil and Sen). A day stands apart at 3.5 robust "
        "standard deviations of the others, and never at less than 3.5 of its own doubts.",
    )


def _slope(behind: Behind) -> float:
    return behind.trend.line.slope if behind.trend.line is not None else 0.0


def change_numbers(behind: Behind) -> Iterator[Number]:
    """Yield the rates before and since the last change of greasing, and the difference with its proof."""
    change, fit = behind.trend.rate_change, behind.bent_fit
    if change is None or fit is None:
        return
    xs = [point.x for point in behind.trend.fit_points]
    when = f"greasing changed {day_text(change.mark.day)}"
    for word, at, is_tail, slope in (
        ("before", xs[0], False, change.before),
        ("since", xs[-1], True, change.after),
    ):
        yield Number(
            f"rate {word}, {behind.thing}",
            f"{behind.about}: wear per {PER:.0f} {behind.unit} {word} {when}",
            _rate(behind, fit, fit.slope_row(at, is_tail=is_tail), slope),
            behind.all_keys,
            is_change=True,
            formula="A line with a bend at that day, through all days at once.",
        )
    yield _difference(behind, fit, change, when)


def _difference(behind: Behind, fit: Fit, change: RateChange, when: str) -> Number:
    rate = _rate(behind, fit, fit.extra_row, change.change)
    proof = "proved: more than its doubt" if change.is_proved else "not proved: less than its doubt"
    steps = [
        Step("before", _plain(change.before, behind), "", f"rate before, {behind.thing}"),
        Step("since", _plain(change.after, behind), "", f"rate since, {behind.thing}"),
    ]
    return Number(
        f"change of rate, {behind.thing}",
        f"{behind.about}: rate since {when}, less the rate before",
        rate,
        behind.all_keys,
        is_change=True,
        steps=tuple(steps),
        formula="Since less before. The day of the change binds both lines, so their doubts do not simply add up.",
        said=f"The difference is {proof}.",
    )


def _plain(slope: float, behind: Behind) -> Value:
    return exactly(PER * slope, behind.rate_unit)


def borrowed_number(behind: Behind, found: Borrowed) -> Number:
    """Return the rate that a joint with few readings is reckoned with: its own drawn towards its kind's."""
    own = behind.trend.line
    return blend_number(behind, own, found.kind, found.like, found.line)


def blend_number(behind: Behind, own: Straight | None, kind: Alike, like: Said, used: Straight) -> Number:
    """Return a blended rate with its weights; with no rate of its own the kind's stands alone."""
    room = kind.spread**2
    weight = room / (own.slope_variance + room) if own is not None else 0.0
    terms = [
        _of_kind(behind, "between", ("joints of the kind differ", "standard deviation"), kind, kind.between_sd),
        _of_kind(behind, "mean", ("mean of the kind", f"from {kind.count} joints"), kind, kind.mean_u),
    ]
    terms = [term.times(1 - weight) for term in terms]
    if own is not None:
        terms.insert(0, _own_line(behind, own, "own rate", "the line through its own days").times(weight))
    return Number(
        used_word(behind.rate_word),
        f"{behind.about}: rate it is reckoned with, own and borrowed",
        Value(PER * used.slope, behind.rate_unit, tuple(terms), whole_dof=used.dof),
        behind.all_keys,
        is_change=True,
        steps=(*_own_steps(behind, own), *_kind_steps(behind, kind, like, weight)),
        formula=_BLEND,
    )


def _own_line(behind: Behind, own: Straight, label: str, why: str = "") -> Term:
    return Term(Source(f"{behind.id}/rate", "line", label=label, why=why, dof=own.dof), PER * own.slope_u)


def _of_kind(behind: Behind, what: str, words: tuple[str, str], found: Alike, u: float) -> Term:
    label, why = words
    return Term(Source(f"{behind.state.joint.kind}/{what}", "alike", label=label, why=why, dof=found.dof), PER * u)


def used_word(rate_word: str) -> str:
    """Return the word of a blended rate from that of the joint's own."""
    return f"{rate_word}, own and borrowed"


def _own_steps(behind: Behind, own: Straight | None) -> tuple[Step, ...]:
    if own is None:
        return (Step("own rate", "none", "measured on one day only"),)
    rate = Value(PER * own.slope, behind.rate_unit, (_own_line(behind, own, "line"),))
    return (Step("own rate", rate, f"{behind.trend.days} measuring days", behind.rate_word),)


def _kind_steps(behind: Behind, kind: Alike, like: Said, weight: float) -> tuple[Step, ...]:
    term = _of_kind(behind, "mean", ("mean", "weighted mean"), kind, kind.mean_u)
    mean = Value(PER * kind.mean, behind.rate_unit, (term,))
    apart = exactly(PER * kind.between_sd, behind.rate_unit)
    own = (Step("weight of its own rate", exactly(100 * weight, "%"), "the rest is the kind's"),) if weight else ()
    return (
        Step("mean of the kind", mean, said("trend.mean_by_like", count=kind.count, like=like)),
        Step("between joints", apart, "standard deviation after Paule and Mandel, never under a quarter of the mean"),
        *own,
    )
