"""Calipers, holes and measuring days as they might be, drawn with a seed: what the coverage benchmarks measure.

A caliper is drawn within the limits as the program models them (its scale, its zero, its jaws, the bores it was checked
in), read to its step and typed; the typed text goes through the program as a person's would.
"""

import datetime
import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.measure.instruments import error_limit_mm
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.value import Value
from fieldlog.records.checks import Check, CheckKind, parse_shown_list
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument

SEED = 20261125
DAYS = 2000
WANTED = (0.93, 0.97)
TODAY = datetime.date(2026, 5, 1)
CHECKED = datetime.date(2026, 4, 1)
BORE_TOLERANCE_MM = 0.005
FULL = ("12", "1:30", "3", "4:30")
Diameter = Callable[[float], float]


@dataclass(frozen=True)
class Hand:
    """A caliper as it really is on one day, and the instrument as the logbook knows it."""

    instrument: Instrument
    scatter_mm: float
    step_mm: float
    bias_mm: float
    width_mm: float
    in_inches: bool = False

    def typed(self, true_mm: float, dice: random.Random) -> str:
        """Return what is typed: the chord of the jaws, what the caliper is off by, the hand, read to the step."""
        chord = math.sqrt(true_mm**2 - self.width_mm**2)
        read = chord + self.bias_mm + dice.gauss(0, self.scatter_mm)
        if self.in_inches:
            return f"{round(read / 25.4 / 0.0005) * 0.0005:.4f} in"
        places = max(0, -math.floor(math.log10(self.step_mm)))
        return f"{round(read / self.step_mm) * self.step_mm:.{places}f} mm"


@dataclass(frozen=True)
class History:
    """A hole, how it was measured, and who draws the caliper of the day."""

    name: str
    diameter: Diameter
    lines: tuple[str, ...]
    repeats: int
    caliper: Callable[[random.Random], Hand]
    faces: tuple[tuple[Face, float], ...] = (("near", 0.0),)


def round_hole(size_mm: float) -> Diameter:
    """Return a round hole."""
    return lambda angle_deg: size_mm


def oval(mean_mm: float, ovality_mm: float, axis_deg: float) -> Diameter:
    """Return an oval hole."""
    return lambda angle_deg: mean_mm + ovality_mm / 2 * math.cos(math.radians(2 * (angle_deg - axis_deg)))


def one_wall(bore_mm: float, pin_mm: float, depth_mm: float, axis_deg: float) -> Diameter:
    """Return a bore into one wall of which a pin wore its own circle."""
    centre = bore_mm / 2 + depth_mm - pin_mm / 2

    def diameter(angle_deg: float) -> float:
        turn = math.radians(angle_deg - axis_deg)
        across = abs(math.cos(turn))
        worn = centre * across + math.sqrt((pin_mm / 2) ** 2 - centre**2 * (1 - across**2))
        return max(worn, bore_mm / 2) + bore_mm / 2

    return diameter


def within(half_mm: float, dice: random.Random) -> float:
    """Return an error anywhere within a limit."""
    return dice.uniform(-half_mm, half_mm)


def check(kind: CheckKind, readings: Sequence[str], size: str = "") -> Check:
    """Return a check as typed."""
    known = parse_length(size) if size else None
    tolerance = parse_length(f"{BORE_TOLERANCE_MM} mm") if size else None
    return Check("c", CHECKED, kind, parse_shown_list("; ".join(readings)), known, tolerance)


def zero_check(dice: random.Random) -> tuple[Check, float]:
    """Return a zero check read to 0.01 mm, and the zero as it is on the day of the readings."""
    typed = [f"{dice.gauss(0, 0.008):.2f}".replace("-0.00", "0.00") for _ in range(2)]
    half_mm = max(abs(sum(map(float, typed)) / 2), 0.005)
    return check("zero", typed), within(half_mm, dice)


def digital(error: str = "0.03", inside: str = "0.04", jaw_width: str = "", jaw_error: str = "") -> Instrument:
    """Return a digital caliper of 0.01 mm."""
    return Instrument(
        "c",
        resolution=parse_length("0.01 mm"),
        error_limit=parse_length(error),
        inside_error_limit=parse_length(inside),
        jaw_width=parse_length(jaw_width) if jaw_width else None,
        jaw_width_error=parse_length(jaw_error) if jaw_error else None,
    )


def checked_caliper(scatter_mm: float = 0.015) -> Callable[[random.Random], Hand]:
    """Return calipers with a zero check and nothing known of their jaws."""

    def draw(dice: random.Random) -> Hand:
        zero, off = zero_check(dice)
        instrument = replace(digital(), checks=(zero,))
        return Hand(instrument, scatter_mm, 0.01, within(0.04, dice) + off, 0.0)

    return draw


def unchecked_inch_caliper(dice: random.Random) -> Hand:
    """Draw an inch caliper of 0.0005 in that nobody ever checked, with the usual limits."""
    instrument = Instrument("c", resolution=parse_length("0.0005 in"))
    bias = within(error_limit_mm(instrument, "inside"), dice) + within(0.03, dice)
    return Hand(instrument, 0.02, 0.0127, bias, 0.0, in_inches=True)


def vernier(dice: random.Random) -> Hand:
    """Draw a vernier of 0.05 mm, checked: its step is coarser than the hand."""
    zero, off = zero_check(dice)
    instrument = replace(digital("0.05", "0.07"), resolution=parse_length("0.05 mm"), checks=(zero,))
    return Hand(instrument, 0.01, 0.05, within(0.07, dice) + off, 0.0)


def stated_jaws(dice: random.Random) -> Hand:
    """Draw a caliper whose jaws are stated 1.5 mm wide, known to 0.2 mm, its zero never checked."""
    instrument = digital(jaw_width="1.5 mm", jaw_error="0.2 mm")
    return Hand(instrument, 0.015, 0.01, within(0.04, dice) + within(0.03, dice), 1.5 + within(0.2, dice))


def read_bore(hand: Hand, size_mm: float, dice: random.Random) -> Check:
    """Return a check in a known bore that is within its tolerance of its stated size; five readings."""
    true_mm = size_mm + within(BORE_TOLERANCE_MM, dice)
    return check("known bore", [hand.typed(true_mm, dice) for _ in range(5)], f"{size_mm:.3f} mm")


def learnt_jaws(*bores_mm: float, offset_mm: float | None) -> Callable[[random.Random], Hand]:
    """Return calipers with jaws of 1.2 mm whose offset is learnt; None draws one within the inside limit."""

    def draw(dice: random.Random) -> Hand:
        offset = within(0.04, dice) if offset_mm is None else offset_mm
        zero, off = zero_check(dice)
        bare = Hand(digital(), 0.015, 0.01, -offset, 1.2)
        instrument = replace(digital(), checks=(zero, *(read_bore(bare, size, dice) for size in bores_mm)))
        return replace(bare, instrument=instrument, bias_mm=-offset + within(0.03, dice) + off)

    return draw


def measured(history: History, dice: random.Random) -> tuple[Value, Value]:
    """Return the smallest and the largest size of one measuring day."""
    size = read_day(history, history.caliper(dice), dice)
    return size.smallest, size.largest


def read_day(history: History, hand: Hand, dice: random.Random, day: datetime.date = TODAY) -> HoleSize:
    """Measure a hole once as its history says, with one caliper."""
    readings: list[BoreReading] = []
    for face, wider_mm in history.faces:
        for _ in range(history.repeats):
            for line in history.lines:
                clock = parse_clock(line)
                typed = hand.typed(history.diameter(clock.angle_deg) + wider_mm, dice)
                readings.append(
                    BoreReading(
                        at=f"{len(readings):02d}", round="r", day=day, who="a", hole="h", size=parse_length(typed),
                        clock=clock, face=face, instrument=hand.instrument.id,
                    )
                )  # fmt: skip
    return hole_size(readings, {hand.instrument.id: hand.instrument})


def true_sizes(history: History) -> tuple[float, float]:
    """Return the true smallest and largest diameter over all faces."""
    around = [history.diameter(tenth / 10) + wider for tenth in range(1800) for _, wider in history.faces]
    return min(around), max(around)


def holds(size: Value, true_mm: float) -> bool:
    """Tell whether the interval holds the truth."""
    return abs(size.value - true_mm) <= size.plus_minus


def row(name: str, *shares: float) -> bool:
    """Print one line and tell whether all shares are as wanted."""
    is_good = all(WANTED[0] <= share <= WANTED[1] for share in shares)
    print(f"{name:<36}{'   '.join(f'{100 * share:5.1f} %' for share in shares):<22}{'' if is_good else '  outside'}")
    return is_good
