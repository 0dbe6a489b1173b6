"""The findings printed through Rich: coloured on a terminal, plain when piped.

Pictures in print: a joint's wear over time and the dials of its holes, and a whole sheet of one joint.
"""

import datetime
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.app.fleet import Fleet
from fieldlog.app.overview import DueText
from fieldlog.pages.canvas import dial_lines, dial_note, dial_shape
from fieldlog.pages.hole import printed_evidence
from fieldlog.pages.joint import finding_lines, hole_lines, hole_trend_lines, joint_trend_lines
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
from fieldlog.pages.wear_picture import picture_of
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.checks import Study
from fieldlog.records.machine import Logbook, shown_name
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trends.rates import Beside, main_trend
from fieldlog.wear.trends.records import Trend
from fieldlog.words.speak import say

if TYPE_CHECKING:
    from rich.console import Console

    from fieldlog.wear.shapes import HoleDetails

_COLOURS_ASKED_FOR = ("FORCE_COLOR", "TTY_COMPATIBLE")
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
class Paper:
    """Standard output and how many columns to fill: the terminal's, or 80 where it is piped, without any colour."""

    width: int
    console: "Console | None" = None

    def put(self, rows: Iterable[Line]) -> None:
        """Print lines with the look of their marks."""
        if self.console is None:
            is_wide = _is_wide(sys.stdout.encoding or "utf-8")
            sys.stdout.writelines(f"{(row.text if is_wide else in_ascii(row.text)).rstrip()}\n" for row in rows)
            return
        from rich.text import Text

        is_wide = _is_wide(self.console.encoding)
        for row in rows:
            shown = ((span.text if is_wide else in_ascii(span.text), _LOOKS.get(span.mark, "")) for span in row.spans)
            text = Text.assemble(*shown)
            text.rstrip()
            self.console.print(text)


def _is_wide(encoding: str) -> bool:
    return encoding.lower().replace("-", "").startswith("utf")


def paper() -> Paper:
    """Return what is printed on; the library that colours is loaded only where there is something to colour."""
    if not sys.stdout.isatty() and not any(name in os.environ for name in _COLOURS_ASKED_FOR):
        return Paper(_PIPED_WIDTH)
    from rich.console import Console

    console = Console(highlight=False, soft_wrap=True, markup=False, emoji=False)
    return Paper(min(console.width, _MOST_WIDTH) if console.is_terminal else _PIPED_WIDTH, console)


def head_lines(logbook: Logbook, fleet: Fleet, today: datetime.date, width: int) -> Iterator[Line]:
    """Yield what is said of the whole fleet: what needs doing, what to order, the rates side by side."""
    yield from (line(Span(f"{logbook.name}, {day_text(today)}", "head")), BLANK, heading("What needs doing"))
    for item in fleet.due():
        yield from _due_lines(item, width)
    yield from (BLANK, heading("To order"), *order_lines(fleet.orders(), width))
    rows = fleet.rates()
    if rows:
        yield from (BLANK, heading("Rates side by side"), *rates_lines(rows, logbook.units, width))


def problem_lines(count: int) -> tuple[Line, ...]:
    """Return how many problems there are in the files; nothing where there are none."""
    return (BLANK, heading(f"{count_text(count, 'problem')} in the files; fieldlog check lists them")) if count else ()


def study_rows(studies: Sequence[Study], logbook: Logbook, width: int) -> list[Line]:
    """Return the gauge studies, each under a heading."""
    from fieldlog.pages.instruments import study_lines, study_title

    names = {item.id: shown_name(item) for item in logbook.instruments}
    rows: list[Line] = []
    for study in studies:
        name = names.get(study.instrument, study.instrument)
        rows += [BLANK, heading(f"Gauge study of {study_title(study, name)}")]
        rows += study_lines(study, name, logbook.units, width)
    return rows


def _due_lines(item: DueText, width: int) -> list[Line]:
    head = line(verdict_span(item.verdict), Span(f"{item.machine.name}: {item.joint.name}", "strong"))
    told = [*wrapped(item.reason, width, "   "), *wrapped(item.outlook, width, "   ")]
    return [head, *told, *wrapped(f"Next: {item.next_step}", width, "   ")]


@dataclass(frozen=True, slots=True)
class Whole:
    """A machine as it is printed: the rates it may borrow from, its holes looked at closely, with or without pictures.

    The report of one machine has its pictures, in plain ASCII where that is asked for.
    """

    state: MachineState
    rows: Sequence[RateRow]
    details: "Mapping[str, HoleDetails]"
    has_pictures: bool = False
    ascii_only: bool = False


def whole_machine(whole: Whole, units: Units, width: int) -> list[Line]:
    """Return all that is said of a machine: joint by joint with its holes, then its links."""
    state = whole.state
    summary = machine_summary(state.machine)
    seen = f"last measured {day_text(state.last_day)}" if state.last_day is not None else "never measured"
    facts = [summary, hours_text(state.meter_hours), seen]
    lines = [BLANK, heading(shown_name(state.machine)), *wrapped(", ".join(f for f in facts if f), width, "", "dim")]
    lines += machine_lines(state, units, width, ascii_only=whole.ascii_only)
    for joint in state.joints:
        lines += _joint(joint, whole, units, width)
    for link in state.links:
        lines += [BLANK, line(Span(shown_name(link.link), "strong"))]
        page = link_lines(link, state, units, width - 3, with_pictures=False)
        lines += [Line((Span("   "), *row.spans)) if row.spans else row for row in page]
    for remark in state.remarks:
        lines += wrapped(say(remark, units), width, "", "warn")
    return lines


def _joint(joint: JointState, whole: Whole, units: Units, width: int) -> list[Line]:
    lines = [BLANK, line(verdict_span(joint.finding.verdict), Span(shown_name(joint.joint), "strong"))]
    said = joint_detail(joint, units, width - 3)
    if whole.has_pictures:
        said += joint_picture(joint, units, width - 3, ascii_only=whole.ascii_only)
    said += joint_trend_lines(joint, Beside(whole.state.machine.id, whole.rows), units, width - 3)
    said += printed_evidence(joint, units, width - 3)
    lines += [Line((Span("   "), *row.spans)) for row in said]
    for hole in joint.holes:
        lines.append(line(Span(f"   {shown_name(hole.hole)}", "strong")))
        within = (*hole_detail(hole, units, width - 6), *_closer(hole, whole.details, units, width - 6))
        if whole.has_pictures:
            within += hole_dial(hole, ascii_only=whole.ascii_only)
        lines += [Line((Span("      "), *row.spans)) for row in within]
    return lines


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
