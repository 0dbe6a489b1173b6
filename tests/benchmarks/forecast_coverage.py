"""How often the forecast holds what will happen: simulated joints with known wear, through the whole program.

Every joint is measured by a simulated caliper, entry by entry, and assessed as a logbook would be; the forecast
interval is then held against the hours at which the true clearance reaches the limit. Run by hand:

    .venv/bin/python tests/benchmarks/forecast_coverage.py [JOINTS] [SEED]

Printed is, for each way of measuring, how many joints got a forecast and how many of those intervals held the truth;
95 % is meant, 93 to 97 % is good. The line without a caliper's own error shows the arithmetic alone. "Sooner than if it
doubled" is how many came sooner even than the earliest that is said for a rate that doubles on the way.
"""

import math
import random
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from fieldlog.measure.crossing import blended, crossing, kind_of
from fieldlog.measure.line_fit import Point, fit_points
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.clock import FULL_SET, parse_clock
from fieldlog.records.entries import AnyEntry, BoreReading, MachineLog, MeterReading, PinReading, in_time_order
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Logbook, Machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.trends.records import Trend
from tests.values import shared

START = date(2018, 4, 1)
LIMIT_MM = 1.0
TODAY = date(2026, 1, 1)


@dataclass(frozen=True)
class Way:
    """How a fleet is measured: days, sweeps of the four lines a day, scatter of a reading, the caliper's limit."""

    name: str
    days: int
    sweeps: int
    scatter_mm: float
    limit_mm: float
    rate: tuple[float, float] = (0.03, 0.10)  # mm per 100 h
    speeds_up: float = 0.0
    is_seen: bool = True


@dataclass(frozen=True)
class Truth:
    """A joint as it is: clearance at 0 h, wear per hour, its growth, the direction of the oval."""

    start_mm: float
    per_hour: float
    bending: float
    axis_deg: float

    def clearance_mm(self, hours: float) -> float:
        """The true clearance."""
        return self.start_mm + self.per_hour * hours + self.bending * hours * hours

    def reaches(self, limit_mm: float) -> float:
        """The hours at which the limit is reached."""
        gap = limit_mm - self.start_mm
        if self.bending == 0:
            return gap / self.per_hour
        return (-self.per_hour + math.sqrt(self.per_hour**2 + 4 * self.bending * gap)) / (2 * self.bending)


WAYS = (
    Way("3 days, 2 sweeps", 3, 2, 0.02, 0.03),
    Way("5 days, 1 sweep", 5, 1, 0.02, 0.03),
    Way("5 days, 3 sweeps", 5, 3, 0.02, 0.03),
    Way("8 days, 2 sweeps", 8, 2, 0.02, 0.03),
    Way("16 days, 2 sweeps", 16, 2, 0.02, 0.03, rate=(0.02, 0.05)),
    Way("5 days, no caliper error", 5, 2, 0.02, 0.0001),
    Way("5 days, coarse hand (0.04 mm)", 5, 2, 0.04, 0.05),
    Way("8 days, wear speeds up", 8, 2, 0.02, 0.03, rate=(0.03, 0.06), speeds_up=1.5),
)


def day_at(hours: float) -> date:
    """An hour of work a day."""
    return START + timedelta(days=round(hours))


def reading(dice: random.Random, true_mm: float, error_mm: float, way: Way) -> str:
    """What the caliper shows, to a hundredth."""
    return f"{true_mm + error_mm + dice.gauss(0, way.scatter_mm):.2f} mm"


def entries_of(truth: Truth, hours: Sequence[float], way: Way, dice: random.Random, number: str) -> list[AnyEntry]:
    """All entries of one joint; the same caliper, wrong by the same amount, on every day."""
    inside, outside = (dice.uniform(-way.limit_mm, way.limit_mm) for _ in range(2))
    found: list[AnyEntry] = []
    boom, ear, tool = f"boom{number}", f"ear{number}", f"c{number}"
    for h in hours:
        day = day_at(h)
        head = {"round": f"{day}-a{number}", "day": day, "who": "a"}
        count = 0

        def at() -> str:
            nonlocal count
            count += 1
            return f"08:{count // 60:02d}:{count % 60:02d}"

        found.append(MeterReading(hours=Decimal(str(round(h, 1))), at=at(), **head))  # type: ignore[arg-type]
        wear = truth.clearance_mm(h) - 0.1
        for _ in range(way.sweeps):
            for clock in FULL_SET:
                angle = math.radians(parse_clock(clock).angle_deg - truth.axis_deg)
                true_mm = 30.1 + wear * (1 + math.cos(2 * angle)) / 2
                size = parse_length(reading(dice, true_mm, inside, way))
                bore = BoreReading(hole=ear, size=size, clock=parse_clock(clock), instrument=tool, at=at(), **head)  # type: ignore[arg-type]
                found.append(bore)
        for _ in range(3):
            size = parse_length(reading(dice, 30.0, outside, way))
            found.append(PinReading(joint=boom, size=size, place="worn", instrument=tool, at=at(), **head))  # type: ignore[arg-type]
    return found


def joint_log(way: Way, dice: random.Random, number: str = "") -> tuple[MachineLog, Logbook, Truth]:
    """One joint, its logbook and its truth; measured until about half of its life is gone."""
    per_hour = dice.uniform(*way.rate) / 100
    start = dice.uniform(0.15, 0.35)
    life = (LIMIT_MM - start) / per_hour
    truth = Truth(start, per_hour, way.speeds_up * per_hour / life, dice.uniform(0, 180))
    last = dice.uniform(0.4, 0.7) * truth.reaches(LIMIT_MM)
    hours = [0.0, *sorted(dice.uniform(0.1, 0.95) * last for _ in range(way.days - 2)), last]
    caliper = Instrument(  # its zero checked on every measuring day
        f"c{number}", resolution=parse_length("0.01"), error_limit=parse_length(f"{way.limit_mm}"),
        inside_error_limit=parse_length(f"{way.limit_mm}"),
        checks=tuple(Check(f"c{number}", day_at(h), "zero", parse_shown_list("0.00 mm")) for h in hours),
    )  # fmt: skip
    limit = Limit(parse_length(f"{LIMIT_MM}"), "manual", joint=f"boom{number}")
    joint = Joint(f"boom{number}", kind="bushed", pin=parse_length("30"))
    hole = Hole(f"ear{number}", joint=joint.id, kind="bushed")
    machine = Machine("m", joints=(joint,), holes=(hole,), limits=(limit,))
    entries = in_time_order(tuple(entries_of(truth, hours, way, dice, number)))
    return MachineLog(machine, (), entries), Logbook("simulated", instruments=(caliper,)), truth


@dataclass
class Count:
    """Forecasts given, held, come sooner than, sooner even than doubled, those that saw the bend, and held of these."""

    given: int = 0
    held: int = 0
    sooner: int = 0
    far_sooner: int = 0
    bends: int = 0
    bends_held: int = 0

    def share(self, part: int) -> float:
        """Percent of all forecasts given."""
        return 100 * part / self.given if self.given else math.nan


def cover(way: Way, joints: int, seed: str) -> Count:
    """Count over so many joints."""
    dice = random.Random(f"{seed} {way.name}")
    count = Count()
    for _ in range(joints):
        log, logbook, truth = joint_log(way, dice)
        tell(count, clearance_of(log, logbook), truth)
    return count


def clearance_of(log: MachineLog, logbook: Logbook) -> Trend:
    """The forecast of a joint alone on its machine."""
    return next(t for t in assess_machine(log, logbook, TODAY).joints[0].trends if t.of == "clearance")


def tell(count: Count, trend: Trend, truth: Truth) -> None:
    """Count one forecast against the truth."""
    if trend.renew is not None:
        count.given += 1
        true = truth.reaches(LIMIT_MM)
        is_held = trend.renew.earliest <= true <= trend.renew.latest
        count.held += is_held
        count.sooner += true < trend.renew.earliest
        # "today" is the last measuring day here, so that the time left counts from there
        start = max(point.x for point in trend.fit_points)
        is_ahead = trend.curve is None and trend.renew.earliest > start
        least = start + math.log(2) * (trend.renew.earliest - start) if is_ahead else trend.renew.earliest
        count.far_sooner += true < least
        count.bends += trend.curve is not None
        count.bends_held += trend.curve is not None and is_held


def cover_alike(way: Way, machines: int, seed: str, joints: int = 4) -> Count:
    """The same for like joints of one machine, which are looked at together."""
    dice = random.Random(f"{seed} {way.name} alike")
    count = Count()
    for _ in range(machines):
        logs = [joint_log(way, dice, str(number)) for number in range(joints)]
        of_all = [log.machine for log, _, _ in logs]
        machine = Machine(
            "m",
            joints=tuple(joint for one in of_all for joint in one.joints),
            holes=tuple(hole for one in of_all for hole in one.holes),
            limits=tuple(limit for one in of_all for limit in one.limits),
        )
        entries = in_time_order(tuple(entry for log, _, _ in logs for entry in log.entries))
        logbook = Logbook("simulated", instruments=tuple(i for _, book, _ in logs for i in book.instruments))
        states = assess_machine(MachineLog(machine, (), entries), logbook, TODAY).joints
        for state, (_, _, truth) in zip(states, logs, strict=True):
            tell(count, next(trend for trend in state.trends if trend.of == "clearance"), truth)
    return count


def cover_alone(joints: int, seed: str) -> tuple[int, int]:
    """The arithmetic alone: five values with a known doubt and a shared error, no readings, no screen of numbers."""
    dice = random.Random(f"{seed} alone")
    given = held = 0
    for _ in range(joints * 10):
        slope, start, shift = dice.uniform(0.0003, 0.001), 0.2, dice.gauss(0, 0.02)
        xs = [0.0, *sorted(dice.uniform(50, 550) for _ in range(3)), 600.0]
        points = [
            Point(x, start + slope * x + shift + dice.gauss(0, 0.03), 0.03, shared=(shared("c", 0.02),)) for x in xs
        ]
        found = crossing(fit_points(points).straight(300.0), LIMIT_MM)
        if found is not None:
            given += 1
            held += found.earliest <= (LIMIT_MM - start) / slope <= found.latest
    return given, held


def cover_borrowed(joints: int, seed: str, others: int) -> tuple[int, int]:
    """A joint with two days in 80 h that borrows from its kind: rates about 0.05 mm per 100 h, a third apart."""
    dice = random.Random(f"{seed} borrowed {others}")
    given = held = 0
    for _ in range(joints * 5):
        true = [max(dice.gauss(0.0005, 0.00017), 0.0001) for _ in range(others + 1)]
        kind = kind_of([(rate + dice.gauss(0, 0.00005), 0.00005) for rate in true[1:]])
        points = [Point(x, 0.3 + true[0] * x + dice.gauss(0, 0.02), 0.02) for x in (0.0, 80.0)]
        found = crossing(blended(fit_points(points).straight(40.0), kind), LIMIT_MM)
        if found is not None:
            given += 1
            held += found.earliest <= (LIMIT_MM - 0.3) / true[0] <= found.latest
    return given, held


def told(name: str, count: Count) -> None:
    """Print one line of the table."""
    text = (
        f"{name:<32} {count.given:6d} forecasts  {count.share(count.held):5.1f} % held, "
        f"{count.share(count.sooner):4.1f} % came sooner, "
        f"{count.share(count.far_sooner):4.1f} % sooner than if it doubled"
    )
    print(f"{text}; {count.bends} seen to speed up, {count.bends_held} of these held", flush=True)


def main() -> None:
    """Print the table."""
    joints = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    seed = sys.argv[2] if len(sys.argv) > 2 else "coverage"
    print(f"{joints} joints, seed {seed}; nothing in the program was chosen by this seed")
    given, held = cover_alone(joints, seed)
    print(f"{'arithmetic alone':<32} {given:6d} forecasts  {100 * held / given:5.1f} % held")
    for others in (4, 8, 16):
        given, held = cover_borrowed(joints, seed, others)
        name = f"borrowed from {others} of its kind"
        print(f"{name:<32} {given:6d} forecasts  {100 * held / max(given, 1):5.1f} % held")
    total = total_held = 0
    for way in WAYS:
        count = cover(way, joints, seed)
        told(way.name, count)
        if not way.speeds_up:
            total, total_held = total + count.given, total_held + count.held
    for way in (WAYS[3], WAYS[-1]):
        told(f"{way.name}, 4 joints together", cover_alike(way, joints // 4, seed))
    print(f"{'all that wear evenly':<32} {total:6d} forecasts  {100 * total_held / total:5.1f} % held")


if __name__ == "__main__":
    main()
