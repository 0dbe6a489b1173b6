"""Values that know which way they go or how steep they are, read from the words of a person.

Each class reads itself with `from_text`, as it stands in a file; there the unit must be written.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal, Self

from fieldlog.errors import QuantityError
from fieldlog.records.quantities import Units, parse_length

Axis = Literal["", "along", "up"]

_DIRECTED = re.compile(
    r"^(?P<minus>[-−])?\s*(?P<size>.*?)(?:\s+(?P<word>behind|ahead|in front|above|below))?$", re.IGNORECASE | re.ASCII
)
_AGAINST = frozenset({"ahead", "in front", "below"})
_ALONG = frozenset({"behind", "ahead", "in front"})
_ANGLE = re.compile(r"^(?P<number>\d{1,3}(?:[.,]\d{1,3})?)\s*(?:deg|degrees?|°)?$", re.IGNORECASE)
_UNIT_MARKS = frozenset("'\"″′“”‘’")
STEEPEST_DEG = 45


@dataclass(frozen=True, slots=True)
class Directed:
    """A distance behind (+) or ahead of (-) something, or above (+) or below (-) it, as it was typed."""

    typed: str
    mm: Decimal
    half_width_mm: Decimal = Decimal(0)
    axis: Axis = ""

    accepted: ClassVar[str] = (
        'write it with its unit and a direction, as "60 mm behind", "40 mm ahead" or "60 mm below"'
    )

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read a distance from a file, where its unit must stand."""
        match = _DIRECTED.match(text.strip())
        size = match["size"] if match is not None else ""
        if not any(char.isalpha() or char in _UNIT_MARKS for char in size):
            raise QuantityError(f'"{text[:40]}" has no unit')
        return cls._read(text, "mm")

    @classmethod
    def _read(cls, text: str, default_unit: Units) -> Self:
        match = _DIRECTED.match(" ".join(text.split()))
        if match is None or (match["minus"] and match["word"]):
            raise QuantityError(f'"{text[:40]}" is no distance; type one like 60 mm behind, 40 mm ahead or 60 below.')
        length = parse_length(match["size"], default_unit)
        word = (match["word"] or "").lower()
        is_against = word in _AGAINST or bool(match["minus"])
        typed = f"{'-' if match['minus'] else ''}{length.typed}{f' {word}' if word else ''}"
        axis: Axis = "" if not word else "along" if word in _ALONG else "up"
        return cls(typed, -length.mm if is_against else length.mm, length.half_width_mm, axis)


def parse_directed(text: str, default_unit: Units = "mm") -> Directed:
    """Read a distance typed on the screen; without a direction it is behind, or above.

    Raises:
        QuantityError: the text is no distance; the message says what is accepted.
    """
    return Directed._read(text, default_unit)


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle in degrees, from 0 to 45: how far an implement is to lean or roll."""

    typed: str
    deg: float

    accepted: ClassVar[str] = 'write it in degrees, from 0 to 45, as "8 deg"'

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read degrees."""
        match = _ANGLE.match(text.strip())
        value = float(match["number"].replace(",", ".")) if match is not None else -1.0
        if not 0 <= value <= STEEPEST_DEG:
            raise QuantityError(
                f'"{text[:40]}" is no angle from 0 to {STEEPEST_DEG} degrees; type one like 8 or 8 deg.'
            )
        typed = text.strip()
        return cls(typed if not typed[-1].isdigit() else f"{typed} deg", value)
