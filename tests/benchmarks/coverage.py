"""How often the 95 % intervals hold the truth: ten holes and two links of known true size, 2,000 measuring days each.

Run by hand: `.venv/bin/python tests/benchmarks/coverage.py`. Every day draws an instrument within the limits as the
program models them (its scale, its zero, its jaws, the bores it was checked in), reads it to its step, types it,
and sends the typed text through the program as a person would. Printed is the share of days on which the interval
of the smallest and of the largest size held the true one; 93 to 97 % is wanted.
"""

import datetime
import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.measure.instruments import error_limit_mm
from fieldlog.measure.lengths import link_length
from fieldlog.records.checks import Check, CheckKind, parse_shown_list
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading, Face, LengthReading, TapeWay
from fieldlog.records.machine import Instrument
from fieldlog.records.quantities import parse_length
from fieldlog.records.temperature import parse_temperature

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


HISTORIES = (
    History("round, full set", round_hole(19.30), FULL, 3, checked_caliper()),
    History("oval 0.30 along 20 degrees", oval(19.45, 0.30, 20.0), FULL, 2, checked_caliper()),
    History("worn into one wall, 0.5 deep", one_wall(22.4, 22.0, 0.5, 0.0), FULL, 3, checked_caliper()),
    History("worn into the 3 o'clock wall, 0.4", one_wall(25.65, 25.4, 0.4, 90.0), FULL, 2, checked_caliper()),
    History("three lines once, oval 0.25", oval(20.0, 0.25, 75.0), ("12", "2", "4"), 1, checked_caliper(0.02)),
    History("two lines twice, oval along them", oval(16.2, 0.40, 90.0), ("12", "3"), 2, checked_caliper(0.02)),
    History("one reading, inch, unchecked", round_hole(25.55), ("12",), 1, unchecked_inch_caliper),
    History("stated jaws in a small hole", round_hole(12.8), FULL, 2, stated_jaws),
    History("jaws learnt from 8 and 25 mm", oval(19.35, 0.15, 120.0), FULL, 3, learnt_jaws(8.0, 25.0, offset_mm=0.05)),
    History("one known bore, 20 mm", oval(25.5, 0.2, 45.0), FULL, 2, learnt_jaws(20.0, offset_mm=None)),
    History("vernier coarser than the hand", oval(31.9, 0.35, 0.0), FULL, 3, vernier),
    History(
        "bell-mouth, two faces", oval(19.5, 0.2, 0.0), FULL, 2, checked_caliper(), (("near", 0.25), ("middle", 0.0))
    ),
)


@dataclass(frozen=True)
class Drawn:
    """A kind of hole of which another one is drawn each day, so that nothing can be fitted to it."""

    name: str
    draw: Callable[[random.Random], Diameter]
    lines: tuple[str, ...] = FULL
    repeats: int = 3


def any_wall(dice: random.Random, axis_deg: float) -> Diameter:
    """Draw a bore of any size into one wall of which a pin 0.05 to 0.8 mm smaller wore 0.1 to 0.6 mm."""
    bore_mm = dice.uniform(15, 40)
    return one_wall(bore_mm, bore_mm - dice.uniform(0.05, 0.8), dice.uniform(0.1, 0.6), axis_deg)


DRAWN = (
    Drawn("drawn: round", lambda dice: round_hole(dice.uniform(15, 40))),
    Drawn("drawn: oval 0.1 to 0.6, any way", lambda d: oval(d.uniform(15, 40), d.uniform(0.1, 0.6), d.uniform(0, 180))),
    Drawn("drawn: one wall, along a line", lambda dice: any_wall(dice, dice.choice((0.0, 45.0, 90.0, 135.0)))),
)

# what the lines cannot see: printed, not counted
WEAK = (
    Drawn("one wall, within 8 degrees of a line", lambda dice: any_wall(dice, dice.uniform(-8, 8))),
    Drawn("one wall, any way", lambda dice: any_wall(dice, dice.uniform(0, 180))),
    Drawn("the same, six lines", lambda d: any_wall(d, d.uniform(0, 180)), ("12", "1", "2", "3", "4", "5"), 2),
    Drawn("two lines, oval 0.10 between", lambda dice: oval(16.2, 0.10, 45.0), ("12", "3"), 2),
    Drawn(
        "two lines, oval to 0.2, any way",
        lambda d: oval(16.2, d.uniform(0, 0.2), d.uniform(0, 180)), ("12", "3"), 2,
    ),
)  # fmt: skip


def measured(history: History, dice: random.Random) -> tuple[Estimate, Estimate]:
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


def holds(size: Estimate, true_mm: float) -> bool:
    """Tell whether the interval holds the truth."""
    return abs(size.value_mm - true_mm) <= size.expanded_mm


def taped(ways: tuple[TapeWay, ...], dice: random.Random) -> bool:
    """Measure a link with a class II inch tape, in the cold; tell whether the interval holds its length.

    The screw stands anywhere within one step each day: with one length the few fractions near it would be all there is.
    """
    true_mm, near_mm, far_mm = 641.3 + dice.uniform(0, 25.4 / 16), 19.4, 22.7
    shares = {"outside": (0.5, 0.5), "inside": (-0.5, -0.5), "outer to inner": (0.5, -0.5)}
    tape = Instrument("t", kind="tape", resolution=parse_length("1/16"), tape_class="II")
    common = within(0.5, dice) + within(11.5e-6 * true_mm * 12, dice)
    readings: list[LengthReading] = []
    for way in ways:
        near, far = shares[way]
        edge_mm = true_mm + near * near_mm + far * far_mm + common + within(1.0, dice)
        sixteenths = round(edge_mm / 25.4 * 16)
        readings.append(
            LengthReading(
                at=f"{len(readings):02d}", round="r", day=TODAY, who="a", link="l", way=way, instrument="t",
                size=parse_length(f"{sixteenths // 16} {sixteenths % 16}/16"), temperature=parse_temperature("8 degC"),
            )
        )  # fmt: skip
    holes = [Estimate(size, ()) for size in (near_mm, far_mm)]
    length = link_length(readings, holes[0], holes[1], {"t": tape})
    assert length is not None
    assert length.centres is not None
    return holds(length.centres, true_mm)


def row(name: str, *shares: float) -> bool:
    """Print one line and tell whether all shares are as wanted."""
    is_good = all(WANTED[0] <= share <= WANTED[1] for share in shares)
    print(f"{name:<36}{'   '.join(f'{100 * share:5.1f} %' for share in shares):<22}{'' if is_good else '  outside'}")
    return is_good


def covered(history: History) -> tuple[float, float]:
    """Return the shares of days on which the smallest and the largest size were held."""
    dice = random.Random(f"{SEED} {history.name}")
    smallest, largest = true_sizes(history)
    days = [measured(history, dice) for _ in range(DAYS)]
    return sum(holds(day[0], smallest) for day in days) / DAYS, sum(holds(day[1], largest) for day in days) / DAYS


def covered_drawn(kind: Drawn) -> tuple[float, float]:
    """Return the same where every day has a hole of its own."""
    dice, held = random.Random(f"{SEED} {kind.name}"), [0, 0]
    for _ in range(DAYS):
        diameter = kind.draw(dice)
        history = History(kind.name, diameter, kind.lines, kind.repeats, checked_caliper())
        around = [diameter(half / 2) for half in range(360)]
        sizes = measured(history, dice)
        held = [held[k] + holds(sizes[k], truth) for k, truth in enumerate((min(around), max(around)))]
    return held[0] / DAYS, held[1] / DAYS


def main() -> int:
    """Print the table; exit status 1 when a history is outside."""
    print(f"seed {SEED}, {DAYS} days each; share of days on which the 95 % interval held the truth")
    print(f"{'':<36}smallest  largest")
    good = []
    for history in HISTORIES:
        good.append(row(history.name, *covered(history)))
    tapings: tuple[tuple[str, tuple[TapeWay, ...]], ...] = (
        ("link, outside and inside, 1/16 in", ("outside", "inside")),
        ("link, one way, 1/16 in", ("outer to inner",)),
    )
    for name, ways in tapings:
        dice = random.Random(f"{SEED} {name}")
        good.append(row(name, sum(taped(ways, dice) for _ in range(DAYS)) / DAYS))
    good += [row(kind.name, *covered_drawn(kind)) for kind in DRAWN]
    print("known to be weak, not counted:")
    for kind in WEAK:
        row(kind.name, *covered_drawn(kind))
    return 0 if all(good) else 1


if __name__ == "__main__":
    raise SystemExit(main())
