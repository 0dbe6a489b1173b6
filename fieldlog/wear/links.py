"""What is known about a link today: its lengths, its ends, how it screws and how far it may open."""

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fieldlog.measure.estimate import Estimate, difference
from fieldlog.measure.lengths import Functional, LinkLength, functional, link_length
from fieldlog.measure.rounding import change_text
from fieldlog.measure.travel import taped_travel
from fieldlog.records.days import day_text
from fieldlog.records.entries import LengthReading, LinkState
from fieldlog.records.machine import Hole, Link
from fieldlog.wear.index import Index
from fieldlog.wear.mixed_up import MIXED_UP, is_mixed_up
from fieldlog.wear.states import HoleState, JointState, LinkDay, LinkEndState, LinkReport, RowLength

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
    from fieldlog.wear.link_limit import open_limit, thread_finding, thread_of

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
    clearance = difference(along, pin) if along is not None and pin is not None else None
    return LinkEndState(state, along, pin, joint.pin_origin if joint is not None and pin is not None else "", clearance)


def along_link(state: HoleState) -> Estimate | None:
    """Return a hole's diameter along its link: on the 12-6 line where that was measured, else its largest.

    A hole of a row lies in another part, whose 12 o'clock points elsewhere.
    """
    latest, worn = state.latest, state.worn
    if latest is None or worn is None or state.hole.in_row:
        return worn
    face = latest.best_face
    if face.shape is not None:
        return Estimate(face.shape.d0_mm + face.shape.a_mm, worn.parts)
    line = next((group for group in face.groups if group.angle_deg == 0.0), None)
    return Estimate(line.mean_mm, worn.parts) if line is not None else worn


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
        change = difference(sizes[0], sizes[1])
        if abs(change.value_mm) > change.expanded_mm:
            found.append(
                f"{word}, {change_text(change, index.units)} against {day_text(known[1].day)}: it was not {how} "
                "one of the two times, or another hole was used; tape again."
            )
    return found


def _centres(length: LinkLength | None) -> Estimate | None:
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
