"""The fleet on one page: what needs doing first, then the machines."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from fieldlog.app.overview import DueText, MachineBack
from fieldlog.pages.lines import (
    BLANK,
    VERDICT_WIDTH,
    Line,
    Span,
    count_text,
    fit,
    heading,
    hours_text,
    in_rows,
    line,
    short,
    verdict_span,
    wrapped,
)
from fieldlog.quantity.text import day_text
from fieldlog.wear.summary import MachineSummary, Place, place_of, worst_first

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


class Standing(NamedTuple):
    """Where a machine's lines stand: its severity, and the place of each thing that is due on it."""

    machine: str
    severity: int
    places: Sequence[Place]


class FleetLines:
    """The fleet page for a list `width` columns wide, each line made when it is asked for.

    `back_of` gives what is shown of a machine; it is asked for those machines only of which a line is seen.
    `borrowed` are rows that stand in for the machines' own, or come to them; `waiting` the folders still being read.
    """

    def __init__(
        self,
        machines: Sequence[Standing],
        borrowed: Sequence[DueText],
        waiting: Sequence[str],
        back_of: Callable[[str], MachineBack],
        width: int,
    ) -> None:
        self._back_of, self._width = back_of, width
        self._made: dict[int, Line] = {}
        self._borrowed = {target_of(item): item for item in borrowed}
        places = {place.key: place for one in machines for place in one.places}
        places |= {place.key: place for place in map(place_of, borrowed)}
        nothing = Span("Nothing so far.", "dim") if waiting else Span("Nothing is due.", "sound")
        self._rows: list[_Row] = [heading("What needs doing")]
        self._rows += [JointTarget(*place.key) for place in worst_first(places.values())] or [line(nothing)]
        self._rows += [BLANK, heading("Machines")]
        self._rows += [MachineTarget(one.machine) for one in sorted(machines, key=lambda one: -one.severity)]
        self._rows += [_Waiting(machine) for machine in waiting]
        if not machines and not waiting:
            self._rows.append(line(Span("No machine yet; n adds the first.", "dim")))

    def __len__(self) -> int:
        """How many lines the page has."""
        return len(self._rows)

    def __getitem__(self, index: int) -> Line:
        """Return a line, made now if it was not seen before."""
        row = self._rows[index]
        if isinstance(row, Line):
            return row
        if index not in self._made:
            self._made[index] = self._line_of(row)
        return self._made[index]

    def index_of(self, target: object) -> int | None:
        """Return which line opens a target, None when none does."""
        kinds = (MachineTarget, _Waiting) if isinstance(target, MachineTarget) else (type(target),)
        rows = enumerate(self._rows)
        return next((index for index, row in rows if type(row) in kinds and row == target), None)

    def due_item(self, target: JointTarget) -> DueText | None:
        """Return the due item that a target stands for."""
        due = self._back_of(target.machine).due if target not in self._borrowed else ()
        return self._borrowed.get(target) or next((item for item in due if target_of(item) == target), None)

    def _line_of(self, row: "JointTarget | MachineTarget | _Waiting") -> Line:
        if isinstance(row, MachineTarget):
            return _machine_line(self._back_of(row.machine).summary, self._width)
        if isinstance(row, JointTarget):
            item = self.due_item(row)
            return _due_line(item, self._width) if item is not None else line(target=row)
        return _waiting_line(row.machine)


class _Waiting(NamedTuple):
    machine: str


_Row = Line | JointTarget | MachineTarget | _Waiting


def target_of(item: DueText) -> JointTarget:
    """Return what a line about something due opens."""
    return JointTarget(item.machine.id, item.joint.id, item.is_link)


def _due_line(item: DueText, width: int) -> Line:
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


def _brief(item: DueText, room: int) -> str:
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
    sign = verdict_span(summary.worst)
    if _is_empty(summary):
        sign = Span("no joint yet".ljust(VERDICT_WIDTH), "dim")
    spans: list[str | Span] = [sign, name, " ", Span(f"{hours}  {seen}", "")]
    counts = verdict_counts(summary)
    if left - len(seen) - 2 >= len(counts):
        spans.append(Span(f"  {counts}", "dim"))
    return line(*spans, target=MachineTarget(summary.machine.id))


def _is_empty(summary: MachineSummary) -> bool:
    """Tell whether there is nothing on a machine that could be sound or not."""
    return not summary.counts and summary.last_day is None


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


def due_detail(item: DueText, width: int, most_rows: int = 999) -> tuple[Line, ...]:
    """Return the whole reason and the next step of what is chosen."""
    todo = wrapped(f"Next: {item.next_step}", width, "", "strong")
    return in_rows(wrapped(item.reason, width), todo, wrapped(item.outlook, width, "", "dim"), most_rows, width)


def machine_detail(summary: MachineSummary, width: int) -> tuple[Line, ...]:
    """Return a machine in a sentence."""
    if _is_empty(summary):
        return wrapped("No joint yet: enter opens it, and a adds its first joint and hole.", width)
    kind = f"{summary.kind}, " if summary.kind else ""
    text = f"{kind}{count_text(summary.n_joints, 'joint')}: {verdict_counts(summary)}."
    return wrapped(text[:1].upper() + text[1:], width)
