"""Every number on an instrument's page opened up: its limits, its zero, what known bores tell of its inside jaws."""

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldlog.measure.checks import half_step_mm, jaws_on, standing_on, usable_checks
from fieldlog.measure.estimate import Estimate, Part
from fieldlog.measure.figure import Figure, FigurePart, figure_limit
from fieldlog.measure.instruments import USUAL_REPEATABILITY_DOF, Use, limit_part, usual_repeatability_mm
from fieldlog.measure.jaws import Jaws
from fieldlog.records.checks import Check, check_words
from fieldlog.records.days import day_text
from fieldlog.records.machine import Instrument
from fieldlog.standards.calipers import JAWLESS_KINDS, UNCHECKED_KINDS
from fieldlog.wear.numbers import Number

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
        yield _limit("a metre", "A metre is right within", limit_part(instrument, "length", 1000.0))
        return
    for use in _uses(instrument):
        yield _limit(f"{use} limit", f"{use.capitalize()} sizes are right within", limit_part(instrument, use))


def _uses(instrument: Instrument) -> Sequence[Use]:
    return ("inside",) if instrument.kind in JAWLESS_KINDS else ("outside", "inside")


def _limit(word: str, about: str, part: Part) -> Number:
    value = Figure(part.half_width_mm, "mm")
    formula = "Taken as a limit: anywhere within it and never beyond, so u is a / root of 3 (GUM 4.3.7)."
    return Number(word, about, value, (), said=f"{part.source[:1].upper()}{part.source[1:]}.", formula=formula)


def _scatter(instrument: Instrument) -> Number:
    usual_mm = usual_repeatability_mm(instrument)
    share = 1 / math.sqrt(2 * USUAL_REPEATABILITY_DOF)
    source = f"usual figure, not measured: believed like {USUAL_REPEATABILITY_DOF:g} degrees of freedom (GUM G.4.2)"
    part = FigurePart("usual figure", usual_mm * share, math.inf, source)
    about = "Scatter of one reading among repeats (standard deviation); a gauge study takes its place"
    return Number("usual scatter", about, Figure(usual_mm, "mm", (part,)), ())


def _jaws(jaws: Jaws | None, checks: Sequence[Check]) -> Iterator[Number]:
    if jaws is None:
        return
    typed = tuple(_told(check) for check in checks if check.kind == "known bore")
    yield Number("jaw offset", "Added to every inside reading", jaws.offset, (), typed=typed)
    if jaws.width is not None:
        yield Number("jaw width", "Width of the inside jaws, outer corner to outer corner", jaws.width, (), typed=typed)
    for size_mm in SHOWN_SIZES_MM:
        if jaws.go_into(size_mm):
            value = Estimate(jaws.corrected_mm(size_mm) - size_mm, jaws.parts_at(size_mm))
            about = f"Added in all to an inside reading of {size_mm:g} mm"
            yield Number(f"added at {size_mm:g}", about, value, (), typed=typed, formula=_JAWS)


def _standing(instrument: Instrument, today: datetime.date) -> Iterator[Number]:
    """Return what a season's checks leave open in each use's zero."""
    for use in _uses(instrument):
        standing = standing_on(instrument, today, use)
        if standing.part is not None:
            about = f"What is left open in the zero of {use} sizes"
            value = Figure(standing.part.half_width_mm, "mm")
            remark = standing.remark or standing.part.source
            yield Number(f"zero, {use}", about, value, (), said=f"{remark[:1].upper()}{remark[1:]}.")


def _check(check: Check, instrument: Instrument) -> Number:
    """Return what one check found the instrument off by: scatter, step, and how well the known size is known."""
    n = len(check.readings)
    usual_mm = usual_repeatability_mm(instrument)
    step_mm = half_step_mm(check, instrument)
    parts = [
        FigurePart("scatter of the readings", usual_mm / math.sqrt(n), USUAL_REPEATABILITY_DOF, f"usual, {n} readings"),
        figure_limit("step of the readings", step_mm, f"± {step_mm:.3g} mm"),
    ]
    if check.tolerance is not None:
        half_mm = float(check.tolerance.mm)
        parts.append(figure_limit("known size", half_mm, f"± {check.tolerance.typed}"))
    about = f"What the {check.kind} check of {day_text(check.date)} showed over the known size"
    value = Figure(check.deviation_mm, "mm", tuple(parts))
    size = f" {check.size.typed}" if check.size is not None else ""
    word = f"{check.kind}{size}, {day_text(check.date)}"
    return replace(Number(word, about, value, (), is_change=True), typed=(_told(check),))


def _told(check: Check) -> str:
    return f"{day_text(check.date)}: {check_words(check)}"
