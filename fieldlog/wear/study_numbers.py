"""Every number that a gauge study gives, opened up: how sure it is from so few trials, and the trials themselves."""

from collections.abc import Iterator

from fieldlog.measure.distributions import t_quantile
from fieldlog.measure.figure import Figure, Interval, Step
from fieldlog.measure.gauge_study import Anova, GaugeStudy
from fieldlog.measure.hands import hands_of, study_result
from fieldlog.measure.spread_intervals import SpreadInterval, difference_interval, sd_interval, sum_interval
from fieldlog.records.study import Slot, Study, counted
from fieldlog.wear.numbers import Number

REPEATS = (1, 2, 4)
_ROWS = (("people", "people"), ("holes", "holes"), ("people by holes", "interaction"), ("repeats", "repeats"))
_SD = "Root of the mean square of the repeats; with its degrees of freedom it lies within this by chi-square."


def study_numbers(study: Study) -> list[Number]:
    """Return the numbers of a finished study's page; none while it is unfinished."""
    result = study_result(study)
    if result is None:
        return []
    typed = _typed(study)
    found = [*_changes(result), *_spreads(result), *_by_ranges(result), *_people(study), *_mean_squares(result.anova)]
    return [_with_trials(number, typed) for number in found]


def _typed(study: Study) -> tuple[str, ...]:
    """Return the trials that count, a person and a hole a line."""
    done = counted(study)
    return tuple(
        f"{who}, {hole}: "
        + ", ".join(
            done[Slot(who, hole, n)].size.typed for n in range(1, study.trials + 1) if Slot(who, hole, n) in done
        )
        for who in study.people_ids
        for hole in study.hole_names
    )


def _with_trials(number: Number, typed: tuple[str, ...]) -> Number:
    own = tuple(text for text in typed if text.startswith(f"{number.word}, "))
    return Number(
        number.word, number.about, number.estimate, (), steps=number.steps, formula=number.formula, said=number.said,
        typed=own or typed,
    )  # fmt: skip


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
        value = Figure(result.smallest_change_mm(n, same_person=False), "mm")
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
                     Figure(found.reproducibility_mm, "mm"), (), steps=steps, formula=formula)  # fmt: skip
        yield Number("hands and tool together", "Hands and tool together (standard deviation)",
                     Figure(found.gauge_mm, "mm"), (), steps=steps, formula=formula)  # fmt: skip
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
        yield Number("sizes told apart", about, Figure(found.categories, ""), (), steps=parts, formula=formula)


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
        yield Number(f"{word}, by ranges", f"{word[:1].upper()}{word[1:]}, by ranges", Figure(value, "mm"), (),
                     steps=steps, formula=formula)  # fmt: skip


def _people(study: Study) -> Iterator[Number]:
    for hands in hands_of((study,)):
        sure = sd_interval(hands.repeatability_mm, hands.dof)
        formula = f"Root of the mean square of his own repeats, {hands.dof} degrees of freedom; chi-square."
        yield Number(hands.who, f"{hands.who}'s scatter (standard deviation)", _interval(sure), (), formula=formula)


def _mean_squares(anova: Anova) -> Iterator[Number]:
    for word, name in _ROWS:
        row = getattr(anova, name)
        steps = (
            Step("sum of squares", _square(row.sum_mm2)),
            Step("degrees of freedom", f"{row.dof}"),
        )
        about = f"Mean square, {word}"
        yield Number(f"mean square, {word}", about, Figure(row.mean_mm2, "mm2"), (), steps=steps,
                     formula="Sum of squares / degrees of freedom.")  # fmt: skip


def _square(value: float) -> str:
    return f"{value:.3g} mm2"
