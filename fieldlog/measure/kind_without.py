"""What the others of a kind say, each of many joints left out in turn, at a price that does not grow with their number.

In a large fleet a kind has thousands of joints. Leaving one of them out moves the variance between them by little, so
the sums that it rests on are expanded once about their common place, and one joint's share is taken off.
"""

import math
from collections.abc import Sequence

from fieldlog.measure.shrinkage import JUDGED_DOF, LEAST_SPREAD, Kind, kind_of
from fieldlog.records.frozen import dataclass

_TERMS = 6
_FARTHEST = 0.03  # of the variance: expanded no farther than that, where what is left out of it is under 1e-9
_STEPS = 30


class KindWithout:
    """A kind of at least three joints, given as rates with their standard uncertainties, to be asked for the others."""

    def __init__(self, rates: Sequence[tuple[float, float]]) -> None:
        self._rates = rates
        self.whole = kind_of(rates)
        self._shift = self.whole.mean
        self._sum = math.fsum(rate for rate, _ in rates)
        self._centre = self.whole.between_sd**2
        weighed = [(1 / (u * u + self._centre), rate - self._shift) for rate, u in rates] if self._centre > 0 else []
        self._sums = [_powers(weighed, degree) for degree in range(3)]

    def without(self, rate: float, u: float) -> Kind:
        """Return what `kind_of` says of all the joints but one; to within 1e-6 of it."""
        found = self._near(rate, u) if self._centre > 0 else None
        return found if found is not None else self._exactly(rate, u)

    def _exactly(self, rate: float, u: float) -> Kind:
        others = list(self._rates)
        others.remove((rate, u))
        return kind_of(others)

    def _near(self, rate: float, u: float) -> Kind | None:
        """Return the kind by the expansion, None where that does not reach."""
        count = len(self._rates) - 1
        rest = _Rest(self._sums, rate - self._shift, u * u + self._centre)
        floor = (LEAST_SPREAD * (self._sum - rate) / count) ** 2 - self._centre
        if self._reaches(floor) and rest.squares(floor) <= count - 1:
            return self._kind(rest, floor, max(count - 1.0, JUDGED_DOF))
        root = rest.root(count - 1)
        return self._kind(rest, root, count - 1.0) if self._reaches(root) and root >= floor else None

    def _reaches(self, step: float) -> bool:
        return abs(step) <= _FARTHEST * self._centre

    def _kind(self, rest: "_Rest", step: float, dof: float) -> Kind:
        total, first, _ = rest.sums(step)
        spread = math.sqrt(self._centre + step)
        return Kind(self._shift + first / total, 1 / math.sqrt(total), spread, len(self._rates) - 1, dof)


@dataclass(frozen=True, slots=True)
class _Rest:
    """The sums of weight, weight times rate, weight times rate squared of all but one, at a step from the centre."""

    all: Sequence[Sequence[float]]
    rate: float
    variance: float

    def sums(self, step: float) -> tuple[float, float, float]:
        own = 1 / (self.variance + step)
        total, first, second = (_at(powers, step) for powers in self.all)
        return total - own, first - own * self.rate, second - own * self.rate**2

    def squares(self, step: float) -> float:
        """Return the weighted squares about the weighted mean."""
        total, first, second = self.sums(step)
        return second - first * first / total

    def root(self, dof: float) -> float:
        """Return the step at which the weighted squares equal their degrees of freedom, by secants."""
        before, step = 0.0, 1e-4 * self.variance
        gap_before = self.squares(before) - dof
        for _ in range(_STEPS):
            gap = self.squares(step) - dof
            if gap == gap_before or abs(step) > self.variance:
                break
            before, step, gap_before = step, step - gap * (step - before) / (gap - gap_before), gap
        return step


def _powers(weighed: Sequence[tuple[float, float]], degree: int) -> tuple[float, ...]:
    """Return the sums of weight^p times rate^degree, p from 1 on."""
    return tuple(math.fsum(w**p * rate**degree for w, rate in weighed) for p in range(1, _TERMS + 1))


def _at(powers: Sequence[float], step: float) -> float:
    """Return a sum of weights times something at a step from where its powers were taken: a geometric series."""
    return sum(power * (-step) ** n for n, power in enumerate(powers))
