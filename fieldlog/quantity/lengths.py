"""Lengths as people type them: the typed text, an exact size, and the step that the typing shows.

The only place where typed inches become millimetres. 1 in = 25.4 mm exactly (international yard and pound
agreement of 1959; NIST SP 811).

`20 3/4-` shifts by a quarter of the typed fraction's step and its half-width is three quarters of that same step,
also on a finer tape: who writes 3/4- looked at quarters. A fraction is otherwise as fine as the instrument's own step
when that is known: people write 3/4 for 12/16.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import said
from fieldlog.quantity.units import MM_PER_INCH, Units, family_of

MM_PER_UNIT = MappingProxyType(
    {
        "mm": Decimal(1),
        "cm": Decimal(10),
        "m": Decimal(1000),
        "in": MM_PER_INCH,
        "ft": MM_PER_INCH * 12,
        "thou": MM_PER_INCH / 1000,
    }
)
TAPE_FRACTIONS = (2, 4, 8, 16, 32, 64, 128)
ACCEPTED_SIZE = said("typed.size")

_LONGEST_TYPED = 40
_MOST_DIGITS = 9
_UNIT_WORDS = MappingProxyType(
    {
        "mm": "mm",
        "millimetre": "mm",
        "millimetres": "mm",
        "millimeter": "mm",
        "millimeters": "mm",
        "cm": "cm",
        "m": "m",
        "in": "in",
        "inch": "in",
        "inches": "in",
        '"': "in",
        "thou": "thou",
    }
)
_LOOKALIKES = str.maketrans(
    {
        "″": '"',
        "“": '"',
        "”": '"',
        "′": "'",
        "‘": "'",
        "’": "'",
        "−": "-",
        "–": "-",
        "⁄": "/",
        "\u00a0": " ",
        "\u202f": " ",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
_WITH_UNIT = re.compile(
    r"^(?P<number>.*?)\s*(?P<unit>mm|cm|m|inches|inch|in|thou|\"|[a-z]{2,})?\s*(?P<lean>[-+])?$",
    re.IGNORECASE | re.ASCII,
)
_FEET = re.compile(r"^(?P<feet>\d+)\s*(?:'|ft\b)\s*(?P<rest>.*)$", re.IGNORECASE | re.ASCII)
_FRACTION = re.compile(
    r"^(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)\s*(?P<lean>[-+])?$", re.ASCII
)
_DECIMAL = re.compile(r"^\d+(?:[.,]\d+)?$|^[.,]\d+$", re.ASCII)


@dataclass(frozen=True, slots=True)
class Length:
    """A length as it was typed.

    `mm` is the exact size, with the shift of a "just under / just over" already in it; `step_mm` is the
    distance between neighbouring values that the typing could have shown; `lean` is -1 for "just under",
    +1 for "just over"; `is_fraction` is true for whole and broken inches as read off a tape.
    """

    typed: str
    mm: Decimal
    step_mm: Decimal
    unit: str
    lean: int = 0
    is_fraction: bool = False

    @property
    def half_width_mm(self) -> Decimal:
        """Half the interval the typing leaves open; a lean adds a quarter step, being judged by eye."""
        return self.step_mm * (Decimal("0.75") if self.lean else Decimal("0.5"))

    @property
    def family(self) -> Units:
        """The system the person was thinking in."""
        return family_of(self.unit)


def parse_length(text: str, default_unit: Units = "mm") -> Length:
    """Read a length; a number without a unit is in `default_unit`, a fraction is always in inches.

    Raises:
        QuantityError: the text is not a length; the message repeats it and says what is accepted.
    """
    typed = " ".join(text.translate(_LOOKALIKES).split())
    if not typed:
        raise QuantityError(said("typed.nothing"), ACCEPTED_SIZE)
    if len(typed) > _LONGEST_TYPED:
        raise QuantityError(said("typed.too_long", letters=len(typed)), ACCEPTED_SIZE)
    if typed.startswith("-"):
        raise QuantityError(said("typed.below_zero", typed=typed), ACCEPTED_SIZE)
    feet = _FEET.match(typed)
    length = _feet_and_inches(typed, feet) if feet else _plain_length(typed, default_unit)
    if length.mm < 0:
        raise QuantityError(said("typed.comes_out_below_zero", typed=typed), ACCEPTED_SIZE)
    return length


def _refuse(typed: str) -> QuantityError:
    return QuantityError(said("typed.no_size", typed=typed), ACCEPTED_SIZE)


def _plain_length(typed: str, default_unit: Units) -> Length:
    match = _WITH_UNIT.match(typed)
    if match is None:
        raise _refuse(typed)
    number, lean = match["number"], match["lean"] or ""
    word = (match["unit"] or "").lower()
    if word and word not in _UNIT_WORDS:
        raise QuantityError(said("typed.no_length_unit", unit=match["unit"], typed=typed))
    unit = _UNIT_WORDS[word] if word else ""
    fraction = _FRACTION.match(number + lean)
    if fraction:
        return _fraction(typed, fraction, unit)
    if lean:
        raise QuantityError(said("typed.lean_without_fraction", typed=typed))
    return _decimal(typed, number, unit or default_unit, has_unit=bool(unit))


def _fraction(typed: str, match: re.Match[str], unit: str) -> Length:
    if unit not in {"", "in"}:
        raise QuantityError(said("typed.fraction_of_other", typed=typed, unit=unit))
    inches, step = _fraction_inches(typed, match)
    lean = {"-": -1, "+": 1}.get(match["lean"] or "", 0)
    size_mm = inches * MM_PER_INCH + lean * step * MM_PER_INCH / 4
    return Length(_with_unit(typed, unit, "in"), size_mm, step * MM_PER_INCH, "in", lean, is_fraction=True)


def _fraction_inches(typed: str, match: re.Match[str]) -> tuple[Decimal, Decimal]:
    bottom = match["bottom"].lstrip("0")
    if not bottom or len(bottom) > _MOST_DIGITS or int(bottom) not in TAPE_FRACTIONS:
        raise QuantityError(said("typed.odd_fraction", typed=typed))
    if len(match["top"]) > _MOST_DIGITS or len(match["whole"] or "") > _MOST_DIGITS:
        raise _refuse(typed)
    top = int(match["top"])
    if match["whole"] is not None and top >= int(bottom):
        raise QuantityError(said("typed.fraction_over_one", typed=typed))
    step = Decimal(1) / int(bottom)
    return int(match["whole"] or 0) + top * step, step


def _decimal(typed: str, number: str, unit: str, *, has_unit: bool) -> Length:
    if not _DECIMAL.match(number) or len(number) > _MOST_DIGITS + 4:
        raise _refuse(typed)
    whole, comma, decimals = number.partition(",")
    if comma and len(decimals) == 3 and whole.strip("0"):
        raise QuantityError(
            said("typed.comma", typed=typed, thousands=f"{whole}{decimals}", decimal=f"{whole}.{decimals}")
        )
    value = Decimal(number.replace(",", "."))
    exponent = value.as_tuple().exponent
    places = -exponent if isinstance(exponent, int) else 0
    step_mm = MM_PER_UNIT[unit] / (Decimal(10) ** places)
    is_fraction = unit == "in" and places == 0
    text = typed if has_unit else f"{typed} {unit}"
    return Length(text, value * MM_PER_UNIT[unit], step_mm, unit, is_fraction=is_fraction)


def _feet_and_inches(typed: str, match: re.Match[str]) -> Length:
    if len(match["feet"]) > _MOST_DIGITS:
        raise _refuse(typed)
    feet_mm = int(match["feet"]) * MM_PER_UNIT["ft"]
    rest = match["rest"].strip()
    if not rest:
        return Length(typed, feet_mm, MM_PER_UNIT["ft"], "ft", is_fraction=True)
    inches = _plain_length(rest, "in")
    if inches.unit != "in":
        raise _refuse(typed)
    if inches.mm >= MM_PER_UNIT["ft"]:
        raise QuantityError(said("typed.inches_over_foot", typed=typed))
    return Length(typed, feet_mm + inches.mm, inches.step_mm, "in", inches.lean, inches.is_fraction)


def _with_unit(typed: str, unit: str, default: str) -> str:
    return typed if unit else f"{typed} {default}"
