"""A link that seems to open shorter than it closes: said once, and nothing is worked out from it.

How far a screw link may be opened: the maker's groove or stop pin, else the thread that must stay in.

What is known about a link today: its lengths, its ends, how it screws and how far it may open.
"""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.measure.lengths import Functional, LinkLength, functional, link_length, taped_travel
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_text, change_text, mm_text
from fieldlog.quantity.source import limit
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.records.entries import LengthReading, LinkState
from fieldlog.records.machine import Hole, Link
from fieldlog.wear.history import Index
from fieldlog.wear.states import (
    Finding,
    HoleState,
    JointState,
    LinkDay,
    LinkEndState,
    LinkReport,
    OpenLimit,
    RowLength,
    ThreadState,
)
from fieldlog.wear.threads import end_word, seen_on, thread_state
from fieldlog.wear.verdicts import Verdict

MIXED_UP = "It opens shorter than it closes: closed and open are mixed up, or an edge is wrong; tape both again."


def is_mixed_up(report: LinkReport) -> bool:
    """Tell whether the link would open shorter than it closes."""
    closed, opened = report.closed, report.open
    if closed is None or opened is None:
        return False
    travel = taped_travel(closed, opened)
    return travel is not None and travel.value < 0


CAUTION = (
    "With too little thread in, the link pulls apart and the implement falls. Lower and block it, and keep clear, "
    "before you turn the link. The machine's manual wins: never past its groove, band or stop pin."
)


def thread_of(report: LinkReport, index: Index) -> ThreadState | None:
    """Return what is known of a link's thread, None where its size is not written down."""
    thread = report.link.thread
    if thread is None:
        return None
    lengths = {state: length.centres for state, length in report.lengths if length.centres is not None}
    if is_mixed_up(report):
        lengths = {state: size for state, size in lengths.items() if state == "as set"}
    return thread_state(report.link, thread, seen_on(report.link, index, lengths, report.travel), index.units)


def open_limit(report: LinkReport, units: Units) -> OpenLimit | None:
    """Return the longest length the link may be opened to, and why; None where nothing tells it."""
    maker = maker_stop(report, units)
    if maker is not None:
        return maker
    thread = report.thread
    if thread is None or thread.target is None or report.link.open_stop in {"groove", "stop pin"}:
        return None
    target_mm = TARGET_D * float(thread.thread.d_mm)
    length = mm_text(target_mm, units, 1 if units == "mm" else 2)
    reason = f"{TARGET_D:g} d, {length}, of thread still in at {_where(thread, report)}"
    if thread.weak is not None:
        reason = f"{reason}; the {end_word(report.link, thread.weak)} comes short first"
    return OpenLimit(thread.target, "thread", reason)


def _where(thread: ThreadState, report: LinkReport) -> str:
    return f"the {end_word(report.link, thread.ends[0].end)}" if len(thread.ends) == 1 else "each end"


def maker_stop(report: LinkReport, units: Units) -> OpenLimit | None:
    """Return the limit that a maker's groove or stop pin sets: as its length is stated, else as taped open to it."""
    stop, typed = report.link.open_stop, report.link.stop_length
    if stop is None or stop == "thread":
        return None
    if typed is not None:
        half = float(typed.half_width_mm)
        whose = f"{report.link.id}/open stop"
        step = limit(whose, half, "typing", label="step of the typing", why=f"± {half:.3g} mm")
        return OpenLimit(Value(float(typed.mm), "mm", (step,)), stop, f"the maker's {stop}, as stated")
    opened = report.open.centres if report.open is not None and not is_mixed_up(report) else None
    return OpenLimit(opened, stop, f"the maker's {stop}, as taped when opened to it") if opened is not None else None


def thread_finding(report: LinkReport, units: Units) -> Finding | None:
    """Judge how much thread is in, as set and open; None when that is not known and nothing is contradicted."""
    if is_mixed_up(report):
        return Finding(Verdict.REMEASURE, MIXED_UP, "Tape closed and open again, at the same edges of the same holes.")
    past = _past_the_stop(report, units)
    if past is not None:
        return past
    thread = report.thread
    if thread is None:
        return None
    if thread.faults:
        return Finding(Verdict.REMEASURE, thread.faults[0], "Put that right first; nothing is worked out from it.")
    found = [_judged(report, thread, state, units) for state in ("as set", "open")]
    judged = [finding for finding in found if finding is not None]
    return max(judged, key=lambda finding: (finding.severity, finding.share), default=None)


def _past_the_stop(report: LinkReport, units: Units) -> Finding | None:
    maker = maker_stop(report, units)
    if maker is None or report.link.stop_length is None:
        return None
    for state, length in report.lengths:
        if length.centres is None:
            continue
        over = length.centres - maker.length
        if over.value > over.plus_minus:
            reason = f"Taped {state}, it is {both_text(over, units)} longer than the maker's {maker.stop} allows."
            step = f"Screw it in to {both_text(maker.length, units)} or shorter."
            return Finding(Verdict.STOP, reason, step, CAUTION)
    return None


def _judged(report: LinkReport, thread: ThreadState, state: str, units: Units) -> Finding | None:
    least = thread.least_in(state)  # type: ignore[arg-type] # one of the link's states
    if least is None:
        return None
    end, size = least
    d_mm = float(thread.thread.d_mm)
    turns_in = size.value / d_mm
    brief, share = f"{turns_in:.2f} d of thread in", FLOOR_D / max(turns_in, 0.01)
    said = f"{state.capitalize()}, {both_text(size, units)}, {turns_in:.2f} d, of thread is in at the "
    said += end_word(report.link, end)
    has_stop = report.link.open_stop in {"groove", "stop pin"}
    if turns_in < FLOOR_D and has_stop and state == "open":
        return _stop_contradicts(report, thread, said, units)
    if turns_in < FLOOR_D:
        step = _screw_in(thread.target, thread.floor, units)
        reason = f"{said}; under {FLOOR_D:g} d it is not safe to use."
        return Finding(Verdict.STOP, reason, step, CAUTION, share=share, brief=brief)
    if turns_in < TARGET_D and not has_stop:
        step = _screw_in(thread.target, None, units)
        return Finding(Verdict.PLAN, f"{said}; {TARGET_D:g} d is wanted.", step, CAUTION, share=share, brief=brief)
    line = f"over {TARGET_D:g} d" if turns_in >= TARGET_D else f"the maker's {report.link.open_stop} decides"
    return Finding(Verdict.SOUND, f"{said}: {line}.", "Measure it again next season.", share=share, brief=brief)


def _stop_contradicts(report: LinkReport, thread: ThreadState, said: str, units: Units) -> Finding:
    floor = f"; until then keep it at {both_text(thread.floor, units)} or shorter" if thread.floor is not None else ""
    reason = f"{said}; a maker's {report.link.open_stop} leaves more than that, so one of the figures is wrong."
    return Finding(Verdict.REMEASURE, reason, f"Measure thread length and exposed thread again{floor}.", CAUTION)


def _screw_in(target: Value | None, floor: Value | None, units: Units) -> str:
    if target is None:
        return "Screw it in, and tape it as it was when the thread was measured, to learn how far it may open."
    never = f", never over {both_text(floor, units)}" if floor is not None else ""
    return f"Keep it at {both_text(target, units)} or shorter{never}; mark that length, and tape it as its open length."


def next_step(report: LinkReport) -> str:
    """Return what to do next about a link, worst first."""
    finding, thread = report.finding, report.thread
    if finding is not None and finding.verdict is not Verdict.SOUND:
        return finding.next_step
    for state, length in report.lengths:
        if length.centres is None:
            return f"{state.capitalize()}: {length.needs}."
    is_screw = report.link.kind == "screw"
    if is_screw and (report.closed is None or report.open is None):
        which = "closed and open" if report.closed is None and report.open is None else _missing_state(report)
        return f"Tape it {which}, pin to pin: m starts the walk."
    if is_screw and thread is None:
        return "Write down its thread: size, hand and length of thread at each end, and what stops its opening."
    if thread is not None and thread.needs:
        return thread.needs
    return finding.next_step if finding is not None else "Tape it again next season."


def _missing_state(report: LinkReport) -> str:
    return "closed" if report.closed is None else "open"


_STATES: tuple[LinkState, ...] = ("closed", "open", "as set")


def link_report(link: Link, joints: Sequence[JointState], holes: Mapping[str, HoleState], index: Index) -> LinkReport:
    """Return what is known about a link: its newest taping in each state, and what follows from it."""
    near, far = (link_end(end, joints, holes) for end in (link.near_hole, link.far_hole))
    readings = index.lengths.get(link.id, [])
    own = [reading for reading in readings if _is_of_own_holes(reading, link)]

    def taped(state: LinkState) -> LinkLength | None:
        return _length(_newest([r for r in own if r.state == state]), near, far, index)

    closed, opened, as_set = (taped(state) for state in _STATES)
    named = (("Closed", closed), ("Open", opened), ("As set", as_set))
    remarks = [f"{word}: {remark}" for word, length in named if length for remark in length.remarks]
    days = _days(own, near, far, index)
    report = LinkReport(
        link, closed, opened, as_set, (*remarks, *_drift(days, link, index)), near, far,
        others=_others([r for r in readings if not _is_of_own_holes(r, link)], link, joints, holes, index), days=days,
    )  # fmt: skip
    return _with_limits(report, index)


def _with_limits(report: LinkReport, index: Index) -> LinkReport:
    """Add what follows from the lengths; what is about threads is not imported for a link without."""
    if is_mixed_up(report):
        report = replace(report, remarks=(*report.remarks, MIXED_UP))
    else:
        report = replace(report, travel=taped_travel(report.closed, report.open), working=_working(report))
        if report.link.thread is None and report.link.open_stop is None:
            return report

    thread = thread_of(report, index)
    if thread is not None:
        report = replace(report, thread=thread, remarks=(*report.remarks, *thread.faults, *thread.remarks))
    report = replace(report, open_limit=open_limit(report, index.units))
    return replace(report, finding=thread_finding(report, index.units))


def link_end(hole_id: str, joints: Iterable[JointState], holes: Mapping[str, HoleState]) -> LinkEndState:
    """Return one end of a link: its hole along the link, its pin, and the clearance between them."""
    state = holes.get(hole_id)
    if state is None:
        return LinkEndState()
    joint = next((joint for joint in joints if joint.joint.id == state.hole.joint), None)
    along, pin = along_link(state), joint.pin_size if joint is not None else None
    clearance = along - pin if along is not None and pin is not None else None
    return LinkEndState(state, along, pin, joint.pin_origin if joint is not None and pin is not None else "", clearance)


def along_link(state: HoleState) -> Value | None:
    """Return a hole's diameter along its link: on the 12-6 line where that was measured, else its largest.

    A hole of a row lies in another part, whose 12 o'clock points elsewhere.
    """
    latest, worn = state.latest, state.worn
    if latest is None or worn is None or state.hole.in_row:
        return worn
    face = latest.best_face
    if face.shape is not None:
        return replace(worn, value=face.shape.d0_mm + face.shape.a_mm)
    line = next((group for group in face.groups if group.angle_deg == 0.0), None)
    return replace(worn, value=line.mean_mm) if line is not None else worn


def _is_of_own_holes(reading: LengthReading, link: Link) -> bool:
    return reading.near_hole in {"", link.near_hole} and reading.far_hole in {"", link.far_hole}


def _newest(readings: Sequence[LengthReading]) -> list[LengthReading]:
    newest = max(((reading.day, reading.round) for reading in readings), default=None)
    return [reading for reading in readings if (reading.day, reading.round) == newest]


def _length(
    readings: Sequence[LengthReading], near: LinkEndState, far: LinkEndState, index: Index
) -> LinkLength | None:
    return link_length(readings, near.along, far.along, index.instruments, (near.pin, far.pin))


def _working(report: LinkReport) -> tuple[tuple[LinkState, Functional], ...]:
    near, far = report.near.clearance, report.far.clearance
    if near is None or far is None:
        return ()
    return tuple(
        (state, functional(length.centres, near, far)) for state, length in report.lengths if length.centres is not None
    )


def _days(
    readings: Sequence[LengthReading], near: LinkEndState, far: LinkEndState, index: Index
) -> tuple[LinkDay, ...]:
    """Return the link as taped in each round, newest first; the holes count as they are now."""
    rounds: dict[tuple[datetime.date, str], list[LengthReading]] = {}
    for reading in readings:
        rounds.setdefault((reading.day, reading.round), []).append(reading)
    found = []
    for day, round_id in sorted(rounds, reverse=True):
        taped = rounds[day, round_id]
        closed, opened = (_length([r for r in taped if r.state == s], near, far, index) for s in ("closed", "open"))
        found.append(LinkDay(day, round_id, closed, opened))
    return tuple(found)


def _drift(days: Sequence[LinkDay], link: Link, index: Index) -> list[str]:
    """Say when a length that should stay the same has changed beyond doubt."""
    stays = [("Closed", [day for day in days if _centres(day.closed)], "screwed fully in at both ends")]
    if link.open_stop in {"groove", "stop pin"}:
        stays.append(("Open", [day for day in days if _centres(day.open)], f"opened to the {link.open_stop}"))
    found = []
    for word, known, how in stays:
        sizes = [_centres(day.closed if word == "Closed" else day.open) for day in known]
        if len(sizes) < 2 or sizes[0] is None or sizes[1] is None:
            continue
        change = sizes[0] - sizes[1]
        if abs(change.value) > change.plus_minus:
            found.append(
                f"{word}, {change_text(change, index.units)} against {day_text(known[1].day)}: it was not {how} "
                "one of the two times, or another hole was used; tape again."
            )
    return found


def _centres(length: LinkLength | None) -> Value | None:
    return length.centres if length is not None else None


def _others(
    readings: Sequence[LengthReading],
    link: Link,
    joints: Sequence[JointState],
    holes: Mapping[str, HoleState],
    index: Index,
) -> tuple[RowLength, ...]:
    """Return the lengths taped from other holes of a row, in the order of the holes from the tractor end."""
    groups: dict[tuple[str, str, LinkState], list[LengthReading]] = {}
    for reading in readings:
        ends = (reading.near_hole or link.near_hole, reading.far_hole or link.far_hole)
        groups.setdefault((*ends, reading.state), []).append(reading)
    found = []
    for (near_id, far_id, state), taped in groups.items():
        near, far = (link_end(end, joints, holes) for end in (near_id, far_id))
        length = _length(_newest(taped), near, far, index)
        if length is not None:
            found.append(RowLength(state, _hole(near), _hole(far), length))
    return tuple(
        sorted(found, key=lambda row: (_number(row.near_hole), _number(row.far_hole), _STATES.index(row.state)))
    )


def _hole(end: LinkEndState) -> Hole | None:
    return end.hole.hole if end.hole is not None else None


def _number(hole: Hole | None) -> int:
    return hole.number or 0 if hole is not None else 0
