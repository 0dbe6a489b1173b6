"""The fleet on one page: what needs doing first, then the machines."""

from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.report.lines import BLANK, Line, Span, fit, heading, in_rows, line, short, wrapped
from fieldlog.report.words import VERDICT_WIDTH, count_text, day_text, hours_text, verdict_span
from fieldlog.wear.summary import DueItem, MachineSummary, worst_first

_WIDE = 76
_MACHINE_WIDTH = 16


class MachineTarget(NamedTuple):
    """Opens a machine."""

    machine: str


class JointTarget(NamedTuple):
    """Opens a machine at one of its joints, or at a link."""

    machine: str
    joint: str
    is_link: bool = False


def fleet_lines(
    machines: Sequence[MachineSummary], due: Sequence[DueItem], waiting: Sequence[str], width: int
) -> tuple[Line, ...]:
    """Return the fleet page for a list `width` columns wide; `waiting` are the folders that are still being read."""
    lines = [heading("What needs doing")]
    lines += [_due_line(item, width) for item in due]
    if not due:
        lines.append(line(Span("Nothing is due.", "sound") if not waiting else Span("Nothing so far.", "dim")))
    lines += [BLANK, heading("Machines")]
    lines += [_machine_line(machine, width) for machine in worst_first(machines)]
    lines += [_waiting_line(machine_id) for machine_id in waiting]
    if not machines and not waiting:
        lines.append(line(Span("No machine yet; n adds the first.", "dim")))
    return tuple(lines)


def target_of(item: DueItem) -> JointTarget:
    """Return what a line about something due opens."""
    return JointTarget(item.machine.id, item.joint.id, item.is_link)


def _due_line(item: DueItem, width: int) -> Line:
    machine = fit(item.machine.name, _MACHINE_WIDTH)
    room = width - VERDICT_WIDTH - _MACHINE_WIDTH - 1
    target = target_of(item)
    joint = item.joint.name
    if width < _WIDE:
        return line(verdict_span(item.verdict), machine, " ", short(joint, room), target=target)
    joint_width = min(24, room // 2)
    reason = short(_brief(item, room - joint_width - 1), room - joint_width - 1)
    return line(
        verdict_span(item.verdict),
        machine,
        " ",
        fit(joint, joint_width),
        " ",
        Span(reason, "dim"),
        target=target,
    )


def _brief(item: DueItem, room: int) -> str:
    """Return the number against its limit, and what is left where there is room for it."""
    full = f"{item.brief}; {item.life}" if item.brief and item.life else item.brief
    return full if full and len(full) <= room else item.brief or item.reason


def _machine_line(summary: MachineSummary, width: int) -> Line:
    name = fit(summary.machine.name, _MACHINE_WIDTH)
    hours = hours_text(summary.meter_hours).rjust(8)
    day = day_text(summary.last_day)
    left = width - VERDICT_WIDTH - _MACHINE_WIDTH - 1 - len(hours) - 2
    ways = (f"measured {day}", day) if summary.last_day else ("never measured", "never")
    seen = ways[0] if len(ways[0]) <= left else ways[1]
    spans: list[str | Span] = [verdict_span(summary.worst), name, " ", Span(f"{hours}  {seen}", "")]
    counts = verdict_counts(summary)
    if left - len(seen) - 2 >= len(counts):
        spans.append(Span(f"  {counts}", "dim"))
    return line(*spans, target=MachineTarget(summary.machine.id))


def _waiting_line(machine_id: str) -> Line:
    sign = Span(".. being read".ljust(VERDICT_WIDTH), "dim")
    return line(sign, fit(machine_id, _MACHINE_WIDTH), target=MachineTarget(machine_id))


def reading_text(n_waiting: int, n_outdated: int) -> str:
    """Return the sentence for a page that is not complete yet, empty when it is."""
    if n_waiting:
        return f"{count_text(n_waiting, 'machine')} still to be read: what needs doing is not complete yet."
    if n_outdated:
        return f"{count_text(n_outdated, 'machine')} shown as on an earlier day while today's findings are worked out."
    return ""


def verdict_counts(summary: MachineSummary) -> str:
    """Return how many joints need something, worst first: '1 stop, 2 plan, 5 sound'."""
    return ", ".join(f"{count} {verdict.value}" for verdict, count in summary.counts) or "no joints"


def due_detail(item: DueItem, width: int, most_rows: int = 999) -> tuple[Line, ...]:
    """Return the whole reason and the next step of what is chosen."""
    todo = wrapped(f"Next: {item.next_step}", width, "", "strong")
    return in_rows(wrapped(item.reason, width), todo, wrapped(item.outlook, width, "", "dim"), most_rows, width)


def machine_detail(summary: MachineSummary, width: int) -> tuple[Line, ...]:
    """Return a machine in a sentence."""
    kind = f"{summary.kind}, " if summary.kind else ""
    text = f"{kind}{count_text(summary.n_joints, 'joint')}: {verdict_counts(summary)}."
    return wrapped(text[:1].upper() + text[1:], width)
