"""Which pins can have been meant at all: the trade's plain rules, before anything is weighed.

A bore can only grow, so the smallest size of the least-used hole is the evidence. The room it has over a pin must be
what such a joint has when new, or that plus some wear. Common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.pin_evidence import PinEvidence, RuledOut, Standing
from fieldlog.measure.pin_weights import hole_ids, hole_interval, joint_kind, pins_in_place
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Hole
from fieldlog.standards.joints import JOINT_DEFAULTS, WORST_WEAR_MM
from fieldlog.standards.pins import NOMINAL_PINS, NominalPin

USE_RANK = {"never": 0, "sometimes": 1, "daily": 2}
_UNDER_NAME_MM = 0.12  # how far an unworn pin usually reads under its name: common practice, no source
FAR_UNDER_NAME_MM = 0.2  # the same for a rough one: hitch pins to ISO 730, from memory
_TOLD_APART_MM = 0.1  # by how much one name must fit a measured pin better than another: common practice
_NO_LIMIT = float("inf")


@dataclass(frozen=True, slots=True)
class Possible:
    """A pin that the rules leave standing, with the least and the most room that its hole can have over it."""

    pin: NominalPin
    standing: Standing
    is_tight: bool
    least_room_mm: float
    most_room_mm: float


def reference_hole(holes: Sequence[tuple[Hole, Estimate]]) -> tuple[Hole, Estimate]:
    """Return the least-used hole, and among equals the one with the smallest smallest size."""
    return min(holes, key=lambda pair: (USE_RANK[pair[0].use], pair[1].value_mm))


def tried_hole(evidence: PinEvidence) -> Hole | None:
    """Return, where no hole was measured, the least-used that something was tried in."""
    tried = [hole for hole in evidence.unmeasured if any(trial.hole == hole.id for trial in evidence.trials)]
    return min(tried, key=lambda hole: (USE_RANK[hole.use], hole.id), default=None)


def possible_pins(hole: Hole, smallest: Estimate | None, evidence: PinEvidence) -> tuple[Possible, ...]:
    """Return the pins that can have been meant; none where nothing says how large the hole is at least and at most."""
    least_mm, most_mm = hole_interval(hole.id, evidence)
    if -_NO_LIMIT in {least_mm, -most_mm}:
        return ()
    room_for_mm = min([most_mm, *(hole_interval(other, evidence)[1] for other in hole_ids(evidence))])
    fits = [pin for pin in NOMINAL_PINS if _fits(float(pin.mm), room_for_mm, evidence)]
    standing = tuple(p for pin in fits if (p := _possible(pin, hole, smallest, evidence)) is not None)
    # a hole that was never used has no wear, so a size that needs some stands only where nothing else does
    if hole.use == "never" and any(possible.standing == "unworn" for possible in standing):
        return tuple(possible for possible in standing if possible.standing == "unworn")
    return standing


def _fits(pin_mm: float, room_for_mm: float, evidence: PinEvidence) -> bool:
    """Tell whether a pin enters every hole, what was refused being too large, and is no smaller than it is worn to."""
    refused = min((float(t.size.mm) for t in evidence.trials if t.result != "goes"), default=_NO_LIMIT)
    if pin_mm > room_for_mm or (pin_mm >= refused and room_for_mm <= refused):
        return False
    now = (evidence.worn_pin,) if evidence.worn_pin is not None else pins_in_place(evidence)
    return all(pin_mm >= band.value_mm - band.expanded_mm for band in now)


def _possible(pin: NominalPin, hole: Hole, smallest: Estimate | None, evidence: PinEvidence) -> Possible | None:
    usual, pin_mm = JOINT_DEFAULTS[joint_kind(hole, evidence.joint)], float(pin.mm)
    least_mm, most_mm = hole_interval(hole.id, evidence)
    middle_mm = min(max(smallest.value_mm, least_mm), most_mm) if smallest is not None else least_mm
    if middle_mm - pin_mm > usual.new_most_mm + WORST_WEAR_MM:
        return None
    standing: Standing = "worn" if least_mm - pin_mm > usual.new_most_mm else "unworn"
    is_tight = most_mm - pin_mm < usual.new_least_mm
    return Possible(pin, standing, is_tight, least_mm - pin_mm, most_mm - pin_mm)


def ruled_out(hole: Hole, smallest: Estimate | None, evidence: PinEvidence) -> tuple[RuledOut, ...]:
    """Return the pins that would stand but for one kind of evidence, each with that kind."""
    standing = {possible.pin.name for possible in possible_pins(hole, smallest, evidence)}
    found: dict[str, RuledOut] = {}
    for by, without in (
        ("what was tried", replace(evidence, trials=())),
        ("the pin's worn band", replace(evidence, worn_pin=None)),
        ("play in place", replace(evidence, play=None, feeler=None)),
    ):
        allowed = possible_pins(hole, smallest, without) if without != evidence else ()
        new = (p.pin.name for p in allowed if p.pin.name not in standing)
        found |= {name: RuledOut(name, by) for name in new if name not in found}
    return tuple(found.values())


def nearest_nominal(measured: Estimate) -> tuple[str, ...]:
    """Return the nominal pins that a pin measured at its unworn end can be; pins are made at or just under size."""
    doubt = measured.expanded_mm
    under = [(float(pin.mm) - measured.value_mm, pin.name) for pin in NOMINAL_PINS]
    for most in (_UNDER_NAME_MM, FAR_UNDER_NAME_MM):
        near = [(abs(gap), name) for gap, name in under if -doubt <= gap <= most + doubt]
        if near:
            best = min(near)[0]
            return tuple(name for gap, name in sorted(near) if gap <= best + _TOLD_APART_MM)
    return ()
