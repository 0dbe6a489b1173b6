"""Which pin was a hole made for? A ranked set with reasons, and the cheapest measurement that would settle it.

A bore can only grow, so the smallest size of the least-used hole is the evidence. Every nominal pin, inch and
metric together, is compared with it: the excess of hole over pin must be what such a joint has when new, or
that plus some wear. The rule is common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from fieldlog.measure.estimate import Estimate, difference
from fieldlog.measure.rounding import mm_text, size_text
from fieldlog.records.machine import HitchCategory, Hole, Joint, shown_name
from fieldlog.records.quantities import Units
from fieldlog.standards.hitch import HITCH_CATEGORIES, category_pins
from fieldlog.standards.joints import JOINT_DEFAULTS, WORST_WEAR_MM
from fieldlog.standards.pins import NOMINAL_PINS, NominalPin, is_one_size

Standing = Literal["known", "unworn", "worn"]
AT_UNWORN_END = "measure the pin at its unworn end"
_UNDER_NAME_MM = 0.12  # how far an unworn pin usually reads under its name: common practice, no source
_FAR_UNDER_NAME_MM = 0.2  # the same for a rough one: lower hitch pins to ISO 730, from memory
_TOLD_APART_MM = 0.1  # by how much one name must fit a measured pin better than another: common practice
_SHANKS_APART_MM = 0.2  # least step that is felt when shanks are tried in a hole: common practice, no source
_USE_RANK = {"never": 0, "sometimes": 1, "daily": 2}
_MOST_SHOWN = 4
_TIGHT = "tight for such a joint"


@dataclass(frozen=True, slots=True)
class PinCandidate:
    """A pin the hole may have been made for; `excess_mm` is hole minus pin, 0 where no hole was measured."""

    name: str
    size_mm: Decimal
    standing: Standing
    excess_mm: float
    reason: str


@dataclass(frozen=True, slots=True)
class PinAnswer:
    """The ranked candidates, the one sentence to show, and what to measure next to settle it.

    `settled` is the one size that stands: stated, measured, or alone in fitting; two names of one size in use
    ("19 mm or 3/4 in") count as one. `from_hole` is the id of the hole that the answer rests on.
    """

    candidates: tuple[PinCandidate, ...]
    settled: str | None
    sentence: str
    next_measurement: str
    contradiction: str = ""
    from_hole: str = ""

    @property
    def groups(self) -> tuple[tuple[PinCandidate, ...], ...]:
        """The candidates, those that are one size in use put together, best first."""
        return groups_of_one_size(self.candidates)


@dataclass(frozen=True, slots=True)
class PinEvidence:
    """What is known: the joint's holes with their smallest sizes, the pin as measured, the hitch category.

    `unmeasured` are the joint's holes that nobody measured; an unused one among them would tell most.
    """

    joint: Joint
    holes: tuple[tuple[Hole, Estimate], ...]
    measured_pin: Estimate | None = None
    category: HitchCategory | None = None
    worn_pin: Estimate | None = None
    unmeasured: tuple[Hole, ...] = ()


def identify_pin(evidence: PinEvidence, units: Units) -> PinAnswer:
    """Return which pins the joint's holes can have been made for."""
    hole, smallest = reference_hole(evidence.holes) if evidence.holes else (None, None)
    if evidence.joint.pin is not None:
        return _stated(evidence, hole, smallest, units)
    if evidence.measured_pin is not None:
        return _measured(evidence.measured_pin, hole, smallest, evidence, units)
    if hole is None or smallest is None:
        return PinAnswer((), None, "not known yet", f"{AT_UNWORN_END}, or measure the hole")
    return _from_hole(hole, smallest, evidence, units)


def reference_hole(holes: Sequence[tuple[Hole, Estimate]]) -> tuple[Hole, Estimate]:
    """Return the least-used hole, and among equals the one with the smallest smallest size."""
    return min(holes, key=lambda pair: (_USE_RANK[pair[0].use], pair[1].value_mm))


def groups_of_one_size(candidates: Sequence[PinCandidate]) -> tuple[tuple[PinCandidate, ...], ...]:
    """Return the candidates with those that are one size in use put together, best first."""
    groups: list[list[PinCandidate]] = []
    for candidate in candidates:
        mates = (group for group in groups if is_one_size(group[0].name, candidate.name))
        mate = next(mates, None)
        if mate is None:
            groups.append([candidate])
        else:
            mate.append(candidate)
    return tuple(tuple(group) for group in groups)


def nearest_nominal(measured: Estimate) -> tuple[str, ...]:
    """Return the nominal pins that a pin measured at its unworn end can be; pins are made at or just under size."""
    doubt = measured.expanded_mm
    under = [(float(pin.mm) - measured.value_mm, pin.name) for pin in NOMINAL_PINS]
    for most in (_UNDER_NAME_MM, _FAR_UNDER_NAME_MM):
        near = [(abs(gap), name) for gap, name in under if -doubt <= gap <= most + doubt]
        if near:
            best = min(near)[0]
            return tuple(name for gap, name in sorted(near) if gap <= best + _TOLD_APART_MM)
    return ()


def _stated(evidence: PinEvidence, hole: Hole | None, smallest: Estimate | None, units: Units) -> PinAnswer:
    pin = evidence.joint.pin
    assert pin is not None
    name = f"{pin.typed}, as stated"
    wrong = _stated_against_pin(evidence, units) or _too_big_for_hole(pin.typed, float(pin.mm), smallest, units)
    excess = smallest.value_mm - float(pin.mm) if smallest is not None else 0.0
    room = f"{mm_text(excess, units)} of room in its hole" if smallest is not None else "no hole measured yet"
    known = PinCandidate(pin.typed, pin.mm, "known", excess, f"stated in machine.toml; {room}")
    next_measurement = f"{AT_UNWORN_END}, and the hole again" if wrong else ""
    sentence = f"{name}, but {wrong}" if wrong else f"{name}; {room}"
    return PinAnswer((known,), pin.typed, sentence, next_measurement, wrong, hole.id if hole else "")


def _stated_against_pin(evidence: PinEvidence, units: Units) -> str:
    """Return what is wrong between a stated pin and the pin as measured, empty when they agree."""
    stated, measured = evidence.joint.pin, evidence.measured_pin or evidence.worn_pin
    if stated is None or measured is None:
        return ""
    over_mm = measured.value_mm - float(stated.mm)
    is_small = evidence.measured_pin is not None and -over_mm > _FAR_UNDER_NAME_MM + measured.expanded_mm
    if over_mm > measured.expanded_mm or is_small:
        return f"the pin reads {size_text(measured, units)}"
    return ""


def _too_big_for_hole(name: str, pin_mm: float, smallest: Estimate | None, units: Units) -> str:
    if smallest is None or pin_mm - smallest.value_mm <= smallest.expanded_mm:
        return ""
    return f"{name} cannot enter a hole of {size_text(smallest, units)}"


def _measured(
    pin: Estimate, hole: Hole | None, smallest: Estimate | None, evidence: PinEvidence, units: Units
) -> PinAnswer:
    names = nearest_nominal(pin)
    reads = f"the pin reads {size_text(pin, units)} at its unworn end"
    excess = (smallest.value_mm if smallest is not None else pin.value_mm) - pin.value_mm
    known = tuple(
        PinCandidate(p.name, p.mm, "known", excess, reads) for n in names for p in NOMINAL_PINS if p.name == n
    )
    groups = groups_of_one_size(known)
    wrong = _larger_than_hole(pin, smallest, units)
    said = " or ".join(_group_name(group) for group in groups) or "no usual size"
    sentence = f"{said}; {reads}" + (f", but {wrong}" if wrong else "")
    if len(groups) == 1:
        again = f"{AT_UNWORN_END} again, and the hole" if wrong else ""
        return PinAnswer(known, said, sentence, again, wrong, hole.id if hole else "")
    return PinAnswer(known, None, sentence, f"{AT_UNWORN_END} with a micrometer", wrong, hole.id if hole else "")


def _larger_than_hole(pin: Estimate, smallest: Estimate | None, units: Units) -> str:
    if smallest is None:
        return ""
    over = difference(pin, smallest)
    if over.value_mm <= over.expanded_mm:
        return ""
    return f"that is more than its hole of {size_text(smallest, units)}: one of them is wrong"


def _from_hole(hole: Hole, smallest: Estimate, evidence: PinEvidence, units: Units) -> PinAnswer:
    candidates = _ranked(hole, smallest, evidence, units)
    unworn = groups_of_one_size([c for c in candidates if c.standing == "unworn"])
    worn = groups_of_one_size([c for c in candidates if c.standing == "worn"])
    groups = unworn or worn
    if not groups:
        said = f"no usual pin fits a hole of {size_text(smallest, units)}"
        return PinAnswer((), None, said, AT_UNWORN_END, "", hole.id)
    names = " or ".join(_group_name(group) for group in groups[:_MOST_SHOWN])
    if len(groups) > 1:
        said = f"{names}; this hole cannot tell which"
    else:
        said = f"{names} (one size for hitch use)" if len(groups[0]) > 1 else names
    if not unworn:
        said = f"{said}, and only if the hole has worn"
    elif worn:
        said = f"{said}; {_group_name(worn[0])} only if {mm_text(worn[0][0].excess_mm, units)} of room is wear"
    settled = names if len(groups) == 1 and len(unworn) + len(worn) == 1 and unworn else None
    settles = "" if settled is not None else _what_settles(groups, hole, evidence)
    return PinAnswer(candidates, settled, said, settles, "", hole.id)


def _ranked(hole: Hole, smallest: Estimate, evidence: PinEvidence, units: Units) -> tuple[PinCandidate, ...]:
    """Return the pins that can have been meant, likely ones first; the first names the nearest that cannot enter."""
    found: list[tuple[bool, bool, bool, float, PinCandidate]] = []
    for pin in NOMINAL_PINS:
        candidate = _candidate(pin, hole, smallest, evidence, units)
        if candidate is None or _is_under_worn_band(pin, evidence):
            continue
        is_worn, is_prior = candidate.standing == "worn", _is_category_pin(pin.name, evidence)
        found.append((is_worn, not is_prior, _TIGHT in candidate.reason, candidate.excess_mm, candidate))
    # a hole that was never used has no wear, so a size that needs some stands only where nothing else does
    if hole.use == "never" and any(not is_worn for is_worn, *_ in found):
        found = [item for item in found if not item[0]]
    ranked = [candidate for *_, candidate in sorted(found, key=lambda item: item[:4])]
    too_big = _too_big(smallest, units)
    if ranked and too_big:
        first = ranked[0]
        reason = f"{first.reason}; {too_big}"
        ranked[0] = PinCandidate(first.name, first.size_mm, first.standing, first.excess_mm, reason)
    return tuple(ranked)


def _candidate(
    pin: NominalPin, hole: Hole, smallest: Estimate, evidence: PinEvidence, units: Units
) -> PinCandidate | None:
    kind = "bushed" if hole.kind == "bushed" and evidence.joint.kind == "hitch" else evidence.joint.kind
    usual, doubt = JOINT_DEFAULTS[kind], smallest.expanded_mm
    excess = smallest.value_mm - float(pin.mm)
    if excess < -doubt or excess > usual.new_most_mm + WORST_WEAR_MM:
        return None
    room = f"{mm_text(excess, units)} of room"
    if excess > usual.new_most_mm + doubt:
        return PinCandidate(pin.name, pin.mm, "worn", excess, f"{room}, more than when new: only if the hole has worn")
    is_tight = excess < usual.new_least_mm - doubt
    reason = f"{room}, {_TIGHT}" if is_tight else f"{room}, as such a joint has when new"
    if _is_category_pin(pin.name, evidence):
        reason = f"{reason}; a pin of hitch category {evidence.category}"
    return PinCandidate(pin.name, pin.mm, "unworn", excess, reason)


def _is_category_pin(name: str, evidence: PinEvidence) -> bool:
    is_hitch = evidence.joint.kind == "hitch" and evidence.category is not None
    return is_hitch and evidence.category is not None and name in category_pins(evidence.category)


def _is_under_worn_band(pin: NominalPin, evidence: PinEvidence) -> bool:
    """Tell whether the pin in the joint is, even worn, larger than this one."""
    worn = evidence.worn_pin
    return worn is not None and float(pin.mm) < worn.value_mm - worn.expanded_mm


def _too_big(smallest: Estimate, units: Units) -> str:
    above = [pin for pin in NOMINAL_PINS if float(pin.mm) > smallest.value_mm + smallest.expanded_mm]
    if not above:
        return ""
    return f"{above[0].name} cannot enter: {mm_text(float(above[0].mm) - smallest.value_mm, units)} too big"


def _group_name(group: Sequence[PinCandidate]) -> str:
    return " or ".join(candidate.name for candidate in sorted(group, key=lambda c: c.size_mm))


def _what_settles(groups: Sequence[Sequence[PinCandidate]], hole: Hole, evidence: PinEvidence) -> str:
    """Return the pin's unworn end, and the cheapest other thing that would leave one size of those that stand."""
    other = _shanks(groups) or _unused_hole(hole, evidence) or _category_plate(groups, evidence)
    return f"{AT_UNWORN_END}, or {other}" if other else AT_UNWORN_END


def _shanks(groups: Sequence[Sequence[PinCandidate]]) -> str:
    """Return the shanks to try, where they are far enough apart to feel which is the one."""
    ordered = sorted(groups, key=lambda group: group[0].size_mm)
    gaps = [float(b[0].size_mm - a[-1].size_mm) for a, b in pairwise(ordered)]
    if not gaps or min(gaps) < _SHANKS_APART_MM:
        return ""
    return f"try shanks of {_group_name(ordered[0])} and {_group_name(ordered[-1])}"


def _unused_hole(hole: Hole, evidence: PinEvidence) -> str:
    better = [other for other in evidence.unmeasured if _USE_RANK[other.use] < _USE_RANK[hole.use]]
    if not better:
        return ""
    best = min(better, key=lambda other: _USE_RANK[other.use])
    return f"measure {shown_name(best)}, which is {'never' if best.use == 'never' else 'less'} used"


def _category_plate(groups: Sequence[Sequence[PinCandidate]], evidence: PinEvidence) -> str:
    """Return the category plate where the sizes that stand do not all belong to some category alike."""
    if evidence.joint.kind != "hitch" or evidence.category is not None:
        return ""
    homes = {
        frozenset(category for category in HITCH_CATEGORIES if any(c.name in category_pins(category) for c in group))
        for group in groups
    }
    return "look up the hitch category on its plate or in the manual" if len(homes) > 1 else ""
