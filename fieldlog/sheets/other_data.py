"""A link as data: its lengths with ways and checks, travel, thread, how far it may open, its ends, its days.

A season as data. Keys are added, never renamed.

A gauge study as data.

What is known of a joint's pin as data: the answer, its candidates and next steps, and the other evidence.

Instruments as data: what each is right within today, how it stands by its checks, what its inside jaws do.
"""

import datetime
import math
from collections.abc import Callable, Mapping

from fieldlog.measure.checks import jaws_on, standing_on
from fieldlog.measure.gauge_study import Spread, hands_of, study_result
from fieldlog.measure.instruments import limit_term
from fieldlog.measure.lengths import LinkLength
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.pages.season import grease_sentences, wear_sentence
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.units import Units
from fieldlog.records.checks import Study, counted, plan
from fieldlog.records.entries import Event, Trial
from fieldlog.records.machine import Instrument, shown_name
from fieldlog.sheets.trend_data import derived, number, size_data
from fieldlog.standards.instruments import UNCHECKED_KINDS
from fieldlog.standards.joints import is_one_size
from fieldlog.wear.numbers.instruments import instrument_numbers, study_numbers
from fieldlog.wear.season import JointSeason, MachineSeason, Wear
from fieldlog.wear.states import LinkEndState, LinkReport
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say, say_all, words_of

Data = Mapping[str, object]
Size = Callable[[Estimate | None], Data | None]


def link_data(report: LinkReport, size: Size, units: Units) -> Data:
    """Return a link as plain dictionaries; `size` writes an estimate."""
    from fieldlog.wear.links import next_steps

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
        else {"length": size(limit.length), "stop": limit.stop, "reason": say(limit.reason, units)},
        "thread": _thread(report, size, units),
        "verdict": finding.verdict.value if finding is not None else None,
        "reason": say_all(finding.reasons, units) if finding is not None else "",
        "next_step": say_all(next_steps(report), units),
        "caution": caution_text(finding.caution) if finding is not None else "",
        "ends": {"near": _end(report.near, size, units), "far": _end(report.far, size, units)},
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
        "remarks": [say(remark, units) for remark in report.remarks],
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


def _thread(report: LinkReport, size: Size, units: Units) -> Data | None:
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
        "faults": [say(fault, units) for fault in state.faults],
        "checks": [say(check, units) for check in state.checks],
        "needs": words_of(state.needs, units),
    }


def _end(end: LinkEndState, size: Size, units: Units) -> Data:
    return {
        "hole": end.hole.hole.id if end.hole is not None else "",
        "along_link": size(end.along),
        "pin": size(end.pin),
        "pin_origin": words_of(end.pin_origin, units),
        "clearance": size(end.clearance),
    }


def season_data(machine: MachineSeason) -> Data:
    """Return a machine's season: its joints with wear, grease, what was done and put off."""
    return {
        "id": machine.state.machine.id,
        "work_hours": machine.work_hours,
        "joints": [_joint(joint) for joint in machine.joints],
    }


def _joint(season: JointSeason) -> Data:
    grease = season.grease
    return {
        "id": season.state.joint.id,
        "wear": _wear(season.wear),
        "no_wear": words_of(season.no_wear, "mm"),
        "season_before": _wear(season.before),
        "rate_differs": season.is_other_rate,
        "grease": {
            "every": grease.every.typed if grease.every is not None else None,
            "times": grease.times,
            "longest": round(grease.longest, 1) if grease.longest is not None else None,
            "unit": grease.unit,
            "kept": grease.is_kept,
            "kept_before": season.kept_before,
            "habit": event_data(grease.habit) if grease.habit is not None else None,
        },
        "done": [event_data(event) for event in season.done],
        "put_off": [event_data(event) for event in season.put_off],
        "sentences": [wear_sentence(season, "mm"), *grease_sentences(season, "mm")],
    }


def _wear(wear: Wear | None) -> Data | None:
    if wear is None:
        return None
    return {
        "from": wear.first.isoformat(),
        "to": wear.last.isoformat(),
        "work": wear.work,
        "change": size_data(wear.change),
        "per_100": size_data(wear.rate),
    }


def event_data(event: Event) -> Data:
    """Return one thing done or put off."""
    return {"day": event.day.isoformat(), "who": event.who, "deed": event.deed, "text": event.text}


_DIGITS = 6


def study_data(study: Study) -> Mapping[str, object]:
    """Return a study's plan, how far it is, and what it found (None while it is unfinished)."""
    result = study_result(study)
    return {
        "id": study.id,
        "date": study.date.isoformat(),
        "instrument": study.instrument,
        "people": list(study.people_ids),
        "holes": list(study.hole_names),
        "trials": study.trials,
        "done": len(counted(study)),
        "planned": len(plan(study)),
        "result": None
        if result is None
        else {
            "smallest_change_mm": round(result.smallest_change_mm(), _DIGITS),
            "smallest_change_between_people_mm": round(result.smallest_change_mm(same_person=False), _DIGITS),
            "numbers": derived(lambda: study_numbers(study)),
            "by_variance": _spread(result.by_anova),
            "by_ranges": _spread(result.by_ranges) if result.by_ranges is not None else None,
            "people": [
                {"person": hands.who, "repeatability_mm": round(hands.repeatability_mm, _DIGITS), "dof": hands.dof}
                for hands in hands_of((study,))
            ],
        },
    }


def _spread(spread: Spread) -> Mapping[str, object]:
    return {
        "repeatability_mm": round(spread.repeatability_mm, _DIGITS),
        "reproducibility_mm": round(spread.reproducibility_mm, _DIGITS),
        "hands_and_tool_mm": round(spread.gauge_mm, _DIGITS),
        "holes_mm": round(spread.holes_mm, _DIGITS),
        "categories": math.floor(spread.categories) if math.isfinite(spread.categories) else None,
    }


def instrument_data(instrument: Instrument, today: datetime.date) -> Mapping[str, object]:
    """Return one instrument; half-widths in mm, None for what it is not used for."""
    is_length = instrument.kind in UNCHECKED_KINDS
    jaws = jaws_on(instrument, today)
    standings = [] if is_length else [standing_on(instrument, today, use) for use in ("outside", "inside")]
    return {
        "id": instrument.id,
        "name": shown_name(instrument),
        "kind": instrument.kind,
        "outside_within_mm": None if is_length else number(limit_term(instrument, "outside").half_width),
        "inside_within_mm": None if is_length else number(limit_term(instrument, "inside").half_width),
        "metre_within_mm": number(limit_term(instrument, "length", 1000.0).half_width) if is_length else None,
        "remarks": list(dict.fromkeys(standing.remark for standing in standings if standing.remark)),
        "jaws": None
        if jaws is None
        else {
            "offset": size_data(jaws.offset),
            "width": size_data(jaws.width),
            "remark": jaws.remark,
            "complaint": jaws.complaint,
        },
        "numbers": derived(lambda: instrument_numbers(instrument, today)),
        "checks": [
            {"date": check.date.isoformat(), "kind": check.kind, "off_by_mm": number(check.deviation_mm)}
            for check in instrument.checks
            if check.readings and not check.struck
        ],
    }


def pin_data(answer: PinAnswer, evidence: PinEvidence | None, size: Size) -> Data:
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


def _evidence(found: PinEvidence, size: Size) -> Data:
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
