"""When a fitted line reaches a limit: Fieller's interval, or none when the slope is not known well enough.

The line through the medians, which one bad day cannot move: a check beside the least-squares line.

What several joints of a kind say about one more of that kind: their mean, how much they differ, and the blend.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from fieldlog.errors import MeasureError
from fieldlog.measure.line_fit import Fit, Straight
from fieldlog.quantity.distributions import t_quantile

_HALVINGS = 80


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a line reaches a limit: best estimate, and the interval that holds the true place."""

    at: float
    earliest: float
    latest: float


def slope_doubt(line: Straight, share: float = 0.95) -> float:
    """Return Fieller's g: the squared ratio of the slope's half-width to the slope. At 1 and over the slope may be nil.

    g = t^2 u(slope)^2 / slope^2; infinite for a level line.
    """
    return (line.t(share) * line.slope_u / line.slope) ** 2 if line.slope else math.inf


def crossing(line: Straight, limit_mm: float, *, reading_u_mm: float = 0.0, share: float = 0.95) -> Crossing | None:
    """Return where a line reaches a height, with Fieller's interval; None when the slope may be nil (g >= 1).

    All x at which the line's height agrees with the limit: (level + slope d - limit)^2 = t^2 (variance of the
    height at d + reading_u^2), a quadratic in the distance d from the line's centre. `reading_u_mm` is the doubt
    of the height itself when that was measured (inverse prediction); a limit has none. Where part of the height's
    variance is known beforehand, t has the effective degrees of freedom of where the line itself reaches it.

    Source: E. C. Fieller, J. Royal Statist. Soc. B 16 (1954) 175-185.
    """
    if slope_doubt(line, share) >= 1:
        return None
    gap = line.level_mm - limit_mm
    at = line.centre - gap / line.slope
    tt = line.t_at(at, share) ** 2
    a = line.slope**2 - tt * line.slope_variance
    half_b = gap * line.slope - tt * line.covariance
    c = gap**2 - tt * (line.level_variance + reading_u_mm**2)
    root = math.sqrt(max(half_b**2 - a * c, 0.0))
    ends = sorted(line.centre + (-half_b + sign * root) / a for sign in (-1, 1))
    return Crossing(at, ends[0], ends[1])


def curve_crossing(curve: Fit, limit_mm: float, start: float, most: float, share: float = 0.95) -> Crossing:
    """Return where a fitted curve reaches a limit between `start` and `most`, by the edges of its band.

    The earliest is where the upper edge of the band of height reaches the limit, the latest where the lower edge
    does; `most` stands for what is not reached before. An edge over the limit at the start gives the start.
    """
    t = t_quantile((1 + share) / 2, curve.dof)

    def first(edge: float) -> float:
        def gap(x: float) -> float:
            return curve.value_at(x) + edge * t * curve.u_at(x) - limit_mm

        return _first_over(gap, start, most)

    return Crossing(first(0.0), first(1.0), first(-1.0))


def _first_over(gap: Callable[[float], float], start: float, most: float) -> float:
    """Return where a gap first turns positive, looked for in steps and then by halving."""
    if gap(start) >= 0:
        return start
    steps = 64
    before = start
    for number in range(1, steps + 1):
        x = start + (most - start) * number / steps
        if gap(x) < 0:
            before = x
            continue
        after = x
        for _ in range(_HALVINGS):
            middle = (before + after) / 2
            before, after = (middle, after) if gap(middle) < 0 else (before, middle)
        return after
    return most


@dataclass(frozen=True, slots=True)
class MedianLine:
    """A slope and a height at x = 0."""

    slope: float
    intercept: float

    def value_at(self, x: float) -> float:
        """The line's height at x."""
        return self.intercept + self.slope * x


def median_line(xs: Sequence[float], ys: Sequence[float]) -> MedianLine:
    """Return the Theil-Sen line: the median of the slopes between all pairs, through the medians of x and y.

    Pairs at the same x say nothing and are left out. Up to 29 % of the days may be wrong without moving it far.
    Source: P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389; the height as in W. J. Conover (1980).

    Raises:
        MeasureError: all points lie at the same x.
    """
    pairs = list(zip(xs, ys, strict=True))
    slopes = [(y2 - y1) / (x2 - x1) for n, (x1, y1) in enumerate(pairs) for x2, y2 in pairs[n + 1 :] if x1 != x2]
    if not slopes:
        raise MeasureError("All points lie at the same hours; nothing tells a rate.")
    slope = median(slopes)
    return MedianLine(slope, median(ys) - slope * median(xs))


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


_TERMS = 6
_FARTHEST = 0.03  # of the variance: expanded no farther than that, where what is left out of it is under 1e-9
_GRID_STEPS = 30


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
        for _ in range(_GRID_STEPS):
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
