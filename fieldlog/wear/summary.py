"""What the fleet page says of a machine: all that is needed before one is opened. `wear/due.py` makes these records.

Summaries, rates and places are handed from process to process and kept between two sittings, so they hold nothing but
codes, numbers, dates and each other; what is due is made words for that (`app/overview.py`). Importing them loads no
arithmetic.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from fieldlog.quantity.said import Said
from fieldlog.wear.parts import Parts
from fieldlog.wear.verdicts import Verdict


@dataclass(frozen=True, slots=True)
class Named:
    """Id and shown name of a machine or a joint."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class RateRow:
    """How fast the clearance of one joint grows, mm per hour or day; `rate` is None with fewer than two days.

    `like` is the kind of its machine as far as machines are compared. `axis` is "hours", "days" or "days in use",
    `span` what lies between its first and last measuring day, `least_span` what must for others to borrow from it;
    `least_left` the lower bound of what is left.
    """

    machine: Named
    joint: Named
    like: str
    kind: str
    axis: str
    rate: float | None
    rate_u: float | None
    dof: float
    days: int
    span: float
    least_left: float | None
    least_span: float = 100.0


@dataclass(frozen=True, slots=True)
class DueItem:
    """One joint or link that needs something; `brief` is its number against its limit, None when there is none.

    `life` is what is left, `outlook` the rate and the forecast in full. Items are put in order by `order`, the smallest
    first; `twin` is the id of the joint on the other side. `borrowed` says from where, if anything in it is borrowed
    from like joints.
    """

    machine: Named
    joint: Named
    verdict: Verdict
    reasons: tuple[Said, ...]
    next_steps: tuple[Said, ...]
    brief: Said | None
    life: Said | None
    outlook: tuple[Said, ...]
    order: tuple[float, ...]
    is_link: bool = False
    twin: str = ""
    borrowed: Said | None = None


@dataclass(frozen=True, slots=True)
class Borrower:
    """A joint with few readings: what is known of it for its kind to foretell the rest, in plain numbers.

    `line` is its own line as in `measure/line_fit.Straight`, field by field; `ahead` its limit, watch line (or None),
    last measuring day, season's end (or None) and least wait, all along its axis; where that stands today, and how a
    place on it comes to a date, say the others. `parts` are what would be ordered; `order` is that of its row in the
    due list, where it `is_due` or where its kind says that it soon is.
    """

    row: RateRow
    line: tuple[float, float, float, float, float, float, float, float]
    ahead: tuple[float, float | None, float, float | None, float]
    today: float
    now: float
    as_of: datetime.date
    per_year: float | None
    in_use: str
    parts: Parts
    order: tuple[float, ...]
    is_due: bool


@dataclass(frozen=True, slots=True)
class MachineSummary:
    """A machine on one line: its worst finding, how many joints have which verdict."""

    machine: Named
    kind: str
    meter_hours: Decimal | None
    last_day: datetime.date | None
    worst: Verdict
    severity: int
    counts: tuple[tuple[Verdict, int], ...]

    @property
    def n_joints(self) -> int:
        """How many joints the machine has."""
        return sum(count for _, count in self.counts)


@dataclass(frozen=True, slots=True)
class MachineRates:
    """What a machine's joints lend to others of their kind, and what those with few readings need to borrow."""

    rates: tuple[RateRow, ...]
    borrowers: tuple[Borrower, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a joint or link stands among all that is due: by `order`, or right behind the one on the other side."""

    machine: str
    joint: str
    is_link: bool
    order: tuple[float, ...]
    twin: str

    @property
    def key(self) -> tuple[str, str, bool]:
        """What it is the place of."""
        return self.machine, self.joint, self.is_link


class HasPlace(Protocol):
    """What has a place in the due list, in words or before."""

    @property
    def machine(self) -> Named:
        """Its machine."""

    @property
    def joint(self) -> Named:
        """The joint or link that it is about."""

    @property
    def is_link(self) -> bool:
        """Whether that is a link."""

    @property
    def order(self) -> tuple[float, ...]:
        """What it is put in order by."""

    @property
    def twin(self) -> str:
        """The joint on the other side."""


def place_of(item: HasPlace) -> Place:
    """Return where an item stands."""
    return Place(item.machine.id, item.joint.id, item.is_link, item.order, item.twin)


def worst_first(places: Iterable[Place]) -> list[Place]:
    """Return the places in order, those alike as they come.

    Of joints that are equally grave the one on the other side comes right behind.
    """
    rows = sorted(places, key=lambda place: place.order)
    by_key = {place.key: place for place in rows}
    found: dict[tuple[str, str, bool], Place] = {}
    for place in rows:
        found.setdefault(place.key, place)
        twin = by_key.get((place.machine, place.twin, False)) if place.twin and not place.is_link else None
        if twin is not None and twin.order[0] == place.order[0]:
            found.setdefault(twin.key, twin)
    return list(found.values())


def due_first(items: Iterable[DueItem]) -> tuple[DueItem, ...]:
    """Return due things worst first; of several for one joint the last counts."""
    found = {place_of(item).key: item for item in items}
    return tuple(found[place.key] for place in worst_first(map(place_of, found.values())))
