"""A hole that wants repair, and a way to repair it; and how its numbers are said with their doubt."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fieldlog.measure.rounding import mm_text, plus_minus_text
from fieldlog.records.machine import HoleKind, JointKind, Made
from fieldlog.records.quantities import MM_PER_INCH, Units
from fieldlog.retrofit.metal import Eye, MetalLeft

Doubts = Mapping[str, float]  # 95 % half-widths by the words of `repair_numbers`


class RepairWord(StrEnum):
    """What to think of a way, best first."""

    GOOD = "good"
    ASK = "ask a shop"
    NO = "not here"


@dataclass(frozen=True, slots=True)
class WornHole:
    """A hole that wants repair: sizes in mm, the pin it was made for, its eye where that was measured.

    `made_mm` is the hole as made, `largest_mm` as worn. `stops` are signs that end all arithmetic,
    `pin_doubt` says what is not settled about the pin.
    """

    joint_kind: JointKind
    hole_kind: HoleKind
    made_of: Made | None
    pin_name: str
    pin_mm: float
    made_mm: float
    largest_mm: float
    oval_mm: float
    eye_width_mm: float | None = None
    eye_thickness_mm: float | None = None
    centre_to_end_mm: float | None = None
    is_of_link: bool = False
    pin_doubt: str = ""
    stops: tuple[str, ...] = ()

    def eye(self, hole_mm: float, pin_mm: float) -> Eye | None:
        """Return the eye with this hole and pin, None where it was not measured."""
        if self.eye_width_mm is None or self.eye_thickness_mm is None or self.centre_to_end_mm is None:
            return None
        return Eye(self.eye_width_mm, self.eye_thickness_mm, self.centre_to_end_mm, hole_mm, pin_mm)


@dataclass(frozen=True, slots=True)
class Repair:
    """One way: what it is called, what to think of it, why, its numbers, what to order, what to watch."""

    name: str
    word: RepairWord
    why: tuple[str, ...]
    parts: tuple[str, ...] = ()
    shop: tuple[str, ...] = ()
    caution: str = ""
    metal: MetalLeft | None = None


def sure_text(mm: float, doubt_mm: float, units: Units, places: int = 2) -> str:
    """Return a length with its doubt where there is one, to so many places of a millimetre at the finest."""
    finest = places if units == "mm" else places + 2
    if doubt_mm <= 0:
        return mm_text(mm, units, finest)
    factor = 1.0 if units == "mm" else 1 / float(MM_PER_INCH)
    return f"{plus_minus_text(mm * factor, doubt_mm * factor, finest)} {units}"
