"""Values that are no lengths: pressures, flows, masses, forces, temperatures. Pint reads them, imported when needed."""

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from fieldlog.errors import QuantityError
from fieldlog.records.frozen import dataclass

if TYPE_CHECKING:
    import pint

# A number and a unit, nothing that would have to be computed: Pint itself would work out 10**10**10.
_VALUE = re.compile(
    r"^(?P<number>[-+]?\d{1,9}(?:[.,]\d{1,9})?)\s*(?P<unit>[A-Za-z°_]{0,30}(?:/[A-Za-z_]{1,30})?)$", re.ASCII
)
# Exact by definition (NIST SP 811, appendix B); known here because Pint takes a fifth of a second to import, which
# a whole start would wait for when a single weight in the logbook is in pounds.
_EXACT: Mapping[tuple[str, str], float] = MappingProxyType(
    {
        ("lb", "kg"): 0.45359237,
        ("lbf", "kN"): 0.0044482216152605,
        ("psi", "bar"): 0.06894757293168362,
    }
)
# What a value is shown in as well, and how many of those one of it is (NIST SP 811, appendix B).
_MM_TO_IN = 1 / 25.4
_SHOWN_ALSO: Mapping[str, tuple[str, float]] = MappingProxyType(
    {
        "mm": ("in", _MM_TO_IN),
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
    refusal = QuantityError(f'"{typed[:40]}" cannot be read in {unit}; type a number and its unit, such as 170 {unit}.')
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
    if unit.startswith("mm per "):
        return unit.replace("mm", "in", 1), _MM_TO_IN
    return _SHOWN_ALSO.get(unit)


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[float]":
    import pint

    return pint.UnitRegistry()
