"""What stands on the screen while a link is being measured: what the readings say first, then the readings."""

from collections.abc import Sequence

from fieldlog.measure.walk import TapeSlot, slot_of, slot_text
from fieldlog.pages.lines import BLANK, VERDICT_WIDTH, Line, Span, fit, line, verdict_span, wrapped
from fieldlog.pages.link import hole_number
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_text
from fieldlog.records.entries import AnyEntry, LengthReading, LinkState, ThreadReading, TurnsReading
from fieldlog.records.machine import Link, Machine
from fieldlog.wear.states import LinkReport

BEFORE_TURNING = (
    "Lower and block the implement and take the load off before a link is turned; nobody under or behind it. Never "
    "past its groove, band or stop pin, and never by force. The machine's manual comes first."
)
_SLOT_WIDTH = 44
_FEWEST_READINGS = 2


def link_panel(
    entries: Sequence[AnyEntry], report: LinkReport, units: Units, width: int, most_rows: int = 99
) -> tuple[Line, ...]:
    """Return the lengths taped in this round, what is doubtful, how much thread is in, and the readings.

    Of more than `most_rows` the end of what is said goes, never the last reading typed, so that a slip is seen.
    """
    if not entries:
        text = "No reading yet. Turn both ends in equally; tape outside to outside, then inside to inside."
        return (*wrapped(text, width, "", "dim"), BLANK, *wrapped(BEFORE_TURNING, width, "", "warn"))
    tapes = [entry for entry in entries if isinstance(entry, LengthReading)]
    taped = {entry.state for entry in tapes if not (entry.near_hole or entry.far_hole)}
    lines = [*_lengths(report, taped, units, width)]
    lines += _other_lengths(report, tapes, units, width)
    if report.travel is not None and {"closed", "open"} <= taped:
        lines += wrapped(f"Travel: {both_text(report.travel, units)}", width)
    lines += _finding(report, width)
    for remark in report.remarks:
        lines += wrapped(remark, width, "", "warn")
    for check in report.thread.checks if report.thread is not None else ():
        lines += wrapped(check, width, "", "dim")
    if report.open_limit is not None:
        lines += wrapped(f"Open to {both_text(report.open_limit.length, units)}: {report.open_limit.reason}", width)
    readings = _readings(entries, width)
    if len(lines) + 1 + len(readings) <= most_rows:
        return (*lines, BLANK, *readings)
    kept = readings[-max(most_rows - len(lines), _FEWEST_READINGS) :]
    return (*lines[: most_rows - len(kept)], *kept)


def _lengths(report: LinkReport, taped: set[LinkState], units: Units, width: int) -> list[Line]:
    lines: list[Line] = []
    for state, length in report.lengths:
        if state not in taped:
            continue
        if length.centres is None:
            lines += wrapped(f"{state.capitalize()}: {length.needs}", width, "", "warn")
        else:
            lines += wrapped(f"{state.capitalize()}, pin to pin: {both_text(length.centres, units)}", width)
            lines += wrapped("; ".join(length.checks), width, "  ", "dim")
    return lines


def _other_lengths(report: LinkReport, tapes: Sequence[LengthReading], units: Units, width: int) -> list[Line]:
    """Return the lengths taped in this round from other holes of a row."""
    lines: list[Line] = []
    keys = {entry.key for entry in tapes}
    for row in report.others:
        if keys.isdisjoint(row.length.keys):
            continue
        holes = " to ".join(hole_number(hole) for hole in (row.near_hole, row.far_hole) if hole is not None)
        size = both_text(row.length.centres, units) if row.length.centres is not None else row.length.needs
        lines += wrapped(f"{row.state.capitalize()}, {holes}: {size}", width)
    return lines


def _finding(report: LinkReport, width: int) -> list[Line]:
    finding = report.finding
    if finding is None:
        return []
    first, *rest = wrapped(finding.reason, max(width - VERDICT_WIDTH, 20))
    lines = [line(verdict_span(finding.verdict), *first.spans)]
    lines += [line(" " * VERDICT_WIDTH, *row.spans) for row in rest]
    return lines


def _readings(entries: Sequence[AnyEntry], width: int) -> list[Line]:
    """Return one row a slot, the repeats beside each other; the slot that was read last comes last."""
    rows: dict[str, list[str]] = {}
    for entry in entries:
        slot = slot_of(entry)
        if slot is not None:
            words = f"{slot_text(slot)}{_holes(entry)}"
            rows[words] = [*rows.pop(words, []), _typed(entry)]
    room = min(_SLOT_WIDTH, width // 2 + 8)
    lines: list[Line] = []
    for words, typed in rows.items():
        first, *rest = wrapped(", ".join(typed), width - room)
        lines.append(line(Span(fit(words, room - 1), "dim"), " ", *first.spans))
        lines += [line(" " * room, *row.spans) for row in rest]
    return lines


def _holes(entry: AnyEntry) -> str:
    """Return the holes of a row that were taped instead of the link's own, by their ids."""
    if not isinstance(entry, LengthReading):
        return ""
    return "".join(f", {hole}" for hole in (entry.near_hole, entry.far_hole) if hole)


def _typed(entry: AnyEntry) -> str:
    match entry:
        case LengthReading():
            return f"{entry.size.typed} from {entry.start.typed}" if entry.start is not None else entry.size.typed
        case ThreadReading():
            return entry.exposed.typed
        case TurnsReading():
            return f"{entry.turns}"
        case _:
            return ""


def row_words(link: Link, machine: Machine, slot: TapeSlot | None) -> str:
    """Return between which holes is taped, where one of them is in a row; the slot's own holes before the link's."""
    ids = (slot.near_hole if slot else "") or link.near_hole, (slot.far_hole if slot else "") or link.far_hole
    holes = (next((hole for hole in machine.holes if hole.id == hole_id), None) for hole_id in ids)
    return " to ".join(hole_number(hole) for hole in holes if hole is not None and hole.number and hole.in_row)
