"""What stands in checks and heads beside plain lengths: readings that may be below zero, temperatures."""

import functools
from typing import TYPE_CHECKING

from fieldlog.errors import QuantityError
from fieldlog.records.checks import Shown, parse_shown
from fieldlog.records.temperature import Temperature, parse_temperature
from fieldlog.store.values import Refused, length_from, shown

if TYPE_CHECKING:
    from cattrs import Converter

ACCEPTED_READING = 'write each in quotes with its unit, as in ["0.01 mm", "-0.02 mm"]'
ACCEPTED_TEMPERATURE = 'write it with its unit, as in "8 degC" or "46 degF"'


def register_checks(converter: "Converter") -> None:
    """Teach a converter to read what instruments showed, and temperatures."""
    converter.register_structure_hook(Shown, lambda value, _: shown_from(value))
    converter.register_structure_hook(Temperature, lambda value, _: temperature_from(value))


def shown_from(value: object) -> Shown:
    """Return what an instrument showed; a number without a unit is refused."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_READING)
    try:
        length_from(value.strip().removeprefix("-").removeprefix("+"))
        return parse_shown(value)
    except (Refused, QuantityError) as error:
        wrong = error.wrong if isinstance(error, Refused) else f"{shown(value)} is not a reading"
        raise Refused(wrong, ACCEPTED_READING) from None


@functools.lru_cache(maxsize=256)
def _temperature(text: str) -> Temperature:
    return parse_temperature(text)


def temperature_from(value: object) -> Temperature:
    """Return the temperature that a value from a file stands for; a number without a unit is refused."""
    if not isinstance(value, str) or not any(char.isalpha() for char in value):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_TEMPERATURE)
    try:
        return _temperature(value)
    except QuantityError:
        raise Refused(f"{shown(value)} is no temperature to measure in", ACCEPTED_TEMPERATURE) from None
