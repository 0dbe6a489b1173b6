"""Every number on an instrument's page opened up: its limits, its zero, what known bores tell of its inside jaws.

Every number that a gauge study gives, opened up: how sure it is from so few trials, and the trials themselves.
"""

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldlog.measure.checks import half_step_mm, jaws_on, standing_on, usable_checks
from fieldlog.measure.gauge_study import (
    Anova,
    GaugeStudy,
    SpreadInterval,
    difference_interval,
    hands_of,
    sd_interval,
    study_result,
    sum_interval,
)
from fieldlog.measure.instruments import USUAL_REPEATABILITY_DOF, Use, limit_term, usual_repeatability_mm
from fieldlog.measure.jaws import Jaws
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.estimate import Interval, Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.source import Source, Term, limit, scatter, step
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.checks import Check, Slot, Study, check_words, counted
from fieldlog.records.machine import Instrument
from fieldlog.standards.instruments import JAWLESS_KINDS, UNCHECKED_KINDS

SHOWN_SIZES_MM = (10.0, 19.0, 25.0)
_JAWS = "D = root of ((reading + offset) squared + width squared)."


def instrument_numbers(instrument: Instrument, today: datetime.date) -> list[Number]:
    """Return limits, usual scatter, checks and jaws of an instrument."""
    found = [*_limits(instrument), _scatter(instrument)]
    if instrument.kind in UNCHECKED_KINDS:
        return found
    checks = sorted(usable_checks(instrument), key=lambda check: check.date, reverse=True)
    found += _jaws(jaws_on(instrument, today), checks)
    found += _standing(instrument, today)
    return [*found, *_told_apart([_check(check, instrument) for check in checks])]


def _told_apart(numbers: Sequence[Number]) -> Iterator[Number]:
    """Give numbers of one word a count behind it, so that each can be chosen."""
    seen: dict[str, int] = {}
    for number in numbers:
        count = seen[number.word] = seen.get(number.word, 0) + 1
        yield number if count == 1 else replace(number, word=f"{number.word} ({count})")


def _limits(instrument: Instrument) -> Iterator[Number]:
    if instrument.kind in UNCHECKED_KINDS:
        yield _limit("a metre", "A metre is right within", limit_term(instrument, "length", 1000.0))
        return
    for use in _uses(instrument):
        yield _limit(f"{use} limit", f"{use.capitalize()} sizes are right within", limit_term(instrument, use))


def _uses(instrument: Instrument) -> Sequence[Use]:
    return ("inside",) if instrument.kind in JAWLESS_KINDS else ("outside", "inside")


def _limit(word: str, about: str, term: Term) -> Number:
    value, why = exactly(term.half_width, "mm"), term.source.why
    formula = "Taken as a limit: anywhere within it and never beyond, so u is a / root of 3 (GUM 4.3.7)."
    return Number(word, about, value, (), said=f"{why[:1].upper()}{why[1:]}.", formula=formula)


def _scatter(instrument: Instrument) -> Number:
    usual_mm = usual_repeatability_mm(instrument)
    share = 1 / math.sqrt(2 * USUAL_REPEATABILITY_DOF)
    source = f"usual figure, not measured: believed like {USUAL_REPEATABILITY_DOF:g} degrees of freedom (GUM G.4.2)"
    usual = Source(f"{instrument.kind}/usual scatter", "usual", label="usual figure", why=source)
    about = "Scatter of one reading among repeats (standard deviation); a gauge study takes its place"
    return Number("usual scatter", about, Value(usual_mm, "mm", (Term(usual, usual_mm * share),)), ())


def _jaws(jaws: Jaws | None, checks: Sequence[Check]) -> Iterator[Number]:
    if jaws is None:
        return
    typed = tuple(_told(check) for check in checks if check.kind == "known bore")
    yield Number("jaw offset", "Added to every inside reading", jaws.offset, (), typed=typed)
    if jaws.width is not None:
        yield Number("jaw width", "Width of the inside jaws, outer corner to outer corner", jaws.width, (), typed=typed)
    for size_mm in SHOWN_SIZES_MM:
        if jaws.go_into(size_mm):
            value = Value(jaws.corrected_mm(size_mm) - size_mm, "mm", jaws.terms_at(size_mm))
            about = f"Added in all to an inside reading of {size_mm:g} mm"
            yield Number(f"added at {size_mm:g}", about, value, (), typed=typed, formula=_JAWS)


def _standing(instrument: Instrument, today: datetime.date) -> Iterator[Number]:
    """Return what a season's checks leave open in each use's zero."""
    for use in _uses(instrument):
        standing = standing_on(instrument, today, use)
        if standing.zero is not None:
            about = f"What is left open in the zero of {use} sizes"
            value = exactly(standing.zero.half_width, "mm")
            remark = standing.remark or standing.zero.source.why
            yield Number(f"zero, {use}", about, value, (), said=f"{remark[:1].upper()}{remark[1:]}.")


def _check(check: Check, instrument: Instrument) -> Number:
    """Return what one check found the instrument off by: scatter, step, and how well the known size is known."""
    n = len(check.readings)
    usual_mm = usual_repeatability_mm(instrument)
    step_mm = half_step_mm(check, instrument)
    whose, label = f"{instrument.id}/{check.kind} check {check.date.isoformat()}", "scatter of the readings"
    terms = [
        scatter(f"{whose}/scatter", usual_mm / math.sqrt(n), USUAL_REPEATABILITY_DOF, label=label,
                why=f"usual, {n} readings"),
        step(f"{whose}/step", step_mm, label="step of the readings", why=f"± {step_mm:.3g} mm"),
    ]  # fmt: skip
    if check.tolerance is not None:
        half_mm, why = float(check.tolerance.mm), f"± {check.tolerance.typed}"
        terms.append(limit(f"{whose}/size", half_mm, "stated", label="known size", why=why))
    about = f"What the {check.kind} check of {day_text(check.date)} showed over the known size"
    value = Value(check.deviation_mm, "mm", tuple(terms))
    size = f" {check.size.typed}" if check.size is not None else ""
    word = f"{check.kind}{size}, {day_text(check.date)}"
    return replace(Number(word, about, value, (), is_change=True), typed=(_told(check),))


def _told(check: Check) -> str:
    return f"{day_text(check.date)}: {check_words(check)}"


REPEATS = (1, 2, 4)
_ROWS = (("people", "people"), ("holes", "holes"), ("people by holes", "interaction"), ("repeats", "repeats"))
_SD = "Root of the mean square of the repeats; with its degrees of freedom it lies within this by chi-square."


def study_numbers(study: Study) -> list[Number]:
    """Return the numbers of a finished study's page; none while it is unfinished."""
    result = study_result(study)
    if result is None:
        return []
    typed = _typed(study, study.people_ids)
    found = [*_changes(result), *_spreads(result), *_by_ranges(result), *_people(study), *_mean_squares(result.anova)]
    return [number if number.typed else replace(number, typed=typed) for number in found]


def _typed(study: Study, people: Sequence[str]) -> tuple[str, ...]:
    """Return the trials of some people that count, a person and a hole a line."""
    done = counted(study)
    return tuple(
        f"{who}, {hole}: "
        + ", ".join(
            done[Slot(who, hole, n)].size.typed for n in range(1, study.trials + 1) if Slot(who, hole, n) in done
        )
        for who in people
        for hole in study.hole_names
    )


def _interval(found: SpreadInterval) -> Interval:
    return Interval(found.best, found.lower, found.upper, "mm")


def _changes(result: GaugeStudy) -> Iterator[Number]:
    """Return the smallest changes; with one person they are as sure as the repeatability, which they are made of."""
    t = t_quantile(0.975, float(result.repeatability_dof))
    sure = sd_interval(result.by_anova.repeatability_mm, result.repeatability_dof)
    for n in REPEATS:
        steps = (
            Step("one person repeats", _interval(sure), opens="one person repeats"),
            Step("Student's t", f"{t:.3f} at {result.repeatability_dof} degrees of freedom"),
        )
        factor = result.smallest_change_mm(n) / sure.best if sure.best > 0 else 0.0
        spread = SpreadInterval(*(factor * value for value in sure))
        about = f"Smallest change between two days of {n} reading{'s' if n > 1 else ''}, the same person (95 %)"
        formula = "t times root of (2 times repeatability squared / readings a day)."
        yield Number(f"change, {n} a day", about, _interval(spread), (), steps=steps, formula=formula)
    if result.n_people < 2:
        return
    for n in REPEATS:
        steps = (
            Step("one person repeats", _interval(sure), opens="one person repeats"),
            Step("people differ", f"{result.by_anova.reproducibility_mm:.4f} mm", opens="people differ"),
        )
        value = exactly(result.smallest_change_mm(n, same_person=False), "mm")
        about = f"Smallest change between two days of {n} reading{'s' if n > 1 else ''}, another person (95 %)"
        formula = "1.96 times root of 2 times (repeatability squared / readings a day + people squared)."
        yield Number(f"change, {n} a day, others", about, value, (), steps=steps, formula=formula)


def _spreads(result: GaugeStudy) -> Iterator[Number]:
    """Return the standard deviations by analysis of variance, each with the interval that its mean squares leave."""
    anova, found = result.anova, result.by_anova
    scatter, per_person = anova.scatter, result.n_holes * result.n_trials
    steps = tuple(
        Step(word, _square(getattr(anova, name).mean_mm2), opens=f"mean square, {word}") for word, name in _ROWS
    )
    sure = sd_interval(found.repeatability_mm, scatter.dof)
    pooled = " People by holes is in it, since it is no more than luck." if anova.is_pooled else ""
    yield Number(
        "one person repeats", "Repeatability: one person's scatter (standard deviation)", _interval(sure), (),
        steps=steps, formula=_SD + pooled,
    )  # fmt: skip
    if result.n_people > 1 and anova.is_pooled:
        people = difference_interval(anova.people, scatter, 1 / per_person)
        both = sum_interval(anova.people, scatter, (1 / per_person, 1 - 1 / per_person))
        word = f"(people - repeats) / {per_person}, and the modified large-sample interval of that difference."
        yield Number("people differ", "Reproducibility: how far people lie apart (standard deviation)",
                     _interval(people), (), steps=steps, formula=f"Root of {word}")  # fmt: skip
        formula = "Root of repeatability squared and reproducibility squared."
        gauge = SpreadInterval(found.gauge_mm, both.lower, both.upper)
        yield Number("hands and tool together", "Hands and tool together (standard deviation)", _interval(gauge), (),
                     steps=steps, formula=formula)  # fmt: skip
    elif result.n_people > 1:
        formula = "People by holes is significant and counts as people differing; no interval is known for the sum."
        yield Number("people differ", "Reproducibility: how far people lie apart (standard deviation)",
                     exactly(found.reproducibility_mm, "mm"), (), steps=steps, formula=formula)  # fmt: skip
        yield Number("hands and tool together", "Hands and tool together (standard deviation)",
                     exactly(found.gauge_mm, "mm"), (), steps=steps, formula=formula)  # fmt: skip
    yield from _holes(result, steps)


def _holes(result: GaugeStudy, steps: tuple[Step, ...]) -> Iterator[Number]:
    anova, found = result.anova, result.by_anova
    against = anova.scatter if anova.is_pooled else anova.interaction
    holes = difference_interval(anova.holes, against, 1 / (result.n_people * result.n_trials))
    about = "How far the holes themselves lie apart (standard deviation)"
    yield Number("the holes themselves", about, _interval(holes), (), steps=steps, formula="As for people.")
    parts = (
        Step("the holes themselves", f"{found.holes_mm:.4f} mm", opens="the holes themselves"),
        Step("hands and tool together", f"{found.gauge_mm:.4f} mm", opens="hands and tool together"),
    )
    if found.gauge_mm > 0:
        about = "How many sizes it tells apart among these holes, before it is cut to a whole number"
        formula = "1.414 times holes / hands and tool."
        yield Number("sizes told apart", about, exactly(found.categories, ""), (), steps=parts, formula=formula)


def _by_ranges(result: GaugeStudy) -> Iterator[Number]:
    """Return the same by ranges, the way that a pencil checks."""
    found = result.by_ranges
    if found is None:
        return
    rows = (
        ("one person repeats", found.repeatability_mm, "Mean range / d2."),
        ("people differ", found.reproducibility_mm, "Range of their means / d2*, less what repeats give to a mean."),
        ("hands and tool together", found.gauge_mm, "Root of both squared."),
        ("the holes themselves", found.holes_mm, "Range of the holes' means / d2*."),
    )
    for word, value, formula in rows:
        steps = (
            (Step(f"{word}, by variance", "", opens=word),) if result.n_people > 1 or word != "people differ" else ()
        )
        yield Number(f"{word}, by ranges", f"{word[:1].upper()}{word[1:]}, by ranges", exactly(value, "mm"), (),
                     steps=steps, formula=formula)  # fmt: skip


def _people(study: Study) -> Iterator[Number]:
    for hands in hands_of((study,)):
        sure = sd_interval(hands.repeatability_mm, hands.dof)
        formula = f"Root of the mean square of his own repeats, {hands.dof} degrees of freedom; chi-square."
        about = f"{hands.who}'s scatter (standard deviation)"
        yield Number(hands.who, about, _interval(sure), (), formula=formula, typed=_typed(study, (hands.who,)))


def _mean_squares(anova: Anova) -> Iterator[Number]:
    for word, name in _ROWS:
        row = getattr(anova, name)
        steps = (
            Step("sum of squares", _square(row.sum_mm2)),
            Step("degrees of freedom", f"{row.dof}"),
        )
        about = f"Mean square, {word}"
        yield Number(f"mean square, {word}", about, exactly(row.mean_mm2, "mm2"), (), steps=steps,
                     formula="Sum of squares / degrees of freedom.")  # fmt: skip


def _square(value: float) -> str:
    return f"{value:.3g} mm2"
