"""What stands on the screen while a hole or a pin is being measured.

What stands on the screen while a link is being measured: what the readings say first, then the readings.
"""

from collections.abc import Sequence

from fieldlog.measure.bore import BoreShape
from fieldlog.measure.hole import FaceShape, LineGroup
from fieldlog.measure.walk import Slot, TapeSlot, TurnsSlot, slot_of, slot_text
from fieldlog.pages.hole import contradiction_lines, depth_summary
from fieldlog.pages.lines import BLANK, VERDICT_WIDTH, Line, Span, cells, fit, line, short, verdict_span, wrapped
from fieldlog.pages.link import hole_number
from fieldlog.quantity.rounding import both_text, change_text, mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.clock import clock_text
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    LengthReading,
    LigamentReading,
    LinkState,
    PinReading,
    ThreadReading,
    TurnsReading,
)
from fieldlog.records.machine import Link, Machine
from fieldlog.wear.at_the_hole import Before, PinSight, Sight
from fieldlog.wear.due import against_limit
from fieldlog.wear.states import Finding, LinkReport
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say, say_all, words_of

_COLUMN = 9
_WIDE = 76
_FACE_WIDTH = 8
_BRACKETS = 5  # columns of the brackets behind a prompt, and the blanks before them
_FACE_WORDS = {"near": "near", "middle": "middle", "far": "far"}


def bore_panel(
    sight: Sight | None,
    readings: Sequence[BoreReading],
    before: Before,
    units: Units,
    width: int,
    walls: Sequence[LigamentReading] = (),
) -> tuple[Line, ...]:
    """Return the readings as a table by line, then what they say."""
    last = _last_time(before, units, width)
    if sight is None:
        return (
            *last,
            *_wall_rows(walls, width),
            BLANK,
            *wrapped("No reading yet. Clean the hole and take the burr off first.", width, "", "dim"),
        )
    table = [row for face in sight.now.faces for row in _face_rows(face, readings)]
    table += _wall_rows(walls, width)
    said = _said(sight, before, readings, units, width)
    return (*last, *table, BLANK, *said) if width >= _WIDE else (*table, *said, *last)


def _last_time(before: Before, units: Units, width: int) -> tuple[Line, ...]:
    if before.last is None:
        return wrapped("First time this hole is measured.", width, "", "dim")
    last = before.last
    sizes = f"largest {size_text(last.largest, units)}, smallest {size_text(last.smallest, units)}"
    return wrapped(f"Last, {day_text(last.day)}: {sizes}", width, "", "dim")


def _face_rows(face: FaceShape, readings: Sequence[BoreReading]) -> list[Line]:
    typed = {reading.key: _number(reading.size.typed) for reading in readings}
    head = "".join(group.clock.rjust(_COLUMN) for group in face.groups)
    rows = [line(Span(_FACE_WORDS[face.face].ljust(_FACE_WIDTH), "strong"), Span(head, "dim"))]
    for n in range(max(len(group.keys) for group in face.groups)):
        cells = "".join((typed[g.keys[n]] if n < len(g.keys) else "").rjust(_COLUMN) for g in face.groups)
        rows.append(line(" " * _FACE_WIDTH, cells))
    return rows


def _wall_rows(walls: Sequence[LigamentReading], width: int) -> tuple[Line, ...]:
    """Return the metal measured beside the hole, by its points of the clock."""
    text = "   ".join(f"{wall.clock.typed}: {_number(wall.size.typed)}" for wall in walls)
    return wrapped(f"metal   {text}", width) if walls else ()


def _number(typed: str) -> str:
    """Return a typed size without its unit, to save width in a table."""
    return typed.removesuffix(" mm").removesuffix(" in")


def _said(sight: Sight, before: Before, readings: Sequence[BoreReading], units: Units, width: int) -> list[Line]:
    """Return what the readings say, what matters most first, since a small screen cuts the end off."""
    now = sight.now
    lines = [*_verdict(sight, units, width)]
    lines += wrapped(f"Largest  {both_text(now.largest, units)}  worn size", width)
    lines += wrapped(f"Smallest {both_text(now.smallest, units)}  identity size", width)
    if sight.pin is not None:
        lines += contradiction_lines(sight.pin, width)
    lines += wrapped(shape_text(now.best_face.shape, units) or f"Shape not known: {now.missing}.", width)
    if sight.pin is not None:
        lines += wrapped(f"Pin: {sight.pin.sentence}", width)
    if sight.change is not None and before.last is not None:
        lines += wrapped(f"Largest since {day_text(before.last.day)}: {change_text(sight.change, units)}", width)
    if sight.depth is not None:
        lines += depth_summary(sight.depth, units, width)
    lines.append(_line_mean(_group_of(now.faces, readings[-1].key), units))
    for remark in now.remarks:
        lines += wrapped(f"{remark[:1].upper()}{remark[1:]}.", width, "", "warn")
    if sight.pin is not None and sight.pin.next_measurement and not sight.pin.contradictions:
        lines += wrapped(f"To settle it: {sight.pin.next_measurement}", width, "", "dim")
    return lines


def _verdict(sight: Sight, units: Units, width: int) -> tuple[Line, ...]:
    """Return the joint's verdict as it stands with these readings, what it rests on, and what to do next."""
    finding = sight.finding
    if finding is None:
        return ()
    number, todo = say_all(finding.reasons, units).removesuffix("."), say_all(finding.next_steps, units)
    if _is_of_this_hole(finding, sight):
        number = words_of(against_limit(finding), units)
    text = f"{number}. {todo}" if number else todo
    first, *rest = wrapped(text, max(width - VERDICT_WIDTH, 20))
    return (
        line(verdict_span(finding.verdict), *first.spans),
        *(line(" " * VERDICT_WIDTH, *row.spans) for row in rest),
        *wrapped(_first_sentence(caution_text(finding.caution)), width, "", "warn"),
    )


def _is_of_this_hole(finding: Finding, sight: Sight) -> bool:
    """Tell whether a verdict rests on the size in front, and not on a sign, the pin, a bush's wall or another hole."""
    is_of_size = finding.limit is None or finding.limit.of not in {"pin", "bush wall"}
    return finding.hole == sight.now.hole and is_of_size and finding.verdict is not Verdict.STOP


def _first_sentence(text: str) -> str:
    """Return what to do; that the manual comes first was said when the round began."""
    first, stop, _ = text.partition(". ")
    return first + stop.strip()


def _group_of(faces: Sequence[FaceShape], key: str) -> LineGroup:
    return next(group for face in faces for group in face.groups if key in group.keys)


def _line_mean(group: LineGroup, units: Units) -> Line:
    places = 3 if units == "mm" else 4
    spread = (
        f", {len(group.sizes_mm)} readings {mm_text(group.range_mm, units, places)} apart"
        if len(group.keys) > 1
        else ""
    )
    read = f", read {mm_text(group.read_mean_mm, units, places)}, jaws corrected" if group.is_corrected else ""
    return line(f"At {group.clock}: mean {mm_text(group.mean_mm, units, places)}{read}{spread}")


def shape_text(shape: BoreShape | None, units: Units) -> str:
    """Return ovality and direction in words, empty without a shape."""
    if shape is None:
        return ""
    if shape.axis_deg is None:
        most = shape.ovality.value + shape.ovality.plus_minus
        return f"Round within error (oval by less than {mm_text(most, units)})"
    axis = f"long axis {clock_text(shape.axis_deg)}, ± {shape.axis_half_width_deg:.0f} degrees"
    return f"Oval by {size_text(shape.ovality, units)}, {axis}"


def pin_panel(readings: Sequence[PinReading], seen: PinSight, units: Units, width: int) -> tuple[Line, ...]:
    """Return a pin's readings, what is worn off it, and which pin it is by all that is known."""
    worn, unworn = seen.worn, seen.unworn
    lines: list[Line] = []
    for reading in readings:
        where = f"worn band at {reading.clock.typed}" if reading.clock else f"{reading.place} end"
        lines.append(line(f"{where:<20}", reading.size.typed))
    if not readings:
        lines += wrapped(
            "No reading yet. Outside jaws; worn band first, then an end that never ran in a hole.", width, "", "dim"
        )
    lines.append(BLANK)
    if worn is not None:
        lines += wrapped(f"Worn band  {both_text(worn, units)}", width)
    if unworn is not None:
        lines += wrapped(f"Unworn end {both_text(unworn, units)}", width)
    if worn is not None and unworn is not None:
        lines += wrapped(f"Worn off the pin: {change_text(unworn - worn, units)}", width)
    if seen.answer is not None:
        lines += [*wrapped(f"Pin: {seen.answer.sentence}", width), *contradiction_lines(seen.answer, width)]
    for remark in seen.remarks:
        lines += wrapped(f"{remark[:1].upper()}{remark[1:]}.", width, "", "warn")
    return tuple(lines)


def prompt_line(slot: Slot, count: int, unit: str, width: int, *, is_done: bool = False) -> Line:
    """Return what is to be typed next, and what a bare number is; shorter where the window is narrow."""
    again = f", reading {count + 1}" if count else ""
    if isinstance(slot, TurnsSlot):
        ways = ["a count such as 42 1/2", "a count"]
    else:
        ways = [f"{unit} unless a unit is typed", unit]
    if is_done:
        ways = [f"{ways[-1]}; done here, enter goes on", f"{ways[-1]}; done: enter", ways[-1]]
    room = width - cells(slot_text(slot)) - cells(again)
    accepted = next((way for way in ways if cells(way) + _BRACKETS <= room), ways[-1])
    behind = f"{again}   ({accepted})"
    return line(Span(short(slot_text(slot), width - cells(behind)), "head"), Span(behind, "dim"))


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
    lines += _finding(report, units, width)
    for remark in report.remarks:
        lines += wrapped(say(remark, units), width, "", "warn")
    for check in report.thread.checks if report.thread is not None else ():
        lines += wrapped(say(check, units), width, "", "dim")
    if report.open_limit is not None:
        why = say(report.open_limit.reason, units)
        lines += wrapped(f"Open to {both_text(report.open_limit.length, units)}: {why}", width)
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


def _finding(report: LinkReport, units: Units, width: int) -> list[Line]:
    finding = report.finding
    if finding is None:
        return []
    first, *rest = wrapped(say_all(finding.reasons, units), max(width - VERDICT_WIDTH, 20))
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
