"""Clearance: the largest of the hole minus the pin, day by day, with the doubt of both."""

from collections.abc import Sequence
from dataclasses import replace

from fieldlog.measure.estimate import difference
from fieldlog.measure.hole import HoleSize
from fieldlog.measure.pin_evidence import PinAnswer, PinCandidate
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Joint
from fieldlog.wear.judge import Measured
from fieldlog.wear.pin_size import PinDay, PinSize, made_size, nominal_mm, pins_of_weight


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
        return PinSize(last.size, "worn band of the pin", is_measured=True, worn_day=last.day)

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
        least = difference(size.largest, made.size) if made is not None else None
        if at >= 0:
            found.append(Measured(size.day, difference(size.largest, worn[at].size), worn[at].day, least))
        elif least is not None:
            found.append(Measured(size.day, least))
    return tuple(found)
