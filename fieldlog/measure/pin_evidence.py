"""What is known about a joint's pin from every side, and the answer that is made of it: the records alone.

What pins and drill shanks tried in a hole prove about its size: inequalities.

Clearance in place, without pulling the pin: how far the joint moves on it, or which feeler enters beside it.
"""

import datetime
import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal, NamedTuple

from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Play, PlayBy, Trial
from fieldlog.records.machine import HitchCategory, Hole, Joint
from fieldlog.standards.joints import is_one_size

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
    smallest: Value


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
    holes: tuple[tuple[Hole, Value], ...]
    measured_pin: Value | None = None
    category: HitchCategory | None = None
    worn_pin: Value | None = None
    unmeasured: tuple[Hole, ...] = ()
    trials: tuple[Trial, ...] = ()
    days: tuple[HoleDay, ...] = ()
    largest: Value | None = None
    play: Value | None = None
    feeler: Value | None = None
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


# Two months of work change a hole by less than a caliper sees in it: common practice, no source.
SAME_STATE = datetime.timedelta(days=60)
# How far under its name a pin or shank that is tried may be, most likely: common practice, no source.
_UNDER_MM = {"pin": 0.06, "shank": 0.03}


@dataclass(frozen=True, slots=True)
class Bounds:
    """Between which sizes a hole is: the largest that went through and the smallest that did not."""

    goes: Trial | None = None
    no: Trial | None = None

    @property
    def least_mm(self) -> float:
        """The hole is at least this, minus infinity when nothing went."""
        return float(self.goes.size.mm) if self.goes is not None else float("-inf")

    @property
    def most_mm(self) -> float:
        """The hole is below this, infinity when nothing was refused."""
        return float(self.no.size.mm) if self.no is not None else float("inf")

    @property
    def is_contrary(self) -> bool:
        """Tell whether something went that is no smaller than what did not."""
        return self.least_mm >= self.most_mm


def bounds_of(trials: Iterable[Trial], hole_id: str, measured_on: datetime.date | None = None) -> Bounds:
    """Return the bounds that the trials set to a hole's smallest size.

    What went long after `measured_on`, the day the size is of, tells only of the wear since and is left out.
    """
    own = [trial for trial in trials if trial.hole == hole_id]
    went = [t for t in own if t.result == "goes" and (measured_on is None or t.day <= measured_on + SAME_STATE)]
    refused = [trial for trial in own if trial.result != "goes"]
    order = lambda trial: (trial.size.mm, trial.day, trial.at)  # noqa: E731 -- one key for both ends
    return Bounds(max(went, key=order, default=None), min(refused, key=order, default=None))


def under_name_mm(trial: Trial) -> float:
    """Return how far the pin or shank that was tried may be under its name, as a standard uncertainty."""
    return _UNDER_MM[trial.by]


def interval_of(smallest: Value | None, bounds: Bounds) -> tuple[float, float]:
    """Return between which sizes a hole's smallest is, by reading and trials together.

    Where they contradict each other neither is believed alone: the interval then holds both.
    """
    if bounds.is_contrary:
        bounds = Bounds()
    if smallest is None:
        return bounds.least_mm, bounds.most_mm
    low_mm, high_mm = smallest.value - smallest.plus_minus, smallest.value + smallest.plus_minus
    least, most = max(low_mm, bounds.least_mm), min(high_mm, bounds.most_mm)
    if least <= most:
        return least, most
    finite = [mm for mm in (bounds.least_mm, bounds.most_mm) if mm not in {float("-inf"), float("inf")}]
    return min(low_mm, *finite), max(high_mm, *finite)


def trial_words(trial: Trial) -> str:
    """Return '3/4 in pin' or '19.5 mm shank'."""
    return f"{trial.size.typed} {trial.by}"


# half-widths in mm within which one such measuring is right: common practice, no source
_LIMITS_MM: Mapping[PlayBy, float] = MappingProxyType({"dial": 0.1, "marks": 0.4, "rocked": 0.8, "feeler": 0.08})
_WORDS: Mapping[PlayBy, str] = MappingProxyType(
    {
        "dial": "dial, joint pried",
        "marks": "two marks and a rule",
        "rocked": "rocked, judged by eye",
        "feeler": "feeler",
    }
)


def clearance_in_place(plays: Sequence[Play]) -> Value | None:
    """Return the middle of several plays (or feelers) of one day, None without any.

    Its doubt is of the way it was taken, as a rectangle of its usual limit (GUM 4.3.7), and half the spread of the
    repeats, as a rectangle too: three repeats are too few for a standard deviation.
    """
    if not plays:
        return None
    sizes = [float(play.size.mm) for play in plays]
    widest = max((play.by for play in plays), key=_LIMITS_MM.__getitem__)
    limit_mm = max(_LIMITS_MM[widest], float(max(play.size.half_width_mm for play in plays)))
    whose, why = plays[0].key, f"usual ± {limit_mm:g} mm, common practice"
    terms = [Term(Source(f"{whose}/{widest}", "usual", label=_WORDS[widest], why=why), limit_mm / 3**0.5)]
    spread_mm = (max(sizes) - min(sizes)) / 2
    if spread_mm > 0:
        spread = Source(f"{whose}/spread", "shape", label="repeats", why=f"half their spread, {len(sizes)} repeats")
        terms.append(Term(spread, spread_mm / 3**0.5))
    return Value(statistics.median(sizes), "mm", tuple(terms))
