"""How numbers with a doubt are written: the digits follow the uncertainty.

After GUM (JCGM 100:2008) 7.2.6: the expanded uncertainty keeps at most two digits, here one when it starts
with 3 or more and two when it starts with 1 or 2; the value is rounded to the same place.
"""

import math

from fieldlog.quantity.units import Units, length_unit
from fieldlog.quantity.value import Value


def places_for(expanded: float, finest: int) -> int:
    """Return the decimal places for an uncertainty: one digit from 3 up, two below, never more than `finest`."""
    if not expanded > 0:
        return finest
    first = math.floor(math.log10(expanded))
    digit = round(expanded / 10.0**first, 6)
    return max(0, min(finest, -first if digit >= 3 else 1 - first))


def size_text(size: Value, units: Units) -> str:
    """Return '19.42 ± 0.04 mm' in the given unit."""
    return f"{_plus_minus(size.value, size.plus_minus, units)} {units}"


def both_text(size: Value, units: Units) -> str:
    """Return '19.42 ± 0.04 mm (0.7646 ± 0.0016 in)', the given unit first."""
    return f"{size_text(size, units)} ({size_text(size, other_units(units))})"


def change_text(size: Value, units: Units) -> str:
    """Return a change with its sign: '+0.05 ± 0.06 mm'."""
    text = _plus_minus(size.value, size.plus_minus, units)
    rounds_to_none = not text.partition(" ")[0].strip("-0.")
    return f"{'' if rounds_to_none or text.startswith('-') else '+'}{text} {units}"


def mm_text(value_mm: float, units: Units, places: int | None = None) -> str:
    """Return a plain length in the given unit, with the decimals of a hole unless told."""
    unit = length_unit(units)
    return f"{half_up(unit.of(value_mm), places if places is not None else unit.hole)} {units}"


def both_plain_text(value_mm: float, units: Units) -> str:
    """Return a plain length in both units, the given one first, with the decimals of a caliper."""
    first, other = (mm_text(value_mm, one, length_unit(one).caliper) for one in (units, other_units(units)))
    return f"{first} ({other})"


def both_fine_text(value_mm: float, units: Units) -> str:
    """Return a plain length to the micrometre in both units, the given one first."""
    first, other = (mm_text(value_mm, one, length_unit(one).finest) for one in (units, other_units(units)))
    return f"{first} ({other})"


def other_units(units: Units) -> Units:
    """Return the unit that stands beside this one."""
    return length_unit(units).beside


def _plus_minus(value_mm: float, expanded_mm: float, units: Units) -> str:
    unit = length_unit(units)
    return plus_minus_text(value_mm * unit.scale, expanded_mm * unit.scale, unit.finest)


def plus_minus_text(value: float, expanded: float, finest: int, finer: int = 0) -> str:
    """Return value and doubt to the same place in any one unit; a doubt that is there is never shown as none.

    `finer` are places more than the doubt asks for, to reckon on with.
    """
    places = min(places_for(expanded, finest) + finer, finest)
    shown = max(expanded, 10.0**-places) if expanded > 0 else 0.0
    return f"{half_up(value, places)} ± {half_up(shown, places)}"


def with_doubt(value: float, doubt: float, places: int) -> str:
    """Return a value with its doubt where there is one, to so many places at the finest."""
    return plus_minus_text(value, doubt, places) if doubt > 0 else f"{value:.{places}f}"


def half_up(value: float, places: int) -> str:
    """Round half away from zero as a person does, after dropping float dust."""
    scaled = math.floor(abs(value) * 10**places + 0.5 + 1e-9)
    text = f"{scaled / 10**places:.{places}f}"
    return f"-{text}" if value < 0 and scaled else text
