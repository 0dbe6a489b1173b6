"""The fleet on one page: what needs doing first, then the machines."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.report.lines import BLANK, Line, Span, fit, heading, line, short, wrapped
from fieldlog.report.words import VERDICT_WIDTH, against_limit, count_text, day_text, hours_text, verdict_span
from fieldlog.wear.due import DueItem
from fieldlog.wear.states import MachineState, Verdict

_WIDE = 76
_MACHINE_WIDTH = 16


class MachineTarget(NamedTuple):
    """Opens a machine."""

    machine: str


class JointTarget(NamedTuple):
    """Opens a machine at one of its joints."""

    machine: str
    joint: str


def fleet_lines(states: Sequence[MachineState], due: Sequence[DueItem], units: Units, width: int) -> tuple[Line, ...]:
    """Return the fleet page for a list `width` columns wide."""
    lines = [heading("What needs doing")]
    lines += [_due_line(item, units, width) for item in due] or [line(Span("Nothing is due.", "sound"))]
    lines += [BLANK, heading("Machines")]
    lines += [_machine_line(state, width) for state in worst_first(states)]
    if not states:
        lines.append(line(Span("No machine yet; n adds the first.", "dim")))
    return tuple(lines)


def worst_first(states: Iterable[MachineState]) -> list[MachineState]:
    """Return the machines by their worst finding, those alike as they come."""
    return sorted(states, key=lambda state: -max((joint.finding.severity for joint in state.joints), default=0))


def _due_line(item: DueItem, units: Units, width: int) -> Line:
    machine = fit(shown_name(item.machine), _MACHINE_WIDTH)
    room = width - VERDICT_WIDTH - _MACHINE_WIDTH - 1
    target = JointTarget(item.machine.id, item.joint.id)
    joint = shown_name(item.joint)
    if width < _WIDE:
        return line(verdict_span(item.verdict), machine, " ", short(joint, room), target=target)
    joint_width = min(24, room // 2)
    reason = short(against_limit(item.finding, units) or item.reason, room - joint_width - 1)
    return line(
        verdict_span(item.verdict),
        machine,
        " ",
        fit(joint, joint_width),
        " ",
        Span(reason, "dim"),
        target=target,
    )


def _machine_line(state: MachineState, width: int) -> Line:
    name = fit(shown_name(state.machine), _MACHINE_WIDTH)
    hours = hours_text(state.meter_hours).rjust(8)
    seen = f"measured {day_text(state.last_day)}" if state.last_day else "never measured"
    spans: list[str | Span] = [verdict_span(state.worst), name, " ", Span(f"{hours}  {seen}", "")]
    room = width - VERDICT_WIDTH - _MACHINE_WIDTH - 1 - len(hours) - 2 - len(seen) - 2
    counts = verdict_counts(state)
    if room >= len(counts):
        spans.append(Span(f"  {counts}", "dim"))
    return line(*spans, target=MachineTarget(state.machine.id))


def verdict_counts(state: MachineState) -> str:
    """Return how many joints need something, worst first: '1 stop, 2 plan, 5 sound'."""
    parts = []
    for verdict in reversed(Verdict):
        count = sum(1 for joint in state.joints if joint.finding.verdict is verdict)
        if count:
            parts.append(f"{count} {verdict.value}")
    return ", ".join(parts) or "no joints"


def due_detail(item: DueItem, width: int) -> tuple[Line, ...]:
    """Return the whole reason and the next step of what is chosen."""
    lines = [*wrapped(item.reason, width), *wrapped(f"Next: {item.next_step}", width, "", "strong")]
    return tuple(lines)


def machine_detail(state: MachineState, width: int) -> tuple[Line, ...]:
    """Return a machine in a sentence."""
    kind = f"{state.machine.kind}, " if state.machine.kind else ""
    text = f"{kind}{count_text(len(state.joints), 'joint')}: {verdict_counts(state)}."
    return wrapped(text[:1].upper() + text[1:], width)
