"""What is known about a joint's pin from every side, and the answer that is made of it: the records alone."""

import datetime
from collections.abc import Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from fieldlog.measure.estimate import Estimate
from fieldlog.records.entries import Trial
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import HitchCategory, Hole, Joint
from fieldlog.records.quantities import Units
from fieldlog.standards.pins import is_one_size

Standing = Literal["known", "unworn", "worn"]
Kinship = Literal["twin", "other end"]


@dataclass(frozen=True, slots=True)
class PinCandidate:
    """A pin the hole may have been made for.

    `excess_mm` is hole minus pin, 0 where no hole was measured; `share` is the weight of this pin among all that
    stand, 1 for the only one.
    """

    name: str
    size_mm: Decimal
    standing: Standing
    excess_mm: float
    reason: str
    share: float = 1.0


class Contradiction(NamedTuple):
    """Two pieces of evidence that cannot both be right, and what would settle it.

    `briefly` is what follows behind the pin's name and "but", where the pin itself is one side of it. `is_grave`
    where a size may be wrong, so that no verdict built on it can be called sound.
    """

    said: str
    settles: str
    briefly: str = ""
    is_grave: bool = True


class NextStep(NamedTuple):
    """Something that can be measured or looked up next.

    It takes about so many minutes, settles the pin in the share `settles` of cases, and takes the share `narrows` of
    the doubt away on the average.
    """

    action: str
    minutes: int
    settles: float
    narrows: float
    why: str = ""
    needs_pin: bool = False


class RuledOut(NamedTuple):
    """A pin that the hole's readings alone would allow, and what takes it off the list."""

    name: str
    by: str


@dataclass(frozen=True, slots=True)
class PinAnswer:
    """The ranked candidates, the one sentence to show, and what to measure next to settle it.

    `settled` is the one size that stands: stated, measured, or alone in fitting; two names of one size in use
    ("19 mm or 3/4 in") count as one. `from_hole` is the id of the hole that the answer rests on; `ruled_out` are the
    pins that the hole alone would allow.
    """

    candidates: tuple[PinCandidate, ...]
    settled: str | None
    sentence: str
    next_measurement: str
    contradiction: str = ""
    from_hole: str = ""
    contradictions: tuple[Contradiction, ...] = ()
    next_steps: tuple[NextStep, ...] = ()
    ruled_out: tuple[RuledOut, ...] = ()

    @property
    def next_action(self) -> str:
        """The one thing to do next, without its reason."""
        return self.next_steps[0].action if self.next_steps and not self.contradictions else self.next_measurement

    @property
    def groups(self) -> tuple[tuple[PinCandidate, ...], ...]:
        """The candidates, those that are one size in use put together, best first."""
        return groups_of_one_size(self.candidates)


class HoleDay(NamedTuple):
    """The smallest size of a hole as measured on one day."""

    hole: str
    day: datetime.date
    smallest: Estimate


class OtherPin(NamedTuple):
    """The pin of another joint of the machine that most likely is the same: stated or measured, its names."""

    joint: str
    kinship: Kinship
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PinEvidence:
    """What is known about a joint's pin.

    Attributes:
        joint: the joint, with what is stated of its pin and keeper.
        holes: its holes with their smallest sizes ever.
        measured_pin: the pin at its unworn end.
        category: the machine's hitch category.
        worn_pin: the pin in its worn band.
        unmeasured: its holes that nobody measured; an unused one among them would tell most.
        trials: pins and shanks tried in its holes since they were last made new.
        days: every day's smallest size of its holes, for telling when a trial was made.
        largest: the largest size of the hole that the pin works in.
        play: the joint's play in place, on the pin.
        feeler: the thickest feeler that enters beside the pin.
        others: pins of other joints that most likely are the same.
        unknown_twin: the name of the joint on the other side, where its pin is not known either.
        threads: inch or metric threads on the machine's links.
        has_links: whether the joint is at the end of a link, whose thread can be looked at.
        worn_holes: ids of holes with a lip, a rounded or a bell-mouthed edge.
    """

    joint: Joint
    holes: tuple[tuple[Hole, Estimate], ...]
    measured_pin: Estimate | None = None
    category: HitchCategory | None = None
    worn_pin: Estimate | None = None
    unmeasured: tuple[Hole, ...] = ()
    trials: tuple[Trial, ...] = ()
    days: tuple[HoleDay, ...] = ()
    largest: Estimate | None = None
    play: Estimate | None = None
    feeler: Estimate | None = None
    others: tuple[OtherPin, ...] = ()
    unknown_twin: str = ""
    threads: Units | None = None
    has_links: bool = False
    worn_holes: frozenset[str] = frozenset()


def groups_of_one_size(candidates: Sequence[PinCandidate]) -> tuple[tuple[PinCandidate, ...], ...]:
    """Return the candidates with those that are one size in use put together, best first."""
    groups: list[list[PinCandidate]] = []
    for candidate in candidates:
        mates = (group for group in groups if is_one_size(group[0].name, candidate.name))
        mate = next(mates, None)
        if mate is None:
            groups.append([candidate])
        else:
            mate.append(candidate)
    return tuple(tuple(group) for group in groups)


def group_name(group: Sequence[PinCandidate]) -> str:
    """Return the names of pins of one size, smallest first: '19 mm or 3/4 in'."""
    return " or ".join(candidate.name for candidate in sorted(group, key=lambda c: c.size_mm))
