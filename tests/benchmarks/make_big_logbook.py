"""Write a large invented logbook: many machines, each measured four times a year for many years.

Run as `python tests/benchmarks/make_big_logbook.py FOLDER [--machines 200] [--years 20] [--lines 1]`. As it stands
that is 200 machines with 12 joints over 20 years of four measuring days: 192,000 bore entries in 16,000 round files.
`--lines 4` measures each hole along four lines, so that an oval can be fitted, and writes four times as many. The
last measuring day is one of the past weeks, the same numbers come out each time, and wear is set right by a new bush.
"""

import argparse
import datetime
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

SEED = 20261125
JOINTS = 12
DAYS_A_YEAR = 4
HOURS_A_DAY_BETWEEN = 0.9
PEOPLE = ("nell", "tom", "ida")
CLOCKS = ("12", "1:30", "3", "4:30")
REBUSH_AT_MM = 1.3
LOGBOOK = """\
format = 1
name = "A large fleet"
units = "mm"
people = [
    { id = "nell", name = "Nell" },
    { id = "tom", name = "Tom" },
    { id = "ida", name = "Ida" },
]

[[instruments]]
id = "blue"
kind = "caliper"
name = "blue digital caliper"
resolution = "0.01 mm"
error_limit = "0.03 mm"
inside_error_limit = "0.04 mm"
"""


@dataclass
class Wearing:
    """A joint that wears: the pin it has, the clearance now and how fast it grows."""

    name: str
    pin_mm: int
    clearance_mm: float
    mm_a_100_h: float
    clock: int


@dataclass(frozen=True)
class Day:
    """A measuring day: who measured, what the meter showed and how many hours were worked since the last one."""

    date: datetime.date
    who: str
    hours: float
    worked_hours: float


def main() -> None:
    """Write the logbook that the command line asks for."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--machines", type=int, default=200)
    parser.add_argument("--years", type=int, default=20)
    parser.add_argument("--lines", type=int, default=1, choices=(1, 2, 3, 4))
    given = parser.parse_args()
    print(f"{write_logbook(given.folder, given.machines, given.years, given.lines)} bore entries in {given.folder}")


def write_logbook(folder: Path, machines: int, years: int, lines: int = 1) -> int:
    """Write a logbook into a new folder and return how many bore entries it holds."""
    folder.mkdir(parents=True)
    (folder / "logbook.toml").write_text(LOGBOOK, encoding="utf-8")
    last = datetime.datetime.now().astimezone().date() - datetime.timedelta(days=20)
    for number in range(1, machines + 1):
        _write_machine(folder / f"machine-{number:03}", number, _days(last, years), lines)
    return machines * JOINTS * years * DAYS_A_YEAR * lines


def _days(last: datetime.date, years: int) -> list[datetime.date]:
    count, apart = years * DAYS_A_YEAR, 365.25 / DAYS_A_YEAR
    return [last - datetime.timedelta(days=round(apart * back)) for back in reversed(range(count))]


def _write_machine(folder: Path, number: int, days: list[datetime.date], lines: int) -> None:
    dice = random.Random(f"{SEED} {number}")
    joints = [
        Wearing(f"joint-{n:02}", dice.choice((25, 30, 35, 40)), 0.1, dice.uniform(0.004, 0.03), dice.randrange(4))
        for n in range(1, JOINTS + 1)
    ]
    (folder / "rounds").mkdir(parents=True)
    (folder / "machine.toml").write_text("".join(_machine_text(number, joints)), encoding="utf-8")
    hours, before = dice.uniform(50, 900), days[0]
    for date in days:
        worked = (date - before).days * HOURS_A_DAY_BETWEEN * dice.uniform(0.6, 1.4)
        hours, before = hours + worked, date
        day = Day(date, dice.choice(PEOPLE), hours, worked)
        text = "\n".join(_round_text(day, joints, lines, dice))
        (folder / "rounds" / f"{date}-{day.who}.toml").write_text(text, encoding="utf-8")


def _machine_text(number: int, joints: list[Wearing]) -> Iterator[str]:
    yield f'format = 1\nname = "Digger {number}"\nkind = "mini excavator, 1.8 t"\n'
    for joint in joints:
        yield f'\n[[joints]]\nid = "{joint.name}"\nname = "Joint {joint.name[-2:]}"\nkind = "bushed"\n'
        yield f'pin = "{joint.pin_mm} mm"\n'
    for joint in joints:
        yield f'\n[[holes]]\nid = "{joint.name}-bush"\njoint = "{joint.name}"\nname = "bush"\nkind = "bushed"\n'


def _round_text(day: Day, joints: list[Wearing], lines: int, dice: random.Random) -> Iterator[str]:
    clock = datetime.datetime.combine(day.date, datetime.time(9, dice.randrange(60)))

    def at() -> str:
        nonlocal clock
        clock += datetime.timedelta(seconds=dice.randint(6, 40))
        return f'at = "{clock:%H:%M:%S}"\n'

    yield f'format = 1\ndate = {day.date}\nwho = "{day.who}"\ninstrument = "blue"\n'
    yield f"[[meter]]\nhours = {day.hours:.1f}\n{at()}"
    for joint in joints:
        joint.clearance_mm += day.worked_hours / 100 * joint.mm_a_100_h
        if joint.clearance_mm > REBUSH_AT_MM:
            yield f'[[event]]\ndeed = "re-bushed"\njoint = "{joint.name}"\n{at()}'
            joint.clearance_mm = 0.1
        for line in range(lines):
            turned = (joint.clock + line) % len(CLOCKS)
            oval = (0.0, -0.1, -0.2, -0.1)[line] * joint.clearance_mm
            size_mm = joint.pin_mm + joint.clearance_mm + oval + dice.gauss(0, 0.015)
            yield f'[[bore]]\nhole = "{joint.name}-bush"\nsize = "{size_mm:.2f} mm"\nclock = "{CLOCKS[turned]}"\n{at()}'


if __name__ == "__main__":
    main()
