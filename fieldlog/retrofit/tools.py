"""Which drill or reamer opens a plain eye for a pin: an inch drill for an inch pin, a metric one for a metric pin."""

from dataclasses import dataclass
from fractions import Fraction

from fieldlog.measure.rounding import mm_text
from fieldlog.records.quantities import MM_PER_INCH, Units

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
