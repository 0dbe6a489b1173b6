"""A link as data: its lengths with ways and checks, travel, thread, how far it may open, its ends, its days."""

from collections.abc import Callable, Mapping

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.lengths import LinkLength
from fieldlog.records.machine import shown_name
from fieldlog.wear.states import LinkEndState, LinkReport

Data = Mapping[str, object]
Size = Callable[[Estimate | None], Data | None]


def link_data(report: LinkReport, size: Size) -> Data:
    """Return a link as plain dictionaries; `size` writes an estimate."""
    from fieldlog.wear.link_limit import next_step

    finding, limit = report.finding, report.open_limit
    return {
        "id": report.link.id,
        "name": shown_name(report.link),
        "position": report.link.position,
        "kind": report.link.kind,
        "closed": _length(report.closed, size),
        "open": _length(report.open, size),
        "as_set": _length(report.as_set, size),
        "travel": size(report.travel),
        "working": {
            state: {"tight": size(one.tight), "slack": size(one.slack), "backlash": size(one.backlash)}
            for state, one in report.working
        },
        "open_limit": None
        if limit is None
        else {"length": size(limit.length), "stop": limit.stop, "reason": limit.reason},
        "thread": _thread(report, size),
        "verdict": finding.verdict.value if finding is not None else None,
        "reason": finding.reason if finding is not None else "",
        "next_step": next_step(report),
        "caution": finding.caution if finding is not None else "",
        "ends": {"near": _end(report.near, size), "far": _end(report.far, size)},
        "other_holes": [
            {
                "state": row.state,
                "near_hole": row.near_hole.id if row.near_hole is not None else "",
                "far_hole": row.far_hole.id if row.far_hole is not None else "",
                **(_length(row.length, size) or {}),
            }
            for row in report.others
        ],
        "history": [
            {"day": day.day.isoformat(), "closed": _length(day.closed, size), "open": _length(day.open, size)}
            for day in report.days
        ],
        "remarks": list(report.remarks),
    }


def _length(length: LinkLength | None, size: Size) -> Data | None:
    if length is None:
        return None
    return {
        "pin_to_pin": size(length.centres),
        "ways": list(length.ways),
        "checks": list(length.checks),
        "needs": length.needs,
    }


def _thread(report: LinkReport, size: Size) -> Data | None:
    state, link = report.thread, report.link
    if state is None:
        return None
    thread = state.thread
    return {
        "size": thread.typed,
        "diameter_mm": float(thread.d_mm),
        "pitch_mm": round(float(thread.pitch_mm), 6),
        "near_hand": link.near_hand,
        "far_hand": link.far_hand,
        "per_turn_mm": round(state.screw.per_turn_mm, 6) if state.screw is not None else None,
        "engaged": {one.end: {name: size(e) for name, e in one.by_state.items()} for one in state.ends},
        "longest_open_1_0_d": size(state.floor),
        "longest_open_1_5_d": size(state.target),
        "least_engagement_new_mm": round(state.least_mm, 3) if state.least_mm is not None else None,
        "travel_by_turns": size(state.turned),
        "weak_end": state.weak,
        "faults": list(state.faults),
        "checks": list(state.checks),
        "needs": state.needs,
    }


def _end(end: LinkEndState, size: Size) -> Data:
    return {
        "hole": end.hole.hole.id if end.hole is not None else "",
        "along_link": size(end.along),
        "pin": size(end.pin),
        "pin_origin": end.pin_origin,
        "clearance": size(end.clearance),
    }
