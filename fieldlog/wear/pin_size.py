"""The size of a joint's pin: measured in its worn band, at its unworn end, as stated, or as the hole suggests."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from fieldlog.measure.estimate import Estimate, exactly
from fieldlog.measure.instruments import UNKNOWN_CALIPER, limit_part, step_mm, usual_repeatability_mm
from fieldlog.measure.pins import PinAnswer
from fieldlog.measure.repeats import estimate_of_mean
from fieldlog.records.entries import PinPlace, PinReading
from fieldlog.records.machine import Instrument, Joint


@dataclass(frozen=True, slots=True)
class PinDay:
    """A pin's smallest diameter at one place as measured in one round."""

    day: datetime.date
    size: Estimate


@dataclass(frozen=True, slots=True)
class PinSize:
    """The pin size that clearance is reckoned from, and where it comes from."""

    size: Estimate
    origin: str
    is_measured: bool


def pin_days(
    readings: Sequence[PinReading], place: PinPlace, instruments: Mapping[str, Instrument]
) -> tuple[PinDay, ...]:
    """Return the smallest direction of a pin at one place, a round at a time, oldest first."""
    wanted = sorted((r for r in readings if r.place == place), key=lambda r: (r.day, r.round, r.at))
    days = []
    for (day, _), group in groupby(wanted, key=lambda r: (r.day, r.round)):
        lines: dict[float, list[PinReading]] = {}
        for reading in group:
            lines.setdefault(reading.clock.angle_deg if reading.clock else 0.0, []).append(reading)
        sizes = [_size(line, instruments) for line in lines.values()]
        days.append(PinDay(day, min(sizes, key=lambda size: size.value_mm)))
    return tuple(days)


def _size(readings: Sequence[PinReading], instruments: Mapping[str, Instrument]) -> Estimate:
    used = [instruments.get(reading.instrument, UNKNOWN_CALIPER) for reading in readings]
    limit = max((limit_part(instrument, "outside") for instrument in used), key=lambda part: part.u_mm)
    step = max(step_mm(reading.size, instrument) for reading, instrument in zip(readings, used, strict=True))
    return estimate_of_mean(
        [float(reading.size.mm) for reading in readings], limit, max(map(usual_repeatability_mm, used)), step
    )


def pin_size(
    joint: Joint,
    worn: Sequence[PinDay],
    unworn: Sequence[PinDay],
    answer: PinAnswer,
    day: datetime.date | None,
) -> PinSize | None:
    """Return the pin size in force on `day` (None: today): worn band, unworn end, stated, then the smaller guess.

    Of several pins that a hole may have been made for, the smaller is taken; it gives the larger clearance.
    """
    for days, words in ((worn, "worn band of the pin"), (unworn, "unworn end of the pin")):
        until = [pin for pin in days if day is None or pin.day <= day] or list(days)[:1]
        if until:
            return PinSize(until[-1].size, words, is_measured=True)
    if joint.pin is not None:
        return PinSize(exactly(float(joint.pin.mm)), f"pin taken as {joint.pin.typed}, not measured", is_measured=False)
    if answer.candidates:
        fits = [c for c in answer.candidates if c.standing == "fits unworn"] or list(answer.candidates)
        guess = min(fits, key=lambda c: c.size_mm)
        origin = f"pin taken as {guess.name}, the smaller that fits; not measured"
        return PinSize(exactly(guess.size_mm), origin, is_measured=False)
    return None
