"""Entries as lines: what was typed, by whom, when, and whether it stands struck.

What is said under a reading that stands apart, and on a hole's page about its readings.

Readings of pins, walls, tapes and threads that stand apart, for the printed report and its data.
"""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from fieldlog.measure.apart import repeat_marks
from fieldlog.measure.checks import inside_mm, jaws_on
from fieldlog.measure.suspect import Mark, apart_text
from fieldlog.measure.walk import END_WORDS, TAPE_WORDS
from fieldlog.pages.lines import BLANK, Line, Span, cells, fit, heading, line, wrapped
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Event,
    Keep,
    LengthReading,
    LigamentReading,
    MeterReading,
    Note,
    PinReading,
    Play,
    Strike,
    ThreadReading,
    Trial,
    TurnsReading,
    WallReading,
)
from fieldlog.records.machine import Instrument, shown_name
from fieldlog.wear.history import Index
from fieldlog.wear.shapes import DayDoubts, repeated_entries
from fieldlog.words.speak import say_all

NOTHING_SAID: Mapping[str, str] = MappingProxyType({})


def corrected_sizes(
    entries: Sequence[AnyEntry], instruments: Mapping[str, Instrument], units: Units
) -> Mapping[str, str]:
    """Return what the readings of holes were corrected to for their caliper's jaws, by key."""
    found: dict[str, str] = {}
    for entry in entries:
        if isinstance(entry, BoreReading) and entry.instrument in instruments:
            read_mm = float(entry.size.mm)
            size_mm = inside_mm(read_mm, jaws_on(instruments[entry.instrument], entry.day))
            if size_mm != read_mm:
                found[entry.key] = mm_text(size_mm, units, 3 if units == "mm" else 4)
    return found


def entry_words(entry: AnyEntry) -> str:
    """Return what an entry says in one line."""
    match entry:
        case Note():
            return ", ".join([*entry.signs, *([entry.text] if entry.text else [])]) or "a note without words"
        case Event():
            hours = f", new meter shows {entry.hours} h" if entry.hours is not None else ""
            return f"{entry.deed}{hours}{': ' if entry.text else ''}{entry.text}"
        case BoreReading() | PinReading() | LigamentReading() | WallReading():
            return _caliper_words(entry)
        case LengthReading() | ThreadReading() | TurnsReading():
            return _link_words(entry)
        case _:
            return _other_words(entry)


def _other_words(entry: MeterReading | Trial | Play | Strike | Keep) -> str:
    match entry:
        case MeterReading():
            return f"hour meter {entry.hours} h"
        case Trial():
            return f"{entry.size.typed} {entry.by}: {entry.result}"
        case Play():
            return (
                f"{entry.size.typed} feeler enters" if entry.by == "feeler" else f"play {entry.size.typed}, {entry.by}"
            )
        case Strike():
            return f"struck {entry.of}: {entry.why}"
        case Keep():
            return f"kept {entry.of}: {entry.why}"


def _caliper_words(entry: BoreReading | PinReading | LigamentReading | WallReading) -> str:
    if isinstance(entry, BoreReading):
        return f"{entry.size.typed} at {entry.clock.typed}, {entry.face} face"
    if isinstance(entry, LigamentReading):
        return f"{entry.size.typed}, metal outside the hole at {entry.clock.typed}"
    where = f" at {entry.clock.typed}" if entry.clock else ""
    if isinstance(entry, WallReading):
        return f"{entry.size.typed}, wall of the bush{where or ', thinnest'}"
    return f"{entry.size.typed}, pin {'worn band' if entry.place == 'worn' else 'unworn end'}{where}"


def _link_words(entry: LengthReading | ThreadReading | TurnsReading) -> str:
    if isinstance(entry, ThreadReading):
        return f"{entry.exposed.typed} of thread out, {END_WORDS[entry.end]}, {entry.state}"
    if isinstance(entry, TurnsReading):
        return f"{entry.turns} turns from closed to open"
    start = f" from the {entry.start.typed} mark" if entry.start is not None else ""
    holes = " to ".join(hole for hole in (entry.near_hole, entry.far_hole) if hole)
    return f"{entry.size.typed}{start}, {entry.state}, {TAPE_WORDS[entry.way]}{f', {holes}' if holes else ''}"


def strike_reasons(entries: Sequence[AnyEntry], struck: frozenset[str]) -> Mapping[str, Strike]:
    """Return the strike that counts for each struck entry."""
    standing = [entry for entry in entries if isinstance(entry, Strike) and entry.key not in struck]
    return {strike.target: strike for strike in standing}


def entry_lines(
    entries: Sequence[AnyEntry],
    struck: frozenset[str],
    reasons: Mapping[str, Strike],
    width: int,
    said: Mapping[str, str] = NOTHING_SAID,
    corrected: Mapping[str, str] = NOTHING_SAID,
) -> tuple[Line, ...]:
    """Return the entries newest first, each to be chosen; under them why they are struck, or what is `said`.

    `corrected` holds, by key, what a reading was corrected to for the instrument's jaws.
    """
    lines: list[Line] = []
    for entry in reversed(entries):
        is_struck = entry.key in struck
        when = f"{day_text(entry.day):<12} {entry.at[:5]}  "
        who = f"  {entry.who}"
        room = width - cells(when) - cells(who)
        size = f", corrected {corrected[entry.key]}" if entry.key in corrected else ""
        has_room = cells(entry_words(entry)) + cells(size) <= room
        words = fit(f"{entry_words(entry)}{size if has_room else ''}", room)
        spans = (Span(when, "dim"), Span(words, "struck" if is_struck else ""), Span(who, "dim"))
        lines.append(Line(spans, entry.key))
        if size and not has_room:
            lines.append(line(Span(fit(f"{' ' * 20}{size.removeprefix(', ')}", width), "dim")))
        strike = reasons.get(entry.key)
        if is_struck and strike is not None:
            text = f"struck by {strike.who}, {day_text(strike.day)}: {strike.why}"
            lines.append(line(Span(fit(f"{' ' * 20}{text}", width), "warn")))
        elif entry.key in said:
            lines += wrapped(said[entry.key], width, "    ", "warn")
    return tuple(lines)


def said_under(marks: Mapping[str, Mark], keeps: Mapping[str, Keep], units: Units) -> Mapping[str, str]:
    """Return what stands under each reading: that it stands apart, or who keeps it and why."""
    said = {key: f"! {apart_text(mark, units)}: measure again, strike it or keep it" for key, mark in marks.items()}
    for key, keep in keeps.items():
        apart = f"{apart_text(marks[key], units)}; " if key in marks else ""
        said[key] = f"{apart}kept by {keep.who}, {day_text(keep.day)}: {keep.why}"
    return said


def apart_lines(marks: Sequence[Mark], about: Sequence[str], units: Units, width: int) -> tuple[Line, ...]:
    """Return what stands apart of pins, walls, tapes and threads, and what their repeats can tell."""
    lines: list[Line] = []
    for mark in marks:
        text = f"The {mark.typed} {mark.where} {apart_text(mark, units)}"
        lines += wrapped(f"{text}: measure again, strike it, or keep it with a reason.", width, "", "warn")
    for text in about:
        lines += wrapped(text, width, "", "dim")
    return tuple(lines)


def doubt_lines(day: DayDoubts, units: Units, width: int) -> tuple[Line, ...]:
    """Return what there is to say of one measuring's readings: what stands apart, what is kept, lack of fit."""
    lines = list(worst_doubts(day, units, width))
    for mark in day.kept:
        text = f"The {mark.typed} at {mark.clock}, {mark.face} face, {apart_text(mark, units)} and is kept"
        lines += wrapped(f"{text}; enter on the day says why.", width, "", "dim")
    for text in day.repeats:
        lines += wrapped(text, width, "", "dim")
    return (heading("The readings"), *lines) if lines else ()


def worst_doubts(day: DayDoubts, units: Units, width: int) -> tuple[Line, ...]:
    """Return what stands apart and is not kept, and lines that fit no oval."""
    lines: list[Line] = []
    for mark in day.marks:
        text = f"The {mark.typed} at {mark.clock}, {mark.face} face, {apart_text(mark, units)}"
        lines += wrapped(f"{text}: measure again, strike it, or keep it with a reason.", width, "", "warn")
    lines += wrapped(say_all(day.misfit, units), width, "", "warn") if day.misfit else ()
    return tuple(lines)


_DIGITS = 6


def apart_data(indexes: Sequence[Index]) -> list[Mapping[str, object]]:
    """Return each such reading as data, kept ones too."""
    return [
        {
            "machine": index.machine.id,
            "reading": mark.key,
            "typed": mark.typed,
            "of": mark.place,
            "gap_mm": round(mark.gap_mm, _DIGITS),
            "from": mark.against,
            "kept": mark.key in index.keeps,
        }
        for index in indexes
        for mark in _marks(index)
    ]


def apart_report(indexes: Sequence[Index], units: Units, width: int) -> tuple[Line, ...]:
    """Return those that nobody decided to keep, machine by machine; nothing when there are none."""
    lines: list[Line] = []
    for index in indexes:
        marks = [mark for mark in _marks(index) if mark.key not in index.keeps]
        if marks:
            title = f"{shown_name(index.machine)}: readings of pins, walls and tapes that stand apart"
            lines += [BLANK, heading(title), *apart_lines(marks, (), units, width)]
    return tuple(lines)


def _marks(index: Index) -> tuple[Mark, ...]:
    return repeat_marks(repeated_entries(index), index.instruments)
