"""Which pin was a hole made for? A ranked set with reasons, and the cheapest measurement that would settle it.

The plain rules (pin_rules) say what can be, the weights (pin_weights) rank it, contradictions are named, and the
next step (pin_next) is worked out from what still stands. The answer is a set with reasons, never silently one size.
"""

import math
from collections.abc import Sequence

from fieldlog.measure.pin_evidence import (
    Contradiction,
    NextStep,
    PinAnswer,
    PinCandidate,
    PinEvidence,
    group_name,
    groups_of_one_size,
    trial_words,
)
from fieldlog.measure.pin_next import AT_UNWORN_END, next_steps, said_next
from fieldlog.measure.pin_rules import (
    Possible,
    contradictions,
    nearest_nominal,
    possible_pins,
    reference_hole,
    ruled_out,
    tried_hole,
)
from fieldlog.measure.pin_weights import Weighed, hole_bounds, shares_of, weighed
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import Hole
from fieldlog.standards.joints import NOMINAL_PINS, NominalPin

_MOST_SHOWN = 4
_LEANS = 0.8  # share from which the sentence says which of several pins is likely
_TIGHT = "tight for such a joint"


def identify_pin(evidence: PinEvidence, units: Units) -> PinAnswer:
    """Return which pins the joint's holes can have been made for."""
    hole, smallest = reference_hole(evidence.holes) if evidence.holes else (tried_hole(evidence), None)
    contrary = contradictions(evidence, units)
    if evidence.joint.pin is not None:
        return _stated(evidence, hole, smallest, contrary, units)
    if evidence.measured_pin is not None:
        return _measured(evidence, hole, smallest, contrary, units)
    if hole is None:
        return PinAnswer((), None, "not known yet", f"{AT_UNWORN_END}, or measure the hole")
    return _from_hole(hole, smallest, evidence, contrary, units)


def _said(contrary: Sequence[Contradiction]) -> str:
    return "; ".join(contradiction.said for contradiction in contrary)


def _but(contrary: Sequence[Contradiction]) -> str:
    """Return what speaks against the pin's own name, behind the name."""
    briefly = next((contradiction.briefly for contradiction in contrary if contradiction.briefly), "")
    return f", but {briefly}" if briefly else ""


def _stated(
    evidence: PinEvidence,
    hole: Hole | None,
    smallest: Value | None,
    contrary: tuple[Contradiction, ...],
    units: Units,
) -> PinAnswer:
    pin = evidence.joint.pin
    assert pin is not None
    excess = smallest.value - float(pin.mm) if smallest is not None else 0.0
    room = f"{mm_text(excess, units)} of room in its hole" if smallest is not None else "no hole measured yet"
    known = PinCandidate(pin.typed, pin.mm, "known", excess, f"stated in machine.toml; {room}")
    sentence = f"{pin.typed}, as stated{_but(contrary) or f'; {room}'}"
    again = contrary[0].settles if contrary else ""
    return PinAnswer(
        (known,), pin.typed, sentence, again, _said(contrary), hole.id if hole else "", contradictions=contrary
    )


def _measured(
    evidence: PinEvidence,
    hole: Hole | None,
    smallest: Value | None,
    contrary: tuple[Contradiction, ...],
    units: Units,
) -> PinAnswer:
    pin = evidence.measured_pin
    assert pin is not None
    named = [by_name for name in nearest_nominal(pin) for by_name in NOMINAL_PINS if by_name.name == name]
    reads = f"the pin reads {size_text(pin, units)} at its unworn end"
    excess = (smallest.value if smallest is not None else pin.value) - pin.value
    weights = [weighed(by_name, hole, evidence) for by_name in named]
    shares = shares_of([w.weight for w in weights]) if weights else ()
    known = [
        PinCandidate(w.pin.name, w.pin.mm, "known", excess, "; ".join((reads, *w.reasons)), share)
        for w, share in zip(weights, shares, strict=True)
    ]
    ranked = tuple(sorted(known, key=lambda c: (-c.share, c.size_mm)))
    groups = groups_of_one_size(ranked)
    said = " or ".join(group_name(group) for group in groups) or "no usual size"
    sentence = f"{said}; {reads}{_but(contrary)}"
    again = contrary[0].settles if contrary else "" if len(groups) == 1 else f"{AT_UNWORN_END} with a micrometer"
    settled = said if len(groups) == 1 else None
    return PinAnswer(
        ranked, settled, sentence, again, _said(contrary), hole.id if hole else "", contradictions=contrary
    )


def _from_hole(
    hole: Hole, smallest: Value | None, evidence: PinEvidence, contrary: tuple[Contradiction, ...], units: Units
) -> PinAnswer:
    possible = possible_pins(hole, smallest, evidence)
    if not possible:
        return _nothing_fits(hole, smallest, evidence, contrary, units)
    weights = [weighed(p.pin, hole, evidence) for p in possible]
    candidates = _ranked(possible, weights, hole, smallest, evidence, units)
    unworn = groups_of_one_size([c for c in candidates if c.standing == "unworn"])
    worn = groups_of_one_size([c for c in candidates if c.standing == "worn"])
    is_settled = len(unworn) == 1 and not worn
    steps: tuple[NextStep, ...] = () if is_settled else next_steps(weights, hole, smallest, evidence)
    first = contrary[0].settles if contrary else said_next(steps)
    return PinAnswer(
        candidates,
        group_name(unworn[0]) if is_settled and not contrary else None,
        _sentence(unworn, worn, units, leans=not contrary),
        first,
        _said(contrary),
        hole.id,
        contrary,
        steps,
        ruled_out(hole, smallest, evidence),
    )


def _sentence(
    unworn: Sequence[Sequence[PinCandidate]], worn: Sequence[Sequence[PinCandidate]], units: Units, *, leans: bool
) -> str:
    """Return the answer in a sentence; evidence that contradicts itself speaks for no pin, so it `leans` nowhere."""
    groups = unworn or worn
    names = " or ".join(group_name(group) for group in groups[:_MOST_SHOWN])
    if len(groups) > 1:
        said = f"{names}; this hole cannot tell which{_leaning(groups) if leans else ''}"
    else:
        said = f"{names} (one size for hitch use)" if len(groups[0]) > 1 else names
    if not unworn:
        return f"{said}, and only if the hole has worn"
    if worn:
        return f"{said}; {group_name(worn[0])} only if {mm_text(worn[0][0].excess_mm, units)} of room is wear"
    return said


def _leaning(groups: Sequence[Sequence[PinCandidate]]) -> str:
    """Return the size that all else speaks for, where it does so clearly."""
    share = math.fsum(candidate.share for candidate in groups[0])
    return (
        f", but all else speaks for {group_name(groups[0])} ({min(share * 100, 99):.0f} %)" if share >= _LEANS else ""
    )


def _nothing_fits(
    hole: Hole, smallest: Value | None, evidence: PinEvidence, contrary: tuple[Contradiction, ...], units: Units
) -> PinAnswer:
    """Say what is known where no pin stands: no usual size, or only one bound of the hole."""
    if smallest is not None:
        said = f"no usual pin fits a hole of {size_text(smallest, units)}"
        if evidence.trials or evidence.worn_pin or evidence.play or evidence.feeler:
            said = f"{said} and everything else that is known"
        next_measurement = AT_UNWORN_END
    else:
        said, next_measurement = _bound_text(hole, evidence), f"{AT_UNWORN_END}, or measure the hole"
    again = contrary[0].settles if contrary else next_measurement
    return PinAnswer((), None, said, again, _said(contrary), hole.id, contrary)


def _bound_text(hole: Hole, evidence: PinEvidence) -> str:
    bounds = hole_bounds(hole.id, evidence)[1]
    if bounds.is_contrary:
        return "not known yet: what was tried in its hole contradicts itself"
    if bounds.goes is not None and bounds.no is None:
        return f"not known yet; its hole lets a {trial_words(bounds.goes)} through"
    if bounds.no is not None and bounds.goes is None:
        return f"smaller than {bounds.no.size.typed}: that {bounds.no.by} does not go through; not known yet"
    return "no usual pin fits between what goes and what does not"


def _ranked(
    possible: Sequence[Possible],
    weights: Sequence[Weighed],
    hole: Hole,
    smallest: Value | None,
    evidence: PinEvidence,
    units: Units,
) -> tuple[PinCandidate, ...]:
    """Return the pins that can have been meant, likely ones first; the first names the nearest that cannot enter."""
    shares = shares_of([weight.weight for weight in weights])
    found = [_candidate(p, w, share, smallest, units) for p, w, share in zip(possible, weights, shares, strict=True)]
    ranked = sorted(found, key=lambda c: (-c.share, c.size_mm))
    too_big = _too_big(smallest, hole, evidence, units)
    if too_big:
        first = ranked[0]
        reason = f"{first.reason}; {too_big}"
        ranked[0] = PinCandidate(first.name, first.size_mm, first.standing, first.excess_mm, reason, first.share)
    return tuple(ranked)


def _candidate(possible: Possible, weight: Weighed, share: float, smallest: Value | None, units: Units) -> PinCandidate:
    pin = possible.pin
    likely = min(max(weight.mean_room_mm, possible.least_room_mm), possible.most_room_mm)
    excess = smallest.value - float(pin.mm) if smallest is not None else likely
    room = f"{mm_text(excess, units)} of room" if smallest is not None else f"about {mm_text(excess, units)} of room"
    if possible.standing == "worn":
        reason = f"{room}, more than when new: only if the hole has worn"
    elif possible.is_tight:
        reason = f"{room}, {_TIGHT}"
    else:
        reason = f"{room}, as such a joint has when new"
    return PinCandidate(pin.name, pin.mm, possible.standing, excess, "; ".join((reason, *weight.reasons)), share)


def _too_big(smallest: Value | None, hole: Hole, evidence: PinEvidence, units: Units) -> str:
    """Return the smallest pin that cannot enter, by what was refused or by how the hole reads."""
    bounds = hole_bounds(hole.id, evidence)[1]
    refused = bounds.no
    if smallest is None:
        return f"a {trial_words(refused)} did not go through" if refused is not None else ""
    above: list[NominalPin] = [p for p in NOMINAL_PINS if float(p.mm) > smallest.value + smallest.plus_minus]
    if not above or float(above[0].mm) <= bounds.least_mm:
        return ""
    return f"{above[0].name} cannot enter: {mm_text(float(above[0].mm) - smallest.value, units)} too big"
