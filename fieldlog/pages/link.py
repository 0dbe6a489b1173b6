"""A link on a page: lengths and their cross-checks, how far it may open, its thread, its ends, its days."""

from typing import NamedTuple

from fieldlog.measure.engagement import Engaged
from fieldlog.measure.lengths import LinkLength
from fieldlog.pages.lines import (
    BLANK,
    Line,
    Span,
    both_or_dash,
    fit,
    heading,
    line,
    packed,
    short,
    size_or_dash,
    verdict_span,
    wrapped,
)
from fieldlog.pages.machine import HoleRow, hole_label
from fieldlog.pages.rulers import Bar, Mark, length_ruler, thread_bars
from fieldlog.quantity.rounding import both_text, mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.records.entries import LinkState
from fieldlog.records.machine import Hand, Hole, Link, LinkEnd, shown_name
from fieldlog.standards.hitch import HITCH_CATEGORIES
from fieldlog.wear.states import LinkDay, LinkEndState, LinkReport, MachineState
from fieldlog.words.finding import caution_text
from fieldlog.words.link import end_text
from fieldlog.words.speak import say, say_all, words_of

_WORD_WIDTH = 10
_END_WIDTH = 13


class DayRow(NamedTuple):
    """A round in which the link was taped."""

    round: str


def link_lines(
    report: LinkReport,
    machine: MachineState,
    units: Units,
    width: int,
    *,
    ascii_only: bool = False,
    with_pictures: bool = True,
) -> tuple[Line, ...]:
    """Return a link's page, what matters most first."""
    lines = [*_verdict(report, units, width), BLANK, heading("Pin to pin"), *length_lines(report, units, width)]
    lines += _open_lines(report, units, width)
    lines += _ruler(report, units, width, ascii_only=ascii_only) if with_pictures else ()
    lines += working_lines(report, machine, units, width)
    lines += thread_lines(report, units, width)
    if with_pictures and report.thread is not None and report.thread.ends:
        d_mm = float(report.thread.thread.d_mm)
        bars = [_bar(report, one, d_mm, units) for one in report.thread.ends]
        lines += thread_bars(bars, d_mm, width, ascii_only=ascii_only)
    lines += [BLANK, heading("Holes"), *_hole_lines(report, units, width), *_other_lines(report, units, width)]
    lines += [BLANK, heading("Taped, newest first"), *_day_lines(report, units, width)]
    if report.link.notes:
        lines += [BLANK, *wrapped(report.link.notes, width, "", "dim")]
    return tuple(lines)


def _verdict(report: LinkReport, units: Units, width: int) -> list[Line]:
    from fieldlog.wear.links import next_steps

    finding = report.finding
    lines: list[Line] = []
    reasons = finding.reasons if finding is not None else ()
    if finding is not None:
        lines += [line(verdict_span(finding.verdict)), *wrapped(say_all(reasons, units), width), BLANK]
    lines += wrapped(f"Next: {say_all(next_steps(report), units)}", width, "", "strong")
    if finding is not None and finding.caution is not None:
        lines += wrapped(caution_text(finding.caution), width, "", "warn")
    for remark in report.remarks:
        lines += wrapped(say(remark, units), width, "", "warn") if remark not in reasons else ()
    return lines


def length_lines(report: LinkReport, units: Units, width: int) -> tuple[Line, ...]:
    """Return the lengths in both units, the ways they were taped and the cross-checks that agree."""
    lines: list[Line] = []
    for state, length in report.lengths:
        lines += _length(state, length, units, width)
    if report.travel is not None:
        lines += _worded("Travel", both_text(report.travel, units), width)
    return tuple(lines) or wrapped("Not taped yet. m starts the walk; the links come last.", width, "", "dim")


def _length(state: LinkState, length: LinkLength, units: Units, width: int) -> list[Line]:
    word = state.capitalize()
    if length.centres is None:
        return [*_worded(word, f"not known: {length.needs}", width, "warn")]
    lines = [*_worded(word, both_text(length.centres, units), width)]
    lines += wrapped("; ".join((*length.ways, *length.checks)), width, " " * _WORD_WIDTH, "dim")
    return lines


def _worded(word: str, text: str, width: int, mark: str = "") -> tuple[Line, ...]:
    """Return text behind a word in a column of its own."""
    first, *rest = wrapped(text, width - _WORD_WIDTH, "", mark)
    indent = Span(" " * _WORD_WIDTH)
    return (line(fit(word, _WORD_WIDTH), *first.spans), *(Line((indent, *row.spans)) for row in rest))


def _open_lines(report: LinkReport, units: Units, width: int) -> tuple[Line, ...]:
    limit = report.open_limit
    if limit is None:
        return ()
    text = f"{both_text(limit.length, units)} at most: {say(limit.reason, units)}"
    return _worded("Open to", text, width, "strong")


def _ruler(report: LinkReport, units: Units, width: int, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return closed, open and the limits along a line, with what the letters mean; nothing with fewer than two."""
    limit, thread = report.open_limit, report.thread
    marks = [Mark(state[0].upper(), state, size.centres.value) for state, size in report.lengths if size.centres]
    if limit is not None and limit.stop != "thread":
        marks.append(Mark("G" if limit.stop == "groove" else "P", limit.stop, limit.length.value))
    if thread is not None and thread.floor is not None and thread.target is not None:
        marks += [Mark("t", "at 1.5 d", thread.target.value), Mark("f", "at 1.0 d", thread.floor.value)]
    if len(marks) < 2 or limit is None:
        return ()
    places = 0 if units == "mm" else 2
    ordered = sorted(marks, key=lambda mark: mark.at_mm)
    legend = (f"{m.letter} {m.words} {mm_text(m.at_mm, units, places)}" for m in ordered)
    return (*length_ruler(marks, width, ascii_only=ascii_only), *packed(legend, width, "", "dim"))


def working_lines(report: LinkReport, machine: MachineState, units: Units, width: int) -> tuple[Line, ...]:
    """Return the lengths with the pins pulled tight and pushed tight, and what the backlash makes of the pitch."""
    if not report.working:
        return ()
    lines = [BLANK, heading("As it works, pins rattling")]
    for state, sizes in report.working:
        text = f"pulled tight {size_text(sizes.tight, units)}, pushed tight {size_text(sizes.slack, units)}"
        lines += _worded(state.capitalize(), text, width)
    backlash = report.working[0][1].backlash
    text = both_text(backlash, units)
    category = machine.machine.hitch_category
    if category is not None and report.link.position == "top link":
        mast_mm = float(HITCH_CATEGORIES[category].mast_height.mm)
        text += f", {backlash.value / mast_mm * 57.29578:.2f} degrees of pitch on a mast of {mast_mm:.0f} mm"
    return (*lines, *_worded("Backlash", text, width))


def thread_lines(report: LinkReport, units: Units, width: int) -> tuple[Line, ...]:
    """Return the thread: what it is, what is in at both ends, what is checked, what the strip formula says."""
    link, state = report.link, report.thread
    if state is None:
        if link.kind != "screw":
            return ()
        text = "Not written down yet; t writes it: size, hand and length at each end, what stops its opening."
        return (BLANK, heading("Thread"), *wrapped(text, width, "", "dim"))
    lines = [BLANK, heading("Thread"), *wrapped(_thread_words(report, units), width)]
    d_mm = float(state.thread.d_mm)
    for one in state.ends:
        lines += _end_in(report, one, d_mm, units, width)
    lines += wrapped(words_of(state.needs, units), width, "", "warn")
    for check in state.checks:
        lines += wrapped(say(check, units), width, "", "dim")
    if state.least_mm is None:
        text = "No least engagement is published for trapezoidal threads: stay at 1.5 d."
        lines += wrapped(text, width, "", "dim")
    else:
        text = f"New thread of like steel strips under {mm_text(state.least_mm, units, 1 if units == 'mm' else 2)} "
        text += f"({state.least_mm / d_mm:.2f} d) by the handbook formula; worn ones need more. For information."
        lines += wrapped(text, width, "", "dim")
    return tuple(lines)


def _end_in(report: LinkReport, one: Engaged, d_mm: float, units: Units, width: int) -> tuple[Line, ...]:
    shown = [
        f"{state} {size_text(size, units)} ({size.value / d_mm:.2f} d)"
        for state in ("closed", "as set", "open")
        if (size := one.at(state)) is not None
    ]
    return wrapped(f"In at the {end_text(report.link, one.end)}: {', '.join(shown)}", width)


def _bar(report: LinkReport, one: Engaged, d_mm: float, units: Units) -> Bar:
    state = report.thread
    assert state is not None
    opened, closed = one.at("open"), one.at("closed")
    shown = opened or one.at("as set") or closed
    words = f"{shown.value / d_mm:.2f} d" if shown is not None else "-"
    return Bar(
        end_text(report.link, one.end),
        state.lengths[one.end].value,
        opened.value if opened is not None else None,
        closed.value if closed is not None else None,
        words if opened is not None else f"{words} {one.measured_in}",
    )


def _thread_words(report: LinkReport, units: Units) -> str:
    from fieldlog.standards.threads import stress_area_mm2

    state, link = report.thread, report.link
    assert state is not None
    thread = state.thread
    hands = ", ".join(f"{_hand(hand)} at the {end_text(link, end)}" for end, hand in _hands(link))
    unit_mm = 1.0 if units == "mm" else float(MM_PER_INCH)
    across, pitch = (f"{float(mm) / unit_mm:.4g} {units}" for mm in (thread.d_mm, thread.pitch_mm))
    turn = f", {state.screw.per_turn_mm / unit_mm:.4g} {units} a turn of the body" if state.screw is not None else ""
    area = stress_area_mm2(thread) / unit_mm**2
    area_text = f"{area:.0f}" if units == "mm" else f"{area:.3f}"
    return f"{thread.typed}: {across}, pitch {pitch}; {hands}{turn}; stress area {area_text} {units}2."


def _hands(link: Link) -> tuple[tuple[LinkEnd, Hand | None], ...]:
    return ("near", link.near_hand), ("far", link.far_hand)


def _hand(hand: Hand | None) -> str:
    if hand is None:
        return "hand not written down"
    return "no thread" if hand == "none" else f"{hand} hand"


def _hole_lines(report: LinkReport, units: Units, width: int) -> list[Line]:
    lines = []
    for (end, _), state in zip(_hands(report.link), (report.near, report.far), strict=True):
        lines += _hole(end_text(report.link, end), state, units, width)
    return lines


def _hole(word: str, end: LinkEndState, units: Units, width: int) -> list[Line]:
    if end.hole is None:
        return [*wrapped(f"{word}: not in the list of holes; c names it.", width, "", "dim")]
    text = f"{fit(word, _END_WIDTH)} {fit(hole_label(end.hole.hole), 20)} {size_or_dash(end.along, units)}"
    lines = [line(short(text, width), target=HoleRow(end.hole.hole.id))]
    if end.pin is not None:
        loose = f", {size_text(end.clearance, units)} loose" if end.clearance is not None else ""
        lines += wrapped(
            f"pin {both_or_dash(end.pin, units)}{loose}; {words_of(end.pin_origin, units)}",
            width,
            " " * (_END_WIDTH + 1),
            "dim",
        )
    return lines


def _other_lines(report: LinkReport, units: Units, width: int) -> list[Line]:
    lines: list[Line] = []
    for row in report.others:
        holes = " to ".join(hole_number(hole) for hole in (row.near_hole, row.far_hole) if hole is not None)
        size = both_or_dash(row.length.centres, units) if row.length.centres is not None else row.length.needs
        lines += wrapped(f"From another hole, {holes}, {row.state}: {size}", width)
        for remark in row.length.remarks:
            lines += wrapped(remark, width, "  ", "warn")
    return lines


def hole_number(hole: Hole) -> str:
    """Return a hole by its number from the tractor end, by its name where it stands alone."""
    if hole.number and hole.in_row:
        return f"hole {hole.number} of {hole.in_row} from the tractor end"
    return shown_name(hole)


def _day_lines(report: LinkReport, units: Units, width: int) -> list[Line]:
    lines = [_day(day, units, width) for day in report.days]
    return lines or [*wrapped("No reading yet.", width, "", "dim")]


def _day(day: LinkDay, units: Units, width: int) -> Line:
    sizes = []
    for word, length in (("closed", day.closed), ("open", day.open)):
        if length is not None:
            sizes.append(f"{word} {size_or_dash(length.centres, units)}")
    text = f"{day_text(day.day):<12} {', '.join(sizes) or 'as set only'}"
    return line(short(text, width), target=DayRow(day.round))


def link_title(link: Link) -> str:
    """Return a link's name and what it is."""
    return f"{shown_name(link)}, {link.kind} {link.position}" if link.kind != "screw" else shown_name(link)
