"""A tractor's hydraulics as its manual states them or as they were gauged: [hydraulics] in machine.toml."""

from dataclasses import dataclass

from fieldlog.errors import QuantityError
from fieldlog.records.physical import Pressure
from fieldlog.records.quantities import Length
from fieldlog.records.units import parse_value

ACCEPTED_FLOW = 'write a flow with its unit, as "18.9 L/min" or "5 gpm"'
_MOST_L_PER_MIN = 500.0


@dataclass(frozen=True, slots=True)
class Flow:
    """A flow of oil."""

    typed: str
    l_per_min: float


@dataclass(frozen=True, slots=True)
class Hydraulics:
    """Relief pressure, pump flow at the remotes, double-acting remotes, inside of the hose; as far as known."""

    relief: Pressure | None = None
    pump_flow: Flow | None = None
    remotes: int | None = None
    hose_inside: Length | None = None


def parse_flow(text: str) -> Flow:
    """Read '5 gpm' (US gallons) or '18.9 L/min'; a number without a unit is refused.

    Raises:
        QuantityError: the text is no flow above nothing and up to 500 L/min.
    """
    typed = " ".join(text.split())
    if not any(char.isalpha() for char in typed):
        raise QuantityError(f'"{typed[:40]}" has no unit; {ACCEPTED_FLOW}.')
    try:
        amount = parse_value(typed, "liter/minute").amount
    except QuantityError:
        raise QuantityError(f'"{typed[:40]}" is no flow; {ACCEPTED_FLOW}.') from None
    if not 0 < amount <= _MOST_L_PER_MIN:
        raise QuantityError(f'"{typed}" is no flow of a tractor\'s pump; {ACCEPTED_FLOW}.')
    return Flow(typed, amount)
