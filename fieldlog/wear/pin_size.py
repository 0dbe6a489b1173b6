"""The size of a joint's pin: measured in its worn band, at its unworn end, as stated, or as the hole suggests.

Clearance: the largest of the hole minus the pin, day by day, with the doubt of both.

What hangs on a pin that nobody stated or measured: one verdict where all that it may be agree, else which to settle.

Where the pin's worn band was first measured later, that reading serves the days before too: a step from made to
measured would look like wear. After a new pin it counts as made until measured.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import NamedTuple

from fieldlog.measure.checks import worth_of
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.instruments import UNKNOWN_CALIPER, size_of_mean, step_mm
from fieldlog.measure.pin_evidence import PinAnswer, PinCandidate, groups_of_one_size
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import limit
from fieldlog.quantity.value import Value
from fieldlog.records.entries import PinPlace, PinReading
from fieldlog.records.machine import Hole, Instrument, Joint
from fieldlog.standards.joints import PIN_UNDER_SIZE_MM
from fieldlog.wear.judge import Measured
from fieldlog.wear.states import Finding
from fieldlog.wear.verdicts import Severity, Verdict

PIN_OF_WEIGHT = 0.02  # the share from which a pin that may be meant has a say in the verdict: belief, no source


@dataclass(frozen=True, slots=True)
class PinDay:
    """A pin's smallest diameter at one place in one round, what is to be said of the instrument, and its readings.

    `keys` are those of the readings in the smallest direction.
    """

    day: datetime.date
    size: Value
    remarks: tuple[str, ...] = ()
    n_readings: int = 1
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PinSize:
    """The pin size that clearance is reckoned from, and where it comes from; `worn_day` for a worn band."""

    size: Value
    origin: Said
    is_measured: bool
    worn_day: datetime.date | None = None


def pin_days(
    readings: Sequence[PinReading], place: PinPlace, instruments: Mapping[str, Instrument]
) -> tuple[PinDay, ...]:
    """Return the smallest direction of a pin at one place, a round at a time, oldest first."""
    wanted = sorted((r for r in readings if r.place == place), key=lambda r: (r.day, r.round, r.at))
    days = []
    for (day, _), group in groupby(wanted, key=lambda r: (r.day, r.round)):
        lines: dict[float, list[PinReading]] = {}
        for reading in group:
            lines.setdefault(reading.clock.angle_deg if reading.clock else 0.0, []).append(reading)
        sizes = [_day(day, line, instruments) for line in lines.values()]
        days.append(min(sizes, key=lambda one: one.size.value))
    return tuple(days)


def _day(day: datetime.date, readings: Sequence[PinReading], instruments: Mapping[str, Instrument]) -> PinDay:
    used = [instruments.get(reading.instrument, UNKNOWN_CALIPER) for reading in readings]
    triples = [(i, float(r.size.mm), step_mm(r.size, i)) for r, i in zip(readings, used, strict=True)]
    first = readings[0]
    clock = f"{first.clock.angle_deg:g}" if first.clock else ""
    whose = f"{first.round or day.isoformat()}/pin of {first.joint}/{first.place}/{clock}"
    worth = worth_of(triples, "outside", day, whose)
    size = size_of_mean(whose, [mm for _, mm, _ in triples], worth.terms, worth.usual_mm, worth.step_mm)
    return PinDay(day, size, worth.remarks, len(readings), tuple(reading.key for reading in readings))


def made_size(
    joint: Joint, unworn: Sequence[PinDay], answer: PinAnswer, taken: PinCandidate | None = None
) -> PinSize | None:
    """Return the pin as made: its unworn end as last measured, as stated, or as it is `taken` where nobody knows it.

    Of several pins that may be meant the smallest of weight is taken, unless told otherwise: the largest clearance.
    """
    if unworn:
        return PinSize(unworn[-1].size, said("pin.unworn_end"), is_measured=True)
    if joint.pin is not None:
        size = _by_name(float(joint.pin.mm), joint)
        return PinSize(size, said("pin.taken_as", pin=joint.pin), is_measured=False)
    smallest = assumed_pin(answer)
    guess = taken or smallest
    if guess is None:
        return None
    standing = guess.standing if guess == smallest and _may_be_another(answer) else None
    origin = said("pin.assumed", name=guess.name, smallest=standing)
    return PinSize(_by_name(float(guess.size_mm), joint), origin, is_measured=False)


def _may_be_another(answer: PinAnswer) -> bool:
    return len(groups_of_one_size(pins_of_weight(answer))) > 1


def pins_of_weight(answer: PinAnswer) -> tuple[PinCandidate, ...]:
    """Return the pins that have a say in what the clearance is, the smallest first."""
    return tuple(sorted((c for c in answer.candidates if c.share >= PIN_OF_WEIGHT), key=lambda c: c.size_mm))


def assumed_pin(answer: PinAnswer) -> PinCandidate | None:
    """Return the smallest pin of weight, whether it fits unworn or worn: the one that gives the largest clearance."""
    return next(iter(pins_of_weight(answer)), None)


def _by_name(nominal_mm: float, joint: Joint) -> Value:
    """Return a pin that nobody measured.

    It may be anything from its name down to `under` below it. Reckoned from the name that is a rectangle on one
    side, whose root mean square is under / sqrt(3).
    """
    under_mm = PIN_UNDER_SIZE_MM[joint.kind]
    why = f"up to {under_mm:g} mm under its name"
    return Value(nominal_mm, "mm", (limit(f"{joint.id}/pin", under_mm, "usual", label="pin not measured", why=why),))


def nominal_mm(
    joint: Joint, unworn: Sequence[PinDay], answer: PinAnswer, taken: PinCandidate | None = None
) -> float | None:
    """Return the size that shares are taken of: as stated, as the pin is named, or as measured at its unworn end."""
    if joint.pin is not None:
        return float(joint.pin.mm)
    if answer.candidates and answer.candidates[0].standing == "known":
        return float(answer.candidates[0].size_mm)
    if unworn:
        return unworn[-1].size.value
    guess = taken or assumed_pin(answer)
    return float(guess.size_mm) if guess is not None else None


@dataclass(frozen=True, slots=True)
class JointPin:
    """A joint's pin in every way that it is known, since the last new pin.

    `taken` is the pin that it is reckoned to be, where nobody stated it or measured its unworn end; None for the
    smallest of weight.
    """

    joint: Joint
    worn: tuple[PinDay, ...]
    unworn: tuple[PinDay, ...]
    answer: PinAnswer
    taken: PinCandidate | None = None

    @property
    def made(self) -> PinSize | None:
        """The pin as made."""
        return made_size(self.joint, self.unworn, self.answer, self.taken)

    @property
    def now(self) -> PinSize | None:
        """The pin as it is: its worn band as last measured, else as made."""
        if not self.worn:
            return self.made
        last = self.worn[-1]
        return PinSize(last.size, said("pin.worn_band"), is_measured=True, worn_day=last.day)

    @property
    def nominal_mm(self) -> float | None:
        """The size that shares are taken of."""
        return nominal_mm(self.joint, self.unworn, self.answer, self.taken)

    @property
    def every(self) -> "tuple[JointPin, ...]":
        """The pin as each of those of weight that it may be, the smallest first; itself alone where it is known."""
        if self.joint.pin is not None or self.unworn:
            return (self,)
        return tuple(replace(self, taken=pin) for pin in pins_of_weight(self.answer)) or (self,)


def clearance_days(span: Sequence[HoleSize], pin: JointPin) -> tuple[Measured, ...]:
    """Return the clearance on each day of a span, with the worn band as measured on that day or last before.

    Before the worn band was first measured the pin counts as made, which gives the smaller clearance. Empty
    when the pin's size is not known in any way.
    """
    made = pin.made
    found: list[Measured] = []
    worn, at = pin.worn, -1
    for size in span:
        while at + 1 < len(worn) and worn[at + 1].day <= size.day:
            at += 1
        least = size.largest - made.size if made is not None else None
        if at >= 0:
            found.append(Measured(size.day, size.largest - worn[at].size, worn[at].day, least))
        elif least is not None:
            found.append(Measured(size.day, least))
    return tuple(found)


class WithPin(NamedTuple):
    """The verdict on a joint, were its pin the one that it is taken for."""

    pin: JointPin
    finding: Finding

    @property
    def name(self) -> str:
        """Return what the pin is called."""
        return self.pin.taken.name if self.pin.taken is not None else ""


def agreed(found: Sequence[WithPin]) -> Finding | None:
    """Return the worst of the findings where all pins of weight come to one verdict, None where they do not.

    What stops a joint stops it with any pin.
    """
    worst = _worst(found).finding
    return worst if worst.verdict is Verdict.STOP or len({_answer(one.finding) for one in found}) == 1 else None


def hanging(found: Sequence[WithPin], holes: Mapping[str, Hole]) -> Finding:
    """Return "re-measure" for a joint whose verdict hangs on which pin it is; `holes` are its holes if it has several.

    Its clearance and its limit are those of the pin that is worst, which is never milder than the truth.
    """
    worst, mildest = _worst(found), min(found, key=_rank)
    bad, answer = worst.finding, worst.pin.answer
    limit = said("finding.hanging_limit", limit=bad.limit, origin=bad.limit.origin) if bad.limit is not None else None
    reason = said("finding.pin_decides", mildest=_with(mildest), worst=_with(worst), limit=limit)
    if bad.hole in holes:
        reason = said("finding.at_hole", hole=holes[bad.hole], what=reason)
    return Finding(
        Verdict.REMEASURE,
        (reason, *(said("finding.besides", remark=one.said) for one in answer.contradictions[:1])),
        (said("step.settle_pin", action=answer.next_action),),
        bad.caution,
        clearance=bad.clearance,
        limit=bad.limit,
        share=bad.share,
        may_be_over=any(one.finding.severity >= Severity.MAY_BE_OVER for one in found),
        brief=_briefly(mildest.finding, bad),
        hole=bad.hole,
    )


def _answer(finding: Finding) -> tuple[Verdict, int, bool]:
    """Return what has to be the same; a re-measure about the limit is another than one about the watch line."""
    if finding.verdict is not Verdict.REMEASURE:
        return finding.verdict, 0, False
    return finding.verdict, finding.severity, finding.is_unproved


def _rank(one: WithPin) -> tuple[int, float]:
    return one.finding.severity, one.finding.share


def _worst(found: Sequence[WithPin]) -> WithPin:
    return max(found, key=_rank)


def _with(one: WithPin) -> Said:
    """Return the verdict with one of the pins, with its clearance."""
    finding = one.finding
    return said(
        "finding.with_pin",
        verdict=finding.verdict,
        may_be_over=finding.may_be_over,
        clearance=finding.clearance,
        pin=one.name,
    )


def _briefly(mild: Finding, bad: Finding) -> Said | None:
    """Return both clearances against the limit."""
    if mild.clearance is None or bad.clearance is None or bad.limit is None or bad.limit.of != "clearance":
        return None
    return said("finding.either_by_pin", least=mild.clearance, most=bad.clearance, limit=bad.limit)
