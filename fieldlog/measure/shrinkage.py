"""What several joints of a kind say about one more of that kind: their mean, how much they differ, and the blend.

A joint with few readings of its own borrows from its kind: its rate is drawn towards the kind's mean by as much as
its own doubt is larger than the differences between the joints (empirical Bayes with normal distributions).
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from fieldlog.errors import MeasureError
from fieldlog.measure.line_fit import Straight
from fieldlog.records.frozen import dataclass

FEWEST_OF_A_KIND = 3  # from fewer nothing can be said about how much they differ
JUDGED_DOF = 8.0  # a judged uncertainty, good to 25 %: GUM (JCGM 100:2008) G.4.2
_STEPS = 200
LEAST_SPREAD = 0.25  # of the mean: no two joints wear alike, whatever a few of them seem to say; judgement


@dataclass(frozen=True, slots=True)
class Kind:
    """The mean rate of a kind with its standard uncertainty, and the standard deviation between its joints.

    `dof` says how well that is known.
    """

    mean: float
    mean_u: float
    between_sd: float
    count: int
    dof: float

    @property
    def spread(self) -> float:
        """The standard deviation of one more joint of the kind about the known mean."""
        return math.hypot(self.between_sd, self.mean_u)


def kind_of(rates: Sequence[tuple[float, float]]) -> Kind:
    """Return mean and differences of rates, each given with its standard uncertainty, at least two of them.

    The variance between joints is the one that makes the weighted squares about the weighted mean equal their
    degrees of freedom (Paule & Mandel, J. Res. Nat. Bur. Stand. 87 (1982) 377-385), not under a quarter of the mean.
    """
    if len(rates) < 2:
        raise MeasureError("One joint is no kind.")

    variance = _between(rates)
    plain = math.fsum(r for r, _ in rates) / len(rates)
    dof = len(rates) - 1.0
    if variance < (LEAST_SPREAD * plain) ** 2:
        variance, dof = (LEAST_SPREAD * plain) ** 2, max(dof, JUDGED_DOF)
    weights = [1 / (u * u + variance) for _, u in rates]
    total = math.fsum(weights)
    mean = math.fsum(w * r for w, (r, _) in zip(weights, rates, strict=True)) / total
    return Kind(mean, 1 / math.sqrt(total), math.sqrt(variance), len(rates), dof)


def _between(rates: Sequence[tuple[float, float]]) -> float:
    """Return the variance at which the weighted squares are their degrees of freedom, 0 where they are no more anyway.

    They fall with the variance, ever more slowly, so that Newton's steps from 0 never go beyond it.
    """
    variance = 0.0
    for _ in range(_STEPS):
        weights = [1 / (u * u + variance) for _, u in rates]
        centre = math.fsum(w * r for w, (r, _) in zip(weights, rates, strict=True)) / math.fsum(weights)
        squares = [w * (r - centre) ** 2 for w, (r, _) in zip(weights, rates, strict=True)]
        surplus = math.fsum(squares) - (len(rates) - 1)
        if surplus <= 0:
            break
        before, variance = variance, variance + surplus / math.fsum(map(math.prod, zip(weights, squares, strict=True)))
        if variance == before:
            break
    return variance


def blended(line: Straight, kind: Kind) -> Straight:
    """Return a joint's own line with its slope drawn towards the kind's, as if the kind were one more measuring of it.

    slope = (own / u_own^2 + kind / spread^2) / (1 / u_own^2 + 1 / spread^2); the level follows by its covariance with
    the slope. With a slope that is not known at all (infinite variance) the kind's stands in. The degrees of freedom
    are the fewer of both.
    """
    room, dof = kind.spread**2, min(line.dof, kind.dof)
    if math.isinf(line.slope_variance):
        return replace(line, slope=kind.mean, slope_variance=room, covariance=0.0, dof=dof)
    total = line.slope_variance + room
    miss = kind.mean - line.slope
    return replace(
        line,
        level_mm=line.level_mm + line.covariance * miss / total,
        slope=line.slope + line.slope_variance * miss / total,
        level_variance=line.level_variance - line.covariance**2 / total,
        covariance=line.covariance * room / total,
        slope_variance=line.slope_variance * room / total,
        dof=dof if line.slope_variance > room else line.dof,
    )
