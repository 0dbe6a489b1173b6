"""Pressures, weights, flows and forces as people type them: the typed text and the number, never without a unit.

Each class reads itself with `from_text`, from a file and from the screen alike; `accepted` says what it takes.
"""

from dataclasses import dataclass
from typing import ClassVar, Self

from fieldlog.errors import QuantityError
from fieldlog.records.units import parse_value


@dataclass(frozen=True, slots=True)
class Pressure:
    """A pressure above that of the air; psi and bar are 14 times apart."""

    typed: str
    bar: float

    accepted: ClassVar[str] = 'write a pressure with its unit, as "210 bar", "3000 psi" or "20.7 MPa"'

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '3000 psi', above nothing and up to 2000 bar."""
        return cls(*_amount(text, "bar", "pressure", cls.accepted, 2000.0))


@dataclass(frozen=True, slots=True)
class Mass:
    """What something weighs."""

    typed: str
    kg: float

    accepted: ClassVar[str] = 'write a weight with its unit, as "14 kg" or "31 lb"'

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '14 kg', above nothing and up to 10 t."""
        return cls(*_amount(text, "kg", "weight", cls.accepted, 10_000.0))


@dataclass(frozen=True, slots=True)
class Flow:
    """A flow of oil; gallons are US gallons."""

    typed: str
    l_per_min: float

    accepted: ClassVar[str] = 'write a flow with its unit, as "18.9 L/min" or "5 gpm"'

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '5 gpm', above nothing and up to 500 L/min."""
        return cls(*_amount(text, "liter/minute", "flow", cls.accepted, 500.0))


@dataclass(frozen=True, slots=True)
class Force:
    """A push or pull, none allowed."""

    typed: str
    kn: float

    accepted: ClassVar[str] = 'write a force with its unit, as "6 kN" or "1300 lbf"'

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '6 kN', up to 1000 kN."""
        return cls(*_amount(text, "kN", "force", cls.accepted, 1000.0, may_be_none=True))


def _amount(
    text: str, unit: str, what: str, accepted: str, most: float, *, may_be_none: bool = False
) -> tuple[str, float]:
    """Return the typed text and its number in `unit`.

    Raises:
        QuantityError: it has no unit, is nothing of this kind, or cannot be right; the message says what is accepted.
    """
    typed = " ".join(text.split())
    way = f"{accepted[:1].upper()}{accepted[1:]}."
    if not any(char.isalpha() for char in typed):
        raise QuantityError(f'"{typed[:40]}" has no unit. {way}')
    try:
        value = parse_value(typed, unit)
    except QuantityError:
        raise QuantityError(f'"{typed[:40]}" is no {what}. {way}') from None
    if not (0 < value.amount <= most or (may_be_none and value.amount == 0)):
        raise QuantityError(f'"{typed[:40]}" is no {what} that can be here. {way}')
    return value.typed, value.amount
