"""The findings as data. The shape is described in README and is kept: keys are added, never renamed or removed."""

import datetime
import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from fieldlog.measure.hole import HoleSize
from fieldlog.records.machine import Logbook, shown_name
from fieldlog.records.problems import Problem
from fieldlog.records.study import Study
from fieldlog.report.evidence_data import pin_data
from fieldlog.report.instrument_data import instrument_data
from fieldlog.report.link_data import link_data
from fieldlog.report.order_view import order_data
from fieldlog.report.size_data import number as _number
from fieldlog.report.size_data import size_data as _size
from fieldlog.report.study_data import study_data
from fieldlog.report.tool_data import tool_data
from fieldlog.report.trend_data import measuring_data, rates_data, trend_data
from fieldlog.wear.due import due_list
from fieldlog.wear.order_list import order_list
from fieldlog.wear.put_off import put_off_sentences
from fieldlog.wear.rates import rate_rows
from fieldlog.wear.states import Finding, HoleState, JointState, MachineState

if TYPE_CHECKING:
    from fieldlog.wear.details import HoleDetails

SHAPE = 1

Data = Mapping[str, object]


def report_json(data: Data) -> str:
    """Return the data as JSON text."""
    return "".join(_pieces(data))


def print_json(data: Data) -> None:
    """Print the JSON text as it is made, since that of a large logbook is hundreds of megabytes."""
    sys.stdout.writelines(_pieces(data))
    print()


def _pieces(data: Data) -> Iterator[str]:
    return json.JSONEncoder(indent=2, ensure_ascii=False, allow_nan=False).iterencode(data)


def report_data(
    logbook: Logbook,
    states: Sequence[MachineState],
    problems: Sequence[Problem],
    today: datetime.date,
    studies: Sequence[Study] = (),
    details: "Mapping[str, Mapping[str, HoleDetails]] | None" = None,
) -> Data:
    """Return everything found as plain dictionaries and lists; lengths in mm, dates as text.

    `details` are the holes looked at closely, by machine and hole.
    """
    return {
        "shape": SHAPE,
        "logbook": logbook.name,
        "units_first": logbook.units,
        "today": today.isoformat(),
        "due": [
            {
                "machine": item.machine.id,
                "joint": "" if item.is_link else item.joint.id,
                "link": item.joint.id if item.is_link else "",
                "verdict": item.verdict.value,
                "reason": item.reason,
                "next_step": item.next_step,
                "left": item.life,
                "borrowed": item.borrowed,
                "outlook": item.outlook,
            }
            for item in due_list(states, logbook.units)
        ],
        "to_order": order_data(order_list(states)),
        "rates": rates_data([row for state in states for row in rate_rows(state)]),
        "instruments": [instrument_data(instrument, today) for instrument in logbook.instruments],
        "machines": [_machine(state, (details or {}).get(state.machine.id, {})) for state in states],
        "gauge_studies": [study_data(study) for study in studies],
        "problems": [
            {"file": p.file, "line": p.line, "key": p.key, "wrong": p.wrong, "accepted": p.accepted} for p in problems
        ],
    }


def _machine(state: MachineState, details: "Mapping[str, HoleDetails]") -> Data:
    return {
        "id": state.machine.id,
        "name": shown_name(state.machine),
        "kind": state.machine.kind,
        "hours": float(state.meter_hours) if state.meter_hours is not None else None,
        "last_day": _day(state.last_day),
        "verdict": state.worst.value,
        "remarks": list(state.remarks),
        "joints": [_joint(joint, details) for joint in state.joints],
        "links": [link_data(link, _size) for link in state.links],
    }


def _joint(state: JointState, details: "Mapping[str, HoleDetails]") -> Data:
    return {
        "id": state.joint.id,
        "name": shown_name(state.joint),
        "kind": state.joint.kind,
        **_finding(state.finding),
        "signs": list(state.signs),
        "pin": {
            **pin_data(state.pin_answer, state.evidence, _size),
            "reckoned_with": _size(state.pin_size),
            "origin": state.pin_origin,
        },
        "last_day": _day(state.last_day),
        "measure_next": measuring_data(state.measuring),
        "slack_at_tool": tool_data(state.slack),
        "put_off": list(put_off_sentences(state.put_off)),
        "trends": [trend_data(trend, state.finding.verdict) for trend in state.trends],
        "holes": [{**_hole(hole), **_close(details.get(hole.hole.id))} for hole in state.holes],
    }


def _finding(finding: Finding) -> Data:
    limit = finding.limit
    return {
        "verdict": finding.verdict.value,
        "reason": finding.reason,
        "next_step": finding.next_step,
        "caution": finding.caution,
        "judged": _size(finding.clearance),
        "limit": None
        if limit is None
        else {"of": limit.of, "watch_mm": limit.watch_mm, "renew_mm": _number(limit.renew_mm), "origin": limit.origin},
    }


def _hole(state: HoleState) -> Data:
    return {
        "id": state.hole.id,
        "name": shown_name(state.hole),
        "use": state.hole.use,
        "worn_size": _size(state.worn),
        "identity_size": _size(state.identity),
        "change": _size(state.change),
        "signs": list(state.signs),
        "remarks": list(state.remarks),
        "history": [
            {**_hole_size(size), "since_renewal": number >= state.span_start}
            for number, size in enumerate(state.history)
        ],
    }


def _close(details: "HoleDetails | None") -> Data:
    from fieldlog.report.detail_data import detail_data

    return detail_data(details) if details is not None else {}


def _hole_size(size: HoleSize) -> Data:
    shape = size.best_face.shape
    return {
        "day": size.day.isoformat(),
        "who": size.who,
        "readings": size.n_readings,
        "largest": _size(size.largest),
        "smallest": _size(size.smallest),
        "ovality": _size(shape.ovality) if shape is not None else None,
        "long_axis_deg": _number(shape.axis_deg) if shape is not None and shape.axis_deg is not None else None,
        "round_within_error": shape.is_round_within_error if shape is not None else None,
        "missing": size.missing,
        "remarks": list(size.remarks),
        "lines": [
            {
                "face": face.face,
                "clock": group.clock,
                "read_mm": [_number(mm) for mm in group.read_mm],
                "corrected_mm": [_number(mm) for mm in group.sizes_mm],
            }
            for face in size.faces
            for group in face.groups
        ],
    }


def _day(day: datetime.date | None) -> str | None:
    return day.isoformat() if day is not None else None
