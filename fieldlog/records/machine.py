"""Screw threads of hitch links: the size as written, the hand at each end, turns counted.

What a gauge study found about one person with one instrument.

What stands in logbook.toml and machine.toml: people, instruments, machines, joints, holes, links, limits.

Limits as people write them: a length, or a share of the pin in percent.
"""

import datetime
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, NewType

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.said import said
from fieldlog.quantity.text import shortened
from fieldlog.quantity.units import Units
from fieldlog.records.checks import Check
from fieldlog.records.seasons import GreaseEvery, InUse, SeasonStart

ThreadForm = Literal["metric", "inch", "trapezoidal"]
Hand = Literal["right", "left", "none"]
OpenStop = Literal["groove", "stop pin", "thread"]
LinkEnd = Literal["near", "far"]
Turns = NewType("Turns", Decimal)

ENDS: tuple[LinkEnd, ...] = ("near", "far")
MOST_TURNS = 500
ACCEPTED_TURNS = said("accepted.turns")
_TURNS = re.compile(r"^(?P<whole>\d{1,4})(?:[.,](?P<part>\d{1,3}))?(?:[\s-]+(?P<fraction>1/2|1/4|3/4))?$", re.ASCII)
_FRACTIONS = {"1/2": Decimal("0.5"), "1/4": Decimal("0.25"), "3/4": Decimal("0.75")}


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread by its designation: nominal diameter, pitch and lead in mm; the lead is what one turn moves it.

    `series` is UNC, UNF, UN or UNS for inch threads, coarse, fine or special for metric ones, empty for trapezoidal.
    """

    typed: str
    form: ThreadForm
    d_mm: Decimal
    pitch_mm: Decimal
    lead_mm: Decimal
    series: str = ""


def parse_turns(text: str) -> Turns:
    """Read a count of turns such as 42, 42.5 or 42 1/2.

    Raises:
        QuantityError: the text is no count of turns, or none was turned.
    """
    typed = " ".join(text.replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4").split())
    match = _TURNS.match(typed.removesuffix("turns").strip())
    if match is None or (match["part"] and match["fraction"]):
        raise QuantityError(said("typed.no_turns", typed=typed[:40]), ACCEPTED_TURNS)
    turns = Decimal(f"{match['whole']}.{match['part'] or 0}") + _FRACTIONS.get(match["fraction"] or "", Decimal(0))
    if not 0 < turns <= MOST_TURNS:
        raise QuantityError(said("typed.turns_cannot_be", typed=typed[:40]), ACCEPTED_TURNS)
    return Turns(turns.normalize() if turns % 1 else Decimal(int(turns)))


@dataclass(frozen=True, slots=True)
class Hands:
    """One person's scatter with one instrument, and how far people's levels lie apart, from a study of one day.

    `between_mm` has the usual figure mixed in by degrees of freedom, since two or three people tell little.
    """

    who: str
    instrument: str
    day: datetime.date
    repeatability_mm: float
    dof: int
    between_mm: float
    between_dof: int


InstrumentKind = Literal["caliper", "micrometer", "telescoping gauge", "bore gauge", "tape", "rule"]
TapeClass = Literal["I", "II", "III"]
MeterKind = Literal["hours", "none"]
JointKind = Literal["pivot", "bushed", "hitch", "drawbar"]
HoleKind = Literal["plain", "bushed", "ball"]
Made = Literal["plain steel", "forged", "cast", "hardened"]
HoleUse = Literal["daily", "sometimes", "never"]
LinkPosition = Literal["top link", "lift rod", "lower link", "sway", "other"]
LinkKind = Literal["screw", "multi-hole", "fixed", "cylinder"]
LimitOf = Literal["clearance", "bore", "pin", "bush wall", "ovality"]
PinKind = Literal["hitch pin", "clevis pin", "turned pin", "bolt"]
Keeper = Literal["linch pin", "cotter", "hairpin", "bolted flag", "ring", "nut"]
SlackWay = Literal["in line", "turns", "side to side", "top link"]
HitchCategory = Literal["0", "1N", "1", "2N", "2", "3N", "3", "4N", "4"]


@dataclass(frozen=True, slots=True)
class Share:
    """A limit given as a share of the pin's diameter."""

    typed: str
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who measures; `id` stands in the names of his round files."""

    id: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Instrument:
    """A caliper, gauge or tape; error limits are half-widths: the reading is right within plus or minus this.

    `jaw_width` is that of the inside jaws together, outside corner to outside corner, known within plus or minus
    `jaw_width_error`. `checks` are those of this instrument, struck ones too, as they stand in the file; `hands`
    are what gauge studies found about the people who measure with it.
    """

    id: str
    kind: InstrumentKind = "caliper"
    name: str = ""
    resolution: Length | None = None
    error_limit: Length | None = None
    inside_error_limit: Length | None = None
    tape_class: TapeClass | None = None
    hook_slop: Length | None = None
    jaw_width: Length | None = None
    jaw_width_error: Length | None = None
    checks: tuple[Check, ...] = ()
    hands: tuple[Hands, ...] = ()

    def __hash__(self) -> int:
        """Return a hash that does not walk through all checks; equality still does."""
        return hash((self.id, self.kind, len(self.checks)))


@dataclass(frozen=True, slots=True)
class Limit:
    """When to watch and when to renew, for a joint, a hole or a whole kind of joint, and who says so."""

    renew: Length | Share
    origin: str
    watch: Length | Share | None = None
    of: LimitOf = "clearance"
    joint: str = ""
    hole: str = ""
    kind: JointKind | None = None


@dataclass(frozen=True, slots=True)
class Logbook:
    """The logbook as a whole; `units` are the ones shown first, `season_start` the day a season begins."""

    name: str
    units: Units = "mm"
    people: tuple[Person, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    limits: tuple[Limit, ...] = ()
    season_start: SeasonStart | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """A pin and the holes it goes through. `pin` is its nominal size where that is known for certain.

    `twin` is the joint on the other side of the machine that takes the same pin, where its name does not tell.
    `slack_way` is how its slack reaches the tool's edge; `lever_arm` and `tool_radius` are the lengths for that, see
    `wear/tool_slack.py`. `grease_every` outranks the machine's.
    """

    id: str
    name: str = ""
    kind: JointKind = "hitch"
    pin: Length | None = None
    notes: str = ""
    pin_kind: PinKind | None = None
    keeper: Keeper | None = None
    twin: str = ""
    slack_way: SlackWay | None = None
    lever_arm: Length | None = None
    tool_radius: Length | None = None
    grease_every: GreaseEvery | None = None


@dataclass(frozen=True, slots=True)
class Hole:
    """A bore that is measured; in a row, holes are counted from the tractor end, 1 nearest the tractor.

    `bush_wall` is the wall of its bush when new, `bush_outside` the bush's outside diameter, either of them.
    The eye around it: its width across the hole, its thickness along the pin, and the way from the hole's centre
    to the end of the part.
    """

    id: str
    joint: str
    name: str = ""
    kind: HoleKind = "plain"
    use: HoleUse = "daily"
    number: int | None = None
    in_row: int | None = None
    bush_wall: Length | None = None
    bush_outside: Length | None = None
    notes: str = ""
    eye_width: Length | None = None
    eye_thickness: Length | None = None
    centre_to_end: Length | None = None
    made_of: Made | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A hitch link, measured from the hole at its tractor (or upper) end to the one at its other end.

    `near_thread` and `far_thread` are the lengths of thread on its rods; a hand of "none" is an end without thread.
    `open_stop` is what ends its opening, `stop_length` the maker's longest pin-to-pin length where that is stated.
    `near_gap` and `far_gap` are how wide an eye the bracket or clevis takes at each end.
    """

    id: str
    name: str = ""
    position: LinkPosition = "top link"
    kind: LinkKind = "screw"
    near_hole: str = ""
    far_hole: str = ""
    thread: Thread | None = None
    near_hand: Hand | None = None
    far_hand: Hand | None = None
    near_thread: Length | None = None
    far_thread: Length | None = None
    body: Length | None = None
    open_stop: OpenStop | None = None
    stop_length: Length | None = None
    near_gap: Length | None = None
    far_gap: Length | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Machine:
    """A machine and everything on it that is measured; `id` is the name of its folder.

    `link_threads` says whether the threads of its links are inch ("in") or metric ("mm").
    `planned_hours` are those of the coming season, `measure_every_hours` how often its joints are measured,
    `grease_every` how often they are greased, `in_use` when it works: in which months, on how many days a week.
    """

    id: str
    name: str = ""
    kind: str = ""
    meter: MeterKind = "hours"
    hitch_category: HitchCategory | None = None
    planned_hours: Decimal | None = None
    measure_every_hours: Decimal | None = None
    joints: tuple[Joint, ...] = ()
    holes: tuple[Hole, ...] = ()
    links: tuple[Link, ...] = ()
    limits: tuple[Limit, ...] = ()
    notes: str = ""
    link_threads: Units | None = None
    grease_every: GreaseEvery | None = None
    in_use: InUse | None = None

    def joint_of(self, hole_id: str) -> Joint | None:
        """Return the joint that a hole belongs to."""
        wanted = next((hole.joint for hole in self.holes if hole.id == hole_id), None)
        return next((joint for joint in self.joints if joint.id == wanted), None)


def shown_name(record: Person | Instrument | Joint | Hole | Link | Machine | Logbook) -> str:
    """Return the name a person gave, or the id where he gave none."""
    return record.name or getattr(record, "id", "")


def part_name(machine: Machine, kind: str, part_id: str) -> str:
    """Return the name of a joint, hole or link of a machine; the machine's own when `kind` is empty."""
    parts: tuple[Joint | Hole | Link, ...] = (*machine.joints, *machine.holes, *machine.links)
    kinds = {"joint": Joint, "hole": Hole, "link": Link}
    wanted = kinds.get(kind)
    if wanted is None:
        return shown_name(machine)
    return next((shown_name(part) for part in parts if isinstance(part, wanted) and part.id == part_id), part_id)


_SHARE = re.compile(r"^(?P<number>\d{1,3}(?:[.,]\d{1,4})?)\s*%$", re.ASCII)
_WHOLE = 100


def parse_length_or_share(text: str, default_unit: Units = "mm") -> Length | Share:
    """Read `1.0 mm` or `3.5 %`.

    Raises:
        QuantityError: the text is neither, or it is zero, or more than the whole.
    """
    match = _SHARE.match(text.strip())
    if match is None:
        length = parse_length(text, default_unit)
        if length.mm <= 0:
            raise QuantityError(said("typed.no_limit", typed=shortened(text)))
        return length
    percent = Decimal(match["number"].replace(",", "."))
    if not 0 < percent <= _WHOLE:
        raise QuantityError(said("typed.no_share", typed=shortened(text)))
    return Share(" ".join(text.split()), percent)
