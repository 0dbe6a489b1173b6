"""Nominal pin sizes met on small tractors, loaders and diggers: common practice, no source."""

from decimal import Decimal
from typing import NamedTuple

from fieldlog.records.quantities import MM_PER_INCH


class NominalPin(NamedTuple):
    """A pin size as it is ordered."""

    name: str
    mm: Decimal


_INCH_SIXTEENTHS = (8, 9, 10, 12, 14, 16, 18, 20, 22, 23, 24, 28, 32)
_METRIC = ("12", "14", "16", "18", "19", "20", "22", "24", "25", "25.5", "28", "30", "32", "35", "36.6", "38")
_METRIC_LARGE = ("40", "45", "50", "60")


def _inch_name(sixteenths: int) -> str:
    whole, rest = divmod(sixteenths, 16)
    bottom = 16
    while rest and rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    fraction = f"{rest}/{bottom}" if rest else ""
    return f"{'-'.join(part for part in (str(whole) if whole else '', fraction) if part)} in"


INCH_PINS = tuple(NominalPin(_inch_name(n), n * MM_PER_INCH / 16) for n in _INCH_SIXTEENTHS)
METRIC_PINS = tuple(NominalPin(f"{size} mm", Decimal(size)) for size in (*_METRIC, *_METRIC_LARGE))
NOMINAL_PINS = tuple(sorted((*INCH_PINS, *METRIC_PINS), key=lambda pin: (pin.mm, pin.name)))
