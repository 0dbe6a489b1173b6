"""Usual clearances and wear limits by kind of joint, for when the machine's manual is not at hand.

A synthesis of the limits that workshop manuals of small machines print, most of them 1.0 mm on pins of 30 to
35 mm, 0.3 to 0.5 mm on steering and swing pivots, about 6 % of the diameter on drawbars. Common practice, no
single source. The machine's own manual outranks every one of them.

Nominal pin sizes met on small tractors, loaders and diggers: common practice, no source.
"""

from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.records.machine import JointKind

COMMON_PRACTICE = "common practice"


class Line(NamedTuple):
    """A line on a scale of wear: a length in mm, a share of the pin in percent, or the smaller of the two."""

    mm: float | None
    percent: float | None

    def at_mm(self, pin_mm: float) -> float:
        """Return the line in mm for a pin."""
        share_mm = self.percent / 100 * pin_mm if self.percent is not None else float("inf")
        return min(self.mm if self.mm is not None else float("inf"), share_mm)


class JointDefaults(NamedTuple):
    """Clearance when new, and the lines of clearance to watch and to renew at; all common practice."""

    new_least_mm: float
    new_most_mm: float
    watch: Line
    renew: Line


# The percentage of the hitch's watch line is three quarters of its renew line, as 1.5 mm is of 2.0 mm.
# A drawbar's lines are shares of its hole as made, and say how far the hole may grow along the pull: manuals print
# 33 to 35 mm and 41 to 43 mm; the watch line is half of that.
JOINT_DEFAULTS: MappingProxyType[JointKind, JointDefaults] = MappingProxyType(
    {
        "pivot": JointDefaults(0.0, 0.2, Line(0.25, 0.7), Line(0.5, 1.0)),
        "bushed": JointDefaults(0.03, 0.5, Line(0.6, 2.0), Line(1.0, 3.5)),
        "hitch": JointDefaults(0.2, 1.0, Line(1.5, 6.0), Line(2.0, 8.0)),
        "drawbar": JointDefaults(0.2, 1.5, Line(None, 3.0), Line(None, 6.0)),
    }
)
PIN_WATCH = Line(0.3, 2.0)  # off the pin: a step that can be felt; common practice
PIN_LIMITS: MappingProxyType[JointKind, Line] = MappingProxyType(
    {
        "pivot": Line(None, 5.0),  # off the pin; coupling and loader manuals print 4 to 5 %
        "bushed": Line(None, 5.0),
        "hitch": Line(None, 5.0),
        "drawbar": Line(None, 6.0),  # drawbar manuals print 31.5 to 29.5 mm and 40 to 37.5 mm
    }
)
# How far a pin that was not measured may be under its name: hitch pins to ISO 730 0 / -0.2 (from memory), turned
# and ground pins about h9 of ISO 286 (0 / -0.062 mm at 30 to 50 mm).
PIN_UNDER_SIZE_MM: MappingProxyType[JointKind, float] = MappingProxyType(
    {"pivot": 0.06, "bushed": 0.06, "hitch": 0.2, "drawbar": 0.2}
)
BUSH_WALL_WATCH = 1 / 3  # of its wall worn: common practice
BUSH_WALL_RENEW = 1 / 2  # of its wall worn: a compact track loader's service manual
SAFETY_KINDS: frozenset[JointKind] = frozenset({"pivot", "drawbar"})
WORST_WEAR_MM = 1.5  # most wear that a hole is assumed to have had when its pin is guessed: common practice


class NominalPin(NamedTuple):
    """A pin size as it is ordered, and whether it is one of the inch or of the metric sizes."""

    name: str
    mm: Decimal
    units: Units = "mm"


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


INCH_PINS = tuple(NominalPin(fraction_name(n, 16), n * MM_PER_INCH / 16, "in") for n in _INCH_SIXTEENTHS)
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
    return tuple(NominalPin(fraction_name(n, 64), n * MM_PER_INCH / 64, "in") for n in range(20, _MOST_64THS + 1))


SHANKS = tuple(sorted((*_metric(), *_inch()), key=lambda shank: (shank.mm, shank.name)))


def shanks_between(least_mm: float, most_mm: float) -> tuple[NominalPin, ...]:
    """Return the shanks above `least_mm` and below `most_mm`, smallest first."""
    return tuple(shank for shank in SHANKS if least_mm < float(shank.mm) < most_mm)
