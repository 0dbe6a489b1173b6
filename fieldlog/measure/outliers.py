"""Which readings stand apart from the others by more than chance: Grubbs and the generalised ESD.

One source for critical values: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (Grubbs, two-sided) and
1.3.5.17.3 (generalised ESD, after Rosner 1983), p = 1 - alpha / (2 m) with m readings left. ISO 16269-4:2010 takes
p = (1 - alpha / 2)^(1 / m), which differs in the third decimal. The first step of the ESD is then Grubbs's test.

Readings along different lines share a fitted oval, not a mean. Their residuals are studentised with their leverage,
and the same test holds with the number of fitted unknowns k in place of 1 (R. E. Lund, Technometrics 17, 1975).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.measure.distributions import t_quantile
from fieldlog.measure.repeats import mean

SIGNIFICANCE = 0.05
FEWEST_SPARE = 3  # readings beyond the unknowns; with two, two equal readings would condemn a third (n = 3)
_SAME = 1e-12  # spreads smaller than this share of the readings are float dust
_NO_SAY = 1e-9  # a reading whose leverage is this near to 1 is met by the fit whatever it is


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far a reading is from what was fitted to all, and how much the fit follows it: leverage, 0 to 1."""

    residual: float
    leverage: float

    @property
    def from_the_others(self) -> float:
        """How far it is from what the other readings alone would have given."""
        return self.residual / max(1 - self.leverage, _NO_SAY)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the test: the reading farthest out, its statistic, and what chance allows the farthest one."""

    index: int
    statistic: float
    critical: float
    deviation: Deviation


Fit = Callable[[Sequence[int]], Sequence[Deviation] | None]


def ceiling(count: int) -> float:
    """Return (n - 1) / sqrt(n), which |x - mean| / s of n readings can never exceed, whatever they are."""
    return (count - 1) / math.sqrt(count)


def studentised_critical(count: int, unknowns: int, alpha: float = SIGNIFICANCE) -> float:
    """Return what chance allows the largest |residual| / (s sqrt(1 - leverage)) of a fit, two-sided.

    sqrt(f) t / sqrt(f - 1 + t^2), f = count - unknowns, t at 1 - alpha / (2 count) with f - 1 degrees of freedom;
    f of 2 or more. No statistic exceeds sqrt(f).
    """
    spare = count - unknowns
    if spare < 2:
        raise MeasureError("Too few readings to single one out; measure again.")
    t = t_quantile(1 - alpha / (2 * count), float(spare - 1))
    return t * math.sqrt(spare / (spare - 1 + t * t))


def grubbs_critical(count: int, alpha: float = SIGNIFICANCE) -> float:
    """Return the two-sided critical value of Grubbs's test for n readings; 3 or more."""
    return studentised_critical(count, 1, alpha) * _to_plain(count)


def _to_plain(count: int) -> float:
    """Return the factor from |residual| / (s sqrt(1 - 1/n)) to |x - mean| / s."""
    return math.sqrt((count - 1) / count)


def grubbs(values: Sequence[float], alpha: float = SIGNIFICANCE) -> Step:
    """Return Grubbs's test of the value farthest from the mean; three or more values."""
    if len(values) < 3:
        raise MeasureError("Two readings cannot tell which of them is wrong; measure a third time.")
    return generalised_esd(values, 1, alpha)[0]


def generalised_esd(values: Sequence[float], most: int, alpha: float = SIGNIFICANCE) -> tuple[Step, ...]:
    """Return the steps of the generalised ESD test for up to `most` values that stand apart from the mean.

    Each step takes the value farthest from the mean of what is left; see `stand_apart`.
    """

    def fit(left: Sequence[int]) -> Sequence[Deviation]:
        centre = mean([values[i] for i in left])
        return [Deviation(values[i] - centre, 1 / len(left)) for i in left]

    steps = esd_of_fit(fit, values, 1, most, alpha)
    factors = [_to_plain(len(values) - number) for number in range(len(steps))]
    return tuple(
        Step(step.index, step.statistic * factor, step.critical * factor, step.deviation)
        for step, factor in zip(steps, factors, strict=True)
    )


def esd_of_fit(
    fit: Fit, values: Sequence[float], unknowns: int, most: int, alpha: float = SIGNIFICANCE
) -> tuple[Step, ...]:
    """Return the steps of the generalised ESD test on the studentised residuals of a fit.

    Args:
        fit: returns the deviations of the readings left, given their indices; None when they do not make a fit.
        values: the readings.
        unknowns: how many numbers are fitted.
        most: how many steps at most; it stops earlier when too few readings are left.
        alpha: the chance of singling out any reading of a set that holds none that is wrong.
    """
    left = list(range(len(values)))
    scale = max((abs(value) for value in values), default=0.0)
    steps: list[Step] = []
    while len(steps) < most and len(left) - unknowns >= 2:
        deviations = fit(left)
        if deviations is None:
            break
        spread = math.sqrt(math.fsum(d.residual**2 for d in deviations) / (len(left) - unknowns))
        sizes = [_studentised(d, spread, scale) for d in deviations]
        place = max(range(len(left)), key=lambda i: sizes[i])
        critical = studentised_critical(len(left), unknowns, alpha)
        steps.append(Step(left[place], sizes[place], critical, deviations[place]))
        del left[place]
    return tuple(steps)


def _studentised(deviation: Deviation, spread: float, scale: float) -> float:
    if spread <= _SAME * scale or 1 - deviation.leverage < _NO_SAY:
        return 0.0
    return abs(deviation.residual) / (spread * math.sqrt(1 - deviation.leverage))


def stand_apart(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps up to the last that exceeds what chance allows.

    Not up to the first that does not: two readings that are wrong together hide each other at first (masking).
    """
    last = max((number for number, step in enumerate(steps, 1) if step.statistic > step.critical), default=0)
    return tuple(steps[:last])
