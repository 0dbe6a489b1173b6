"""What pins and drill shanks tried in a hole prove about its size: inequalities.

A pin that goes through proves that the hole is at least its size; one that does not, or enters from one side only,
that the hole is somewhere smaller. A bore only grows: what did not go once was larger than the hole as made.
"""

import datetime
from collections.abc import Iterable

from fieldlog.measure.estimate import Estimate
from fieldlog.records.entries import Trial
from fieldlog.records.frozen import dataclass

# Two months of work change a hole by less than a caliper sees in it: common practice, no source.
SAME_STATE = datetime.timedelta(days=60)
# How far under its name a pin or shank that is tried may be, most likely: common practice, no source.
_UNDER_MM = {"pin": 0.06, "shank": 0.03}


@dataclass(frozen=True, slots=True)
class Bounds:
    """Between which sizes a hole is: the largest that went through and the smallest that did not."""

    goes: Trial | None = None
    no: Trial | None = None

    @property
    def least_mm(self) -> float:
        """The hole is at least this, minus infinity when nothing went."""
        return float(self.goes.size.mm) if self.goes is not None else float("-inf")

    @property
    def most_mm(self) -> float:
        """The hole is below this, infinity when nothing was refused."""
        return float(self.no.size.mm) if self.no is not None else float("inf")

    @property
    def is_contrary(self) -> bool:
        """Tell whether something went that is no smaller than what did not."""
        return self.least_mm >= self.most_mm


def bounds_of(trials: Iterable[Trial], hole_id: str, measured_on: datetime.date | None = None) -> Bounds:
    """Return the bounds that the trials set to a hole's smallest size.

    What went long after `measured_on`, the day the size is of, tells only of the wear since and is left out.
    """
    own = [trial for trial in trials if trial.hole == hole_id]
    went = [t for t in own if t.result == "goes" and (measured_on is None or t.day <= measured_on + SAME_STATE)]
    refused = [trial for trial in own if trial.result != "goes"]
    order = lambda trial: (trial.size.mm, trial.day, trial.at)  # noqa: E731 -- one key for both ends
    return Bounds(max(went, key=order, default=None), min(refused, key=order, default=None))


def under_name_mm(trial: Trial) -> float:
    """Return how far the pin or shank that was tried may be under its name, as a standard uncertainty."""
    return _UNDER_MM[trial.by]


def interval_of(smallest: Estimate | None, bounds: Bounds) -> tuple[float, float]:
    """Return between which sizes a hole's smallest is, by reading and trials together.

    Where they contradict each other neither is believed alone: the interval then holds both.
    """
    if bounds.is_contrary:
        bounds = Bounds()
    if smallest is None:
        return bounds.least_mm, bounds.most_mm
    low_mm, high_mm = smallest.value_mm - smallest.expanded_mm, smallest.value_mm + smallest.expanded_mm
    least, most = max(low_mm, bounds.least_mm), min(high_mm, bounds.most_mm)
    if least <= most:
        return least, most
    finite = [mm for mm in (bounds.least_mm, bounds.most_mm) if mm not in {float("-inf"), float("inf")}]
    return min(low_mm, *finite), max(high_mm, *finite)


def trial_words(trial: Trial) -> str:
    """Return '3/4 in pin' or '19.5 mm shank'."""
    return f"{trial.size.typed} {trial.by}"
