"""What an instrument's checks say about it on a given day: is it checked, has its zero drifted, what its jaws do.

"This season" is no more than 365 days from the reading, before or after: a caliper that is right in May was most
likely right in April. A deviation is never taken off a reading, since nobody knows whether the instrument was set
to zero again after the check; it widens the doubt both ways.

What a reading with an instrument is worth on its day: the corrected size and the parts common to all repeats.

A deviation found by a check is not taken off the readings (zero, known outside size): nobody can know whether the
instrument was set right after the check. It widens sizes both ways. What a known bore tells (offset, jaw width) is
taken off, since it is how the jaws are made. "This season" is 365 days from the reading, either side.
"""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass, replace
from functools import lru_cache

from fieldlog.measure.instruments import (
    UNNAMED,
    Scatter,
    Use,
    error_limit_mm,
    instrument_units,
    instrument_words,
    limit_term,
    mean,
    pooled_scatter,
    use_words,
    usual_repeatability_mm,
)
from fieldlog.measure.jaws import Caliper, Jaws, KnownBore, learnt_jaws, stated_jaws
from fieldlog.quantity.rounding import both_fine_text, both_plain_text
from fieldlog.quantity.source import Source, Term, limit, zero
from fieldlog.quantity.text import day_text
from fieldlog.records.checks import Check, CheckKind, standing_checks
from fieldlog.records.machine import Hands, Instrument
from fieldlog.standards.instruments import (
    DRIFT_MM,
    JAW_WIDTH_ERROR_MM,
    KNOWN_BORE_TOLERANCE_MM,
    SEASON_DAYS,
    UNCHECKED_KINDS,
    is_slip,
)

_SAME_SIZE_MM = 0.001
_USUAL_STEP_MM = 0.01  # of a display that showed a bare 0: common practice


@dataclass(frozen=True, slots=True)
class Standing:
    """How one use of an instrument stands by its checks around a day: its zero, and whether that has drifted."""

    zero: Term | None
    remark: str = ""
    is_drifted: bool = False


def usable_checks(instrument: Instrument) -> tuple[Check, ...]:
    """Return the checks that stand and make sense, by date."""
    return tuple(check for check in standing_checks(instrument.checks) if not is_slip(check))


@lru_cache(maxsize=512)
def standing_on(instrument: Instrument, day: datetime.date, use: Use) -> Standing:
    """Return what the checks of one season say about an instrument's zero; tapes and rules need none.

    The zero of one day is the same in all that is measured on it; from day to day it may move.
    """
    if use == "length" or instrument.kind in UNCHECKED_KINDS:
        return Standing(None)
    words, drift_mm = instrument_words(instrument), DRIFT_MM[instrument.kind]
    around = _around(instrument, day)
    kinds: tuple[CheckKind, ...] = ("zero",) if use == "inside" else ("zero", "known outside")
    zeros = [check for check in around if check.kind in kinds]
    if not zeros and use == "inside" and any(check.kind == "known bore" for check in around):
        return Standing(None)
    if not zeros:
        named = f"{words}, {use_words(instrument, use)}," if around else words
        return _unchecked(instrument, (day, use), named, kinds)
    worst = max(zeros, key=lambda check: abs(check.deviation_mm))
    half_mm = max(abs(worst.deviation_mm), half_step_mm(worst, instrument))
    when = day_text(worst.date)
    said = "read" if worst.kind == "zero" else "was off by"
    units = instrument_units(instrument)
    source = f"{worst.kind} check of {when} {said} {both_fine_text(worst.deviation_mm, units)}"
    if abs(worst.deviation_mm) <= drift_mm + 1e-9:
        return Standing(_zero(instrument, (day, use), half_mm, ("zero", source)))
    most = both_plain_text(drift_mm, units)
    remark = f"{words}: {source}, over {most}: sizes are widened by that; set it to zero and check it again"
    return Standing(_zero(instrument, (day, use), half_mm, ("zero drifted", source)), remark, is_drifted=True)


def _zero(instrument: Instrument, at: tuple[datetime.date, Use], half_mm: float, said: tuple[str, str]) -> Term:
    """Return the zero of one use on a day; an instrument that nobody named is another one on another day."""
    (day, use), (what, why) = at, said
    label = f"{instrument_words(instrument)}, {use_words(instrument, use)}, {what}"
    if not instrument.id:
        return limit(f"{UNNAMED}/{day.isoformat()}/{use} zero", half_mm, "zero", label=label, why=why)
    return zero(f"{instrument.id}/{use} zero", day.isoformat(), half_mm, label=label, why=why)


def _unchecked(
    instrument: Instrument, at: tuple[datetime.date, Use], words: str, kinds: Sequence[CheckKind]
) -> Standing:
    day, _ = at
    drift_mm = DRIFT_MM[instrument.kind]
    most = both_plain_text(drift_mm, instrument_units(instrument))
    dates = [check.date for check in usable_checks(instrument) if check.date <= day and check.kind in kinds]
    since = f"last checked {day_text(max(dates))}" if dates else "no check is written down"
    unseen = _zero(instrument, at, drift_mm, ("zero not checked", f"may be off by ± {most} unseen; {since}"))
    if not instrument.id:
        return Standing(unseen, f"no caliper is named, so no check of it is known: sizes are widened by ± {most}")
    remark = f"{words} not checked this season ({since}): sizes are widened by ± {most}; check its zero"
    return Standing(unseen, remark)


def _around(instrument: Instrument, day: datetime.date) -> list[Check]:
    """Return the last checks of each kind before a day and the first after it, within a season."""
    season = [check for check in usable_checks(instrument) if abs((check.date - day).days) <= SEASON_DAYS]
    found: list[Check] = []
    for kind in ("zero", "known bore", "known outside"):
        before = [check for check in season if check.kind == kind and check.date <= day]
        after = [check for check in season if check.kind == kind and check.date > day]
        found += [check for check in before if check.date == before[-1].date]
        found += [check for check in after if check.date == after[0].date]
    return found


def half_step_mm(check: Check, instrument: Instrument) -> float:
    """Return half the step that a check was read to.

    A zero that is typed as a bare 0 says what the display said, not that it was read to a whole millimetre or inch:
    the instrument's own step stands in, or the usual one.
    """
    own_mm = float(instrument.resolution.mm) if instrument.resolution is not None else _USUAL_STEP_MM
    typed_mm = ((shown.length.mm, float(shown.length.step_mm)) for shown in check.readings)
    return max(own_mm if not size_mm and step_mm >= 1 else step_mm for size_mm, step_mm in typed_mm) / 2


@lru_cache(maxsize=512)
def jaws_on(instrument: Instrument, day: datetime.date) -> Jaws | None:
    """Return the inside jaws as known on a day, None where neither a width is stated nor a known bore was read.

    Used are the known bores of the season up to the last one read before the day, else of the first after it. What
    is doubtful about them is the same on all days that rest on the same bores.
    """
    bores = _grouped(_bore_checks(instrument, day), instrument)
    behind = "; ".join(" ".join(map(str, astuple(bore))) for bore in bores)  # all that the doubt is worked out from
    whose = Caliper(f"{instrument.id}/jaws {behind}", instrument_words(instrument), instrument_units(instrument))
    if instrument.jaw_width is not None and instrument.kind == "caliper":
        error = instrument.jaw_width_error
        error_mm = float(error.mm) if error is not None else JAW_WIDTH_ERROR_MM
        width_mm = float(instrument.jaw_width.mm)
        if any(bore.size_mm <= width_mm for bore in bores):
            bores = ()
        return stated_jaws(width_mm, min(error_mm, width_mm), bores, whose)
    if not bores:
        return None
    if instrument.kind != "caliper":
        return stated_jaws(0.0, 0.0, bores, whose)
    return learnt_jaws(bores, error_limit_mm(instrument, "inside"), whose)


def _bore_checks(instrument: Instrument, day: datetime.date) -> list[Check]:
    checks = [check for check in usable_checks(instrument) if check.kind == "known bore"]
    before = [check for check in checks if check.date <= day]
    newest = before[-1].date if before else checks[0].date if checks else day
    return [check for check in before or checks if abs((newest - check.date).days) <= SEASON_DAYS]


def _grouped(checks: Sequence[Check], instrument: Instrument) -> tuple[KnownBore, ...]:
    """Return one known bore a size; its scatter is pooled over all of them."""
    groups: list[list[Check]] = []
    for check in sorted(checks, key=_size_mm):
        if groups and _size_mm(check) - _size_mm(groups[-1][0]) < _SAME_SIZE_MM:
            groups[-1].append(check)
        else:
            groups.append([check])
    values = [[float(shown.mm) for check in group for shown in check.readings] for group in groups]
    scatter = pooled_scatter(values, usual_repeatability_mm(instrument))
    steps_mm = [2 * max(half_step_mm(check, instrument) for check in group) for group in groups]
    return tuple(
        KnownBore(
            size_mm=_size_mm(group[0]),
            tolerance_mm=max(_tolerance_mm(check) for check in group),
            mean_mm=mean(sizes),
            scatter_u_mm=max(scatter.sd_mm / math.sqrt(len(sizes)), step_mm / math.sqrt(12)),
            dof=scatter.dof,
        )
        for group, sizes, step_mm in zip(groups, values, steps_mm, strict=True)
    )


def _size_mm(check: Check) -> float:
    return float(check.size.mm) if check.size is not None else 0.0


def _tolerance_mm(check: Check) -> float:
    return float(check.tolerance.mm) if check.tolerance is not None else KNOWN_BORE_TOLERANCE_MM


@dataclass(frozen=True, slots=True)
class Worth:
    """Terms that repeating does not lessen, how one reading usually scatters, the step, and what is to be said.

    `known` is how this person's readings scatter by a gauge study, None where there was none.
    """

    terms: tuple[Term, ...]
    usual_mm: float
    step_mm: float
    remarks: tuple[str, ...] = ()
    known: Scatter | None = None


def inside_mm(reading_mm: float, jaws: Jaws | None) -> float:
    """Return the diameter behind an inside reading, corrected for the jaws where anything is known of them."""
    return reading_mm if jaws is None or not jaws.go_into(reading_mm) else jaws.corrected_mm(reading_mm)


def common_terms(instrument: Instrument, use: Use, day: datetime.date, size_mm: float) -> tuple[Term, ...]:
    """Return the instrument's limit, its zero and its jaws.

    A caliper whose inside jaws were checked in a known bore has that offset taken off and its doubt counted; what
    remains of its limit is that of the scale, the outside one. Inside and outside jaws never share a source: nothing of
    them cancels between a hole and its pin. An instrument that nobody named is another one on another day.
    """
    jaws = jaws_on(instrument, day) if use == "inside" else None
    is_learnt = jaws is not None and instrument.kind == "caliper" and any(lever.constant for lever in jaws.levers)
    whose = f"{instrument.id or f'{UNNAMED}/{day.isoformat()}'}/{use}"
    limits = [limit_term(instrument, use, whose=whose)]
    if is_learnt:
        limits.append(limit_term(instrument, "outside", whose=whose))
    least = min(limits, key=lambda term: term.u)
    off = standing_on(instrument, day, use).zero
    return (least, *((off,) if off is not None else ()), *(jaws.terms_at(size_mm) if jaws is not None else ()))


def worth_of(
    readings: Sequence[tuple[Instrument, float, float]], use: Use, day: datetime.date, whose: str, who: str = ""
) -> Worth:
    """Return what readings are worth together, the worst of the instruments used counting.

    Args:
        readings: instrument, reading in mm and step in mm of each.
        use: inside or outside.
        day: the day of the readings.
        whose: which readings these are, by ids.
        who: who measured; a gauge study of holes tells of inside readings only.
    """
    used = tuple(dict.fromkeys(instrument for instrument, _, _ in readings))
    size_mm = math.fsum(mm for _, mm, _ in readings) / len(readings)
    budgets = [common_terms(instrument, use, day, size_mm) for instrument in used]
    hands = _hands(used, who) if use == "inside" else None
    terms = max(budgets, key=lambda terms: math.fsum([term.u**2 for term in terms]))
    if len(used) > 1:
        terms = tuple([_of_its_own(term, whose) for term in terms])
    return Worth(
        terms=(*terms, *_between(hands, used[0])),
        usual_mm=max(map(usual_repeatability_mm, used)),
        step_mm=max(step for _, _, step in readings),
        remarks=tuple(dict.fromkeys(_remarks(readings, used, use, day))),
        known=None if hands is None else Scatter(hands.repeatability_mm, float(hands.dof), _study_words(hands)),
    )


def _hands(used: Sequence[Instrument], who: str) -> Hands | None:
    """Return what a study found about this person with the one instrument used."""
    if len(used) != 1:
        return None
    return next((hands for hands in used[0].hands if hands.who == who), None)


def _of_its_own(term: Term, whose: str) -> Term:
    """Return a term as one that no other readings share: of several instruments the worst stands for all."""
    return term._replace(source=replace(term.source, id=f"{term.source.id}/{whose}", wanders=""))


def _between(hands: Hands | None, instrument: Instrument) -> tuple[Term, ...]:
    """Return how far people's levels lie apart, which no repeating by one person lessens."""
    if hands is None:
        return ()
    source = Source(
        f"{instrument.id}/hands/{hands.who}/{hands.day.isoformat()}", "hands", label=PEOPLE_DIFFER,
        why=f"{_study_words(hands)}, weighed with the usual figure", dof=float(hands.between_dof),
    )  # fmt: skip
    return (Term(source, hands.between_mm),)


PEOPLE_DIFFER = "people read differently"  # a label, for people


def _study_words(hands: Hands) -> str:
    return f"gauge study of {day_text(hands.day)}"


def _remarks(
    readings: Sequence[tuple[Instrument, float, float]], used: Iterable[Instrument], use: Use, day: datetime.date
) -> Iterable[str]:
    if use == "inside":
        for instrument, reading_mm, _ in readings:
            jaws = jaws_on(instrument, day)
            if jaws is not None and not jaws.go_into(reading_mm):
                yield jaws_too_wide(instrument, jaws.width_mm, reading_mm)
    for instrument in used:
        remark = standing_on(instrument, day, use).remark
        if remark:
            yield remark
        jaws = jaws_on(instrument, day) if use == "inside" else None
        if jaws is not None and jaws.complaint:
            yield f"{instrument_words(instrument)}: {jaws.complaint}"


def jaws_too_wide(instrument: Instrument, width_mm: float, reading_mm: float) -> str:
    """Return the sentence for jaws that cannot have stood in the hole."""
    wide, read = (both_plain_text(mm, instrument_units(instrument)) for mm in (width_mm, reading_mm))
    return (
        f"{instrument_words(instrument)}: inside jaws {wide} wide do not go into a hole that reads {read}, so "
        "nothing is corrected; mend the jaw width, or strike the reading"
    )
