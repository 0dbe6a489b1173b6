"""What is left of a bush's wall: measured at its thinnest, or reckoned from what the hole has grown.

A pin wears one side of its bush, so the wall there has lost what the hole has grown over its size as made. Judged is
the wear of the wall against its own limit; half of it gone is the usual end (a loader manual; a third is watched).
"""

from collections.abc import Sequence
from itertools import groupby

from fieldlog.measure.estimate import Estimate, difference, exactly
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm
from fieldlog.measure.repeats import estimate_of_mean
from fieldlog.measure.worth import worth_of
from fieldlog.records.entries import WallReading
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Hole, Joint, Logbook, Machine, Share
from fieldlog.records.quantities import Length
from fieldlog.standards.joints import BUSH_WALL_RENEW, BUSH_WALL_WATCH, COMMON_PRACTICE
from fieldlog.wear.index import Index
from fieldlog.wear.limits import nearest_first
from fieldlog.wear.series import Value, hole_value, value_of
from fieldlog.wear.spans import Moment, bore_cuts, moment
from fieldlog.wear.states import HoleState, LimitInForce


@dataclass(frozen=True, slots=True)
class BushWall:
    """A bush's wall: as new (None when nothing tells), and what is worn off it on each day of the last part."""

    new_mm: float | None
    worn: tuple[Value, ...]
    is_measured: bool

    @property
    def latest(self) -> Estimate | None:
        """What is worn off it now."""
        return self.worn[-1].value if self.worn else None


def bush_wall(state: HoleState, index: Index) -> BushWall | None:
    """Return a bush's wall over time; None for a hole without a bush, or where nothing tells its wall.

    Readings of the wall itself come first. Without them the wall has lost what the hole grew over its smallest
    size since it was new.
    """
    if state.hole.kind != "bushed":
        return None
    new_mm = _as_new_mm(state)
    readings = index.walls.get(state.hole.id, ())
    cut = max(bore_cuts(index.events, state.hole, index.machine), default=None)
    since = [reading for reading in readings if cut is None or moment(reading) > cut]
    if since:
        return _from_readings(since, new_mm, index)
    if new_mm is None or state.identity is None:
        return None
    made = exactly(state.identity.value_mm)
    span = state.history[state.span_start :]
    grown = [hole_value(size, difference(size.largest, made)) for size in span]
    return BushWall(new_mm, tuple(grown), is_measured=False)


def _as_new_mm(state: HoleState) -> float | None:
    """Return a bush's wall when new: as stated, or half of what its outside is over the hole as made."""
    hole = state.hole
    if hole.bush_wall is not None:
        return float(hole.bush_wall.mm)
    if hole.bush_outside is None or state.identity is None:
        return None
    wall_mm = (float(hole.bush_outside.mm) - state.identity.value_mm) / 2
    return wall_mm if wall_mm > 0 else None


def _from_readings(readings: Sequence[WallReading], new_mm: float | None, index: Index) -> BushWall:
    """Return what is worn off under the wall as new, or under the thickest ever read where that is not known."""
    days: list[tuple[Moment, Estimate, tuple[str, ...]]] = []
    for _, group in groupby(sorted(readings, key=lambda r: (r.day, r.round, r.at)), key=lambda r: (r.day, r.round)):
        together = tuple(group)
        places: dict[str, list[WallReading]] = {}
        for reading in together:
            places.setdefault(reading.clock.typed if reading.clock else "", []).append(reading)
        sizes = [(_thickness(place, index), tuple(r.key for r in place)) for place in places.values()]
        thinnest, keys = min(sizes, key=lambda pair: pair[0].value_mm)
        days.append((moment(together[0]), thinnest, keys))
    whole = exactly(new_mm if new_mm is not None else max(size.value_mm for _, size, _ in days))
    worn = tuple(value_of(when, difference(whole, size), keys) for when, size, keys in days)
    return BushWall(new_mm, worn, is_measured=True)


def _thickness(readings: Sequence[WallReading], index: Index) -> Estimate:
    used = [index.instruments.get(reading.instrument, UNKNOWN_CALIPER) for reading in readings]
    triples = [(i, float(r.size.mm), step_mm(r.size, i)) for r, i in zip(readings, used, strict=True)]
    worth = worth_of(triples, "outside", readings[0].day)
    return estimate_of_mean([mm for _, mm, _ in triples], worth.parts, worth.usual_mm, worth.step_mm)


def wall_limit(
    joint: Joint, hole: Hole, new_mm: float | None, machine: Machine, logbook: Logbook
) -> LimitInForce | None:
    """Return how much may be worn off a bush's wall: the nearest limit given, else half of it by usual practice.

    A limit in mm is the least wall to be left, a share that of the wall as new worn away. None without a wall as new.
    """
    if new_mm is None:
        return None
    limits = nearest_first(joint, hole.id, machine, logbook)
    own = next((limit for limit in limits if limit.of == "bush wall"), None)
    if own is None:
        origin = f"default: half of its wall of {new_mm:.2f} mm ({COMMON_PRACTICE})"
        return LimitInForce("bush wall", BUSH_WALL_WATCH * new_mm, BUSH_WALL_RENEW * new_mm, origin)
    watch_mm = _worn_mm(own.watch, new_mm) if own.watch is not None else None
    return LimitInForce("bush wall", watch_mm, _worn_mm(own.renew, new_mm), own.origin)


def _worn_mm(value: Length | Share, new_mm: float) -> float:
    return new_mm - float(value.mm) if isinstance(value, Length) else float(value.percent) / 100 * new_mm
