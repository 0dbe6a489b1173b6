"""What stands in a round file: everything one person measured, saw or did at one machine on one day.

Every entry has `at`, the time of day it was typed, which is also its name within the file and always its
last key: an entry without it was cut off in the writing. `round`, `day` and `who` come from the file.

One machine with everything ever entered for it, in time order.
"""

import datetime
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeVar

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.units import Temperature
from fieldlog.records.clock import Clock
from fieldlog.records.machine import LinkEnd, Machine, Turns

Face = Literal["near", "middle", "far"]
PinPlace = Literal["unworn", "worn"]
LinkState = Literal["closed", "open", "as set"]
TapeWay = Literal[
    "outer to inner", "inner to outer", "outside", "inside", "over pins, pulled", "over pins, pushed", "centres"
]
Sign = Literal[
    "rounded out",
    "bell-mouthed",
    "lip",
    "dry",
    "scored",
    "bush turns in its bore",
    "bush sits tight",
    "crack",
    "keeper torn",
    "pin bent",
]
Deed = Literal[
    "greased",
    "greasing changed",
    "pin turned",
    "new pin",
    "re-bushed",
    "bored",
    "welded and bored",
    "link replaced",
    "meter replaced",
    "put off",
]

TrialResult = Literal["goes", "no", "one side only"]
TrialBy = Literal["pin", "shank"]
PlayBy = Literal["dial", "marks", "rocked", "feeler"]

UNSAFE_SIGNS: tuple[Sign, ...] = ("crack", "bush turns in its bore", "keeper torn", "pin bent")
GOOD_SIGNS: tuple[Sign, ...] = ("bush sits tight",)  # asked for and found in order; nothing to cure
RENEWING_DEEDS: tuple[Deed, ...] = ("new pin", "re-bushed", "bored", "welded and bored", "link replaced")
BORE_RENEWING_DEEDS: tuple[Deed, ...] = ("re-bushed", "bored", "welded and bored", "link replaced")


@dataclass(frozen=True, slots=True)
class Round:
    """The head of a round file; `id` is the file's name without its ending."""

    id: str
    date: datetime.date
    who: str
    instrument: str = ""
    tape: str = ""
    temperature: Temperature | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every entry carries."""

    at: str
    round: str
    day: datetime.date
    who: str

    @property
    def key(self) -> str:
        """The entry's name in the whole machine folder: round and time, with a space between."""
        return f"{self.round} {self.at}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoreReading(Entry):
    """One caliper reading across a hole."""

    hole: str
    size: Length
    clock: Clock
    face: Face = "near"
    instrument: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PinReading(Entry):
    """One reading of a pin's diameter, where it never ran in the hole (unworn) or in its worn band."""

    joint: str
    size: Length
    place: PinPlace = "worn"
    clock: Clock | None = None
    instrument: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallReading(Entry):
    """One caliper reading of a bush's wall, at its thinnest place unless `clock` says where."""

    hole: str
    size: Length
    clock: Clock | None = None
    instrument: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthReading(Entry):
    """One tape reading of a link between its two holes. "Outer" is the edge facing away from the other hole.

    With `start` the tape was held at that mark instead of its hook. The holes are named only where they are not the
    link's own: another hole of a row.
    """

    link: str
    size: Length
    way: TapeWay
    state: LinkState = "as set"
    start: Length | None = None
    near_hole: str = ""
    far_hole: str = ""
    instrument: str = ""
    temperature: Temperature | None = None

    @property
    def length_mm(self) -> Decimal:
        """What was taped: the mark read less the mark the tape was held at."""
        return self.size.mm - self.start.mm if self.start is not None else self.size.mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadReading(Entry):
    """How much thread stands out of the body at one end of a link; near is its tractor or upper end."""

    link: str
    exposed: Length
    end: LinkEnd
    state: LinkState = "as set"
    instrument: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnsReading(Entry):
    """Turns of the body counted from closed to open."""

    link: str
    turns: Turns


@dataclass(frozen=True, slots=True, kw_only=True)
class LigamentReading(Entry):
    """The metal between a hole's edge and the outer edge of its eye; `clock` is a point, 12 and 6 being two."""

    hole: str
    size: Length
    clock: Clock
    instrument: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterReading(Entry):
    """What the hour meter showed."""

    hours: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial(Entry):
    """A pin or drill shank of a known size tried in a hole; "one side only" enters from one face and sticks."""

    hole: str
    size: Length
    result: TrialResult
    by: TrialBy = "pin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Play(Entry):
    """How far a joint moves on its pin in place, off load, or the thickest feeler that enters beside the pin."""

    joint: str
    size: Length
    by: PlayBy = "marks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Entry):
    """What was seen, in the trade's words; about a hole, a joint, a link or the whole machine."""

    signs: tuple[Sign, ...] = ()
    text: str = ""
    hole: str = ""
    joint: str = ""
    link: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event(Entry):
    """What was done, or put off; `hours` is the new meter's reading when the meter was replaced."""

    deed: Deed
    joint: str = ""
    hole: str = ""
    link: str = ""
    hours: Decimal | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfEntry(Entry):
    """What is said about another entry: `of` is its time in the same file, or "<round> <time>"."""

    of: str
    why: str

    @property
    def target(self) -> str:
        """The key of the entry that is meant."""
        return self.of if " " in self.of else f"{self.round} {self.of}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike(OfEntry):
    """An entry struck out. A strike can be struck too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep(OfEntry):
    """A reading that stands apart from the others and is kept all the same. A keep can be struck."""


AnyEntry = (
    BoreReading
    | PinReading
    | WallReading
    | LengthReading
    | MeterReading
    | Trial
    | Play
    | ThreadReading
    | TurnsReading
    | Note
    | Event
    | Strike
    | Keep
    | LigamentReading
)


def in_time_order(entries: tuple[AnyEntry, ...]) -> tuple[AnyEntry, ...]:
    """Return the entries by day, then by round file, then by time of day."""
    return tuple(sorted(entries, key=lambda entry: (entry.day, entry.round, entry.at)))


def kept_keys(entries: tuple[AnyEntry, ...], struck: frozenset[str]) -> frozenset[str]:
    """Return the keys of all entries that somebody decided to keep, by a keep that is not struck."""
    return frozenset(entry.target for entry in entries if isinstance(entry, Keep) and entry.key not in struck)


def struck_keys(entries: tuple[AnyEntry, ...]) -> frozenset[str]:
    """Return the keys of all entries that stand struck; a strike that is itself struck counts for nothing.

    Strikes that strike each other in a ring all stand.
    """
    strikes = tuple(entry for entry in entries if isinstance(entry, Strike))
    targets: dict[str, list[str]] = {}
    for strike in strikes:
        targets.setdefault(strike.key, []).append(strike.target)
    open_against = Counter(strike.target for strike in strikes)
    stands = {key: True for key in targets if not open_against[key]}
    struck: set[str] = set()
    decided = list(stands)
    for key in decided:  # grows while it is walked
        for target in targets[key]:
            if stands[key]:
                struck.add(target)
            else:
                open_against[target] -= 1
            if target in targets and target not in stands and (stands[key] or not open_against[target]):
                stands[target] = not stands[key]
                decided.append(target)
    ring = targets.keys() - stands.keys()
    return frozenset(struck.union(*(targets[key] for key in ring)))


E = TypeVar("E", bound=Entry)


@dataclass(frozen=True, slots=True)
class MachineLog:
    """A machine, its rounds and entries in time order, and the keys of the entries that stand struck."""

    machine: Machine
    rounds: tuple[Round, ...] = ()
    entries: tuple[AnyEntry, ...] = ()
    struck: frozenset[str] = frozenset()

    def standing(self, kind: type[E]) -> tuple[E, ...]:
        """Return the entries of one kind that are not struck."""
        return tuple(entry for entry in self.entries if isinstance(entry, kind) and entry.key not in self.struck)
