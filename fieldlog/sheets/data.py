"""The findings as data. The manual (data) describes the shape. It is kept: keys are added, never renamed or removed.

A hole looked at closely, as data: readings that stand apart, depth, walls, hints. Keys are added, never renamed.

What is known of a joint's pin as data: the answer, its candidates and next steps, and the other evidence.
"""

import datetime
import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence

from fieldlog.measure.depth import Gap, WallGap
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.pages.machine import order_data
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Units
from fieldlog.records.checks import Study
from fieldlog.records.entries import Trial
from fieldlog.records.machine import Logbook, shown_name
from fieldlog.records.problems import Problem
from fieldlog.sheets.other_data import instrument_data, link_data, study_data
from fieldlog.sheets.trend_data import measuring_data, rates_data, size_data, tool_data, trend_data
from fieldlog.sheets.trend_data import number as _number
from fieldlog.sheets.trend_data import size_data as _size
from fieldlog.standards.joints import is_one_size
from fieldlog.wear.due import due_list
from fieldlog.wear.history import put_off_said
from fieldlog.wear.order_list import order_list
from fieldlog.wear.shapes import HoleDetails
from fieldlog.wear.states import Finding, HoleState, JointState, MachineState
from fieldlog.wear.trends.rates import rate_rows
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import problem_parts, say, say_all, words_of

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
    return map(_harmless, json.JSONEncoder(indent=2, ensure_ascii=False, allow_nan=False).iterencode(data))


def _problem(problem: Problem) -> Data:
    wrong, accepted = problem_parts(problem)
    return {"file": problem.file, "line": problem.line, "key": problem.key, "wrong": wrong, "accepted": accepted}


def _harmless(piece: str) -> str:
    """Return a piece of JSON text with what could steer a terminal written as JSON writes it, so nothing is lost."""
    if piece.isascii() and "\x7f" not in piece:  # the encoder has escaped the other control characters
        return piece
    return "".join(char if char.isprintable() or char == "\n" else json.dumps(char)[1:-1] for char in piece)


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
                "reason": say_all(item.reasons, logbook.units),
                "next_step": say_all(item.next_steps, logbook.units),
                "left": words_of(item.life, logbook.units),
                "borrowed": words_of(item.borrowed, logbook.units),
                "outlook": say_all(item.outlook, logbook.units),
            }
            for item in due_list(states)
        ],
        "to_order": order_data(order_list(states)),
        "rates": rates_data([row for state in states for row in rate_rows(state)]),
        "instruments": [instrument_data(instrument, today) for instrument in logbook.instruments],
        "machines": [_machine(state, (details or {}).get(state.machine.id, {}), logbook.units) for state in states],
        "gauge_studies": [study_data(study) for study in studies],
        "problems": [_problem(problem) for problem in problems],
    }


def _machine(state: MachineState, details: "Mapping[str, HoleDetails]", units: Units) -> Data:
    return {
        "id": state.machine.id,
        "name": shown_name(state.machine),
        "kind": state.machine.kind,
        "hours": float(state.meter_hours) if state.meter_hours is not None else None,
        "last_day": _day(state.last_day),
        "verdict": state.worst.value,
        "remarks": [say(remark, units) for remark in state.remarks],
        "joints": [_joint(joint, details, units) for joint in state.joints],
        "links": [link_data(link, _size, units) for link in state.links],
    }


def _joint(state: JointState, details: "Mapping[str, HoleDetails]", units: Units) -> Data:
    return {
        "id": state.joint.id,
        "name": shown_name(state.joint),
        "kind": state.joint.kind,
        **_finding(state.finding, units),
        "signs": list(state.signs),
        "pin": {
            **pin_data(state.pin_answer, state.evidence, _size),
            "reckoned_with": _size(state.pin_size),
            "origin": words_of(state.pin_origin, units),
        },
        "last_day": _day(state.last_day),
        "measure_next": measuring_data(state.measuring),
        "slack_at_tool": tool_data(state.slack),
        "put_off": [say(said, units) for said in put_off_said(state.put_off)],
        "trends": [trend_data(trend, state.finding.verdict) for trend in state.trends],
        "holes": [{**_hole(hole, units), **_close(details.get(hole.hole.id), units)} for hole in state.holes],
    }


def _finding(finding: Finding, units: Units) -> Data:
    limit = finding.limit
    return {
        "verdict": finding.verdict.value,
        "reason": say_all(finding.reasons, units),
        "next_step": say_all(finding.next_steps, units),
        "caution": caution_text(finding.caution),
        "judged": _size(finding.clearance),
        "limit": None
        if limit is None
        else {
            "of": limit.of,
            "watch_mm": limit.watch_mm,
            "renew_mm": _number(limit.renew_mm),
            "origin": words_of(limit.origin, units),
        },
    }


def _hole(state: HoleState, units: Units) -> Data:
    return {
        "id": state.hole.id,
        "name": shown_name(state.hole),
        "use": state.hole.use,
        "worn_size": _size(state.worn),
        "identity_size": _size(state.identity),
        "change": _size(state.change),
        "signs": list(state.signs),
        "remarks": [say(remark, units) for remark in state.remarks],
        "history": [
            {**_hole_size(size), "since_renewal": number >= state.span_start}
            for number, size in enumerate(state.history)
        ],
    }


def _close(details: "HoleDetails | None", units: Units) -> Data:

    return detail_data(details, units) if details is not None else {}


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


_DIGITS = 6


def detail_data(details: HoleDetails, units: Units) -> Mapping[str, object]:
    """Return what the hole's page shows below its sizes."""
    shape = details.shape
    return {
        "stand_apart": [
            {
                "day": day.size.day.isoformat(),
                "reading": mark.key,
                "typed": mark.typed,
                "clock": mark.clock,
                "face": mark.face,
                "gap_mm": round(mark.gap_mm, _DIGITS),
                "from": mark.against,
                "kept": mark in day.kept,
            }
            for day in details.days
            for mark in (*day.marks, *day.kept)
        ],
        "lack_of_fit": say_all(details.days[-1].misfit, units) if details.days else "",
        "depth": None
        if shape.depth is None
        else {"pattern": shape.depth.pattern.value, "gaps": [_gap(gap) for gap in shape.depth.gaps]},
        "ligaments": [{"clock": wall.clock, "thickness": size_data(wall.size)} for wall in shape.walls],
        "thinner": [_wall_gap(gap) for gap in shape.opposite],
        "since_first_measured": [_wall_gap(gap) for gap in shape.since],
        "hints": [say(hint, units) for hint in shape.hints],
    }


def _gap(gap: Gap) -> Mapping[str, object]:
    return {"of": gap.name, "clock": gap.clock, "size": size_data(gap.size), "proved": bool(gap.sign)}


def _wall_gap(gap: WallGap) -> Mapping[str, object]:
    return {"clock": gap.clock, "less": gap.other, "size": size_data(gap.size), "proved": gap.is_proved}


Sized = Callable[[Estimate | None], Data | None]


def pin_data(answer: PinAnswer, evidence: PinEvidence | None, size: Sized) -> Data:
    """Return the answer with its candidates, contradictions and next steps, and what it rests on beside readings."""
    return {
        "answer": answer.sentence,
        "settled": answer.settled,
        "next_measurement": answer.next_measurement,
        "contradiction": answer.contradiction,
        "candidates": [
            {
                "name": candidate.name,
                "size_mm": float(candidate.size_mm),
                "standing": candidate.standing,
                "excess_mm": round(candidate.excess_mm, _DIGITS),
                "share": round(candidate.share, _DIGITS),
                "reason": candidate.reason,
                "one_size_with": [
                    p.name for p in answer.candidates if p != candidate and is_one_size(p.name, candidate.name)
                ],
            }
            for candidate in answer.candidates
        ],
        "contradictions": [{"said": c.said, "settles": c.settles} for c in answer.contradictions],
        "ruled_out": [{"name": out.name, "by": out.by} for out in answer.ruled_out],
        "next_steps": [
            {
                "action": step.action,
                "minutes": step.minutes,
                "settles": round(step.settles, _DIGITS),
                "narrows": round(step.narrows, _DIGITS),
                "why": step.why,
            }
            for step in answer.next_steps
        ],
        "evidence": _evidence(evidence, size) if evidence is not None else None,
    }


def _evidence(found: PinEvidence, size: Sized) -> Data:
    return {
        "trials": [_trial(trial) for trial in found.trials],
        "play": size(found.play),
        "feeler": size(found.feeler),
        "pin_unworn": size(found.measured_pin),
        "pin_worn": size(found.worn_pin),
        "pin_kind": found.joint.pin_kind,
        "keeper": found.joint.keeper,
        "hitch_category": found.category if found.joint.kind == "hitch" else None,
        "link_threads": found.threads,
        "other_pins": [{"joint": o.joint, "kinship": o.kinship, "names": list(o.names)} for o in found.others],
    }


def _trial(trial: Trial) -> Data:
    return {
        "hole": trial.hole,
        "size": trial.size.typed,
        "size_mm": float(trial.size.mm),
        "result": trial.result,
        "by": trial.by,
        "day": trial.day.isoformat(),
        "who": trial.who,
    }
