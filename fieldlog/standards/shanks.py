"""Sizes in which drills, and so their shanks, are sold: the rods that are tried in a hole.

Inch drills go by n/64 in. Metric ones go by 0.1 mm up to 14 mm and by 0.5 mm above (from memory). Above about
13 mm many shanks are thinner than the drill, so what counts is the shank as the caliper reads it.
"""

from decimal import Decimal

from fieldlog.records.quantities import MM_PER_INCH
from fieldlog.standards.pins import NominalPin, fraction_name

FINE_UP_TO_MM = 14
_MOST_MM = 70
_MOST_64THS = 176


def _metric() -> tuple[NominalPin, ...]:
    tenths = [*range(80, FINE_UP_TO_MM * 10 + 1), *range(FINE_UP_TO_MM * 10 + 5, _MOST_MM * 10 + 1, 5)]
    sizes = [Decimal(n) / 10 for n in tenths]
    return tuple(NominalPin(f"{size.normalize():f} mm", size) for size in sizes)


def _inch() -> tuple[NominalPin, ...]:
    return tuple(NominalPin(fraction_name(n, 64), n * MM_PER_INCH / 64) for n in range(20, _MOST_64THS + 1))


SHANKS = tuple(sorted((*_metric(), *_inch()), key=lambda shank: (shank.mm, shank.name)))


def shanks_between(least_mm: float, most_mm: float) -> tuple[NominalPin, ...]:
    """Return the shanks above `least_mm` and below `most_mm`, smallest first."""
    return tuple(shank for shank in SHANKS if least_mm < float(shank.mm) < most_mm)
