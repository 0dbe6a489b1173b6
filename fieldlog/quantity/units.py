"""Units: of lengths one table, which alone knows what differs between millimetres and inches.

Values that are no lengths: pressures, flows, masses, forces, temperatures. Pint reads them, imported when needed.

Pressures, weights, flows and forces as people type them: the typed text and the number, never without a unit.

How warm it was, as typed: "8 degC", "46 degF".
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Literal, Self

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import Said, said

if TYPE_CHECKING:
    import pint

Units = Literal["mm", "in"]  # what a person may want to see first

MM_PER_INCH = Decimal("25.4")  # exact: NIST SP 811, appendix B


@dataclass(frozen=True, slots=True)
class LengthUnit:
    """A unit in which everything can be shown, and whatever differs from one such unit to another.

    The decimals go by what is shown: a size near enough to set a machine up by, one taped, one taped to a tenth, the
    room of a pin in its eye, a hole, what a caliper shows, and the finest that is ever shown. A pin hole outside of
    `least_hole` and `most_hole` was likely typed in the other unit.
    """

    word: Units
    name: str
    threads: str
    beside: Units
    mm: Decimal
    typed_as: frozenset[str]
    near: int
    tape: int
    tenth: int
    room: int
    hole: int
    caliper: int
    finest: int
    least_hole: float
    most_hole: float
    caliper_step: str
    tape_step: str
    trials: str

    def of(self, mm: float) -> float:
        """Return how many of this unit a length is."""
        return mm / float(self.mm)

    @property
    def scale(self) -> float:
        """How many of this unit a millimetre is."""
        return 1 / float(self.mm)


LENGTH_UNITS: Mapping[Units, LengthUnit] = MappingProxyType(
    {
        "mm": LengthUnit(
            "mm", "millimetres", "metric", "in", Decimal(1), frozenset({"mm", "cm", "m"}),
            near=0, tape=0, tenth=1, room=1, hole=2, caliper=2, finest=3,
            least_hole=3.0, most_hole=math.inf, caliper_step="0.01 mm", tape_step="1 mm",
            trials="19.05 goes, 3/4 no, 19.5 shank one side, play 0.6 or play 0.6 dial, feeler 0.3",
        ),
        "in": LengthUnit(
            "in", "inches", "inch", "mm", MM_PER_INCH, frozenset({"in", "ft", "thou"}),
            near=1, tape=2, tenth=2, room=3, hole=3, caliper=4, finest=4,
            least_hole=0.0, most_hole=8.0, caliper_step="0.0005 in", tape_step="1/16 in",
            trials="0.75 goes, 7/8 no, 49/64 shank one side, play 0.02 or play 0.02 dial, feeler 0.01",
        ),
    }
)  # fmt: skip


def length_unit(units: Units) -> LengthUnit:
    """Return a unit of lengths by its word."""
    return LENGTH_UNITS[units]


def family_of(unit: str) -> Units:
    """Return the unit in which somebody thinks who types this one."""
    return next(known.word for known in LENGTH_UNITS.values() if unit in known.typed_as)


# A number and a unit, nothing that would have to be computed: Pint itself would work out 10**10**10.
_VALUE = re.compile(
    r"^(?P<number>[-+]?\d{1,9}(?:[.,]\d{1,9})?)\s*(?P<unit>[A-Za-z°_]{0,30}(?:/[A-Za-z_]{1,30})?)$", re.ASCII
)
# Exact by definition (NIST SP 811, appendix B); known here because Pint takes a fifth of a second to import, which
# a whole start or report would wait for when a single weight in the logbook is in pounds.
_EXACT: Mapping[tuple[str, str], float] = MappingProxyType(
    {
        ("lb", "kg"): 0.45359237,
        ("lbf", "kN"): 0.0044482216152605,
        ("psi", "bar"): 0.06894757293168362,
        ("MPa", "bar"): 10.0,
        ("kPa", "bar"): 0.01,
        ("gpm", "liter/minute"): 3.785411784,
        ("L/min", "liter/minute"): 1.0,
    }
)
# What a value is shown in as well, and how many of those one of it is (NIST SP 811, appendix B).
_SHOWN_ALSO: Mapping[str, tuple[str, float]] = MappingProxyType(
    {
        "kN": ("lbf", 1 / _EXACT["lbf", "kN"]),
        "kg": ("lb", 1 / _EXACT["lb", "kg"]),
        "bar": ("psi", 1 / _EXACT["psi", "bar"]),
    }
)
_SHORT_NAMES = {"gpm": "gallon/minute", "lpm": "liter/minute", "hp": "horsepower", "°F": "degF", "°C": "degC"}


@dataclass(frozen=True, slots=True)
class Value:
    """A value as typed and in the unit asked for."""

    typed: str
    amount: float
    unit: str


def parse_value(text: str, unit: str) -> Value:
    """Read '2500 psi' as a value in `unit` ('bar'); a bare number is taken to be in `unit`.

    Raises:
        QuantityError: the text is no value of that kind; the message says what is accepted.
    """
    typed = " ".join(text.split())
    match = _VALUE.match(typed.replace("°", "deg") if "°" in typed else typed)
    refusal = QuantityError(said("typed.no_value", typed=typed[:40], unit=unit))
    if match is None:
        raise refusal
    number = float(match["number"].replace(",", "."))
    if match["unit"] in {"", unit}:
        return Value(typed, number, unit)
    if (match["unit"], unit) in _EXACT:
        return Value(typed, number * _EXACT[match["unit"], unit], unit)
    import pint

    try:
        amount = float(_registry().Quantity(number, _SHORT_NAMES.get(match["unit"], match["unit"])).to(unit).magnitude)
    except (pint.PintError, AttributeError, TypeError, ValueError):
        raise refusal from None
    return Value(typed, amount, unit)


def also_shown_in(unit: str) -> tuple[str, float] | None:
    """Return the inch-pound unit beside a metric one and its factor; None where there is none, as for degrees."""
    word, per, _ = unit.partition(" per ")
    own = next((known for known in LENGTH_UNITS.values() if known.word == word and known.mm == 1), None)
    if own is None or not (per or unit == word):
        return _SHOWN_ALSO.get(unit)
    other = length_unit(own.beside)
    return unit.replace(own.word, other.word, 1), other.scale


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[float]":
    import pint

    return pint.UnitRegistry()


@dataclass(frozen=True, slots=True)
class Pressure:
    """A pressure above that of the air; psi and bar are 14 times apart."""

    typed: str
    bar: float

    accepted: ClassVar[Said] = said("accepted.pressure")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '3000 psi', above nothing and up to 2000 bar."""
        return cls(*_amount(text, "bar", cls.accepted, 2000.0))


@dataclass(frozen=True, slots=True)
class Mass:
    """What something weighs."""

    typed: str
    kg: float

    accepted: ClassVar[Said] = said("accepted.weight")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '14 kg', above nothing and up to 10 t."""
        return cls(*_amount(text, "kg", cls.accepted, 10_000.0))


@dataclass(frozen=True, slots=True)
class Flow:
    """A flow of oil; gallons are US gallons."""

    typed: str
    l_per_min: float

    accepted: ClassVar[Said] = said("accepted.flow")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '5 gpm', above nothing and up to 500 L/min."""
        return cls(*_amount(text, "liter/minute", cls.accepted, 500.0))


@dataclass(frozen=True, slots=True)
class Force:
    """A push or pull, none allowed."""

    typed: str
    kn: float

    accepted: ClassVar[Said] = said("accepted.force")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read '6 kN', up to 1000 kN."""
        return cls(*_amount(text, "kN", cls.accepted, 1000.0, may_be_none=True))


def _amount(text: str, unit: str, accepted: Said, most: float, *, may_be_none: bool = False) -> tuple[str, float]:
    """Return the typed text and its number in `unit`.

    Raises:
        QuantityError: it has no unit, is nothing of this kind, or cannot be right; the message says what is accepted.
    """
    typed = " ".join(text.split())
    way = said("typed.instead", accepted=accepted)
    if not any(char.isalpha() for char in typed):
        raise QuantityError(said("typed.no_unit", typed=typed[:40]), way)
    try:
        value = parse_value(typed, unit)
    except QuantityError:
        raise QuantityError(said("typed.no_kind", typed=typed[:40], unit=unit), way) from None
    if not (0 < value.amount <= most or (may_be_none and value.amount == 0)):
        raise QuantityError(said("typed.no_kind_here", typed=typed[:40], unit=unit), way)
    return value.typed, value.amount


REFERENCE_DEG_C = 20.0  # ISO 1: lengths are stated at 20 degC
_COLDEST_DEG_C, _HOTTEST_DEG_C = -60.0, 60.0


@dataclass(frozen=True, slots=True)
class Temperature:
    """A temperature as typed, and in degC."""

    typed: str
    deg_c: float


def parse_temperature(text: str) -> Temperature:
    """Read a temperature; a bare number is in degC.

    Raises:
        QuantityError: the text is none, or none that anybody measures in.
    """
    value = parse_value(text, "degC")
    if not _COLDEST_DEG_C <= value.amount <= _HOTTEST_DEG_C:
        raise QuantityError(said("typed.no_temperature", typed=value.typed[:40]))
    typed = value.typed if value.typed[-1].isalpha() else f"{value.typed} degC"
    return Temperature(typed, value.amount)
