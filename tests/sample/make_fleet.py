"""Make the sample fleet: an invented drainage-and-lanes contractor, five machines, four seasons.

Run as `python tests/sample/make_fleet.py [FOLDER]`; without a folder it writes `sample_machines/`. Everything is
invented. Each joint has a true size, wear and direction; readings scatter about it as readings do, with a fixed
seed, so that the same files come out every time.
"""

import math
import random
import sys
from dataclasses import dataclass, field
from pathlib import Path

import tomli_w

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.sample import depth, evidence, hitch, levers, links, mower, seasons
from tests.sample.checks import checks

SEED = 20231014
REPEAT_SD_MM = 0.013
DAY_OFFSET_MM = 0.015
CLOCKS = (("12", 0.0), ("1:30", 45.0), ("3", 90.0), ("4:30", 135.0))
CROSSED = (("12", 0.0), ("3", 90.0))
Block = tuple[str, dict[str, object]]


@dataclass(frozen=True)
class Bore:
    """A hole as it truly is: as-made size, wear at the first hour and per 100 h, direction of wear."""

    id: str
    made_mm: float
    worn_mm: float = 0.0
    per_100h_mm: float = 0.0
    axis_deg: float = 90.0

    def size_mm(self, angle_deg: float, hours: float) -> float:
        """The true diameter along a line after some hours of work."""
        wear = self.worn_mm + self.per_100h_mm * hours / 100
        return self.made_mm + wear * (1 + math.cos(math.radians(2 * (angle_deg - self.axis_deg)))) / 2


@dataclass
class Writer:
    """One round file in the making."""

    machine: str
    date: str
    who: str
    dice: random.Random
    minute: int = 8 * 60
    blocks: list[Block] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.offset_mm = self.dice.uniform(-DAY_OFFSET_MM, DAY_OFFSET_MM)
        self.minute += self.dice.randrange(0, 150)
        self.second = self.dice.randrange(60)

    def add(self, kind: str, **values: object) -> str:
        """Add a block; its time goes on by a few seconds or a minute."""
        self.second += self.dice.randrange(9, 50)
        self.minute, self.second = self.minute + self.second // 60, self.second % 60
        at = f"{self.minute // 60:02d}:{self.minute % 60:02d}:{self.second:02d}"
        self.blocks.append((kind, {**values, "at": at}))
        return at

    def typed(self, size_mm: float) -> str:
        """A size as this person's caliper shows it."""
        read = size_mm + self.offset_mm + self.dice.gauss(0, REPEAT_SD_MM)
        if self.who == "tom":
            return f"{round(read / 25.4 / 0.0005) * 0.0005:.4f} in"
        return f"{read:.2f} mm"

    def bore(self, bore: Bore, hours: float, lines: tuple[tuple[str, float], ...] = CLOCKS, sweeps: int = 1) -> None:
        """Measure a hole at its near face."""
        for _ in range(sweeps):
            for clock, angle in lines:
                self.add("bore", hole=bore.id, size=self.typed(bore.size_mm(angle, hours)), clock=clock)

    def far_face(self, bore: Bore, hours: float, extra_mm: float = 0.0) -> None:
        """Measure the far face along two lines."""
        for clock, angle in CROSSED:
            size = self.typed(bore.size_mm(angle, hours) + extra_mm)
            self.add("bore", hole=bore.id, size=size, clock=clock, face="far")

    def pin(self, joint: str, worn_mm: float, unworn_mm: float | None = None) -> None:
        """Measure a pin in its worn band, and at its unworn end when that is given."""
        for clock in ("12", "3"):
            self.add("pin", joint=joint, size=self.typed(worn_mm), clock=clock)
        if unworn_mm is not None:
            self.add("pin", joint=joint, size=self.typed(unworn_mm), place="unworn")

    def text(self) -> str:
        """The file."""
        caliper = {"nell": "blue", "tom": "steel"}[self.who]
        head = f'format = 1\ndate = {self.date}\nwho = "{self.who}"\ninstrument = "{caliper}"\ntape = "tape-5m"\n'
        return head + "".join(f"\n[[{kind}]]\n{tomli_w.dumps(values)}" for kind, values in self.blocks)


LOGBOOK = {
    "format": 1,
    "name": "Drains and lanes",
    "units": "mm",
    "season_start": levers.SEASON_START,
    "people": [{"id": "nell", "name": "Nell"}, {"id": "tom", "name": "Tom"}],
    "instruments": [
        {
            "id": "blue",
            "kind": "caliper",
            "name": "blue digital caliper",
            "resolution": "0.01 mm",
            "error_limit": "0.03 mm",
            "inside_error_limit": "0.04 mm",
        },
        {"id": "steel", "kind": "caliper", "name": "steel inch caliper", "resolution": "0.0005 in"},
        {"id": "tape-5m", "kind": "tape", "name": "5 m tape", "resolution": "1/16 in", "tape_class": "II"},
    ],
    "implements": hitch.IMPLEMENTS,
    "mast_holes": hitch.MAST_HOLES,
    "points": hitch.POINTS,
}


def joint(part_id: str, name: str, kind: str, pin: str = "", **more: str) -> dict[str, object]:
    """A joint's table."""
    return {"id": part_id, "name": name, "kind": kind, **({"pin": pin} if pin else {}), **more}


def hole(part_id: str, of_joint: str, name: str, **more: object) -> dict[str, object]:
    """A hole's table."""
    return {"id": part_id, "joint": of_joint, "name": name, **more}


MACHINES: dict[str, dict[str, object]] = {
    "hill-tractor": {
        "format": 1,
        "name": "Hill tractor",
        "kind": "compact tractor",
        "hitch_category": "1",
        "notes": "Mower in summer, box blade on the lanes in winter.",
        "hydraulics": {"relief": "172 bar", "pump_flow": "18.9 L/min", "remotes": 2, "hose_inside": "3/8 in"},
        "joints": [
            joint("top-front", "Top link, tractor end", "hitch", "3/4 in"),
            joint("top-rear", "Top link, implement end", "hitch", "3/4 in"),
            joint("lift-rod-low", "Left lift rod, lower end", "hitch"),
            joint("lower-left", "Lower link ball, left", "hitch", "7/8 in"),
            joint("axle", "Front axle pivot", "pivot", "40 mm"),
            *links.JOINTS,
        ],
        "holes": [
            hole("top-front-ball", "top-front", "ball", kind="ball"),
            hole("top-rear-ball", "top-rear", "ball", kind="ball"),
            hole("rod-1", "lift-rod-low", "front hole", use="sometimes", number=1, in_row=3),
            hole(
                "rod-2",
                "lift-rod-low",
                "middle hole",
                number=2,
                in_row=3,
                eye_width="55 mm",
                eye_thickness="14 mm",
                centre_to_end="30 mm",
                made_of="plain steel",
            ),
            hole("rod-3", "lift-rod-low", "rear hole", use="never", number=3, in_row=3),
            hole("lower-left-ball", "lower-left", "ball", kind="ball"),
            hole("axle-bush", "axle", "front bush", kind="bushed"),
            *links.HOLES,
        ],
        "links": [
            {
                "id": "top-link",
                "name": "Top link",
                "position": "top link",
                "kind": "screw",
                "near_hole": "top-front-ball",
                "far_hole": "top-rear-ball",
                **links.TOP_LINK,
            },
            {
                "id": "lift-rod",
                "name": "Left lift rod",
                "position": "lift rod",
                "kind": "screw",
                "near_hole": "rod-high-eye",
                "far_hole": "rod-2",
            },
            links.RIGHT_ROD,
        ],
        "limits": [
            {"joint": "axle", "watch": "0.2 mm", "renew": "0.3 mm", "origin": "operator's manual, wear table"},
        ],
        "hitch": hitch.HITCH,
        "top_holes": hitch.TOP_HOLES,
        "rod_holes": hitch.ROD_HOLES,
    },
    "yard-tractor": {
        "format": 1,
        "name": "Yard tractor",
        "kind": "compact tractor",
        "hitch_category": "1",
        "joints": [
            joint("top-rear", "Top link, implement end", "hitch", "3/4 in"),
            joint("lower-right", "Lower link ball, right", "hitch", "7/8 in"),
            joint("drawbar", "Drawbar clevis", "drawbar", "7/8 in", notes="New clevis of the maker's in 2024."),
            joint("loader-foot", "Loader mast foot, left", "bushed", "25 mm"),
        ],
        "holes": [
            hole("top-rear-ball", "top-rear", "ball", kind="ball"),
            hole("lower-right-ball", "lower-right", "ball", kind="ball"),
            hole("drawbar-hole", "drawbar", "lower plate"),
            hole("loader-foot-bush", "loader-foot", "mast bush", kind="bushed"),
        ],
    },
    "small-loader": {
        "format": 1,
        "name": "Small loader",
        "kind": "compact loader",
        "joints": [
            joint("arm-left", "Arm pivot, left", "bushed", "30 mm"),
            joint("arm-right", "Arm pivot, right", "bushed", "30 mm"),
            joint("bucket-left", "Bucket pin, left", "bushed", "25 mm"),
            joint("bucket-right", "Bucket pin, right", "bushed", "25 mm"),
            joint("tilt-rod", "Tilt cylinder, rod end", "bushed", "25 mm"),
        ],
        "holes": [
            hole("arm-left-bush", "arm-left", "arm bush", kind="bushed"),
            hole("arm-right-bush", "arm-right", "arm bush", kind="bushed"),
            hole("bucket-left-bush", "bucket-left", "bucket bush", kind="bushed"),
            hole("bucket-right-bush", "bucket-right", "bucket bush", kind="bushed"),
            hole("tilt-rod-bush", "tilt-rod", "rod eye", kind="bushed"),
        ],
        "limits": [
            {
                "joint": "tilt-rod",
                "watch": "0.5 mm",
                "renew": "0.8 mm",
                "origin": "owner, 3 May 2025: it hammers over this",
            },
        ],
    },
    "mini-digger": {
        "format": 1,
        "name": "Mini digger",
        "kind": "mini excavator, 1.8 t",
        "joints": [
            joint("bucket-pin", "Bucket to dipper", "bushed", "30 mm"),
            joint("dipper", "Dipper to boom", "bushed", "35 mm"),
            joint("boom-foot", "Boom foot", "bushed", "35 mm"),
            joint("swing", "Swing post, upper", "pivot", "50 mm"),
            joint("blade", "Blade pivot, right", "bushed"),
        ],
        "holes": [
            hole("bucket-pin-ear", "bucket-pin", "dipper end bush", kind="bushed"),
            hole("dipper-bush", "dipper", "boom end bush", kind="bushed"),
            hole("boom-foot-bush", "boom-foot", "left bush", kind="bushed"),
            hole("swing-bush", "swing", "upper bush", kind="bushed"),
            hole("blade-bush", "blade", "frame bush", kind="bushed"),
        ],
        "limits": [
            {"joint": "boom-foot", "renew": "1.0 mm", "origin": "workshop manual, front linkage clearances"},
            {"joint": "dipper", "renew": "1.0 mm", "origin": "workshop manual, front linkage clearances"},
        ],
    },
    "flail-mower": mower.MACHINE,
}

# true holes: as made, worn already at the first round, wear per 100 h, direction of the long axis (12-6 line is 0)
TOP_FRONT = Bore("top-front-ball", 19.36, 0.10, 0.03, 0.0)
TOP_REAR = Bore("top-rear-ball", 19.38, 0.62, 0.10, 2.0)
ROD = (Bore("rod-1", 22.76, 0.05, 0.01), Bore("rod-2", 22.75, 0.30, 0.06, 95.0), Bore("rod-3", 22.75))
LOWER_LEFT = Bore("lower-left-ball", 22.55, 0.15, 0.04, 80.0)
AXLE = Bore("axle-bush", 40.06, 0.08, 0.024, 0.0)
YARD_TOP = Bore("top-rear-ball", 19.42, 0.12, 0.02, 0.0)
YARD_LOWER = Bore("lower-right-ball", 22.60, 0.20, 0.03, 85.0)
DRAWBAR_OLD = Bore("drawbar-hole", 22.9, 0.7, 0.10, 90.0)
DRAWBAR_NEW = Bore("drawbar-hole", 22.62, 0.0, 0.02, 90.0)
FOOT = Bore("loader-foot-bush", 25.08, 0.10, 0.03, 40.0)
ARM_LEFT = Bore("arm-left-bush", 30.07, 0.18, 0.028, 90.0)
ARM_RIGHT_OLD = Bore("arm-right-bush", 30.08, 0.80, 0.09, 90.0)
ARM_RIGHT_NEW = Bore("arm-right-bush", 30.06, 0.0, 0.02, 90.0)
BUCKET_LEFT = Bore("bucket-left-bush", 25.09, 0.20, 0.05, 90.0)
BUCKET_RIGHT = Bore("bucket-right-bush", 25.08, 0.15, 0.038, 90.0)
TILT = Bore("tilt-rod-bush", 25.07, 0.20, 0.044, 0.0)
BUCKET_PIN = Bore("bucket-pin-ear", 30.12, 0.55, 0.07, 90.0)
DIPPER = Bore("dipper-bush", 35.10, 0.30, 0.09, 90.0)
BOOM_FOOT = Bore("boom-foot-bush", 35.09, 0.10, 0.02, 90.0)
SWING = Bore("swing-bush", 50.05, 0.06, 0.022, 0.0)


def hill_tractor(dice: random.Random) -> list[Writer]:
    """An egg-shaped top link hole, a row with an unused hole, a pin between inch and metric, a pivot in doubt."""
    start, rounds = 412.5, []
    plan = (
        ("2023-10-14", "nell", 0.0),
        ("2024-04-06", "tom", 118.0),
        ("2024-10-12", "nell", 236.5),
        ("2025-04-05", "nell", 331.0),
        ("2025-10-18", "tom", 447.0),
        ("2026-04-11", "nell", 552.5),
        ("2026-11-03", "nell", 668.0),
    )
    for number, (date, who, hours) in enumerate(plan):
        writer = Writer("hill-tractor", date, who, dice)
        writer.add("meter", hours=start + hours)
        writer.bore(TOP_FRONT, hours)
        if number == 4:
            burr = writer.add("bore", hole=TOP_REAR.id, size="0.7365 in", clock="12")
            writer.add("strike", of=burr, why="burr at the mouth, filed off")
        writer.bore(TOP_REAR, hours, sweeps=2 if number in {0, 6} else 1)
        if number in {0, 6}:
            writer.far_face(TOP_REAR, hours, 0.02)
        if number in {0, 3, 6}:
            writer.pin("top-rear", 19.02 - 0.0001 * hours, 19.04 if number == 0 else None)
        writer.bore(ROD[1], hours)
        if number in {0, 6}:
            writer.bore(ROD[0], hours, CROSSED if number == 0 else CLOCKS)
            writer.bore(ROD[2], hours)
        if number % 2 == 0:
            writer.bore(LOWER_LEFT, hours)
            writer.bore(AXLE, hours, sweeps=2)
            writer.pin("axle", 39.97)
        if number == 6:
            writer.add("note", signs=["rounded out"], text="egg-shaped along the link", hole=TOP_REAR.id)
            tape_links(writer)
        writer.add("event", deed="greased", joint="axle")
        rounds.append(writer)
    return rounds


def tape_links(writer: Writer) -> None:
    """Tape the top link closed and open, and the lift rod, to the nearest sixteenth."""
    near_mm, far_mm = 19.66, 20.67
    for state, centres_mm in (("closed", 560.0), ("open", 812.0)):
        ways = (
            ("outside", centres_mm + (near_mm + far_mm) / 2),
            ("inside", centres_mm - (near_mm + far_mm) / 2),
            ("outer to inner", centres_mm + (near_mm - far_mm) / 2),
        )
        for way, length_mm in ways[: 3 if state == "closed" else 2]:
            writer.add("length", link="top-link", size=links.sixteenths(length_mm), way=way, state=state)
    for state, centres_mm in (("closed", 441.0), ("open", 536.0)):
        for way, half_mm in (("outside", 21.3), ("inside", -21.3)):
            writer.add("length", link="lift-rod", size=links.sixteenths(centres_mm + half_mm), way=way, state=state)


def yard_tractor(dice: random.Random) -> list[Writer]:
    """Mostly sound; a cracked drawbar clevis that was replaced whole; one hole never seen at more than two lines."""
    start, rounds = 1288.0, []
    plan = (("2023-11-04", "tom", 0.0), ("2024-03-23", "nell", 61.0), ("2024-10-19", "tom", 140.0),
            ("2025-10-25", "nell", 262.0), ("2026-10-24", "nell", 371.5))  # fmt: skip
    for number, (date, who, hours) in enumerate(plan):
        writer = Writer("yard-tractor", date, who, dice)
        writer.add("meter", hours=start + hours)
        writer.bore(YARD_TOP, hours)
        writer.bore(YARD_LOWER, hours, CROSSED)
        writer.bore(DRAWBAR_OLD if number < 2 else DRAWBAR_NEW, hours if number < 2 else hours - 70)
        writer.pin("drawbar", 22.19, 22.21 if number in {0, 4} else None)
        if number == 1:
            writer.add("note", signs=["crack"], text="hairline at the clevis weld", hole="drawbar-hole")
            text = "whole clevis replaced with the maker's part, bolts to the manual's torque"
            writer.add("event", deed="link replaced", joint="drawbar", text=text)
        if number in {0, 2, 3, 4}:
            writer.bore(FOOT, hours)
        if number == 4:
            writer.pin("loader-foot", 24.97)
        rounds.append(writer)
    return rounds


def small_loader(dice: random.Random) -> list[Writer]:
    """A bush that turned, a re-bushed arm pivot, an owner's limit."""
    start, rounds = 903.0, []
    plan = (("2023-10-28", "nell", 0.0), ("2024-05-11", "nell", 190.0), ("2024-11-02", "tom", 340.0),
            ("2025-05-03", "nell", 520.0), ("2025-11-08", "nell", 668.0), ("2026-05-09", "nell", 815.0),
            ("2026-10-31", "nell", 960.0))  # fmt: skip
    for number, (date, who, hours) in enumerate(plan):
        writer = Writer("small-loader", date, who, dice)
        writer.add("meter", hours=start + hours)
        writer.bore(ARM_LEFT, hours)
        writer.bore(ARM_RIGHT_OLD if number < 3 else ARM_RIGHT_NEW, hours if number < 3 else hours - 520)
        if number == 2:
            writer.add("event", deed="re-bushed", joint="arm-right", text="bronze bush, reamed to 30.06")
            writer.add("event", deed="new pin", joint="arm-right")
        if number >= 3:
            writer.pin("arm-right", 29.98, 29.98 if number == 3 else None)
        writer.bore(BUCKET_LEFT, hours)
        writer.bore(BUCKET_RIGHT, hours)
        if number % 2 == 0:
            writer.bore(TILT, hours, sweeps=2 if number == 6 else 1)
            writer.pin("tilt-rod", 24.96 - 0.00005 * hours)
            writer.pin("bucket-right", 24.95 - 0.00006 * hours)
        if number == 5:
            writer.add("note", signs=["bell-mouthed"], hole="bucket-right-bush")
        if number == 6:
            text = "bright ring on the outside"
            writer.add("note", signs=["bush turns in its bore"], text=text, hole="bucket-left-bush")
        writer.add("event", deed="greased", joint="arm-left")
        rounds.append(writer)
    return rounds


def mini_digger(dice: random.Random) -> list[Writer]:
    """One joint over its limit on two days, one on one day only, a swing post to plan for, one never measured."""
    start, rounds = 2140.0, []
    plan = (("2023-10-21", "nell", 0.0), ("2024-04-20", "tom", 150.0), ("2024-11-09", "nell", 310.0),
            ("2025-04-26", "nell", 445.0), ("2025-11-01", "nell", 610.0), ("2026-05-02", "nell", 735.0),
            ("2026-11-07", "nell", 880.0))  # fmt: skip
    for number, (date, who, hours) in enumerate(plan):
        writer = Writer("mini-digger", date, who, dice)
        writer.add("meter", hours=start + hours)
        writer.bore(BUCKET_PIN, hours, sweeps=2 if number >= 5 else 1)
        writer.pin("bucket-pin", 29.95 - 0.00008 * hours, 29.97 if number == 0 else None)
        if number != 5:
            writer.bore(DIPPER, hours)
            writer.pin("dipper", 34.96 - 0.00012 * hours)
        if number % 2 == 0:
            writer.bore(BOOM_FOOT, hours)
            writer.pin("boom-foot", 34.97)
            writer.bore(SWING, hours)
            writer.pin("swing", 49.98)
        if number == 3:
            writer.add("note", signs=["lip"], text="lip on the lower edge, filed", hole="bucket-pin-ear")
        writer.add("event", deed="greased", joint="bucket-pin")
        rounds.append(writer)
    return rounds


def make(folder: Path) -> None:
    """Write the whole fleet into a folder."""
    from tests.sample.offers import make_offers, tape_as_set
    from tests.sample.study import make_study

    dice = random.Random(SEED)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "logbook.toml").write_text(tomli_w.dumps({**LOGBOOK, "checks": checks(str(SEED))}), encoding="utf-8")
    hill = hill_tractor(dice)
    links.add_links(hill, SEED)
    yard, loader, digger = yard_tractor(dice), small_loader(dice), mini_digger(dice)
    writers = [*hill, *yard, *loader, *digger]
    evidence.add_evidence(writers, SEED)
    evidence.add_facts(MACHINES)
    seasons.add_seasons(writers, SEED)
    seasons.add_machines(MACHINES)
    levers.add_put_off(writers, SEED)
    levers.add_levers(MACHINES)
    depth.add_depth(hill, loader[-1], digger[-1], SEED)
    writers += mower.add_mower(lambda date, who, own: Writer("flail-mower", date, who, own), SEED)
    for writer in writers:
        place = folder / writer.machine / "rounds"
        place.mkdir(parents=True, exist_ok=True)
        (place / f"{writer.date}-{writer.who}.toml").write_text(writer.text(), encoding="utf-8")
    for machine_id, table in MACHINES.items():
        (folder / machine_id / "machine.toml").write_text(tomli_w.dumps(table), encoding="utf-8")
    tape_as_set(folder, [str(link["id"]) for link in MACHINES["hill-tractor"]["links"]])  # type: ignore[attr-defined]
    make_offers(folder)
    make_study(folder, SEED)


if __name__ == "__main__":
    make(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[2] / "sample_machines")
