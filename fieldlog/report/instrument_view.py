"""An instrument laid out: what it is worth, how it stands by its checks, what its inside jaws do, the checks."""

import datetime
from collections.abc import Sequence

from fieldlog.measure.checks import jaws_on, standing_on, usable_checks
from fieldlog.measure.estimate import Part
from fieldlog.measure.instruments import Use, limit_part, usual_repeatability_mm
from fieldlog.measure.jaws import Jaws
from fieldlog.measure.rounding import both_plain_text, mm_text, size_text
from fieldlog.records.checks import check_words
from fieldlog.records.days import day_text
from fieldlog.records.machine import Instrument
from fieldlog.records.quantities import Units
from fieldlog.report.lines import BLANK, Line, Span, fit, heading, line, wrapped
from fieldlog.standards.calipers import JAWLESS_KINDS, UNCHECKED_KINDS
from fieldlog.wear.instrument_numbers import SHOWN_SIZES_MM

_USES: Sequence[tuple[Use, str]] = (("outside", "Outside sizes"), ("inside", "Inside sizes"))


def instrument_lines(instrument: Instrument, today: datetime.date, units: Units, width: int) -> tuple[Line, ...]:
    """Return an instrument's page; every check can be chosen."""
    lines = [heading("What it is worth"), *_worth_lines(instrument, today, units, width)]
    if instrument.kind in UNCHECKED_KINDS:
        text = "A tape or rule is not checked here: its class, its hook and the eye are in every length's doubt."
        return (*lines, BLANK, *wrapped(text, width, "", "dim"))
    lines += [BLANK, heading("Its checks say"), *_standing_lines(instrument, today, width)]
    jaws = jaws_on(instrument, today)
    if instrument.kind == "caliper" or jaws is not None:
        lines += [BLANK, heading("Inside jaws"), *_jaw_lines(jaws, units, width)]
    lines += [BLANK, heading("Checks, newest first"), *_check_lines(instrument, width)]
    return tuple(lines)


def standing_words(instrument: Instrument, today: datetime.date) -> str:
    """Return in a few words how an instrument stands by its checks, empty for a tape or rule."""
    if instrument.kind in UNCHECKED_KINDS:
        return ""
    standing = standing_on(instrument, today, "inside")
    if not standing.remark:
        last = max((check.date for check in usable_checks(instrument)), default=None)
        return f"checked {day_text(last)}"
    return "!! zero drifted" if standing.part is not None and "drifted" in standing.part.name else "!! not checked"


def _worth_lines(instrument: Instrument, today: datetime.date, units: Units, width: int) -> list[Line]:
    step = f", step {instrument.resolution.typed}" if instrument.resolution is not None else ", step not stated"
    lines = [line(f"{instrument.kind[:1].upper()}{instrument.kind[1:]}{step}")]
    if instrument.kind in UNCHECKED_KINDS:
        return [*lines, *wrapped(_limit_text("A metre", limit_part(instrument, "length", 1000.0), units), width)]
    for use, words in _USES:
        if use == "inside" or instrument.kind not in JAWLESS_KINDS:
            lines += wrapped(_limit_text(words, limit_part(instrument, use), units), width)
    scatter = both_plain_text(usual_repeatability_mm(instrument), units)
    lines += wrapped(f"One reading among repeats usually scatters by {scatter}, common practice", width, "", "dim")
    return lines


def _limit_text(words: str, part: Part, units: Units) -> str:
    origin = part.source.rpartition(", ")[2] if "tape class" in part.source else part.source.partition(", ")[2]
    return f"{words}: right within ± {both_plain_text(part.half_width_mm, units)}, {origin}"


def _standing_lines(instrument: Instrument, today: datetime.date, width: int) -> list[Line]:
    """Return how each use stands; what is the same for both is said once."""
    said: dict[tuple[str, bool], list[str]] = {}
    for use, words in _USES:
        if use == "inside" or instrument.kind not in JAWLESS_KINDS:
            standing = standing_on(instrument, today, use)
            sure = f"{standing.part.source}; in order" if standing.part is not None else "checked in a known bore"
            said.setdefault((standing.remark or sure, bool(standing.remark)), []).append(words)
    lines: list[Line] = []
    for (text, is_doubtful), uses in said.items():
        about = f"{uses[0]}: " if len(said) > 1 else ""
        whole = f"{about}{text}." if about else f"{text[:1].upper()}{text[1:]}."
        lines += wrapped(whole, width, "", "warn" if is_doubtful else "")
    return lines


def _jaw_lines(jaws: Jaws | None, units: Units, width: int) -> list[Line]:
    if jaws is None:
        text = "Nothing is known of them, and nothing is corrected. k, a known bore: two of different sizes tell most."
        return [*wrapped(text, width, "", "dim")]
    lines = [*wrapped(f"Offset {size_text(jaws.offset, units)}, added to every inside reading", width)]
    if jaws.width is not None:
        lines += wrapped(f"Width {size_text(jaws.width, units)}: D = root of (reading + offset)² + width²", width)
    added = ", ".join(
        f"{mm_text(jaws.corrected_mm(size) - size, units, 3 if units == 'mm' else 4)} at {mm_text(size, units)}"
        for size in SHOWN_SIZES_MM
        if jaws.go_into(size)
    )
    lines += wrapped(f"Added in all: {added}", width)
    for text in (jaws.complaint, jaws.remark):
        if text:
            lines += wrapped(f"{text[:1].upper()}{text[1:]}.", width, "", "warn")
    return lines


def _check_lines(instrument: Instrument, width: int) -> list[Line]:
    lines: list[Line] = []
    for check in sorted(instrument.checks, key=lambda check: check.date, reverse=True):
        text = fit(f"{day_text(check.date):<12} {check_words(check)}", width)
        lines.append(Line((Span(text, "struck" if check.struck else ""),), check))
        if check.struck:
            lines.append(line(Span(fit(f"{' ' * 13}struck: {check.struck}", width), "warn")))
    return lines or [*wrapped("None yet. k writes one down: close it and type what it shows.", width, "", "dim")]
