"""A hole that wants repair, and a way to repair it; and how its numbers are said with their doubt.

Which drill or reamer opens a plain eye for a pin: an inch drill for an inch pin, a metric one for a metric pin.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.said import Said
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.records.machine import HoleKind, JointKind, Made
from fieldlog.retrofit.repair.metal import Eye
from fieldlog.standards.joints import NOMINAL_PINS

OVAL_NEEDS_WELD_MM = 0.5  # an unbushed bore more oval than this is welded and bored, not reamed
MOST_PIN_STEP = 1.35  # a pin more than a third thicker is another joint
CLEANS_UP_MM = 0.2  # more than the largest size, so that the whole circle is cut


class RepairWord(StrEnum):
    """What to think of a way, best first."""

    GOOD = "good"
    ASK = "ask"
    NO = "no"


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
    pin_doubt: str | Said = ""
    stops: tuple[str, ...] = ()

    def eye(self, hole_mm: float, pin_mm: float) -> Eye | None:
        """Return the eye with this hole and pin, None where it was not measured."""
        if self.eye_width_mm is None or self.eye_thickness_mm is None or self.centre_to_end_mm is None:
            return None
        return Eye(self.eye_width_mm, self.eye_thickness_mm, self.centre_to_end_mm, hole_mm, pin_mm)


@dataclass(frozen=True, slots=True)
class Repair:
    """One way: what it is called, what to think of it, why, what to order, what the shop does, what to watch."""

    name: Said
    word: RepairWord
    why: tuple[Said, ...]
    parts: tuple[Said, ...] = ()
    shop: tuple[Said, ...] = ()
    caution: Said | None = None


_DRILL_STEP_IN = Fraction(1, 64)  # inch drills go by 64ths; a plain link hole is a 64th to a 32nd over its pin
_DRILL_STEP_MM = 0.5  # metric drills of this size are stocked by halves
_LEAST_ROOM_MM = 0.3  # of a drilled link hole over its pin: common practice, 0.4 to 0.8 mm
_ONCE_LARGE_MM = 13.0  # above this a hole is opened with an annular cutter or in steps


@dataclass(frozen=True, slots=True)
class Tool:
    """The size that a hole is opened to."""

    name: str
    mm: float

    @property
    def words(self) -> str:
        """For a little metal."""
        return f"ream it to {self.name}"

    @property
    def drill_words(self) -> str:
        """For more metal: never a hand-held twist drill following the old hole."""
        if self.mm > _ONCE_LARGE_MM:
            return f"open it to {self.name} with a cutter or core drill on a jig, reamed last"
        return f"drill it to {self.name} on a jig, reamed last"

    def size_text(self, units: Units) -> str:
        """Return the size in the person's unit."""
        return mm_text(self.mm, units)


def tool_for(name: str, pin_mm: float) -> Tool:
    """Return the drill or reamer for a plain link hole: the next 64th or half millimetre with 0.3 mm of room or more.

    Holds for plain drilled holes of hitch links, 0.4 to 0.8 mm over the pin when new. Common practice, no source.
    """
    if name.endswith(" in"):
        per_step = float(MM_PER_INCH * _DRILL_STEP_IN.numerator / _DRILL_STEP_IN.denominator)
        steps = _steps_above(pin_mm + _LEAST_ROOM_MM, per_step)
        return Tool(_inch_text(steps * _DRILL_STEP_IN), steps * per_step)
    steps = _steps_above(pin_mm + _LEAST_ROOM_MM, _DRILL_STEP_MM)
    return Tool(f"{steps * _DRILL_STEP_MM:g} mm", steps * _DRILL_STEP_MM)


def _steps_above(mm: float, step_mm: float) -> int:
    return -int(-(mm / step_mm - 1e-9) // 1)


def _inch_text(size: Fraction) -> str:
    whole, rest = divmod(size, 1)
    fraction = f"{rest.numerator}/{rest.denominator}" if rest else ""
    return f"{'-'.join(part for part in (str(whole) if whole else '', fraction) if part)} in"


class NextPin(NamedTuple):
    """The next pin in the list for which a worn hole can be opened round, and the tool that opens it."""

    name: str
    mm: float
    tool: Tool


def next_pin(hole: WornHole) -> NextPin | None:
    """Return the next pin whose hole takes in all of the worn one; None where no pin is large enough."""
    tools = (NextPin(pin.name, float(pin.mm), tool_for(pin.name, float(pin.mm))) for pin in NOMINAL_PINS)
    least_mm = hole.largest_mm + CLEANS_UP_MM
    return next((pin for pin in tools if pin.mm > hole.pin_mm * 1.02 and pin.tool.mm >= least_mm), None)
