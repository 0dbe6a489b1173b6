"""Error limits of measuring tapes by accuracy class."""

import math
from types import MappingProxyType

# Directive 2014/32/EU, annex X (MI-008), chapter I, table 1; the same in OIML R 35-1: a and b in mm
TAPE_CLASSES = MappingProxyType({"I": (0.1, 0.1), "II": (0.3, 0.2), "III": (0.6, 0.4)})


def tape_error_limit_mm(tape_class: str, length_mm: float) -> float:
    """Return a + b L in mm, L being the length rounded up to the next whole metre.

    Holds at 20 degC and the pull the tape is marked with. Source: directive 2014/32/EU, MI-008.
    """
    fixed, per_metre = TAPE_CLASSES[tape_class]
    return fixed + per_metre * max(1, math.ceil(length_mm / 1000))
