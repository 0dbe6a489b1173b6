"""One machine on a page: its joints with their verdicts, the holes under them, the links.

What to order, as lines and as data: pin size by pin size, with the joints that the parts are for.

Kept recommendations: a line each, and one on a page with its reasons, what it rests on and its cautions.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.measure.lengths import LinkLength
from fieldlog.pages.lines import (
    BLANK,
    CELLS,
    NOTHING,
    UNKNOWN,
    VERDICT_WIDTH,
    Line,
    Span,
    both_or_dash,
    cells,
    fit,
    heading,
    in_rows,
    line,
    short,
    size_or_dash,
    spark_of,
    verdict_span,
    wrapped,
)
from fieldlog.quantity.rounding import both_text, mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.machine import Hole, Machine, part_name, shown_name
from fieldlog.records.offer import Basis
from fieldlog.retrofit.offers.kept import Kept
from fieldlog.wear.history import put_off_said
from fieldlog.wear.order_list import For, ForNote, OrderLine, When
from fieldlog.wear.states import HoleState, JointState, LinkReport, MachineState
from fieldlog.wear.tool_slack import slack_said
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say, say_all
from fieldlog.words.step import parts_text


class JointRow(NamedTuple):
    """A joint in the list."""

    joint: str


class HoleRow(NamedTuple):
    """A hole in the list."""

    hole: str


class LinkRow(NamedTuple):
    """A link in the list."""

    link: str


class MachineRow(NamedTuple):
    """The machine itself in its own list."""

    machine: str


class LimitRow(NamedTuple):
    """A limit of the machine in the list, by its place in the file."""

    number: int


_NAME_WIDTH = 30
_WIDE = 76


def machine_lines(state: MachineState, units: Units, width: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Return the machine page for a list `width` columns wide; each joint's wear in a few cells where there is room."""
    lines: list[Line] = []
    for joint in state.joints:
        lines.append(_joint_line(joint, units, width, ascii_only=ascii_only))
        lines += [_hole_line(hole, units, width) for hole in joint.holes]
    if not state.joints:
        lines.append(line(Span("No joint yet; a adds the first joint and its hole.", "dim")))
    if state.links:
        lines += [BLANK, heading("Links, pin to pin")]
        lines += [_link_line(link, units, width) for link in state.links]
    if state.machine.notes:
        lines += [BLANK, *wrapped(state.machine.notes, width, "", "dim")]
    return tuple(lines)


def _joint_line(state: JointState, units: Units, width: int, *, ascii_only: bool) -> Line:
    wear = f" {spark_of(state, ascii_only=ascii_only).rjust(CELLS)}" if width >= _WIDE else ""
    row = _joint_words(state, units, width - len(wear))
    return Line((*row.spans, Span(wear)), row.target) if wear.strip() else _joint_words(state, units, width)


def _joint_words(state: JointState, units: Units, width: int) -> Line:
    finding = state.finding
    name_width = min(_NAME_WIDTH, width - VERDICT_WIDTH - 18)
    name = Span(fit(shown_name(state.joint), name_width), "strong")
    found = f" clearance {size_text(finding.clearance, units)}" if finding.clearance is not None else ""
    room = width - VERDICT_WIDTH - name_width
    if finding.clearance is not None and cells(found) > room:
        found = f" {size_text(finding.clearance, units)}"
    return line(verdict_span(finding.verdict), name, fit(found, room), target=JointRow(state.joint.id))


def hole_label(hole: Hole) -> str:
    """Return a hole's name with its place in the row."""
    row = f" ({hole.number} of {hole.in_row})" if hole.number and hole.in_row else ""
    return f"{shown_name(hole)}{row}"


def _hole_line(state: HoleState, units: Units, width: int) -> Line:
    room = width - 3
    name_width = min(_NAME_WIDTH - 4, room // 2)
    name = fit(hole_label(state.hole), name_width)
    target = HoleRow(state.hole.id)
    latest = state.latest
    if latest is None:
        seen = "not measured since the last renewal" if state.history else "never measured"
        return line("   ", name, " ", Span(short(seen, room - name_width - 1), "dim"), target=target)
    text = f"largest {size_or_dash(state.worn, units)}"
    if width >= _WIDE:
        text = f"{text}, {day_text(latest.day)}"
    return line("   ", name, " ", Span(short(text, room - name_width - 1), "dim"), target=target)


def _link_line(report: LinkReport, units: Units, width: int) -> Line:
    """Return a link in the list; behind its verdict where its thread or its lengths were judged."""
    finding = report.finding
    start = verdict_span(finding.verdict) if finding is not None else Span(" " * 3)
    name_width = min(_NAME_WIDTH - 4, width // 3) - (len(start.text) - 3 if width >= _WIDE else 0)
    name, room = fit(shown_name(report.link), name_width), width - len(start.text) - name_width - 1
    taped = [(state, length.centres) for state, length in report.lengths if length.centres is not None]
    ways = [", ".join(f"{state} {size_text(size, units)}" for state, size in taped) or "not taped"]
    ways += [", ".join(f"{state} {mm_text(size.value, units, 0 if units == 'mm' else 2)}" for state, size in taped)]
    if [state for state, _ in taped] == ["closed", "open"]:
        ways += [" to ".join(mm_text(size.value, units, 0 if units == "mm" else 2) for _, size in taped)]
    text = next((way for way in ways if way and cells(way) <= room), short(ways[-1] or ways[0], room))
    return line(start, name, " ", text, target=LinkRow(report.link.id))


def joint_detail(state: JointState, units: Units, width: int, most_rows: int = 999) -> tuple[Line, ...]:
    """Return why a joint stands as it does: reason, limit and its origin, pin, what to do next, caution."""
    finding = state.finding
    lines: list[Line] = []
    if finding.caution is not None:
        lines += wrapped(caution_text(finding.caution), width, "", "warn")
    for said in put_off_said(state.put_off):
        lines += wrapped(say(said, units), width, "", "warn")
    if state.slack is not None:
        lines += wrapped(say(slack_said(state.slack), units), width)
    lines += wrapped(f"Pin: {state.pin_answer.sentence}", width, "", "dim")
    todo = wrapped(f"Next: {say_all(finding.next_steps, units)}", width, "", "strong")
    return in_rows(wrapped(say_all(finding.reasons, units), width), todo, lines, most_rows, width)


def hole_detail(state: HoleState, units: Units, width: int) -> tuple[Line, ...]:
    """Return the two sizes of a hole, saying which is which."""
    if state.latest is None:
        return wrapped("Not measured yet. m starts the walk.", width)
    lines = [
        *wrapped(f"Worn size (largest, {day_text(state.latest.day)}): {both_or_dash(state.worn, units)}", width),
        *wrapped(f"Identity size (smallest ever, tells the pin): {both_or_dash(state.identity, units)}", width),
    ]
    lines += wrapped(bush_text(state), width)
    for remark in state.remarks:
        lines += wrapped(say(remark, units), width, "", "warn")
    return tuple(lines)


def bush_text(state: HoleState) -> str:
    """Return whether a hole's bush moves as last said, or that nobody said it at the last measuring."""
    seat, latest = state.bush, state.latest
    if seat is None or latest is None:
        return ""
    if seat.day is None or (not seat.moves and seat.day < latest.day):
        before = f" (tight on {day_text(seat.day)})" if seat.day is not None else ""
        return f"Whether its bush moves was not said on {day_text(latest.day)}{before}: look for a bright ring."
    return f"Its bush {'moves in its bore' if seat.moves else 'sits tight'}, {day_text(seat.day)}."


def link_detail(report: LinkReport, units: Units, width: int) -> tuple[Line, ...]:
    """Return what matters most about a link: what was found, what is odd, its lengths in both units."""
    finding = report.finding
    reasons = finding.reasons if finding is not None else ()
    lines = list(wrapped(say_all(reasons, units), width))
    if finding is not None:
        lines += wrapped(f"Next: {say_all(finding.next_steps, units)}", width, "", "strong")
        lines += wrapped(caution_text(finding.caution), width, "", "warn")
    for remark in report.remarks:
        lines += wrapped(say(remark, units), width, "", "warn") if remark not in reasons else ()
    for state, length in report.lengths:
        lines += _length_detail(state.capitalize(), length, units, width)
    return tuple(lines) or wrapped("Not taped yet. m starts the walk; the links come last.", width)


def _length_detail(word: str, length: LinkLength, units: Units, width: int) -> tuple[Line, ...]:
    if length.centres is None:
        return wrapped(f"{word}: {length.needs}", width, "", "warn")
    return wrapped(f"{word}, pin to pin: {both_text(length.centres, units)} ({', '.join(length.ways)})", width)


def own_lines(machine: Machine, width: int) -> tuple[Line, ...]:
    """Return what is written about the machine itself, and its limits, as lines that can be chosen to be corrected."""
    said = [f"{machine.planned_hours:f} h planned" if machine.planned_hours is not None else ""]
    said += [f"works in {machine.in_use.typed}" if machine.in_use is not None else ""]
    said += [f"grease every {machine.grease_every.typed}" if machine.grease_every is not None else ""]
    said += [f"measure every {machine.measure_every_hours:f} h" if machine.measure_every_hours is not None else ""]
    text = ", ".join(part for part in said if part) or "c: kind, hitch, hours planned, greasing"
    rows = [BLANK, heading("The machine itself"), line("   ", short(text, width - 3), target=MachineRow(machine.id))]
    names = {joint.id: shown_name(joint) for joint in machine.joints}
    for number, limit in enumerate(machine.limits):
        about = f"every {limit.kind} joint" if limit.kind else names.get(limit.joint, limit.joint)
        text = f"limit, {about}: {limit.of}, renew over {limit.renew.typed} ({limit.origin})"
        rows.append(line("   ", short(text, width - 3), target=LimitRow(number)))
    return tuple(rows)


def own_detail(machine: Machine, width: int, *, is_limit: bool) -> tuple[Line, ...]:
    """Return what can be corrected about a machine or its limit on the screen, and what takes an editor."""
    text = "c corrects its name, kind, hour meter, hitch category, hours of the next season, greasing, measuring."
    if is_limit:
        text = "c corrects this limit: what it is for, its lines, and who says so."
    editor = (
        f"An id stands in every reading and stays as it is. To rename an id or take a part out, edit "
        f"{machine.id}/machine.toml."
    )
    return (*wrapped(text, width), *wrapped(editor, width, "", "dim"))


def machine_summary(machine: Machine) -> str:
    """Return kind and hitch category in words."""
    parts = [machine.kind, f"category {machine.hitch_category} hitch" if machine.hitch_category else ""]
    return ", ".join(part for part in parts if part)


WORDS: Mapping[When, str] = MappingProxyType(
    {
        When.NOW: "Now",
        When.BEFORE_THE_SEASON: "Before the season",
        When.AFTER_MEASURING: "Ask for it, order once it is measured again",
        When.PIN_FIRST: "Not before the pin's size is settled",
    }
)
_NOTES: Mapping[ForNote, str] = MappingProxyType(
    {ForNote.OTHER_SIDE: "other side", ForNote.PUT_OFF: "put off, with its reason"}
)
_MANUAL = (
    "By the machine's parts list where there is one. Measure a bush's outside, or the bore that it sat in, before you "
    "order it; a hole without a bush has its ways on its own page (f)."
)


def order_lines(found: Sequence[OrderLine], width: int) -> tuple[Line, ...]:
    """Return the list, the most pressing first; a dim sentence when nothing is wanted."""
    if not found:
        return (line(Span("Nothing is to be ordered.", "dim")),)
    lines: list[Line] = []
    for when, group in groupby(found, key=lambda one: one.when):
        lines.append(line(Span(WORDS[when], "strong")))
        for one in group:
            lines += wrapped(_line_text(one), width, "   ")
    return (*lines, *wrapped(_MANUAL, width, "", "dim"))


def _line_text(one: OrderLine) -> str:
    """Return '25 mm: 2 pins, 2 bushes, 4 seals and 2 keepers, for Small loader: Bucket pin, left; ...'."""
    size = f"{one.size}: " if one.size else ""
    return f"{size}{parts_text(one.parts)}, for {joints_text(one.joints)}"


def joints_text(joints: Iterable[For]) -> str:
    """Return 'Small loader: Bucket pin, left; Bucket pin, right (other side)', each machine named once."""
    said = []
    for machine, group in groupby(joints, key=lambda one: one.machine):
        names = [f"{one.joint} ({_notes_text(one)})" if one.notes else one.joint for one in group]
        said.append(f"{machine}: {'; '.join(names)}")
    return ". ".join(said)


def _notes_text(one: For) -> str:
    return "; ".join(_NOTES[note] for note in one.notes)


def order_data(found: Iterable[OrderLine]) -> list[Mapping[str, object]]:
    """Return the list as data; a number of 0 is as many as it takes."""
    return [
        {
            "when": WORDS[one.when],
            "pin": one.size,
            "parts": [{"part": part.kind.value, "number": part.number} for part in one.parts],
            "for": [{"machine": j.machine, "joint": j.joint, "note": _notes_text(j)} for j in one.joints],
        }
        for one in found
    ]


class KeptRow(NamedTuple):
    """A kept recommendation in a list."""

    kept: str


def kept_lines(kept: Sequence[Kept], machine: Machine, width: int, link: str = "") -> tuple[Line, ...]:
    """Return a heading and a line for each recommendation, newest first; of one link only when it is given."""
    wanted = [item for item in kept if link in {"", item.recommendation.link}]
    if not wanted:
        return ()
    lines = [BLANK, heading("Kept recommendations")]
    return (*lines, *(_line(item, machine, width) for item in reversed(wanted)))


def _line(item: Kept, machine: Machine, width: int) -> Line:
    told = item.recommendation
    sign = (
        Span(f"{UNKNOWN} stale".ljust(VERDICT_WIDTH), "re-measure")
        if item.stale
        else Span(f"{NOTHING} kept".ljust(VERDICT_WIDTH), "sound")
    )
    link = part_name(machine, "link", told.link)
    text = f"{told.offer_name or told.offer} for {link}, {day_text(told.day)}"
    return line(sign, short(text, width - VERDICT_WIDTH), target=KeptRow(told.id))


def kept_detail(item: Kept, units: Units, width: int) -> tuple[Line, ...]:
    """Return why it is stale, or its first reason."""
    told = item.recommendation
    if item.stale:
        return wrapped(f"Stale: {say(item.stale[0], units)}.{_more(len(item.stale) - 1)}", width, "", "warn")
    return wrapped(f"{told.verdict}. {told.reasons[0] if told.reasons else ''}", width)


def _more(count: int) -> str:
    return f" And {count} more." if count > 0 else ""


def kept_page(item: Kept, machine: Machine, units: Units, width: int) -> tuple[Line, ...]:
    """Return one recommendation in full; what made it stale stands first."""
    told = item.recommendation
    who = f", kept by {told.who}" if told.who else ""
    lines = [
        *wrapped(f"{told.offer_name or told.offer} for {part_name(machine, 'link', told.link)}", width, "", "head")
    ]
    lines += wrapped(f"{told.verdict}, {day_text(told.day)}{who}", width, "", "dim")
    lines += wrapped(told.words, width) if told.words else ()
    if item.stale:
        lines += [BLANK, heading("Stale: compare again before you buy")]
        lines += _bulleted([f"{say(reason, units)}." for reason in item.stale], width, "warn")
    lines += _section("Why", [*((f"way round: {told.way_round}",) if told.way_round else ()), *told.reasons], width)
    lines += _section("To order with it", told.parts, width)
    lines += _section("The other offers then", told.others, width)
    lines += _section("What it rests on", [_basis_text(basis) for basis in told.basis], width, "dim")
    lines += _section("Take care", told.cautions, width, "warn")
    return tuple(lines)


def _section(title: str, texts: Sequence[str], width: int, mark: str = "") -> list[Line]:
    return [BLANK, heading(title), *_bulleted(texts, width, mark)] if texts else []


def _bulleted(texts: Sequence[str], width: int, mark: str = "") -> list[Line]:
    lines: list[Line] = []
    for text in texts:
        rows = wrapped(text, width - 2)
        lines += [line(Span(f"{'- ' if number == 0 else '  '}{row.text}", mark)) for number, row in enumerate(rows)]
    return lines


def _basis_text(basis: Basis) -> str:
    doubt = f" ± {basis.plus_minus}" if basis.plus_minus else ""
    origin = f", {basis.origin}" if basis.origin else ""
    count = f" ({len(basis.entries)} readings, {basis.entries[0]} ...)" if basis.entries else ""
    return f"{basis.what}: {basis.value}{doubt}{origin}{count}"
