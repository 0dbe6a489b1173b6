"""Every number on a link's page, with the estimate it is and the readings it comes from."""

from collections.abc import Iterator

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.lengths import LinkLength
from fieldlog.records.entries import LinkState, ThreadReading, TurnsReading
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import shown_name
from fieldlog.records.threads import LinkEnd
from fieldlog.wear.numbers import Number, face_keys
from fieldlog.wear.states import HoleState, LinkEndState, LinkReport


def link_numbers(report: LinkReport, log: MachineLog) -> list[Number]:
    """Return lengths, travel, open limit, working lengths, ends and thread of a link, the lengths first."""
    return [*_lengths(report), *_working(report), *_ends(report), *_thread(report, log), *_others(report)]


def _lengths(report: LinkReport) -> Iterator[Number]:
    for state, length in report.lengths:
        if length.centres is not None:
            yield Number(state, _about(state, length), length.centres, length.keys)
    both = tuple(key for _, length in report.lengths for key in length.keys)
    if report.travel is not None:
        yield Number("travel", "Travel: open less closed, as taped", report.travel, both)
    if report.open_limit is not None:
        limit = report.open_limit
        yield Number("open limit", f"Open to at most: {limit.reason}", limit.length, both)


def _about(state: str, length: LinkLength) -> str:
    return f"{state.capitalize()}, pin to pin: {', '.join(length.ways)}"


def _working(report: LinkReport) -> Iterator[Number]:
    keys = {state: length.keys for state, length in report.lengths}
    for number, (state, sizes) in enumerate(report.working):
        behind = (*keys.get(state, ()), *_bore_keys(report.near.hole), *_bore_keys(report.far.hole))
        yield Number(f"{state} tight", f"{state.capitalize()}, pins pulled tight", sizes.tight, behind)
        yield Number(f"{state} slack", f"{state.capitalize()}, pins pushed tight", sizes.slack, behind)
        if not number:
            yield Number("backlash", "Backlash of both pins along the link", sizes.backlash, behind)


def _bore_keys(hole: HoleState | None) -> tuple[str, ...]:
    """Return the readings of the face where a hole is largest."""
    if hole is None or hole.latest is None:
        return ()
    return face_keys(max(hole.latest.faces, key=lambda face: face.largest.value_mm))


def _ends(report: LinkReport) -> Iterator[Number]:
    for end in (report.near, report.far):
        name = shown_name(end.hole.hole) if end.hole is not None else ""
        for word, about, size in _end_sizes(end):
            yield Number(f"{name}, {word}", f"{name}: {about}", size, () if word == "pin" else _bore_keys(end.hole))


def _end_sizes(end: LinkEndState) -> Iterator[tuple[str, str, Estimate]]:
    if end.along is not None:
        yield "bore", "size of the hole along the link", end.along
    if end.pin is not None:
        yield "pin", f"pin, {end.pin_origin}", end.pin
    if end.clearance is not None:
        yield "loose", "hole along the link less its pin", end.clearance


def _thread(report: LinkReport, log: MachineLog) -> Iterator[Number]:
    thread = report.thread
    if thread is None:
        return
    out = [reading for reading in log.standing(ThreadReading) if reading.link == report.link.id]
    turns = tuple(reading.key for reading in log.standing(TurnsReading) if reading.link == report.link.id)

    def keys(end: LinkEnd, state: LinkState) -> tuple[str, ...]:
        there = [reading for reading in out if (reading.end, reading.state) == (end, state)]
        newest = max(((reading.day, reading.round) for reading in there), default=None)
        return tuple(reading.key for reading in there if (reading.day, reading.round) == newest)

    for one in thread.ends:
        for state, size in one.by_state.items():
            about = f"Thread in at the {one.end} end, {state}: its length less what stands out"
            yield Number(f"{one.end} thread {state}", about, size, keys(one.end, state))
    for word, about, limit in (
        ("1.0 d", "Length at which the least engaged end is down to 1.0 d", thread.floor),
        ("1.5 d", "Length at which the least engaged end is down to 1.5 d", thread.target),
    ):
        if limit is not None:
            yield Number(word, about, limit, tuple(reading.key for reading in out))
    if thread.turned is not None:
        yield Number("by turns", "Travel by the turns of the body", thread.turned, turns)


def _others(report: LinkReport) -> Iterator[Number]:
    for row in report.others:
        size, keys = row.length.centres, row.length.keys
        if size is not None:
            holes = " to ".join(shown_name(hole) for hole in (row.near_hole, row.far_hole) if hole is not None)
            yield Number(f"{row.state} from {holes}", f"From another hole, {holes}, {row.state}", size, keys)
