"""How warm it was, as typed: "8 degC", "46 degF"."""

from fieldlog.errors import QuantityError
from fieldlog.records.frozen import dataclass
from fieldlog.records.units import parse_value

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
        raise QuantityError(f'"{value.typed[:40]}" is no weather to measure in; type it as 8 degC or 46 degF.')
    typed = value.typed if value.typed[-1].isalpha() else f"{value.typed} degC"
    return Temperature(typed, value.amount)
