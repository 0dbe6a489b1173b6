"""Nominal pin sizes met on small tractors, loaders and diggers: common practice, no source.

Sizes in which drills, and so their shanks, are sold: the rods that are tried in a hole.
"""

from decimal import Decimal
from typing import NamedTuple

from fieldlog.quantity.lengths import MM_PER_INCH


class NominalPin(NamedTuple):
    """A pin size as it is ordered."""

    name: str
    mm: Decimal


_INCH_SIXTEENTHS = (8, 9, 10, 12, 14, 16, 18, 20, 22, 23, 24, 28, 32)
_METRIC = ("12", "14", "16", "18", "19", "20", "22", "24", "25", "25.5", "28", "30", "32", "35", "36.6", "38")
_METRIC_LARGE = ("40", "45", "50", "60")


def fraction_name(parts: int, bottom: int) -> str:
    """Return so many parts of an inch in lowest terms: 18 sixteenths are '1-1/8 in'."""
    whole, rest = divmod(parts, bottom)
    while rest and rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    fraction = f"{rest}/{bottom}" if rest else ""
    return f"{'-'.join(part for part in (str(whole) if whole else '', fraction) if part)} in"


INCH_PINS = tuple(NominalPin(fraction_name(n, 16), n * MM_PER_INCH / 16) for n in _INCH_SIXTEENTHS)
METRIC_PINS = tuple(NominalPin(f"{size} mm", Decimal(size)) for size in (*_METRIC, *_METRIC_LARGE))
NOMINAL_PINS = tuple(sorted((*INCH_PINS, *METRIC_PINS), key=lambda pin: (pin.mm, pin.name)))

# Pairs that a caliper in a hole cannot tell apart and that serve each other on a hitch: common practice. 5/8 in and
# 16 mm (0.125 mm) are not among them, nor 22 mm and 7/8 in (0.225 mm): the smaller passes, the larger may bind.
ONE_SIZE = (
    ("19 mm", "3/4 in"),  # 0.050 mm apart
    ("35 mm", "1-3/8 in"),  # 0.075 mm apart
    ("36.6 mm", "1-7/16 in"),  # 0.0875 mm apart: the lower pin of category 3 both ways
    ("38 mm", "1-1/2 in"),  # 0.100 mm apart
)


def is_one_size(first: str, second: str) -> bool:
    """Tell whether two names stand for pins that are one size in use."""
    return first == second or any(first in pair and second in pair for pair in ONE_SIZE)


# Sizes in which bolts are sold, among the pins above: ISO 261 first choice (from memory), inch bolts by eighths.
BOLT_PINS = frozenset(
    (
        *("12 mm", "14 mm", "16 mm", "18 mm", "20 mm", "22 mm", "24 mm", "30 mm"),
        *("1/2 in", "9/16 in", "5/8 in", "3/4 in", "7/8 in", "1 in", "1-1/8 in", "1-1/4 in", "1-3/8 in", "1-1/2 in"),
    )
)


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
