"""How much room a hole has over its pin: as made, and after wear, as shares on a scale of bins.

The shapes are stated beliefs, common practice and no source: most joints are made with the usual room of their
kind, a few tighter or looser; a hole in use may have grown, a hole never used has not.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from fieldlog.measure.distributions import normal_cdf
from fieldlog.records.machine import HoleUse, JointKind
from fieldlog.standards.joints import JOINT_DEFAULTS, WORST_WEAR_MM

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
