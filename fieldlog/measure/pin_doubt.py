"""How much doubt is left about a pin, and how much of it an action would take away.

An action is the list of things that can come out of it, each with how likely it is under each candidate. For each
outcome the weights are worked out as they would stand then.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.measure.pin_weights import Weighed, shares_of
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Hole
from fieldlog.standards.pins import NominalPin, is_one_size

SETTLED = 0.95  # one size has this much of the weight, or all but a fifth of the doubt there was

Outcomes = Sequence[Sequence[float]]


class Worth(NamedTuple):
    """What an action is worth: in which share of cases it settles the pin, and what share of the doubt it takes."""

    settles: float
    narrows: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """The candidates that weigh anything, with the hole and the evidence that left them standing.

    `prior` are their shares, `groups` for each the place of the first that is one size with it, `target` the share
    at which one size counts as settled.
    """

    weights: tuple[Weighed, ...]
    hole: Hole
    smallest: Estimate | None
    evidence: PinEvidence
    prior: tuple[float, ...]
    groups: tuple[int, ...]
    target: float

    @property
    def pins(self) -> tuple[NominalPin, ...]:
        """The candidates' pins."""
        return tuple(weight.pin for weight in self.weights)

    @property
    def sizes_mm(self) -> tuple[float, ...]:
        """The candidates' nominal sizes."""
        return tuple(float(weight.pin.mm) for weight in self.weights)


def doubt_about(weights: tuple[Weighed, ...], hole: Hole, smallest: Estimate | None, evidence: PinEvidence) -> Doubt:
    """Return the doubt that weighed candidates leave."""
    prior = shares_of([weight.weight for weight in weights])
    names = [weight.pin.name for weight in weights]
    groups = tuple(next(i for i, first in enumerate(names) if is_one_size(first, name)) for name in names)
    best = max(group_shares(prior, groups))
    return Doubt(weights, hole, smallest, evidence, prior, groups, max(SETTLED, 1 - (1 - best) / 5))


def group_shares(shares: Sequence[float], groups: Sequence[int]) -> list[float]:
    """Return the shares of candidates that are one size added up."""
    sums: dict[int, float] = {}
    for share, group in zip(shares, groups, strict=True):
        sums[group] = sums.get(group, 0.0) + share
    return list(sums.values())


def worth_of(doubt: Doubt, outcomes: Outcomes) -> Worth:
    """Return what an action is worth, over everything that can come out of it.

    The doubt is the entropy of the sizes' shares, the sum of -share x ln(share); 0 when one size has it all.
    """
    settled = left = 0.0
    for likelihoods in outcomes:
        after = [share * likely for share, likely in zip(doubt.prior, likelihoods, strict=True)]
        total = math.fsum(after)
        if total > 0:
            shares = [share / total for share in group_shares(after, doubt.groups)]
            settled += total if max(shares) >= doubt.target else 0.0
            left += total * entropy(shares)
    now = entropy(group_shares(doubt.prior, doubt.groups))
    return Worth(min(settled, 1.0), max(1 - left / now, 0.0) if now > 0 else 0.0)


def entropy(shares: Sequence[float]) -> float:
    """Return the sum of -share x ln(share)."""
    return -math.fsum(share * math.log(share) for share in shares if share > 0)


def outcomes_on(grid: Sequence[float], densities: Sequence[Sequence[float]]) -> Outcomes:
    """Return what can be read on a grid as outcomes: each candidate's densities brought to a sum of 1."""
    totals = [math.fsum(column) or 1.0 for column in densities]
    return [[column[n] / total for column, total in zip(densities, totals, strict=True)] for n in range(len(grid))]


def grid_mm(low: float, high: float, width: float) -> list[float]:
    """Return the middles of steps of a width from low to high."""
    return [low + (n + 0.5) * width for n in range(max(math.ceil((high - low) / width), 1))]
