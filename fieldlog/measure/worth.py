"""What a reading with an instrument is worth on its day: the corrected size and the parts common to all repeats."""

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.checks import jaws_on, standing_on
from fieldlog.measure.estimate import Part
from fieldlog.measure.instruments import (
    Use,
    cause_of,
    instrument_units,
    instrument_words,
    limit_part,
    usual_repeatability_mm,
)
from fieldlog.measure.jaws import Jaws
from fieldlog.measure.repeats import Scatter
from fieldlog.measure.rounding import both_plain_text
from fieldlog.records.days import day_text
from fieldlog.records.hands import Hands
from fieldlog.records.machine import Instrument

PEOPLE_DIFFER = "people read differently"


@dataclass(frozen=True, slots=True)
class Worth:
    """Parts that repeating does not lessen, how one reading usually scatters, the step, and what is to be said.

    `known` is how this person's readings scatter by a gauge study, None where there was none.
    """

    parts: tuple[Part, ...]
    usual_mm: float
    step_mm: float
    remarks: tuple[str, ...] = ()
    known: Scatter | None = None


def inside_mm(reading_mm: float, jaws: Jaws | None) -> float:
    """Return the diameter behind an inside reading, corrected for the jaws where anything is known of them."""
    return reading_mm if jaws is None or not jaws.go_into(reading_mm) else jaws.corrected_mm(reading_mm)


def common_parts(instrument: Instrument, use: Use, day: datetime.date, size_mm: float) -> tuple[Part, ...]:
    """Return the instrument's limit, its zero and its jaws as parts.

    A caliper whose inside jaws were checked in a known bore has that offset taken off and its doubt counted; what
    remains of its limit is that of the scale, the outside one. Inside and outside jaws never share a cause: nothing of
    them cancels between a hole and its pin.
    """
    jaws = jaws_on(instrument, day) if use == "inside" else None
    is_learnt = jaws is not None and instrument.kind == "caliper" and any(lever.constant for lever in jaws.levers)
    limits = [limit_part(instrument, use)]
    if is_learnt:
        limits.append(limit_part(instrument, "outside"))
    limit = min(limits, key=lambda part: part.u_mm)
    limit = replace(limit, cause=f"{limit.cause}, {use}")
    zero = standing_on(instrument, day, use).part
    parts = (limit, *((zero,) if zero is not None else ()), *(jaws.parts_at(size_mm) if jaws is not None else ()))
    return parts if instrument.id else tuple(_of_the_day(part, day) for part in parts)


def _of_the_day(part: Part, day: datetime.date) -> Part:
    """Return a part of an instrument nobody named: taken as one instrument on one day, as another on another day."""
    return replace(part, cause=f"unnamed, {day.isoformat()}: {part.name}")


def worth_of(readings: Sequence[tuple[Instrument, float, float]], use: Use, day: datetime.date, who: str = "") -> Worth:
    """Return what readings are worth together, the worst of the instruments used counting.

    Args:
        readings: instrument, reading in mm and step in mm of each.
        use: inside or outside.
        day: the day of the readings.
        who: who measured; a gauge study of holes tells of inside readings only.
    """
    used = tuple(dict.fromkeys(instrument for instrument, _, _ in readings))
    size_mm = math.fsum(mm for _, mm, _ in readings) / len(readings)
    budgets = [common_parts(instrument, use, day, size_mm) for instrument in used]
    hands = _hands(used, who) if use == "inside" else None
    parts = max(budgets, key=lambda parts: math.fsum(part.u_mm**2 for part in parts))
    return Worth(
        parts=(*(parts if len(used) == 1 else map(_of_its_own, parts)), *_between(hands, used[0])),
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


def _of_its_own(part: Part) -> Part:
    """Return a part as one that no other size shares: of several instruments the worst stands for all."""
    return replace(part, cause="", moves="")


def _between(hands: Hands | None, instrument: Instrument) -> tuple[Part, ...]:
    """Return how far people's levels lie apart, which no repeating by one person lessens."""
    if hands is None:
        return ()
    source = f"{_study_words(hands)}, weighed with the usual figure"
    cause = cause_of(instrument, f"hands of {hands.who}, {hands.day.isoformat()}")
    return (Part(PEOPLE_DIFFER, hands.between_mm, float(hands.between_dof), source, cause=cause),)


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
