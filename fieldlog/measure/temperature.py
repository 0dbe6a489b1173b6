"""What the weather puts into a length: standards hold at 20 degC, and steel grows by 11.5 millionths a kelvin."""

from collections.abc import Sequence

from fieldlog.measure.estimate import Part, limit_of
from fieldlog.records.entries import LengthReading
from fieldlog.records.temperature import REFERENCE_DEG_C

STEEL_PER_K = 11.5e-6  # GUM (JCGM 100:2008) H.1.2
UNKNOWN_KELVIN = 25.0  # -5 to 45 degC, where no temperature is written down: common practice, no source


def expansion_mm(length_mm: float, kelvin: float) -> float:
    """Return what a steel length grows (below zero: shrinks) when it is `kelvin` above 20 degC."""
    return STEEL_PER_K * length_mm * kelvin


def temperature_part(readings: Sequence[LengthReading], length_mm: float) -> Part:
    """Return the part for the temperature: the whole growth of the length as a limit.

    A steel tape and a steel link shrink together, so nothing is corrected; as much as this is left when only one of
    them has that temperature.
    """
    known = [reading.temperature.deg_c for reading in readings if reading.temperature is not None]
    kelvins = [abs(deg_c - REFERENCE_DEG_C) for deg_c in known]
    if len(known) < len(readings):
        kelvins.append(UNKNOWN_KELVIN)
        source = f"not written down, taken as within {UNKNOWN_KELVIN:g} degC of 20 degC"
    else:
        source = f"{known[0]:g} degC against 20 degC, tape and link not equally so"
    kelvin = max(kelvins)
    return limit_of("temperature", abs(expansion_mm(length_mm, kelvin)), f"{source}; steel grows 11.5e-6 a degree")
