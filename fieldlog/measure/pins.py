"""Which pin was a hole made for? A ranked set with reasons, and the cheapest measurement that would settle it.

A bore can only grow, so the smallest size of the least-used hole is the evidence. Every nominal pin, inch and
metric together, is compared with it: the excess of hole over pin must be what such a joint has when new, or
that plus some wear. The rule is common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.rounding import mm_text, size_text
from fieldlog.records.machine import Hole, Joint
from fieldlog.records.quantities import Units
from fieldlog.standards.hitch import category_pins
from fieldlog.standards.joints import JOINT_DEFAULTS, WORST_WEAR_MM
from fieldlog.standards.pins import NOMINAL_PINS, NominalPin

Standing = Literal["fits unworn", "fits worn"]
SAME_FOR_USE_MM = 0.06  # 19 mm and 3/4 in: under what a caliper can tell in a hole
_MEASURED_PIN_MM = 0.12  # how far below its name an unworn pin may read: common practice, no source
_USE_RANK = {"never": 0, "sometimes": 1, "daily": 2}
_MOST_SHOWN = 4


@dataclass(frozen=True, slots=True)
class PinCandidate:
    """A pin the hole may have been made for; `excess_mm` is hole minus pin."""

    name: str
    size_mm: float
    standing: Standing
    excess_mm: float
    reason: str


@dataclass(frozen=True, slots=True)
class PinAnswer:
    """The ranked candidates, the one sentence to show, and what to measure next to settle it."""

    candidates: tuple[PinCandidate, ...]
    settled: str
    sentence: str
    next_measurement: str
    contradiction: str = ""
    from_hole: str = ""


@dataclass(frozen=True, slots=True)
class PinEvidence:
    """What is known: the joint's holes with their smallest sizes, the unworn end of the pin, the hitch category."""

    joint: Joint
    holes: tuple[tuple[Hole, Estimate], ...]
    measured_pin: Estimate | None = None
    category: str | None = None


def identify_pin(evidence: PinEvidence, units: Units) -> PinAnswer:
    """Return which pins the joint's holes can have been made for."""
    if not evidence.holes:
        return _without_holes(evidence, units)
    hole, smallest = reference_hole(evidence.holes)
    stated = evidence.joint.pin
    if stated is not None:
        return _stated(stated.typed, float(stated.mm), hole, smallest, units)
    candidates = _ranked(smallest, evidence, units)
    answer = _answer(candidates, hole, smallest, units)
    return _with_measured_pin(answer, evidence, smallest, units) if evidence.measured_pin is not None else answer


def reference_hole(holes: Sequence[tuple[Hole, Estimate]]) -> tuple[Hole, Estimate]:
    """Return the least-used hole, and among equals the one with the smallest smallest size."""
    return min(holes, key=lambda pair: (_USE_RANK[pair[0].use], pair[1].value_mm))


def _without_holes(evidence: PinEvidence, units: Units) -> PinAnswer:
    stated = evidence.joint.pin
    if stated is not None:
        return PinAnswer((), stated.typed, f"{stated.typed}, as stated; no hole measured yet", "")
    if evidence.measured_pin is not None:
        near = nearest_nominal(evidence.measured_pin)
        said = f"pin reads {size_text(evidence.measured_pin, units)}: {' or '.join(near) or 'no usual size'}"
        return PinAnswer((), near[0] if len(near) == 1 else "", said, "" if len(near) == 1 else "measure the hole")
    return PinAnswer((), "", "not known yet", "measure the hole, or the pin at its unworn end")


def _stated(typed: str, pin_mm: float, hole: Hole, smallest: Estimate, units: Units) -> PinAnswer:
    excess = smallest.value_mm - pin_mm
    if excess < -smallest.expanded_mm:
        wrong = (
            f"the pin is stated as {typed}, but it cannot enter a hole of {size_text(smallest, units)}: "
            "measure the pin at its unworn end, and the hole again"
        )
        return PinAnswer((), typed, f"{typed}, as stated", "measure the pin at its unworn end", wrong, hole.id)
    said = f"{typed}, as stated; {mm_text(excess, units)} smaller than the hole"
    return PinAnswer((), typed, said, "", "", hole.id)


def _ranked(smallest: Estimate, evidence: PinEvidence, units: Units) -> tuple[PinCandidate, ...]:
    usual = JOINT_DEFAULTS[evidence.joint.kind]
    priors = category_pins(evidence.category) if evidence.category and evidence.joint.kind == "hitch" else ()
    doubt = smallest.expanded_mm
    found: list[tuple[int, float, PinCandidate]] = []
    for pin in NOMINAL_PINS:
        excess = smallest.value_mm - float(pin.mm)
        if excess < -doubt or excess > usual.new_most_mm + WORST_WEAR_MM:
            continue
        unworn = usual.new_least_mm - doubt <= excess <= usual.new_most_mm + doubt
        rank = 0 if unworn else 1
        candidate = _candidate(pin, excess, usual.new_most_mm, units, unworn=unworn)
        if pin.name in priors:
            candidate = replace(candidate, reason=f"{candidate.reason}; a pin of hitch category {evidence.category}")
            found.append((rank * 2, abs(excess), candidate))
        else:
            found.append((rank * 2 + 1, abs(excess), candidate))
    return tuple(candidate for _, _, candidate in sorted(found, key=lambda item: item[:2]))


def _candidate(pin: NominalPin, excess: float, most_new: float, units: Units, *, unworn: bool) -> PinCandidate:
    if unworn:
        reason = f"{mm_text(excess, units)} of room, as such a joint has when new"
    elif excess > most_new:
        reason = f"would leave {mm_text(excess, units)} of room, where new ones have at most {mm_text(most_new, units)}"
    else:
        reason = f"only {mm_text(excess, units)} of room, tight for such a joint"
    return PinCandidate(pin.name, float(pin.mm), "fits unworn" if unworn else "fits worn", excess, reason)


def groups_of_one_size(candidates: Sequence[PinCandidate]) -> tuple[tuple[PinCandidate, ...], ...]:
    """Return the candidates with those that a caliper cannot tell apart put together, best first."""
    groups: list[list[PinCandidate]] = []
    for candidate in candidates:
        for group in groups:
            if all(abs(candidate.size_mm - other.size_mm) <= SAME_FOR_USE_MM for other in group):
                group.append(candidate)
                break
        else:
            groups.append([candidate])
    return tuple(tuple(group) for group in groups)


def _group_name(group: Sequence[PinCandidate]) -> str:
    return " or ".join(candidate.name for candidate in sorted(group, key=lambda c: c.size_mm))


def _answer(candidates: tuple[PinCandidate, ...], hole: Hole, smallest: Estimate, units: Units) -> PinAnswer:
    unworn = groups_of_one_size([c for c in candidates if c.standing == "fits unworn"])
    worn = groups_of_one_size([c for c in candidates if c.standing == "fits worn"])
    groups = unworn or worn
    if not groups:
        said = f"no usual pin fits a hole of {size_text(smallest, units)}"
        return PinAnswer((), "", said, "measure the pin at its unworn end", "", hole.id)
    if len(groups) == 1 and unworn:
        name = _group_name(groups[0])
        both = " (one size for hitch use)" if len(groups[0]) > 1 else ""
        return PinAnswer(
            candidates,
            name,
            f"{name}{both}{_others(groups, worn)}{_too_big(smallest, units)}",
            "",
            "",
            hole.id,
        )
    names = " or ".join(_group_name(group) for group in groups[:_MOST_SHOWN])
    said = f"{names}: cannot be told from this hole{_too_big(smallest, units)}"
    return PinAnswer(candidates, "", said, _what_settles(groups, hole), "", hole.id)


def _others(shown: Sequence[Sequence[PinCandidate]], worn: Sequence[Sequence[PinCandidate]]) -> str:
    rest = [group for group in worn if group not in shown]
    return f"; {_group_name(rest[0])} {rest[0][0].reason}" if rest else ""


def _too_big(smallest: Estimate, units: Units) -> str:
    above = [pin for pin in NOMINAL_PINS if float(pin.mm) > smallest.value_mm + smallest.expanded_mm]
    if not above:
        return ""
    over = float(above[0].mm) - smallest.value_mm
    return f"; {above[0].name} cannot enter, {mm_text(over, units)} too big"


def _what_settles(groups: Sequence[Sequence[PinCandidate]], hole: Hole) -> str:
    """Return the cheapest thing that would leave one candidate: the pin itself, else a shank between two of them."""
    sizes = sorted((group[0].size_mm, _group_name(group)) for group in groups)
    middle = (sizes[0][0] + sizes[-1][0]) / 2
    unused = "" if hole.use == "never" else ", or measure a hole of the row that was never used"
    line = f": under {middle:.2f} mm it is {sizes[0][1]}, over it {sizes[-1][1]}" if len(sizes) == 2 else ""
    shanks = f", or try shanks of {' and '.join(name for _, name in sizes[:_MOST_SHOWN])}" if len(sizes) > 1 else ""
    return f"measure the pin at its unworn end{line}{shanks}{unused}"


def nearest_nominal(measured: Estimate) -> tuple[str, ...]:
    """Return the nominal pins that a pin measured at its unworn end can be; pins are made at or just under size."""
    doubt = measured.expanded_mm
    return tuple(
        pin.name for pin in NOMINAL_PINS if -doubt <= float(pin.mm) - measured.value_mm <= _MEASURED_PIN_MM + doubt
    )


def _with_measured_pin(answer: PinAnswer, evidence: PinEvidence, smallest: Estimate, units: Units) -> PinAnswer:
    pin = evidence.measured_pin
    assert pin is not None
    names = nearest_nominal(pin)
    contradiction = ""
    if pin.value_mm - pin.expanded_mm > smallest.value_mm + smallest.expanded_mm:
        contradiction = (
            f"the pin reads {size_text(pin, units)}, more than its hole of {size_text(smallest, units)}: "
            "measure both again"
        )
    kept = tuple(c for c in answer.candidates if c.name in names)
    said = f"{' or '.join(names) or 'no usual size'}; the pin reads {size_text(pin, units)} at its unworn end"
    settled = names[0] if len(names) == 1 else " or ".join(names) if _same_size(kept, names) else ""
    next_measurement = "" if settled else "measure the pin again with a micrometer"
    return replace(
        answer,
        candidates=kept or answer.candidates,
        settled=settled,
        sentence=said,
        next_measurement=next_measurement,
        contradiction=contradiction,
    )


def _same_size(kept: Sequence[PinCandidate], names: Sequence[str]) -> bool:
    return bool(names) and len(kept) == len(names) and len(groups_of_one_size(kept)) == 1
