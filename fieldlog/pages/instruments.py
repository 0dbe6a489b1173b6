"""A gauge study in plain words: what these hands with this instrument can tell, then the tables behind it.

An instrument laid out: what it is worth, how it stands by its checks, what its inside jaws do, the checks.
"""

import datetime
import math
from collections.abc import Sequence

from fieldlog.measure.checks import jaws_on, standing_on, usable_checks
from fieldlog.measure.gauge_study import Anova, AnovaRow, GaugeStudy, Spread, hands_of, study_result
from fieldlog.measure.instruments import Use, error_limit_mm, limit_origin, usual_repeatability_mm
from fieldlog.measure.jaws import Jaws
from fieldlog.pages.lines import BLANK, MOST, Line, Span, count_text, fit, heading, line, wrapped
from fieldlog.quantity.rounding import both_plain_text, mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.checks import Slot, Study, check_words, counted, next_slot, plan
from fieldlog.records.machine import Hands, Instrument
from fieldlog.standards.instruments import JAWLESS_KINDS, UNCHECKED_KINDS
from fieldlog.wear.numbers.instruments import REPEATS, SHOWN_SIZES_MM

_GOOD_CATEGORIES = 5  # AIAG MSA asks for five or more
_ONE_NOMINAL_MM = 0.6  # holes of one nominal size, new to worn out, spread less than this: common practice


def study_title(study: Study, instrument: str) -> str:
    """Return the study in one line."""
    people, holes = count_text(len(study.people_ids), "person", "people"), count_text(len(study.hole_names), "hole")
    return f"{day_text(study.date)}, {instrument}: {people}, {holes}, {study.trials} times"


def progress_text(study: Study) -> str:
    """Return how far a study is."""
    done, all_slots = len(counted(study)), len(plan(study))
    return "finished" if next_slot(study) is None else f"{done} of {all_slots} trials"


def trial_lines(study: Study, slot: Slot, last: str, width: int) -> tuple[Line, ...]:
    """Return what to do for the next trial; what was read before is not shown, so that nobody aims at it."""
    lines = [
        line(Span(f"{slot.person} measures {slot.hole}", "head")),
        line(f"Time {slot.number} of {study.trials} round the holes; {progress_text(study)}."),
        BLANK,
        *wrapped("Always along the same line across the hole, marked on it, at the same depth.", width),
        *wrapped("Wipe the jaws, close them, look at the zero; then read once and type what it shows.", width),
        *wrapped("What was read before stays hidden, so that nobody aims at it.", width, "", "dim"),
    ]
    if last:
        lines += [BLANK, *wrapped(last, width, "", "dim")]
    return tuple(lines)


def study_lines(study: Study, instrument: str, units: Units, width: int) -> tuple[Line, ...]:
    """Return what a finished study says; an unfinished one says how far it is."""
    result = study_result(study)
    if result is None:
        return wrapped(f"Not finished: {progress_text(study)}. Its result comes with the last one.", width)
    lines: list[Line] = [*wrapped(_plain_words(result, instrument, units), width, "", "strong"), BLANK]
    lines += _smallest_changes(result, units, width)
    lines += [BLANK, heading("Each person's scatter")]
    lines += [_hands_line(hands, units) for hands in hands_of((study,))]
    lines += wrapped("From now on this counts for what they measure with it, in place of the usual figure.", width)
    lines += [BLANK, heading("Standard deviations"), *_spreads(result, units, width)]
    lines += [BLANK, *_categories(result, width)]
    lines += [BLANK, heading("Analysis of variance"), *_anova_table(result.anova, width)]
    return tuple(lines)


def _plain_words(result: GaugeStudy, instrument: str, units: Units) -> str:
    same = mm_text(result.smallest_change_mm(), units, _places(units))
    return f"With the {instrument} and these hands, a change under {same} between two single readings is not yet wear."


def _places(units: Units) -> int:
    return 2 if units == "mm" else 4


def _smallest_changes(result: GaugeStudy, units: Units, width: int) -> list[Line]:
    lines = [heading("Smallest change that counts (95 %)")]
    lines.append(line(Span(f"{'readings each day':<20}{'same person':>14}{'another person':>16}", "dim")))
    for n in REPEATS:
        same = mm_text(result.smallest_change_mm(n), units, _places(units))
        other = mm_text(result.smallest_change_mm(n, same_person=False), units, _places(units))
        lines.append(line(f"{n:<20}{same:>14}{other if result.n_people > 1 else '-':>16}"))
    if result.n_people == 1:
        lines += wrapped("One person alone: what another would read is not known.", width, "", "dim")
    return lines


def _hands_line(hands: Hands, units: Units) -> Line:
    return line(f"{fit(hands.who, 20)}{mm_text(hands.repeatability_mm, units, _places(units) + 1):>14}")


def _spreads(result: GaugeStudy, units: Units, width: int) -> list[Line]:
    ranges = result.by_ranges
    lines = [line(Span(f"{'':<28}{'by variance':>14}{'by ranges':>14}", "dim"))]
    rows = (
        ("one person repeats", "repeatability_mm"),
        ("people differ", "reproducibility_mm"),
        ("hands and tool together", "gauge_mm"),
        ("the holes themselves", "holes_mm"),
    )
    for word, name in rows:
        second = mm_text(getattr(ranges, name), units, _places(units) + 1) if ranges is not None else "-"
        first = mm_text(getattr(result.by_anova, name), units, _places(units) + 1)
        lines.append(line(f"{word:<28}{first:>14}{second:>14}"))
    return lines


def _categories(result: GaugeStudy, width: int) -> tuple[Line, ...]:
    first = _cut(result.by_anova)
    text = f"Sizes it tells apart among these holes: {first} by variance"
    if result.by_ranges is not None:
        text += f", {_cut(result.by_ranges)} by ranges"
    verdict = "enough" if first == "no end" or int(first) >= _GOOD_CATEGORIES else "too few for small wear"
    lines = wrapped(f"{text}; {_GOOD_CATEGORIES} or more are wanted, so {verdict}.", width)
    if result.by_anova.holes_mm > _ONE_NOMINAL_MM:
        say = "These holes are of different nominal sizes, which anything tells apart; holes of one nominal size, "
        lines += wrapped(f"{say}from new to worn, would show how many steps of wear can be told.", width, "", "dim")
    return lines


def _cut(spread: Spread) -> str:
    return "no end" if math.isinf(spread.categories) else str(math.floor(spread.categories))


def _anova_table(anova: Anova, width: int) -> list[Line]:
    lines = [line(Span(f"{'':<18}{'squares mm2':>14}{'freedom':>9}{'mean mm2':>14}", "dim"))]
    rows = (
        ("people", anova.people),
        ("holes", anova.holes),
        ("people by holes", anova.interaction),
        ("repeats", anova.repeats),
    )
    lines += [_anova_line(word, row) for word, row in rows]
    lines += wrapped(_interaction_text(anova), width, "", "dim")
    return lines


def _anova_line(word: str, row: AnovaRow) -> Line:
    return line(f"{word:<18}{row.sum_mm2:>14.6f}{row.dof:>9}{row.mean_mm2:>14.7f}")


def _interaction_text(anova: Anova) -> str:
    if anova.p_interaction is None:
        return "No interaction can be told here; repeatability is taken from the repeats."
    p = f"p = {anova.p_interaction:.3f}"
    if anova.is_pooled:
        return f"People by holes is no more than luck ({p}), so it counts as scatter."
    return f"Somebody reads some hole in a way of his own ({p}); that counts as people differing. Look at that hole."


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
    return f"{MOST} {'zero drifted' if standing.is_drifted else 'not checked'}"


def _worth_lines(instrument: Instrument, today: datetime.date, units: Units, width: int) -> list[Line]:
    step = f", step {instrument.resolution.typed}" if instrument.resolution is not None else ", step not stated"
    lines = [line(f"{instrument.kind[:1].upper()}{instrument.kind[1:]}{step}")]
    if instrument.kind in UNCHECKED_KINDS:
        return [*lines, *wrapped(_limit_text("A metre", instrument, "length", units), width)]
    for use, words in _USES:
        if use == "inside" or instrument.kind not in JAWLESS_KINDS:
            lines += wrapped(_limit_text(words, instrument, use, units), width)
    scatter = both_plain_text(usual_repeatability_mm(instrument), units)
    lines += wrapped(f"One reading among repeats usually scatters by {scatter}, common practice", width, "", "dim")
    return lines


def _limit_text(words: str, instrument: Instrument, use: Use, units: Units) -> str:
    """Return within what sizes are right; a tape's limit is that of a metre."""
    limit_mm = error_limit_mm(instrument, use, 1000.0)
    return f"{words}: right within ± {both_plain_text(limit_mm, units)}, {limit_origin(instrument, use)}"


def _standing_lines(instrument: Instrument, today: datetime.date, width: int) -> list[Line]:
    """Return how each use stands; what is the same for both is said once."""
    said: dict[tuple[str, bool], list[str]] = {}
    for use, words in _USES:
        if use == "inside" or instrument.kind not in JAWLESS_KINDS:
            standing = standing_on(instrument, today, use)
            sure = f"{standing.zero.source.why}; in order" if standing.zero is not None else "checked in a known bore"
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
