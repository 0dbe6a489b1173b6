"""A link that seems to open shorter than it closes: said once, and nothing is worked out from it.

How far a screw link may be opened: the maker's groove or stop pin, else the thread that must stay in.

What is known about a link today: its lengths, its ends, how it screws and how far it may open.
"""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.measure.lengths import Functional, LinkLength, functional, link_length, taped_travel
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import limit
from fieldlog.quantity.value import Value
from fieldlog.records.entries import LengthReading, LinkState
from fieldlog.records.machine import Hole, Link, OpenStop
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
from fieldlog.wear.threads import seen_on, thread_state
from fieldlog.wear.verdicts import Caution, Verdict


def is_mixed_up(report: LinkReport) -> bool:
    """Tell whether the link would open shorter than it closes."""
    closed, opened = report.closed, report.open
    if closed is None or opened is None:
        return False
    travel = taped_travel(closed, opened)
    return travel is not None and travel.value < 0


def thread_of(report: LinkReport, index: Index) -> ThreadState | None:
    """Return what is known of a link's thread, None where its size is not written down."""
    thread = report.link.thread
    if thread is None:
        return None
    lengths = {state: length.centres for state, length in report.lengths if length.centres is not None}
    if is_mixed_up(report):
        lengths = {state: size for state, size in lengths.items() if state == "as set"}
    return thread_state(report.link, thread, seen_on(report.link, index, lengths, report.travel))


def open_limit(report: LinkReport) -> OpenLimit | None:
    """Return the longest length the link may be opened to, and why; None where nothing tells it."""
    maker = maker_stop(report)
    if maker is not None:
        return maker
    thread = report.thread
    if thread is None or thread.target is None or report.link.open_stop in {"groove", "stop pin"}:
        return None
    target_mm = TARGET_D * float(thread.thread.d_mm)
    only = thread.ends[0].end if len(thread.ends) == 1 else None
    reason = said("link.thread_still_in", link=report.link, target_mm=target_mm, end=only, weak=thread.weak)
    return OpenLimit(thread.target, "thread", reason)


def maker_stop(report: LinkReport) -> OpenLimit | None:
    """Return the limit that a maker's groove or stop pin sets: as its length is stated, else as taped open to it."""
    stop, typed = report.link.open_stop, report.link.stop_length
    if stop is None or stop == "thread":
        return None
    if typed is not None:
        half = float(typed.half_width_mm)
        whose = f"{report.link.id}/open stop"
        step = limit(whose, half, "typing", label="step of the typing", why=f"± {half:.3g} mm")
        return OpenLimit(Value(float(typed.mm), "mm", (step,)), stop, said("link.stop_as_stated", stop=stop))
    opened = report.open.centres if report.open is not None and not is_mixed_up(report) else None
    return OpenLimit(opened, stop, said("link.stop_as_taped", stop=stop)) if opened is not None else None


def thread_finding(report: LinkReport) -> Finding | None:
    """Judge how much thread is in, as set and open; None when that is not known and nothing is contradicted."""
    if is_mixed_up(report):
        return Finding(Verdict.REMEASURE, (said("link.mixed_up"),), (said("link.tape_both_again"),))
    past = _past_the_stop(report)
    if past is not None:
        return past
    thread = report.thread
    if thread is None:
        return None
    if thread.faults:
        return Finding(Verdict.REMEASURE, thread.faults[:1], (said("link.put_right_first"),))
    found = [_judged(report, thread, state) for state in _OPENED]
    judged = [finding for finding in found if finding is not None]
    return max(judged, key=lambda finding: (finding.severity, finding.share), default=None)


def _past_the_stop(report: LinkReport) -> Finding | None:
    maker = maker_stop(report)
    if maker is None or report.link.stop_length is None:
        return None
    for state, length in report.lengths:
        if length.centres is None:
            continue
        over = length.centres - maker.length
        if over.value > over.plus_minus:
            reason = said("link.past_its_stop", state=state, over=over, stop=maker.stop)
            step = said("link.screw_in_to", length=maker.length)
            return Finding(Verdict.STOP, (reason,), (step,), Caution.LINK_PULLS_APART)
    return None


def _judged(report: LinkReport, thread: ThreadState, state: LinkState) -> Finding | None:
    least = thread.least_in(state)
    if least is None:
        return None
    end, size = least
    turns_in = size.value / float(thread.thread.d_mm)
    brief, share = said("link.thread_in_brief", turns=turns_in), FLOOR_D / max(turns_in, 0.01)
    found = said("link.thread_in", link=report.link, state=state, size=size, turns=turns_in, end=end)
    stop, caution = report.link.open_stop, Caution.LINK_PULLS_APART
    has_stop = stop in {"groove", "stop pin"}
    if turns_in < FLOOR_D and has_stop and state == "open":
        reason = said("link.stop_contradicts", found=found, stop=stop)
        step = said("link.measure_thread_again", floor=thread.floor)
        return Finding(Verdict.REMEASURE, (reason,), (step,), caution)
    if turns_in < FLOOR_D:
        reason, step = said("link.too_little_in", found=found), _screw_in(thread.target, thread.floor)
        return Finding(Verdict.STOP, (reason,), (step,), caution, share=share, brief=brief)
    if turns_in < TARGET_D and not has_stop:
        reason, step = said("link.more_in_is_wanted", found=found), _screw_in(thread.target, None)
        return Finding(Verdict.PLAN, (reason,), (step,), caution, share=share, brief=brief)
    reason = said("link.enough_in", found=found, stop=stop if turns_in < TARGET_D else None)
    step = said("link.measure_next_season")
    return Finding(Verdict.SOUND, (reason,), (step,), share=share, brief=brief)


def _screw_in(target: Value | None, floor: Value | None) -> Said:
    if target is None:
        return said("link.screw_in_and_tape")
    return said("link.keep_within", target=target, floor=floor)


def next_steps(report: LinkReport) -> tuple[Said, ...]:
    """Return what to do next about a link, worst first."""
    finding, thread = report.finding, report.thread
    if finding is not None and finding.verdict is not Verdict.SOUND:
        return finding.next_steps
    for state, length in report.lengths:
        if length.centres is None:
            return (said("link.state_needs", state=state, needs=length.needs),)
    is_screw = report.link.kind == "screw"
    missing = [state for state, length in (("closed", report.closed), ("open", report.open)) if length is None]
    if is_screw and missing:
        return (said("link.tape", states=tuple(missing)),)
    if is_screw and thread is None:
        return (said("link.write_down_thread"),)
    if thread is not None and thread.needs is not None:
        return (thread.needs,)
    return finding.next_steps if finding is not None else (said("link.tape_next_season"),)


_OPENED: tuple[LinkState, ...] = ("as set", "open")
_STATES: tuple[LinkState, ...] = ("closed", "open", "as set")


def link_report(link: Link, joints: Sequence[JointState], holes: Mapping[str, HoleState], index: Index) -> LinkReport:
    """Return what is known about a link: its newest taping in each state, and what follows from it."""
    near, far = (link_end(end, joints, holes) for end in (link.near_hole, link.far_hole))
    readings = index.lengths.get(link.id, [])
    own = [reading for reading in readings if _is_of_own_holes(reading, link)]

    def taped(state: LinkState) -> LinkLength | None:
        return _length(_newest([r for r in own if r.state == state]), near, far, index)

    closed, opened, as_set = (taped(state) for state in _STATES)
    lengths = zip(_STATES, (closed, opened, as_set), strict=True)
    remarks = [
        said("link.of_state", state=state, remark=one) for state, length in lengths if length for one in length.remarks
    ]
    days = _days(own, near, far, index)
    report = LinkReport(
        link, closed, opened, as_set, (*remarks, *_drift(days, link)), near, far,
        others=_others([r for r in readings if not _is_of_own_holes(r, link)], link, joints, holes, index), days=days,
    )  # fmt: skip
    return _with_limits(report, index)


def _with_limits(report: LinkReport, index: Index) -> LinkReport:
    """Add what follows from the lengths; what is about threads is not imported for a link without."""
    if is_mixed_up(report):
        report = replace(report, remarks=(*report.remarks, said("link.mixed_up")))
    else:
        report = replace(report, travel=taped_travel(report.closed, report.open), working=_working(report))
        if report.link.thread is None and report.link.open_stop is None:
            return report

    thread = thread_of(report, index)
    if thread is not None:
        report = replace(report, thread=thread, remarks=(*report.remarks, *thread.faults, *thread.remarks))
    report = replace(report, open_limit=open_limit(report))
    return replace(report, finding=thread_finding(report))


def link_end(hole_id: str, joints: Iterable[JointState], holes: Mapping[str, HoleState]) -> LinkEndState:
    """Return one end of a link: its hole along the link, its pin, and the clearance between them."""
    state = holes.get(hole_id)
    if state is None:
        return LinkEndState()
    joint = next((joint for joint in joints if joint.joint.id == state.hole.joint), None)
    along, pin = along_link(state), joint.pin_size if joint is not None else None
    clearance = along - pin if along is not None and pin is not None else None
    return LinkEndState(
        state, along, pin, joint.pin_origin if joint is not None and pin is not None else None, clearance
    )


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


def _drift(days: Sequence[LinkDay], link: Link) -> list[Said]:
    """Say when a length that should stay the same has changed beyond doubt."""
    stays: list[tuple[LinkState, OpenStop | None, list[tuple[datetime.date, Value]]]] = [
        ("closed", None, [(day.day, size) for day in days if (size := _centres(day.closed))])
    ]
    if link.open_stop in {"groove", "stop pin"}:
        stays.append(("open", link.open_stop, [(day.day, size) for day in days if (size := _centres(day.open))]))
    found = []
    for state, stop, known in stays:
        if len(known) < 2:
            continue
        change = known[0][1] - known[1][1]
        if abs(change.value) > change.plus_minus:
            found.append(said("link.drifts", state=state, change=change, day=known[1][0], stop=stop))
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
