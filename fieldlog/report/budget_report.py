"""Every number of a machine opened to its budget and its readings, to be printed."""

from collections.abc import Iterator, Sequence

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

_INDENT = 3


def budget_lines_of(ground: Ground, units: Units, width: int) -> list[Line]:
    """Return a machine's numbers joint by joint, hole by hole, link by link, each with all that is behind it."""
    state, log, index = ground.state, ground.log, ground.index
    entries = {entry.key: entry for entry in log.entries}
    said = said_under(marks_by_key(log.machine.holes, index), index.keeps, units)
    lines = [BLANK, heading(f"{shown_name(state.machine)}: what each number rests on")]
    for title, numbers in _sections(ground):
        if not numbers:
            continue
        lines += [BLANK, line(Span(title, "strong"))]
        printed: dict[tuple[str, ...], str] = {}
        for number in numbers:
            if number.keys in printed:
                page = _without_readings(number, printed[number.keys], units, width - _INDENT)
            else:
                page = number_lines(number, entries, said, units, width - _INDENT)
                printed |= {number.keys: number.word} if number.keys else {}
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
