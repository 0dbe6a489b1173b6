"""How much more measuring would settle whether a limit is passed, if the number stays where it is."""

import math
from dataclasses import replace

from fieldlog.measure.estimate import Estimate, Part
from fieldlog.measure.rounding import mm_text
from fieldlog.records.frozen import dataclass
from fieldlog.records.quantities import Units
from fieldlog.wear.pooling import is_shared

MOST_TIMES = 9  # more than that nobody does; then the wear decides before the caliper does


@dataclass(frozen=True, slots=True)
class Settling:
    """How many times as much measuring it takes in all; None when no reasonable amount with these jaws does.

    `gap_mm` is the distance from the line, `best_mm` the 95 % half-width that is left when the scatter is averaged
    away: the error that all readings with these jaws share.
    """

    times: int | None
    gap_mm: float
    best_mm: float


def settling(estimate: Estimate, line_mm: float) -> Settling:
    """Return how many times as many readings would bring the 95 % half-width under the distance from a line.

    The scatter shrinks with the root of the number of readings, an instrument's limit of error does not (GUM 4.2.3,
    4.3.7). Valid for repeats that are independent of each other.
    """
    gap_mm = abs(estimate.value_mm - line_mm)
    enough = (times for times in range(1, MOST_TIMES + 1) if repeated(estimate, times).expanded_mm < gap_mm)
    shared = tuple(part for part in estimate.parts if is_shared(part))
    return Settling(next(enough, None), gap_mm, Estimate(estimate.value_mm, shared).expanded_mm)


def repeated(estimate: Estimate, times: int) -> Estimate:
    """Return an estimate as it would be from so many times the readings."""

    def part(one: Part) -> Part:
        return one if is_shared(one) else replace(one, u_mm=one.u_mm / math.sqrt(times), dof=one.dof * times)

    return Estimate(estimate.value_mm, tuple(map(part, estimate.parts)))


def settling_advice(estimate: Estimate, line_mm: float, units: Units) -> str:
    """Return what to do next about a number that lies within its doubt of a line, in lower case."""
    found = settling(estimate, line_mm)
    if found.times is not None:
        times = max(found.times, 2)
        return f"measure again, all four lines: {times} times as many readings in all settle it if it stays where it is"
    if found.best_mm >= found.gap_mm:
        best = mm_text(found.best_mm, units)
        return f"measure again with a better caliper: these jaws are good to {best} at best, however often they measure"
    return "measure again after some more work: it lies so near the line that wear will tell before the caliper does"


def another_day_advice(estimate: Estimate, line_mm: float) -> str:
    """Return the same for a line that is only watched: not worth a better caliper, nor a wait."""
    times = settling(estimate, line_mm).times
    enough = f": {max(times, 2)} times as many readings in all settle it" if times is not None else ""
    return f"measure again on another day{enough}"
