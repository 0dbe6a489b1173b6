"""What to tell the person who still stands at the hole, after each reading.

The work of one reading does not grow with the seasons behind it: what came before is worked out once, on
coming to the hole.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fieldlog.measure.estimate import Estimate, difference
from fieldlog.measure.flags import Flag, bore_flags
from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm
from fieldlog.measure.pins import PinAnswer, PinEvidence, identify_pin
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Instrument
from fieldlog.records.quantities import Units
from fieldlog.wear.states import HoleState, JointState


@dataclass(frozen=True, slots=True)
class Before:
    """What was known of the hole on coming to it, this round left out."""

    sizes: tuple[HoleSize, ...]
    joint: JointState | None
    category: str | None

    @property
    def last(self) -> HoleSize | None:
        """The hole as measured last time, since its last renewal."""
        return self.sizes[-1] if self.sizes else None

    @property
    def expected_mm(self) -> float | None:
        """About how large the hole is, None when nothing tells."""
        if self.last is not None:
            return self.last.largest.value_mm
        if self.joint is not None and self.joint.pin_size is not None:
            return self.joint.pin_size.value_mm
        if self.joint is not None and self.joint.joint.pin is not None:
            return float(self.joint.joint.pin.mm)
        return None


@dataclass(frozen=True, slots=True)
class Sight:
    """The hole now, the change since last time, the pin it fits, and what is doubtful about the last reading."""

    now: HoleSize
    change: Estimate | None
    pin: PinAnswer | None
    flags: tuple[Flag, ...]


def before_this_round(state: HoleState, joint: JointState | None, category: str | None, round_id: str) -> Before:
    """Return what was known of a hole before a round."""
    span = state.history[state.span_start :]
    return Before(tuple(size for size in span if size.round != round_id), joint, category)


def look(
    readings: Sequence[BoreReading], before: Before, instruments: Mapping[str, Instrument], units: Units
) -> Sight:
    """Return what the standing readings of one hole in this round say; at least one reading, the last one newest."""
    now = hole_size(readings, instruments)
    newest = readings[-1]
    step = step_mm(newest.size, instruments.get(newest.instrument, UNKNOWN_CALIPER))
    change = difference(now.largest, before.last.largest) if before.last is not None else None
    return Sight(
        now=now,
        change=change,
        pin=_pin(now, before, units),
        flags=bore_flags(float(newest.size.mm), now, before.sizes, step, units),
    )


def _pin(now: HoleSize, before: Before, units: Units) -> PinAnswer | None:
    if before.joint is None:
        return None
    holes = []
    for state in before.joint.holes:
        identity = state.identity
        if state.hole.id == now.hole:
            seen = [now.smallest, *(size.smallest for size in before.sizes)]
            identity = min(seen, key=lambda size: size.value_mm)
        if identity is not None:
            holes.append((state.hole, identity))
    return identify_pin(PinEvidence(before.joint.joint, tuple(holes), None, before.category), units)
