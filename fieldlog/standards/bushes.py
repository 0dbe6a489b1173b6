"""Bushes that can be bought: bore and outside diameter, by series."""

from typing import NamedTuple

from fieldlog.quantity.lengths import MM_PER_INCH


class StockBush(NamedTuple):
    """A bush as it is ordered; sizes in mm."""

    series: str
    name: str
    bore_mm: float
    outside_mm: float


# ISO 4379 form C, solid bronze: bore and the outsides made for it, from memory
_SOLID = {
    10: (12, 14, 16), 12: (14, 16, 18), 15: (17, 19, 21), 16: (18, 20, 22), 18: (20, 22, 24), 20: (23, 24, 26),
    22: (25, 26, 28), 25: (28, 30, 32), 28: (32, 34, 36), 30: (34, 36, 38), 32: (36, 38, 40), 35: (39, 41, 45),
    38: (42, 45, 48), 40: (44, 48, 50), 45: (50, 53, 55), 50: (55, 58, 60), 60: (65, 70, 75),
}  # fmt: skip
# ISO 3547-1 wrapped: to 24 mm printed in a bearing maker's table, above from memory
_WRAPPED = (
    (10, 12), (12, 14), (13, 15), (14, 16), (15, 17), (16, 18), (18, 20), (20, 23), (22, 25), (24, 27), (25, 28),
    (28, 32), (30, 34), (32, 36), (35, 39), (40, 44), (45, 50), (50, 55), (55, 60), (60, 65),
)  # fmt: skip
# usual inch sizes, bore and outside in 32nds of an inch, from memory
_INCH = ((16, 19), (20, 23), (24, 28), (28, 32), (32, 36), (40, 45), (48, 53))


def _inch(thirty_seconds: int) -> float:
    return float(MM_PER_INCH * thirty_seconds / 32)


def _inch_name(thirty_seconds: int) -> str:
    whole, rest = divmod(thirty_seconds, 32)
    bottom = 32
    while rest and rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    fraction = f"{rest}/{bottom}" if rest else ""
    return "-".join(part for part in (str(whole) if whole else "", fraction) if part)


STOCK_BUSHES: tuple[StockBush, ...] = (
    *(
        StockBush("solid bronze, ISO 4379", f"{bore} x {outside} mm", float(bore), float(outside))
        for bore, outsides in _SOLID.items()
        for outside in outsides
    ),
    *(
        StockBush("wrapped, ISO 3547", f"{bore} x {outside} mm", float(bore), float(outside))
        for bore, outside in _WRAPPED
    ),
    *(
        StockBush("inch", f"{_inch_name(bore)} x {_inch_name(outside)} in", _inch(bore), _inch(outside))
        for bore, outside in _INCH
    ),
)


def bushes_for(pin_mm: float, within_mm: float = 0.12) -> tuple[StockBush, ...]:
    """Return the bushes made for a pin, thinnest wall first; a pin 0.12 mm off still counts as the bore's own."""
    found = [bush for bush in STOCK_BUSHES if abs(bush.bore_mm - pin_mm) <= within_mm]
    return tuple(sorted(found, key=lambda bush: (bush.outside_mm, bush.series)))
