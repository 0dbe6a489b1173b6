"""What is known of a joint's pin as data: the answer, its candidates and next steps, and the other evidence."""

from collections.abc import Callable, Mapping

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence
from fieldlog.records.entries import Trial
from fieldlog.standards.pins import is_one_size

Data = Mapping[str, object]
Sized = Callable[[Estimate | None], Data | None]
_DIGITS = 6


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
