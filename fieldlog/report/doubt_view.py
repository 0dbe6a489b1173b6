"""What is said under a reading that stands apart, and on a hole's page about its readings."""

from collections.abc import Mapping, Sequence

from fieldlog.measure.doubtful import Mark, apart_text
from fieldlog.records.days import day_text
from fieldlog.records.entries import Keep
from fieldlog.records.quantities import Units
from fieldlog.report.lines import Line, heading, wrapped
from fieldlog.wear.doubts import DayDoubts


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
    lines += wrapped(day.misfit, width, "", "warn") if day.misfit else ()
    return tuple(lines)
