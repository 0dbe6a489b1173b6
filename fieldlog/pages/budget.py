"""A number opened up: its value, what its doubt is made of, and the readings behind it as they were typed.

Every number of a machine opened to its budget and its readings, to be printed.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import NamedTuple

from fieldlog.pages.figures import Shown, narrowing_lines, shown_in, source_of, step_text, value_texts
from fieldlog.pages.lines import BLANK, Line, Span, cells, fit, heading, line, wrapped
from fieldlog.pages.readings import entry_words, said_under
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, Interval, Step
from fieldlog.quantity.page_number import Number, in_its_unit
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import CANCELS, COVERAGE_PROBABILITY, Value
from fieldlog.records.entries import AnyEntry, BoreReading, LengthReading, LigamentReading, PinReading
from fieldlog.records.machine import shown_name
from fieldlog.wear.numbers.links import link_numbers
from fieldlog.wear.numbers.page import Ground, joint_page, seasons_of
from fieldlog.wear.numbers.season import season_numbers
from fieldlog.wear.numbers.sizes import hole_numbers, shape_numbers
from fieldlog.wear.shapes import hole_shape, marks_by_key
from fieldlog.words.speak import words_of

_FINEST_PLACES = 6
_BOTH_UNITS_FROM = 66  # columns; on narrower pages the parts are in the first unit only
_TABLE_FROM = 50  # on narrower pages each part has its numbers on a line of their own
_U_WIDTH = 11
_DOF_WIDTH = 7
_SHARE_WIDTH = 7
_SAME_MM = 1e-6
_NEARLY = 0.98
_UNSEEN = 0.005  # a share that shows as less than 1 %
_SEVERAL = 4
_MOST_OTHERS = 40  # what a key costs must not grow with the history
_MOST_READINGS = 240


class NumberTarget(NamedTuple):
    """Opens another number of the same page."""

    word: str


def value_lines(number: Number, units: Units, width: int) -> tuple[Line, ...]:
    """Return what the number is and its value, in both units on one line where there is room and another unit."""
    first, *others = value_texts(number.estimate, units, is_change=number.is_change)
    values = [first, *(f"({other})" for other in others)]
    together = "   ".join(values)
    rows = [together] if len(together) <= width else values
    said = wrapped(words_of(number.said, units), width) if number.said else ()
    return (
        *wrapped(words_of(number.about, units), width, "", "head"),
        *(line(Span(row, "strong")) for row in rows),
        *said,
    )


def budget_lines(value: Estimate | Figure | Value, units: Units, width: int) -> tuple[Line, ...]:
    """Return the parts of an uncertainty as a table, then how they make the 95 % half-width."""
    figure = in_its_unit(value)
    assert isinstance(figure, Figure)
    if not any(part.u > 0 for part in figure.parts):
        return wrapped("It carries no doubt of its own.", width, "", "dim")
    both = shown_in(figure.unit, units)
    shown = both if width >= _BOTH_UNITS_FROM and _fits_a_column(both) else both[:1]
    lines = [_head(shown, width)] if width >= _TABLE_FROM else []
    for part in _gathered(figure):
        lines += _part_lines(part, figure, shown, width)
    return (*lines, *_sum_lines(figure, both, width))


def _gathered(figure: Figure) -> list[FigurePart]:
    """Return the parts, largest first; those too small to show in a share are one line where there are several.

    What cancels between two sizes is a line of its own, so that it is seen.
    """
    ordered = sorted(figure.parts, key=lambda part: -part.u)
    gone = [part for part in ordered if part.source.endswith(CANCELS)]
    small = [part for part in ordered if part not in gone and part.u**2 < _UNSEEN * figure.u**2]
    found = [part for part in ordered if part not in gone and part not in small]
    if len(small) < _SEVERAL:
        found += small
    else:
        found.append(_as_one(figure, small, f"{len(small)} smaller parts together", "of"))
    if len(gone) < _SEVERAL:
        return found + gone
    return [*found, _as_one(figure, gone, f"{len(gone)} parts that cancel", "the same both times:")]


def _as_one(figure: Figure, parts: Sequence[FigurePart], name: str, said: str) -> FigurePart:
    rest = replace(figure, parts=tuple(parts))
    return FigurePart(name, rest.u, rest.dof, f"{said} {', '.join(dict.fromkeys(source_of(part) for part in parts))}")


def _fits_a_column(both: Sequence[Shown]) -> bool:
    return all(len(shown.unit) + 3 <= _U_WIDTH for shown in both)


def _head(shown: Sequence[Shown], width: int) -> Line:
    columns = "".join(
        f"u {one.unit}".rjust(_U_WIDTH) if _fits_a_column([one]) else "u".rjust(_U_WIDTH) for one in shown
    )
    return line(
        Span(f"{fit('Part', _name_width(shown, width))}{columns}{'dof':>{_DOF_WIDTH}}{'share':>{_SHARE_WIDTH}}", "dim")
    )


def _name_width(shown: Sequence[Shown], width: int) -> int:
    return width - _U_WIDTH * len(shown) - _DOF_WIDTH - _SHARE_WIDTH


def _part_lines(part: FigurePart, figure: Figure, shown: Sequence[Shown], width: int) -> list[Line]:
    share = share_text(part.u**2 / figure.u**2)
    values = [u_text(part.u * one.factor, figure.u * one.factor) for one in shown]
    if width < _TABLE_FROM:
        unit = f" {shown[0].unit}" if shown[0].unit else ""
        numbers = f"u {values[0]}{unit}, {dof_text(part.dof)} dof, {share}"
        name = wrapped(part.name, width, "", "strong")
        return [*name, *wrapped(numbers, width, "  "), *wrapped(part.source, width, "  ", "dim")]
    room = _name_width(shown, width)
    first, *rest = wrapped(part.name, room - 1)
    columns = "".join(value.rjust(_U_WIDTH) for value in values)
    rows = [line(f"{fit(first.text, room)}{columns}{dof_text(part.dof):>{_DOF_WIDTH}}{share:>{_SHARE_WIDTH}}")]
    rows += [line(row.text) for row in rest]
    return [*rows, *wrapped(part.source, width, "  ", "dim")]


def _sum_lines(figure: Figure, both: Sequence[Shown], width: int) -> tuple[Line, ...]:
    together, expanded = (_in_both(value, both) for value in (figure.u, figure.expanded))
    dof = dof_text(figure.dof)
    worth = "known as if from endless readings" if dof == "inf" else f"{dof} effective degrees of freedom"
    return (
        *wrapped(f"Together u = {together}, {worth}.", width),
        *wrapped(f"Times the coverage factor {figure.coverage:.2f} for 95 %: ± {expanded}.{_why(figure)}", width),
    )


def _why(figure: Figure) -> str:
    """Say why the factor is under Student's t, where it is by more than rounding."""
    t = t_quantile((1 + COVERAGE_PROBABILITY) / 2, figure.dof)
    if figure.coverage > _NEARLY * t:
        return ""
    return f" Student's t is {t:.2f}; limits of error end where a bell has tails, so less will do."


def _in_both(value: float, both: Sequence[Shown]) -> str:
    first, *others = (f"{u_text(value * one.factor, value * one.factor)} {one.unit}".rstrip() for one in both)
    return f"{first}{''.join(f' ({other})' for other in others)}"


def u_text(u: float, whole: float) -> str:
    """Return an uncertainty to the place at which the whole one, in the same unit, has two digits (GUM 7.2.6)."""
    places = 1 - math.floor(math.log10(whole)) if whole > 0 else 2
    return f"{u:.{max(0, min(places, _FINEST_PLACES))}f}"


def dof_text(dof: float) -> str:
    """Return degrees of freedom, 'inf' from a thousand on; a half-width from a book has endless ones."""
    if dof >= 1000:
        return "inf"
    return f"{dof:.0f}" if dof >= 10 or dof == int(dof) else f"{dof:.1f}"


def share_text(share: float) -> str:
    """Return a share of the variance in whole percent."""
    return "<1 %" if 0 < share < 0.005 else f"{share * 100:.0f} %"


def reading_lines(
    number: Number, entries: Mapping[str, AnyEntry], said: Mapping[str, str], units: Units, width: int
) -> tuple[Line, ...]:
    """Return the readings behind a number as typed, oldest first, each to be chosen."""
    lines: list[Line] = []
    days: set[str] = set()
    known = sorted((entries[key] for key in number.keys if key in entries), key=lambda e: (e.day, e.round, e.at))
    if len(known) > _MOST_READINGS:
        older = len(known) - _MOST_READINGS
        lines += wrapped(f"{older} older readings stand under the numbers of their own days.", width, "", "dim")
    for entry in known[-_MOST_READINGS:]:
        if entry.round not in days:
            days.add(entry.round)
            lines += wrapped(f"{day_text(entry.day)}, {entry.who}", width, "", "dim")
        lines += _reading(entry, number, said, units, width)
    for text in number.typed:
        first, *rest = wrapped(text, width - 2)
        lines += [line("  ", *first.spans), *(line("    ", *row.spans) for row in rest)]
    return tuple(lines) or wrapped("No reading of its own is behind it.", width, "", "dim")


def _reading(entry: AnyEntry, number: Number, said: Mapping[str, str], units: Units, width: int) -> list[Line]:
    taken = _taken_text(entry, number, units)
    text = f"  {entry_words(entry)}{taken}"
    rows = [Line((Span(text if cells(text) <= width else fit(text, width)),), entry.key)]
    if entry.key in said:
        rows += wrapped(said[entry.key], width, "    ", "warn")
    return rows


def _taken_text(entry: AnyEntry, number: Number, units: Units) -> str:
    """Return what a reading counts as where that is not what was typed."""
    if not isinstance(entry, BoreReading | PinReading | LengthReading | LigamentReading):
        return ""
    taken_mm = number.taken_mm.get(entry.key)
    if taken_mm is None or abs(taken_mm - float(entry.size.mm)) < _SAME_MM:
        return ""
    return f", counts as {mm_text(taken_mm, units, 3 if units == 'mm' else 4)}"


def number_lines(
    number: Number, entries: Mapping[str, AnyEntry], said: Mapping[str, str], units: Units, width: int
) -> tuple[Line, ...]:
    """Return the whole page of one number."""
    return (
        *worth_lines(number, units, width),
        BLANK,
        heading("Readings behind it, as typed"),
        *reading_lines(number, entries, said, units, width),
    )


def worth_lines(number: Number, units: Units, width: int) -> tuple[Line, ...]:
    """Return a number without its readings: its value, what it follows from, what its doubt is made of."""
    rows = [*value_lines(number, units, width)]
    if not isinstance(number.estimate, Interval):
        rows += narrowing_lines(number.estimate, units, width)
    if number.steps or number.formula:
        rows += [BLANK, heading("How it follows"), *step_lines(number, units, width)]
    figure = in_its_unit(number.estimate)
    if not isinstance(number.estimate, Interval) and isinstance(figure, Figure) and (figure.parts or not number.steps):
        rows += [BLANK, heading("What its doubt is made of"), *budget_lines(number.estimate, units, width)]
    return tuple(rows)


def other_lines(numbers: Sequence[Number], index: int, units: Units, width: int) -> tuple[Line, ...]:
    """Return the numbers that come next on a page, each to be chosen; nothing where there is one only."""
    after = [*numbers[index + 1 :], *numbers[:index]]
    if not after:
        return ()
    rows = [BLANK, heading("Other numbers of the page (left and right)")]
    for number in after[:_MOST_OTHERS]:
        value = value_texts(number.estimate, units, is_change=number.is_change)[0]
        head, *rest = wrapped(f"{number.word}: {value}", width, "", "dim")
        rows += [Line(head.spans, NumberTarget(number.word)), *rest]
    more = len(after) - _MOST_OTHERS
    return (*rows, *wrapped(f"and {more} more, further right.", width, "", "dim")) if more > 0 else tuple(rows)


def step_lines(number: Number, units: Units, width: int) -> tuple[Line, ...]:
    """Return what a number follows from, then how; a step that is a number of the page itself can be chosen."""
    rows = [row for step in number.steps for row in _step(step, units, width)]
    return (*rows, *wrapped(number.formula, width)) if number.formula else tuple(rows)


def _step(step: Step, units: Units, width: int) -> Sequence[Line]:
    said = f"{step.word}: {step_text(step.value, units)}"
    head, *rest = wrapped(said, width)
    first = Line(head.spans, NumberTarget(step.opens)) if step.opens else head
    return [first, *rest, *(wrapped(words_of(step.what, units), width, "  ", "dim") if step.what else ())]


Section = tuple[str, Sequence[Number]]
_INDENT = 3


def budget_lines_of(ground: Ground, units: Units, width: int, more: Iterable[Section] = ()) -> list[Line]:
    """Return a machine's numbers joint by joint, hole by hole, link by link, each with all that is behind it.

    `more` are sections of what is not wear: which pin, repairs, the hitch, offers.
    """
    state, log, index = ground.state, ground.log, ground.index
    entries = {entry.key: entry for entry in log.entries}
    said = said_under(marks_by_key(log.machine.holes, index), index.keeps, units)
    title = f"{shown_name(state.machine)}: what each number rests on"
    return opened_lines(title, chain(_sections(ground), more), (entries, said), units, width)


def opened_lines(
    title: str,
    sections: Iterable[Section],
    behind: tuple[Mapping[str, AnyEntry], Mapping[str, str]],
    units: Units,
    width: int,
) -> list[Line]:
    """Return sections of numbers under a heading; readings that stand under one number are only named at the next."""
    lines = [BLANK, heading(title)]
    for name, numbers in sections:
        if not numbers:
            continue
        lines += [BLANK, line(Span(name, "strong"))]
        printed: dict[tuple[tuple[str, ...], tuple[str, ...]], str] = {}
        for number in numbers:
            rests_on = number.keys, number.typed
            if rests_on in printed:
                page = _without_readings(number, printed[rests_on], units, width - _INDENT)
            else:
                page = number_lines(number, *behind, units, width - _INDENT)
                printed |= {rests_on: number.word} if any(rests_on) else {}
            lines += [BLANK, *(Line((Span(" " * _INDENT), *row.spans)) if row.spans else BLANK for row in page)]
    return lines


def _without_readings(number: Number, known: str, units: Units, width: int) -> tuple[Line, ...]:
    """Return a number whose readings stand under another one already."""
    return (*worth_lines(number, units, width), BLANK, *wrapped(f"Readings: those of {known}.", width, "", "dim"))


def _sections(ground: Ground) -> Iterator[tuple[str, Sequence[Number]]]:
    seasons = {season.state.joint.id: season for season in seasons_of(ground)}
    for joint in ground.state.joints:
        name, holes = shown_name(joint.joint), {shown_name(hole.hole) for hole in joint.holes}
        yield name, [number for number in joint_page(joint, ground) if number.word not in holes]
        of_season = season_numbers(seasons[joint.joint.id], ground.seasons[0], ground.log)
        yield f"{name}, the season", [number for number in of_season if not number.word.startswith("clearance")]
        for hole in joint.holes:
            shape = hole_shape(hole, ground.index)
            yield f"{name}, {shown_name(hole.hole)}", [*hole_numbers(hole), *shape_numbers(shape)]
    for report in ground.state.links:
        yield shown_name(report.link), link_numbers(report, ground.log)
