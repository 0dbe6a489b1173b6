"""Values that are no lengths: pressures, flows, masses, forces, temperatures. Pint reads them, imported when needed."""

from dataclasses import dataclass

from fieldlog.errors import QuantityError


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
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    typed = " ".join(text.split())
    try:
        read: pint.Quantity[float] = registry.Quantity(typed)
        amount = float(read.magnitude if read.dimensionless else read.to(unit).magnitude)
    except (pint.PintError, AssertionError, AttributeError, TypeError, ValueError, ZeroDivisionError, RecursionError):
        raise QuantityError(
            f'"{typed}" cannot be read in {unit}; type a number and its unit, such as 170 {unit}.'
        ) from None
    return Value(typed, amount, unit)
