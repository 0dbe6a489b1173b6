"""What is usual for calipers and gauges where the logbook says nothing, and what no caliper does.

Error limits of measuring tapes by accuracy class.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.records.checks import Check

SEASON_DAYS = 365  # "this season" is no more than a year from the reading: common practice, no source
WIDEST_JAWS_MM = 5.0  # flat, gap and flat of small inside jaws: common practice, no source
SLIP_MM = 1.0  # a check that is off by more is a slip of a finger or a unit: common practice, no source
JAWLESS_KINDS = frozenset({"tape", "rule", "telescoping gauge", "bore gauge"})
UNCHECKED_KINDS = frozenset({"tape", "rule"})  # their class or usual limit stands in for a check
JAW_WIDTH_ERROR_MM = 0.2  # half-width of a jaw width measured with another caliper: common practice, no source
KNOWN_BORE_TOLERANCE_MM = 0.01  # half-width of a known bore without a stated one: common practice, no source
# how far an instrument may drift unseen; beyond, stop and set it: caliper 0.03, the rest common practice, no source
DRIFT_MM: Mapping[str, float] = MappingProxyType(
    {"caliper": 0.03, "micrometer": 0.01, "telescoping gauge": 0.03, "bore gauge": 0.01}
)


def is_slip(check: Check) -> bool:
    """Tell whether a check's readings cannot belong to the size it names."""
    if check.kind == "zero":
        return abs(check.deviation_mm) > SLIP_MM
    return check.size is None or check.size.mm <= 0 or abs(check.deviation_mm) > SLIP_MM


# Directive 2014/32/EU, annex X (MI-008), chapter I, table 1; the same in OIML R 35-1: a and b in mm
TAPE_CLASSES = MappingProxyType({"I": (0.1, 0.1), "II": (0.3, 0.2), "III": (0.6, 0.4)})


def tape_error_limit_mm(tape_class: str, length_mm: float) -> float:
    """Return a + b L in mm, L being the length rounded up to the next whole metre.

    Holds at 20 degC and the pull the tape is marked with. Source: directive 2014/32/EU, MI-008.
    """
    fixed, per_metre = TAPE_CLASSES[tape_class]
    return fixed + per_metre * max(1, math.ceil(length_mm / 1000))
