"""The metal left beside a hole, edge to edge at points of the clock: it tells which wall wore; a diameter cannot.

A pin wears one wall. The bore grows along that line whichever of its two walls it is; only the thickness outside the
hole says which, against the opposite wall or against the first time it was measured.
"""

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.estimate import Estimate, Part, difference_named
from fieldlog.measure.growth import Seen, growth
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm
from fieldlog.measure.repeats import mean, pooled_scatter, scatter_part
from fieldlog.measure.worth import worth_of
from fieldlog.records.clock import point_deg
from fieldlog.records.entries import LigamentReading
from fieldlog.records.machine import Instrument

POINTS = ("12", "6", "3", "9")


@dataclass(frozen=True, slots=True)
class Wall:
    """The metal at one point as measured in one round; its first part is the scatter, the rest the instrument's."""

    clock: str
    point_deg: float
    size: Estimate
    keys: tuple[str, ...]
    day: datetime.date
    who: str


@dataclass(frozen=True, slots=True)
class WallGap:
    """One wall less another, or less itself at first; `is_proved` when chance does not give it."""

    clock: str
    other: str
    size: Estimate
    keys: tuple[str, ...]

    @property
    def is_proved(self) -> bool:
        """True when the whole 95 % interval is on one side of zero."""
        return abs(self.size.value_mm) > self.size.expanded_mm


def walls_of(readings: Sequence[LigamentReading], instruments: Mapping[str, Instrument]) -> tuple[Wall, ...]:
    """Return the walls measured in one round, clockwise from 12."""
    if not readings:
        return ()
    points: dict[float, list[LigamentReading]] = {}
    for reading in readings:
        points.setdefault(point_deg(reading.clock), []).append(reading)
    used = [(reading, instruments.get(reading.instrument, UNKNOWN_CALIPER)) for reading in readings]
    triples = [(tool, float(reading.size.mm), step_mm(reading.size, tool)) for reading, tool in used]
    worth = worth_of(triples, "outside", readings[0].day)
    sizes = {point: [float(reading.size.mm) for reading in group] for point, group in points.items()}
    scatter = pooled_scatter(list(sizes.values()), worth.usual_mm)
    walls = []
    for point, group in sorted(points.items()):
        clock = group[0].clock.typed
        part = scatter_part(f"scatter of the metal at {clock}", scatter, len(group), worth.step_mm)
        size = Estimate(mean(sizes[point]), (part, *worth.parts))
        walls.append(
            Wall(clock, point, size, tuple(reading.key for reading in group), readings[0].day, readings[0].who)
        )
    return tuple(walls)


def opposite_gaps(walls: Sequence[Wall]) -> tuple[WallGap, ...]:
    """Return each wall less its opposite, thicker ones left out as the other of the pair.

    The caliper's own error is in both and cancels; their scatter is one figure, pooled over the whole round.
    """
    at = {wall.point_deg: wall for wall in walls}
    gaps = []
    for point, wall in at.items():
        other = at.get((point + 180) % 360)
        if other is None or point >= 180:
            continue
        thin, thick = sorted((wall, other), key=lambda w: w.size.value_mm)
        gap = difference_named((thin.size, f"at {thin.clock}"), (thick.size, f"at {thick.clock}"))
        gap = _with_one_scatter(gap, (thin, thick))
        gaps.append(WallGap(thin.clock, thick.clock, gap, (*thin.keys, *thick.keys)))
    return tuple(gaps)


def _with_one_scatter(gap: Estimate, walls: tuple[Wall, Wall]) -> Estimate:
    """Put the scatter of both walls into one part: two parts would have its degrees of freedom twice."""
    one, other = (wall.size.parts[0] for wall in walls)
    if one.is_limit or other.is_limit:
        return gap
    name = f"scatter of the metal at {walls[0].clock} and {walls[1].clock}"
    both = Part(name, math.hypot(one.u_mm, other.u_mm), one.dof, one.source)
    return replace(gap, parts=(both, *(part for part in gap.parts if not part.name.startswith("scatter of the metal"))))


def gaps_since(first: Sequence[Wall], now: Sequence[Wall]) -> tuple[WallGap, ...]:
    """Return each wall less the same wall as first measured; another caliper counts in full."""
    before = {wall.point_deg: wall for wall in first}
    pairs = [(wall, before[wall.point_deg]) for wall in now if wall.point_deg in before]
    return tuple(
        WallGap(
            wall.clock,
            wall.clock,
            growth(Seen(wall.size, wall.day, wall.who), Seen(then.size, then.day, then.who)),
            (*then.keys, *wall.keys),
        )
        for wall, then in pairs
    )
