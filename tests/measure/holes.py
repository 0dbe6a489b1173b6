"""Holes measured in a line or two, for the tests of what their readings say."""

import datetime
import itertools
import math
import random
from collections.abc import Iterator, Mapping, Sequence

from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import FULL_SET, parse_clock
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument

DAY = datetime.date(2026, 3, 14)
_COUNT: Iterator[int] = itertools.count()


def read(size: str, clock: str = "12", face: Face = "near", instrument: str = "") -> BoreReading:
    """Return one reading, later than all before it."""
    n = next(_COUNT)
    at = f"{n // 3600 % 24:02d}:{n // 60 % 60:02d}:{n % 60:02d}"
    return BoreReading(
        at=at, round=f"{DAY}-sam", day=DAY, who="sam", hole="eye", size=parse_length(size), clock=parse_clock(clock),
        face=face, instrument=instrument,
    )  # fmt: skip


def along(clock: str, *sizes: str, face: Face = "near", instrument: str = "") -> list[BoreReading]:
    """Return repeats along one line."""
    return [read(size, clock, face, instrument) for size in sizes]


def sweeps(*rounds: Sequence[str], clocks: Sequence[str] = FULL_SET) -> list[BoreReading]:
    """Return readings once round after another."""
    return [read(size, clock) for sizes in rounds for clock, size in zip(clocks, sizes, strict=True)]


def oval(
    seed: int, count: int, *, amplitude_mm: float = 0.1, sd_mm: float = 0.02, bad_mm: float = 0.0
) -> list[BoreReading]:
    """Return `count` sweeps over a true oval, scattered with a seed; the last reading at 3 is off by `bad_mm`."""
    dice = random.Random(seed)
    found = []
    for number in range(count):
        for clock in FULL_SET:
            true = 25 + amplitude_mm * math.cos(math.radians(2 * (parse_clock(clock).angle_deg - 70)))
            off = bad_mm if clock == "3" and number == count - 1 else 0.0
            found.append(read(f"{true + dice.gauss(0, sd_mm) + off:.2f}", clock))
    return found


def size_of(readings: Sequence[BoreReading], instruments: Mapping[str, Instrument] | None = None) -> HoleSize:
    """Return the hole's size."""
    return hole_size(readings, instruments or {})
