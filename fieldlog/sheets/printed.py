"""The findings printed through Rich: coloured on a terminal, plain when piped.

Pictures in print: a joint's wear over time and the dials of its holes, and a whole sheet of one joint.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from fieldlog.errors import FieldlogError
from fieldlog.pages.canvas import dial_lines, dial_note, dial_shape
from fieldlog.pages.hole import printed_evidence
from fieldlog.pages.joint import finding_lines, hole_lines
from fieldlog.pages.lines import (
    BLANK,
    Line,
    Span,
    count_text,
    heading,
    hours_text,
    in_ascii,
    line,
    verdict_span,
    wrapped,
)
from fieldlog.pages.link import link_lines
from fieldlog.pages.machine import hole_detail, joint_detail, machine_lines, machine_summary, order_lines
from fieldlog.pages.season import rates_lines
from fieldlog.pages.trend import hole_trend_lines, joint_trend_lines
from fieldlog.pages.wear_picture import picture_of
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.text import day_text
from fieldlog.records.checks import Study
from fieldlog.records.machine import Logbook, shown_name
from fieldlog.records.problems import Problem
from fieldlog.wear.due import due_list
from fieldlog.wear.order_list import order_list
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.summary import DueItem, RateRow
from fieldlog.wear.trends.rates import Beside, main_trend, rate_rows
from fieldlog.wear.trends.records import Trend
from fieldlog.words.speak import say, say_all

if TYPE_CHECKING:
    from fieldlog.wear.shapes import HoleDetails

Details = Mapping[str, Mapping[str, "HoleDetails"]]
NO_DETAILS: Details = MappingProxyType({})
_PIPED_WIDTH = 80
_MOST_WIDTH = 110
_LOOKS = {
    "stop": "bold red",
    "renew": "red",
    "plan": "yellow",
    "re-measure": "cyan",
    "sound": "green",
    "head": "bold",
    "strong": "bold",
    "dim": "dim",
    "warn": "yellow",
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a printed report is of; `details` are the holes looked at closely, by machine and hole.

    The report of one machine has its pictures, in plain ASCII where that is asked for.
    """

    logbook: Logbook
    states: Sequence[MachineState]
    problems: Sequence[Problem]
    today: datetime.date
    studies: Sequence[Study] = ()
    details: Details = field(default_factory=dict)
    is_one_machine: bool = False
    ascii_only: bool = False


def print_report(sheet: Sheet) -> None:
    """Print the report to standard output, as wide as the terminal, or 80 columns when piped."""
    console, width = to_print()
    logbook, states = sheet.logbook, sheet.states
    rows = [*sheet_lines(sheet, width)]
    rows += _study_rows(sheet.studies, logbook, width)
    if sheet.is_one_machine:
        from fieldlog.pages.hole import machine_repairs

        rows += [row for state in states for row in machine_repairs(state, logbook.units, width)]
    print_lines(rows, console)


class _Paper(Console):
    """Standard output; a reader that goes away is left to the command line, as for everything else that prints."""

    def on_broken_pipe(self) -> None:
        """Let the error through, where the library would leave with status 1."""
        raise BrokenPipeError


def to_print() -> tuple[Console, int]:
    """Return standard output and how many columns to fill: the terminal's, or 80 when piped."""
    console = _Paper(highlight=False, soft_wrap=True, markup=False, emoji=False)
    return console, min(console.width, _MOST_WIDTH) if console.is_terminal else _PIPED_WIDTH


def print_lines(rows: Sequence[Line], console: Console) -> None:
    """Print lines with the look of their marks."""
    is_wide = console.encoding.lower().replace("-", "").startswith("utf")
    for row in rows:
        shown = ((span.text if is_wide else in_ascii(span.text), _LOOKS.get(span.mark, "")) for span in row.spans)
        text = Text.assemble(*shown)
        text.rstrip()
        console.print(text)


def sheet_lines(sheet: Sheet, width: int) -> tuple[Line, ...]:
    """Return the whole report: what needs doing, then machine by machine, then problems in the files."""
    logbook, states, problems = sheet.logbook, sheet.states, sheet.problems
    lines = [line(Span(f"{logbook.name}, {day_text(sheet.today)}", "head")), BLANK, heading("What needs doing")]
    for item in due_list(states):
        lines += _due_lines(item, logbook.units, width)
    lines += [BLANK, heading("To order"), *order_lines(order_list(states), width)]
    rows = [row for state in states for row in rate_rows(state)]
    if rows:
        lines += [BLANK, heading("Rates side by side"), *rates_lines(rows, logbook.units, width)]
    for state in states:
        lines += _machine(state, rows, sheet, width)
    if problems:
        lines += [BLANK, heading(f"{count_text(len(problems), 'problem')} in the files; fieldlog check lists them")]
    return tuple(lines)


def _study_rows(studies: Sequence[Study], logbook: Logbook, width: int) -> list[Line]:
    from fieldlog.pages.instruments import study_lines, study_title

    names = {item.id: shown_name(item) for item in logbook.instruments}
    rows: list[Line] = []
    for study in studies:
        name = names.get(study.instrument, study.instrument)
        rows += [BLANK, heading(f"Gauge study of {study_title(study, name)}")]
        rows += study_lines(study, name, logbook.units, width)
    return rows


def _due_lines(item: DueItem, units: Units, width: int) -> list[Line]:
    head = line(verdict_span(item.verdict), Span(f"{item.machine.name}: {item.joint.name}", "strong"))
    said = [text for one in (item.reasons, item.outlook) for text in wrapped(say_all(one, units), width, "   ")]
    return [head, *said, *wrapped(f"Next: {say_all(item.next_steps, units)}", width, "   ")]


def _machine(state: MachineState, rows: Sequence[RateRow], sheet: Sheet, width: int) -> list[Line]:
    units, details = sheet.logbook.units, sheet.details.get(state.machine.id, {})
    summary = machine_summary(state.machine)
    seen = f"last measured {day_text(state.last_day)}" if state.last_day is not None else "never measured"
    facts = [summary, hours_text(state.meter_hours), seen]
    lines = [BLANK, heading(shown_name(state.machine)), *wrapped(", ".join(f for f in facts if f), width, "", "dim")]
    lines += machine_lines(state, units, width, ascii_only=sheet.ascii_only)
    for joint in state.joints:
        lines += [BLANK, line(verdict_span(joint.finding.verdict), Span(shown_name(joint.joint), "strong"))]
        said = joint_detail(joint, units, width - 3)
        said += _picture(joint, sheet, width - 3)
        said += joint_trend_lines(joint, Beside(state.machine.id, rows), units, width - 3)
        said += printed_evidence(joint, units, width - 3)
        lines += [Line((Span("   "), *row.spans)) for row in said]
        for hole in joint.holes:
            lines.append(line(Span(f"   {shown_name(hole.hole)}", "strong")))
            said = (*hole_detail(hole, units, width - 6), *_closer(hole, details, units, width - 6))
            said = (*said, *_dial(hole, sheet))
            lines += [Line((Span("      "), *row.spans)) for row in said]
    for link in state.links:
        lines += [BLANK, line(Span(shown_name(link.link), "strong"))]
        page = link_lines(link, state, units, width - 3, with_pictures=False)
        lines += [Line((Span("   "), *row.spans)) if row.spans else row for row in page]
    for remark in state.remarks:
        lines += wrapped(say(remark, units), width, "", "warn")
    return lines


def _picture(state: JointState, sheet: Sheet, width: int) -> tuple[Line, ...]:
    if not sheet.is_one_machine:
        return ()

    return joint_picture(state, sheet.logbook.units, width, ascii_only=sheet.ascii_only)


def _dial(state: HoleState, sheet: Sheet) -> tuple[Line, ...]:
    if not sheet.is_one_machine:
        return ()

    return hole_dial(state, ascii_only=sheet.ascii_only)


def _closer(hole: HoleState, details: "Mapping[str, HoleDetails]", units: Units, width: int) -> tuple[Line, ...]:
    """Return what stands apart, what fits no oval, and how the hole wore in depth."""
    close = details.get(hole.hole.id)
    if close is None:
        return ()
    from fieldlog.pages.hole import shape_lines
    from fieldlog.pages.readings import worst_doubts

    day = close.latest_of(hole)
    return (*(worst_doubts(day, units, width) if day is not None else ()), *shape_lines(close.shape, units, width))


_ROWS = 12
_DIAL_COLUMNS = 33
_DIAL_ROWS = 13


def joint_picture(state: JointState, units: Units, width: int, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return the clearance that a joint is known by as a picture; nothing under two measuring days."""
    return _drawn(main_trend(state), units, width, ascii_only=ascii_only)


def _drawn(trend: Trend | None, units: Units, width: int, *, ascii_only: bool) -> tuple[Line, ...]:
    if trend is None or len({point.day for point in trend.points}) < 2:
        return ()
    return picture_of(trend, units, width, _ROWS, ascii_only=ascii_only)


def hole_dial(state: HoleState, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return a hole's dial, this season's shape over the first; nothing where no shape is known."""
    shape = dial_shape(state)
    if shape is None:
        return ()
    drawn = dial_lines(shape, _DIAL_COLUMNS, _DIAL_ROWS, ascii_only=ascii_only)
    return (*drawn, *dial_note(shape, state, _DIAL_COLUMNS))


def joint_sheet(state: JointState, beside: Beside, units: Units, width: int, *, ascii_only: bool) -> Sequence[Line]:
    """Return all of one joint as its pages show it: finding, picture, trends, then each hole with dial and picture."""
    picture = joint_picture(state, units, width, ascii_only=ascii_only)
    lines = [*finding_lines(state, units, width, beside, picture)]
    for hole in state.holes:
        own = [trend for trend in state.trends if trend.hole == hole.hole.id and trend.of == "clearance"]
        drawn = [row for trend in own for row in _drawn(trend, units, width, ascii_only=ascii_only)]
        said = hole_trend_lines(hole, state.trends, units, width, state.finding.verdict)
        of_time = (*(drawn if len(state.holes) > 1 else ()), *said)
        lines += [BLANK, heading(shown_name(hole.hole))]
        lines += hole_lines(hole, units, width, of_time=of_time, ascii_only=ascii_only)
    return lines


def print_joints(
    name: str, states: Sequence[MachineState], every: Sequence[MachineState], units: Units, *, ascii_only: bool
) -> None:
    """Print the sheet of each joint of that name or id in `states`; `every` machine's rates may be borrowed from.

    Raises:
        FieldlogError: no joint is called so.
    """
    called = [
        (state, joint)
        for state in states
        for joint in state.joints
        if name.casefold() in {joint.joint.id.casefold(), shown_name(joint.joint).casefold()}
    ]
    if not called:
        names = "; ".join(shown_name(joint.joint) for state in states for joint in state.joints) or "none yet"
        raise FieldlogError(f'No joint is called "{name}". There are: {names}.')
    console, width = to_print()
    rows = [row for state in every for row in rate_rows(state)]
    for state, joint in called:
        beside = Beside(state.machine.id, rows)
        print_lines([heading(f"{shown_name(state.machine)}: {shown_name(joint.joint)}"), BLANK], console)
        print_lines([*joint_sheet(joint, beside, units, width, ascii_only=ascii_only), BLANK], console)
