"""Limits and fits: how far a hole or a shaft may be from its nominal size, metric and inch.

Deviations are in micrometres for ISO 286 and in thousandths of an inch for ANSI B4.1, as their tables print
them. The tables count, not the formulas they were rounded from: at 18 to 30 mm the formula for d gives 63.9
where the standard says 65.

Bushes that can be bought: bore and outside diameter, by series.
"""

import itertools
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import said
from fieldlog.quantity.units import MM_PER_INCH

_OVER_MM = (3, 6, 10, 18, 30, 50, 80, 120)  # ranges are over the one, up to and including the next

# ISO 286-1:2010 table 1, standard tolerances in um, one number a range; IT5 from memory
_TOLERANCE_UM: Mapping[int, tuple[int, ...]] = MappingProxyType(
    {
        5: (5, 6, 8, 9, 11, 13, 15),
        6: (8, 9, 11, 13, 16, 19, 22),
        7: (12, 15, 18, 21, 25, 30, 35),
        8: (18, 22, 27, 33, 39, 46, 54),
        9: (30, 36, 43, 52, 62, 74, 87),
        10: (48, 58, 70, 84, 100, 120, 140),
        11: (75, 90, 110, 130, 160, 190, 220),
        12: (120, 150, 180, 210, 250, 300, 350),
        13: (180, 220, 270, 330, 390, 460, 540),
    }
)
# ISO 286-1:2010 tables 2 to 5, the deviation next to the nominal size in um, from memory; a pair where the
# standard splits the range (40, 65, 100 mm). Shafts c to h lie below nominal, k to s above.
_UPPER_SHAFT_UM: Mapping[str, tuple[int | tuple[int, int], ...]] = MappingProxyType(
    {
        "c": (-70, -80, -95, -110, (-120, -130), (-140, -150), (-170, -180)),
        "d": (-30, -40, -50, -65, -80, -100, -120),
        "e": (-20, -25, -32, -40, -50, -60, -72),
        "f": (-10, -13, -16, -20, -25, -30, -36),
        "g": (-4, -5, -6, -7, -9, -10, -12),
        "h": (0, 0, 0, 0, 0, 0, 0),
    }
)
_LOWER_SHAFT_UM: Mapping[str, tuple[int | tuple[int, int], ...]] = MappingProxyType(
    {
        "m": (4, 6, 7, 8, 9, 11, 13),
        "n": (8, 10, 12, 15, 17, 20, 23),
        "p": (12, 15, 18, 22, 26, 32, 37),
        "r": (15, 19, 23, 28, 34, (41, 43), (51, 54)),
        "s": (19, 23, 28, 35, 43, (53, 59), (71, 79)),
    }
)
_SPLIT_MM = MappingProxyType({30: 40, 50: 65, 80: 100})
_CLASS = re.compile(r"([A-Za-z])(\d{1,2})")
ACCEPTED_CLASS = said("accepted.tolerance_class")


@dataclass(frozen=True, slots=True)
class Limits:
    """How far a size may lie from nominal, in mm: `lower_mm` and `upper_mm` with their sign."""

    lower_mm: float
    upper_mm: float


@dataclass(frozen=True, slots=True)
class RunningFit:
    """A running or sliding fit of ANSI B4.1; all in thousandths of an inch, the hole's lower deviation being 0."""

    hole_upper: float
    shaft_upper: float
    shaft_lower: float

    @property
    def least_clearance(self) -> float:
        """Smallest hole less largest shaft."""
        return -self.shaft_upper

    @property
    def most_clearance(self) -> float:
        """Largest hole less smallest shaft."""
        return self.hole_upper - self.shaft_lower


# ANSI B4.1-1967 (R2009), 0.71 to 1.19 in, as in Machinery's Handbook, 31st ed., tables 8a and 8b, pp. 718-721;
# the holes of RC8 and RC9 follow from their clearances
RUNNING_FITS_ONE_INCH: Mapping[str, RunningFit] = MappingProxyType(
    {
        "RC1": RunningFit(0.4, -0.3, -0.55),
        "RC2": RunningFit(0.5, -0.3, -0.7),
        "RC3": RunningFit(0.8, -0.8, -1.3),
        "RC4": RunningFit(1.2, -0.8, -1.6),
        "RC5": RunningFit(1.2, -1.6, -2.4),
        "RC6": RunningFit(2.0, -1.6, -2.8),
        "RC7": RunningFit(2.0, -2.5, -3.7),
        "RC8": RunningFit(3.5, -4.5, -6.5),
        "RC9": RunningFit(5.0, -7.0, -10.5),
    }
)


def fit_limits(nominal_mm: float, tolerance_class: str) -> Limits:
    """Return the limits of a hole (capital letter) or shaft (small letter) of ISO 286, as "H7" or "f7".

    Over 3 and up to 120 mm; holes C to H, shafts c to h and m to s, grades 5 to 13. Anything else is refused.
    """
    match = _CLASS.fullmatch(tolerance_class.strip())
    if match is None:
        raise QuantityError(said("typed.no_class", name=tolerance_class, accepted=ACCEPTED_CLASS))
    letter, grade = match.group(1), int(match.group(2))
    row = _range_index(nominal_mm)
    if grade not in _TOLERANCE_UM:
        raise QuantityError(said("typed.no_grade", grade=grade))
    width = _TOLERANCE_UM[grade][row] / 1000
    if letter.lower() in _UPPER_SHAFT_UM:
        near = _deviation_um(_UPPER_SHAFT_UM[letter.lower()], nominal_mm, row) / 1000
        return Limits(near - width, near) if letter.islower() else Limits(-near, -near + width)
    if letter in _LOWER_SHAFT_UM:
        near = _deviation_um(_LOWER_SHAFT_UM[letter], nominal_mm, row) / 1000
        return Limits(near, near + width)
    raise QuantityError(said("typed.no_such_class", name=tolerance_class, accepted=ACCEPTED_CLASS))


def clearance_range_mm(hole: Limits, shaft: Limits) -> tuple[float, float]:
    """Return the least and the most clearance of a hole on a shaft; below zero is interference."""
    return hole.lower_mm - shaft.upper_mm, hole.upper_mm - shaft.lower_mm


def _range_index(nominal_mm: float) -> int:
    for index, (over, to) in enumerate(itertools.pairwise(_OVER_MM)):
        if over < nominal_mm <= to:
            return index
    raise QuantityError(said("typed.no_nominal", nominal_mm=f"{nominal_mm:g}"))


def _deviation_um(row: tuple[int | tuple[int, int], ...], nominal_mm: float, index: int) -> int:
    found = row[index]
    if isinstance(found, int):
        return found
    return found[0] if nominal_mm <= _SPLIT_MM[_OVER_MM[index]] else found[1]


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
