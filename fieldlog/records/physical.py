"""Pressures and masses as people type them: the typed text and the number, never without a unit."""

from dataclasses import dataclass

from fieldlog.errors import QuantityError
from fieldlog.records.units import parse_value

ACCEPTED_PRESSURE = 'write a pressure with its unit, as "210 bar", "3000 psi" or "20.7 MPa"'
ACCEPTED_MASS = 'write a weight with its unit, as "14 kg" or "31 lb"'
_MOST_BAR = 2000.0
_MOST_KG = 10_000.0


@dataclass(frozen=True, slots=True)
class Pressure:
    """A pressure above that of the air."""

    typed: str
    bar: float


@dataclass(frozen=True, slots=True)
class Mass:
    """What something weighs."""

    typed: str
    kg: float


def parse_pressure(text: str) -> Pressure:
    """Read '3000 psi'; a number without a unit is refused, since psi and bar are 14 times apart.

    Raises:
        QuantityError: the text is no pressure above nothing and up to 2000 bar.
    """
    typed, amount = _amount(text, "bar", ACCEPTED_PRESSURE)
    if not 0 < amount <= _MOST_BAR:
        raise QuantityError(f'"{typed}" is no pressure that a cylinder sees; {ACCEPTED_PRESSURE}.')
    return Pressure(typed, amount)


def parse_mass(text: str) -> Mass:
    """Read '14 kg'; a number without a unit is refused.

    Raises:
        QuantityError: the text is no weight above nothing and up to 10 t.
    """
    typed, amount = _amount(text, "kg", ACCEPTED_MASS)
    if not 0 < amount <= _MOST_KG:
        raise QuantityError(f'"{typed}" is no weight of a cylinder; {ACCEPTED_MASS}.')
    return Mass(typed, amount)


def _amount(text: str, unit: str, accepted: str) -> tuple[str, float]:
    typed = " ".join(text.split())
    if not any(char.isalpha() for char in typed):
        raise QuantityError(f'"{typed[:40]}" has no unit; {accepted}.')
    try:
        value = parse_value(typed, unit)
    except QuantityError:
        raise QuantityError(f'"{typed[:40]}" cannot be read in {unit}; {accepted}.') from None
    return value.typed, value.amount
