"""How much room a hole has over its pin: as made, and after wear, as shares on a scale of bins.

The shapes are stated beliefs, common practice and no source: most joints are made with the usual room of their
kind, a few tighter or looser; a hole in use may have grown, a hole never used has not.

How the pins that can have been meant weigh against each other, all evidence taken together.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from fieldlog.measure.pin_evidence import Bounds, PinEvidence, bounds_of, interval_of, under_name_mm
from fieldlog.quantity.distributions import normal_cdf, normal_quantile
from fieldlog.quantity.units import length_unit
from fieldlog.quantity.value import COVERAGE_PROBABILITY, Value
from fieldlog.records.entries import Trial
from fieldlog.records.machine import Hole, HoleUse, Joint, JointKind
from fieldlog.standards.hitch import HITCH_CATEGORIES, category_pins
from fieldlog.standards.joints import BOLT_PINS, JOINT_DEFAULTS, WORST_WEAR_MM, NominalPin, is_one_size

STEP_MM = 0.02
FIRST_MM = -0.3
BINS = 195  # up to 3.6 mm of room: the loosest joint as made and the worst wear
_TIGHTEST_MM = -0.05  # a pin under its name enters a hole of its name
_LOOSER_MM = 0.5
_USUAL, _TIGHT, _LOOSE = 0.85, 0.10, 0.05


class Growth(NamedTuple):
    """How a hole's smallest size grows: the share of holes that did at all, and by how much on the average."""

    share: float
    mean_mm: float


_GROWTH: dict[HoleUse, Growth] = {
    "never": Growth(0.02, 0.05),
    "sometimes": Growth(0.3, 0.2),
    "daily": Growth(0.4, 0.3),
}
_WITH_SIGNS = Growth(0.8, 0.5)  # a lip, a rounded or bell-mouthed edge


def growth_of(use: HoleUse, *, has_signs: bool) -> Growth:
    """Return how a hole of this use has grown."""
    return _WITH_SIGNS if has_signs and use != "never" else _GROWTH[use]


@lru_cache(maxsize=64)
def made_shares(kind: JointKind) -> tuple[float, ...]:
    """Return the share of each bin of room as made, summing to 1."""
    usual = JOINT_DEFAULTS[kind]
    least, most = usual.new_least_mm, usual.new_most_mm
    bands = (
        (_TIGHTEST_MM, max(least, _TIGHTEST_MM + STEP_MM), _TIGHT),
        (least, most, _USUAL),
        (most, most + _LOOSER_MM, _LOOSE),
    )
    shares = [0.0] * BINS
    for low, high, weight in bands:
        for number in range(BINS):
            left = FIRST_MM + number * STEP_MM
            overlap = min(high, left + STEP_MM) - max(low, left)
            if overlap > 0:
                shares[number] += weight * overlap / (high - low)
    return tuple(shares)


@lru_cache(maxsize=64)
def growth_shares(growth: Growth) -> tuple[float, ...]:
    """Return the share of each step of growth from 0 up: exponential, cut at the worst wear, the rest none at all.

    What lies between two steps is shared between them alike.
    """
    bins = round(WORST_WEAR_MM / STEP_MM)
    left = [math.exp(-n * STEP_MM / growth.mean_mm) for n in range(bins + 1)]
    scale = growth.share / (1 - left[-1]) / 2
    shares = [0.0] * (bins + 1)
    for n in range(bins):
        shares[n] += scale * (left[n] - left[n + 1])
        shares[n + 1] += scale * (left[n] - left[n + 1])
    shares[0] += 1 - growth.share
    return tuple(shares)


@lru_cache(maxsize=64)
def room_shares(kind: JointKind, growth: Growth) -> tuple[float, ...]:
    """Return the share of each bin of room today: as made and growth together."""
    made, grown = made_shares(kind), growth_shares(growth)
    shares = [0.0] * BINS
    for first, share in enumerate(made):
        if share:
            for more, part in enumerate(grown[: BINS - first]):
                shares[first + more] += share * part
    return tuple(shares)


def room_mm(number: int) -> float:
    """Return the middle of a bin in mm of room."""
    return FIRST_MM + (number + 0.5) * STEP_MM


def reading_likelihoods(offset_mm: float, sigma_mm: float) -> Sequence[float]:
    """Return for each bin how likely a reading `offset_mm` over the pin is, averaged over the bin, in 1/mm."""
    edges = [normal_cdf((FIRST_MM + n * STEP_MM - offset_mm) / sigma_mm) for n in range(BINS + 1)]
    return [(edges[n + 1] - edges[n]) / STEP_MM for n in range(BINS)]


CATEGORY_ODDS = 8.0  # a pin of the machine's hitch category, on a hitch joint
THREADS_ODDS = 3.0  # a pin of the same system, inch or metric, as the threads of the links
TWIN_ODDS = 20.0  # the pin of the same joint on the other side
OTHER_END_ODDS = 3.0  # the pin at the other end of the same link
HITCH_PIN_ODDS = 2.0  # a pin of any hitch category, where the pin or its keeper is of the hitch's kind
NO_BOLT_ODDS = 0.1  # a size in which no bolt is sold, where the pin is a bolt
MISTAKEN = 0.02  # the share of trials that are noted wrongly, or spoilt by a burr
_SLIM_SD_MM, _SLIM_SHARE, _FAR_UNDER_MM = 0.05, 0.9, 0.25  # how far an unworn pin is under its name
_BAND_MEAN_MM = 0.3  # wear of a pin's band
_LEAST_SIGMA_MM = 0.004


@dataclass(frozen=True, slots=True)
class Weighed:
    """A pin with its weight spread over the room that the reference hole may have over it; not normalised."""

    pin: NominalPin
    masses: tuple[float, ...]
    reasons: tuple[str, ...] = ()

    @property
    def weight(self) -> float:
        """Its whole weight."""
        return math.fsum(self.masses)

    @property
    def mean_room_mm(self) -> float:
        """The room it most likely has, on the average."""
        total = self.weight
        return math.fsum(m * room_mm(n) for n, m in enumerate(self.masses)) / total if total > 0 else 0.0


def weighed(pin: NominalPin, hole: Hole | None, evidence: PinEvidence) -> Weighed:
    """Return a pin's weight under all evidence; `hole` is the one that the answer rests on."""
    odds = [odd for odd in _odds(pin, evidence) if odd is not None]
    factor = math.prod(value for value, _ in odds) * _pin_factor(pin, evidence)
    factor *= math.prod(_entry_factor(pin, other, evidence) for other in hole_ids(evidence) if other != _id(hole))
    reasons = tuple(reason for _, reason in odds if reason)
    return Weighed(pin, tuple(factor * mass for mass in _masses(pin, hole, evidence)), reasons)


def shares_of(weights: Sequence[float]) -> tuple[float, ...]:
    """Return weights as shares of their sum; equal shares where nothing weighs anything."""
    total = math.fsum(weights)
    return tuple(w / total for w in weights) if total > 0 else tuple(1 / len(weights) for _ in weights)


def sigma_mm(size: Value) -> float:
    """Return the standard deviation of the normal curve that has a size's 95 % half-width."""
    return max(size.plus_minus / normal_quantile((1 + COVERAGE_PROBABILITY) / 2), _LEAST_SIGMA_MM)


def joint_kind(hole: Hole | None, joint: Joint) -> JointKind:
    """Return how a joint is made: a bushed hole of a hitch joint is as close as any bushed one."""
    return "bushed" if hole is not None and hole.kind == "bushed" and joint.kind == "hitch" else joint.kind


def pins_in_place(evidence: PinEvidence) -> tuple[Value, ...]:
    """Return the pin as play and feeler say it is now: the largest size of its hole minus the clearance in place."""
    largest = evidence.largest
    if largest is None:
        return ()
    return tuple(largest - loose for loose in (evidence.play, evidence.feeler) if loose is not None)


def hole_ids(evidence: PinEvidence) -> tuple[str, ...]:
    """Return the ids of the holes that anything was measured of or tried in."""
    return tuple(dict.fromkeys([*(hole.id for hole, _ in evidence.holes), *(t.hole for t in evidence.trials)]))


def hole_bounds(hole_id: str, evidence: PinEvidence) -> tuple[Value | None, Bounds]:
    """Return a hole's smallest size ever and what trials prove about it."""
    smallest = next((size for hole, size in evidence.holes if hole.id == hole_id), None)
    own = (day for day in evidence.days if day.hole == hole_id)
    first = min(own, key=lambda day: day.smallest.value, default=None)
    return smallest, bounds_of(evidence.trials, hole_id, first.day if first is not None else None)


def hole_interval(hole_id: str, evidence: PinEvidence) -> tuple[float, float]:
    """Return between which sizes a hole's smallest is, all that is known of it taken together."""
    return interval_of(*hole_bounds(hole_id, evidence))


def _id(hole: Hole | None) -> str:
    return hole.id if hole is not None else ""


def _masses(pin: NominalPin, hole: Hole | None, evidence: PinEvidence) -> Sequence[float]:
    shares = _rooms(hole, evidence)
    for _, seen in _seen(pin, hole, evidence):
        shares = [share * likely for share, likely in zip(shares, seen, strict=True)]
    return shares


def _rooms(hole: Hole | None, evidence: PinEvidence) -> Sequence[float]:
    """Return what is believed of the room before anything is read of this hole."""
    use = hole.use if hole is not None else "daily"
    growth = growth_of(use, has_signs=_id(hole) in evidence.worn_holes)
    return room_shares(joint_kind(hole, evidence.joint), growth)


def _seen(pin: NominalPin, hole: Hole | None, evidence: PinEvidence) -> Iterator[tuple[str, Sequence[float]]]:
    """Yield what was read of the hole and tried in it: a word, and how likely that is for each bin of room."""
    if hole is None:
        return
    smallest, bounds = hole_bounds(hole.id, evidence)
    if smallest is not None:
        yield "how the hole reads", reading_likelihoods(smallest.value - float(pin.mm), sigma_mm(smallest))
    for trial in (bounds.goes, bounds.no):
        if trial is not None:
            yield f"{trial.size.typed} {trial.by} {trial.result}", trial_likelihoods(trial, pin)


def factors_of(pin: NominalPin, hole: Hole | None, evidence: PinEvidence) -> tuple[tuple[str, float], ...]:
    """Return the factors that a pin's weight is the product of, each with what it is for."""
    found: list[tuple[str, float]] = []
    shares = _rooms(hole, evidence)
    for word, seen in _seen(pin, hole, evidence):
        after = [share * likely for share, likely in zip(shares, seen, strict=True)]
        before = math.fsum(shares)
        found.append((word, math.fsum(after) / before if before > 0 else 0.0))
        shares = after
    for other in hole_ids(evidence):
        if other != _id(hole):
            found.append((f"it enters {other}", _entry_factor(pin, other, evidence)))
    if evidence.measured_pin is not None or evidence.worn_pin is not None or pins_in_place(evidence):
        found.append(("how the pin itself reads, or plays in place", _pin_factor(pin, evidence)))
    return (*found, *((reason, odds) for odd in _odds(pin, evidence) if odd is not None for odds, reason in (odd,)))


def trial_likelihoods(trial: Trial, pin: NominalPin) -> Sequence[float]:
    """Return for each bin of room over a pin how likely a trial comes out as it did."""
    tried_mm, under_mm = float(trial.size.mm) - float(pin.mm), under_name_mm(trial)
    return goes_likelihoods(tried_mm, under_mm, goes=trial.result == "goes")


@lru_cache(maxsize=1024)
def goes_likelihoods(over_mm: float, under_mm: float, *, goes: bool) -> tuple[float, ...]:
    """Return for each bin of room how likely something `over_mm` over the pin goes through, or does not.

    Half of what is sold under a name is less than `under_mm` under it; the edge is as soft as that.
    """
    passes = (normal_cdf((room_mm(n) - over_mm + under_mm) / under_mm) for n in range(BINS))
    return tuple(MISTAKEN + (1 - 2 * MISTAKEN) * (p if goes else 1 - p) for p in passes)


def _entry_factor(pin: NominalPin, hole_id: str, evidence: PinEvidence) -> float:
    """Return how likely the pin enters another of its holes: of those only the upper bound is taken."""
    _, bounds = hole_bounds(hole_id, evidence)
    smallest = next((size for hole, size in evidence.holes if hole.id == hole_id), None)
    factor = 1.0
    if smallest is not None:
        factor *= normal_cdf((smallest.value - float(pin.mm) + _SLIM_SD_MM) / sigma_mm(smallest))
    if bounds.no is not None:
        gap_mm, under_mm = float(bounds.no.size.mm) - float(pin.mm), under_name_mm(bounds.no)
        factor *= MISTAKEN + (1 - 2 * MISTAKEN) * normal_cdf(gap_mm / under_mm)
    return factor


def _pin_factor(pin: NominalPin, evidence: PinEvidence) -> float:
    """Return how likely the pin would read as it does, unworn, in its band, and by play in place."""
    factor = 1.0
    if evidence.measured_pin is not None:
        pin_reads = evidence.measured_pin
        factor *= unworn_density(float(pin.mm) - pin_reads.value, sigma_mm(pin_reads))
    if evidence.worn_pin is not None:
        return factor * band_density(float(pin.mm) - evidence.worn_pin.value, sigma_mm(evidence.worn_pin))
    if evidence.measured_pin is None:
        for now in pins_in_place(evidence):
            factor *= band_density(float(pin.mm) - now.value, sigma_mm(now))
    return factor


def unworn_density(under_mm: float, sigma: float) -> float:
    """Return how likely an unworn pin reads so far under its name, in 1/mm, the reading being good to `sigma`.

    Nine pins in ten are just under their name (half a normal curve of 0.05 mm), one anywhere to 0.25 mm under.
    """
    wide = math.hypot(_SLIM_SD_MM, sigma)
    bell = math.exp(-0.5 * (under_mm / wide) ** 2) / (wide * math.sqrt(2 * math.pi))
    slim = 2 * bell * normal_cdf(under_mm * _SLIM_SD_MM / (sigma * wide))
    rough = (normal_cdf(under_mm / sigma) - normal_cdf((under_mm - _FAR_UNDER_MM) / sigma)) / _FAR_UNDER_MM
    return _SLIM_SHARE * slim + (1 - _SLIM_SHARE) * rough


def band_density(under_mm: float, sigma: float) -> float:
    """Return how likely a pin's band reads so far under its name, in 1/mm: exponential wear, read with `sigma`."""
    rate = 1 / _BAND_MEAN_MM
    tail = math.erfc((rate * sigma**2 - under_mm) / (math.sqrt(2) * sigma))
    return 0.5 * rate * math.exp(min(rate * (rate * sigma**2 / 2 - under_mm), 700.0)) * tail if tail > 0 else 0.0


def is_category_pin(name: str, evidence: PinEvidence) -> bool:
    """Tell whether a pin is one of the machine's hitch category, on a joint of the hitch."""
    return evidence.joint.kind == "hitch" and evidence.category is not None and name in category_pins(evidence.category)


def is_any_category_pin(name: str) -> bool:
    """Tell whether a pin is one of some hitch category."""
    return any(name in category_pins(category) for category in HITCH_CATEGORIES)


def _odds(pin: NominalPin, evidence: PinEvidence) -> list[tuple[float, str] | None]:
    return [
        (CATEGORY_ODDS, f"a pin of hitch category {evidence.category}")
        if is_category_pin(pin.name, evidence)
        else None,
        _threads(pin, evidence),
        *_others(pin, evidence),
        _pin_kind(pin, evidence.joint),
    ]


def _threads(pin: NominalPin, evidence: PinEvidence) -> tuple[float, str] | None:
    if evidence.threads is None or pin.units != evidence.threads:
        return None
    return THREADS_ODDS, f"the links have {length_unit(evidence.threads).threads} threads"


def _others(pin: NominalPin, evidence: PinEvidence) -> list[tuple[float, str]]:
    found = []
    for other in evidence.others:
        if any(is_one_size(pin.name, name) for name in other.names):
            odds = TWIN_ODDS if other.kinship == "twin" else OTHER_END_ODDS
            where = "on the other side" if other.kinship == "twin" else "at the other end"
            found.append((odds, f"as {where}, {other.joint}"))
    return found


def _pin_kind(pin: NominalPin, joint: Joint) -> tuple[float, str] | None:
    if joint.pin_kind == "bolt" and pin.name not in BOLT_PINS:
        return NO_BOLT_ODDS, "no usual size of bolt"
    is_hitch = joint.pin_kind == "hitch pin" or (joint.pin_kind is None and joint.keeper == "linch pin")
    if is_hitch and is_any_category_pin(pin.name):
        return HITCH_PIN_ODDS, f"a hitch size, as its {'pin' if joint.pin_kind else 'linch pin'} is"
    return None
