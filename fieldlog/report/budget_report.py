"""Every number of a machine opened to its budget and its readings, to be printed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

from fieldlog.records.entries import AnyEntry
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.report.budget_view import number_lines, worth_lines
from fieldlog.report.doubt_view import said_under
from fieldlog.report.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.wear.doubts import marks_by_key
from fieldlog.wear.link_numbers import link_numbers
from fieldlog.wear.numbers import Number, hole_numbers, shape_numbers
from fieldlog.wear.page_numbers import Ground, joint_page, seasons_of
from fieldlog.wear.season_numbers import season_numbers
from fieldlog.wear.shapes import hole_shape

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
