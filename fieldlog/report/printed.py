"""The findings printed through Rich: coloured on a terminal, plain when piped."""

import datetime
from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from fieldlog.records.machine import Logbook, shown_name
from fieldlog.records.problems import Problem
from fieldlog.records.quantities import Units
from fieldlog.records.study import Study
from fieldlog.report.evidence_view import printed_evidence
from fieldlog.report.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.report.machine_view import hole_detail, joint_detail, link_detail, machine_lines, machine_summary
from fieldlog.report.words import count_text, day_text, hours_text, verdict_span
from fieldlog.wear.due import due_list
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import DueItem

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


def print_report(
    logbook: Logbook,
    states: Sequence[MachineState],
    problems: Sequence[Problem],
    today: datetime.date,
    studies: Sequence[Study] = (),
    *,
    is_one_machine: bool = False,
) -> None:
    """Print the report to standard output, as wide as the terminal, or 80 columns when piped."""
    console = Console(highlight=False, soft_wrap=True, markup=False, emoji=False)
    width = min(console.width, _MOST_WIDTH) if console.is_terminal else _PIPED_WIDTH
    rows = [*report_lines(logbook, states, problems, today, width), *_study_rows(studies, logbook, width)]
    if is_one_machine:
        from fieldlog.report.repair_view import machine_repairs

        rows += [row for state in states for row in machine_repairs(state, logbook.units, width)]
    for row in rows:
        console.print(Text.assemble(*((span.text, _LOOKS.get(span.mark, "")) for span in row.spans)))


def report_lines(
    logbook: Logbook, states: Sequence[MachineState], problems: Sequence[Problem], today: datetime.date, width: int
) -> tuple[Line, ...]:
    """Return the whole report: what needs doing, then machine by machine, then problems in the files."""
    lines = [line(Span(f"{logbook.name}, {day_text(today)}", "head")), BLANK, heading("What needs doing")]
    for item in due_list(states, logbook.units):
        lines += _due_lines(item, width)
    for state in states:
        lines += _machine(state, logbook.units, width)
    if problems:
        lines += [BLANK, heading(f"{count_text(len(problems), 'problem')} in the files; fieldlog check lists them")]
    return tuple(lines)


def _study_rows(studies: Sequence[Study], logbook: Logbook, width: int) -> list[Line]:
    from fieldlog.report.study_view import study_lines, study_title

    names = {item.id: shown_name(item) for item in logbook.instruments}
    rows: list[Line] = []
    for study in studies:
        name = names.get(study.instrument, study.instrument)
        rows += [BLANK, heading(f"Gauge study of {study_title(study, name)}")]
        rows += study_lines(study, name, logbook.units, width)
    return rows


def _due_lines(item: DueItem, width: int) -> list[Line]:
    head = line(verdict_span(item.verdict), Span(f"{item.machine.name}: {item.joint.name}", "strong"))
    return [head, *wrapped(item.reason, width, "   "), *wrapped(f"Next: {item.next_step}", width, "   ")]


def _machine(state: MachineState, units: Units, width: int) -> list[Line]:
    summary = machine_summary(state.machine)
    facts = [summary, hours_text(state.meter_hours), f"last measured {day_text(state.last_day)}"]
    lines = [BLANK, heading(shown_name(state.machine)), *wrapped(", ".join(f for f in facts if f), width, "", "dim")]
    lines += machine_lines(state, units, width)
    for joint in state.joints:
        lines += [BLANK, line(verdict_span(joint.finding.verdict), Span(shown_name(joint.joint), "strong"))]
        lines += [Line((Span("   "), *row.spans)) for row in joint_detail(joint, units, width - 3)]
        lines += [Line((Span("   "), *row.spans)) for row in printed_evidence(joint, units, width - 3)]
        for hole in joint.holes:
            lines.append(line(Span(f"   {shown_name(hole.hole)}", "strong")))
            lines += [Line((Span("      "), *row.spans)) for row in hole_detail(hole, units, width - 6)]
    for link in state.links:
        lines += [BLANK, line(Span(shown_name(link.link), "strong"))]
        lines += [Line((Span("   "), *row.spans)) for row in link_detail(link, units, width - 3)]
    for remark in state.remarks:
        lines += wrapped(remark, width, "", "warn")
    return lines
