"""Three-point hitch categories of ISO 730 and ASABE S217: pins, holes, spans.

The standards themselves were not read. A figure marked published was seen in public trade tables or implement
manuals that cite them; one marked from memory was not, and is not to be printed as fact.

Usual sizes of a hitch, to stand in for what nobody has measured yet; never to be shown without saying so.

Usual figures (`standards/hitch.py`) are one invented compact tractor's, scaled by the category's mast, with wide
limits; only mast and span are the category's own.
"""

from decimal import Decimal
from types import MappingProxyType
from typing import Literal, NamedTuple

from fieldlog.records.machine import HitchCategory

Standing = Literal["published", "from memory"]


class Dimension(NamedTuple):
    """A size in mm and how far it can be relied on."""

    mm: Decimal
    standing: Standing


class CategorySizes(NamedTuple):
    """One category; None where no figure is known.

    The shoulder span is between the implement's shoulders, the ball span between the centres of the lower balls:
    both are called "the width", and they differ by one ball.
    """

    upper_pin: Dimension
    lower_pin: Dimension
    upper_hole: Dimension | None
    lower_hole: Dimension | None
    ball_width: Dimension | None
    shoulder_span: Dimension
    ball_span: Dimension | None
    mast_height: Dimension


def _seen(mm: str) -> Dimension:
    return Dimension(Decimal(mm), "published")


def _memory(mm: str) -> Dimension:
    return Dimension(Decimal(mm), "from memory")


_PINS_0 = (_seen("15.875"), _seen("15.875"), None, None, None)
_PINS_1 = (_seen("19"), _seen("22"), _memory("19.3"), _seen("22.4"), _memory("35"))
_PINS_2 = (_seen("25.5"), _seen("28"), _memory("25.7"), _seen("28.7"), _seen("45"))
_PINS_3 = (_seen("31.75"), _seen("36.6"), _memory("32.0"), _seen("37.4"), _seen("45"))
_PINS_4 = (_seen("45"), _seen("50.8"), _memory("45.2"), _seen("51"), _memory("57.5"))

# Narrow categories keep their pins and take the span of the next smaller one. Some manuals print 960 for 965.
HITCH_CATEGORIES: MappingProxyType[HitchCategory, CategorySizes] = MappingProxyType(
    {
        "0": CategorySizes(*_PINS_0, _seen("500"), None, _seen("305")),
        "1N": CategorySizes(*_PINS_1, _memory("400"), None, _memory("360")),
        "1": CategorySizes(*_PINS_1, _memory("683"), _seen("718"), _memory("460")),
        "2N": CategorySizes(*_PINS_2, _memory("683"), None, _memory("610")),
        "2": CategorySizes(*_PINS_2, _seen("825"), _seen("870"), _seen("610")),
        "3N": CategorySizes(*_PINS_3, _seen("825"), None, _memory("685")),
        "3": CategorySizes(*_PINS_3, _seen("965"), _seen("1010"), _seen("685")),
        "4N": CategorySizes(*_PINS_4, _memory("965"), None, _memory("685")),
        "4": CategorySizes(*_PINS_4, _seen("1166.5"), None, _memory("685")),
    }
)
# the pins of a category as they are ordered, upper then lower, metric beside inch (public trade tables)
_TRADE_PINS = MappingProxyType(
    {
        "0": ("16 mm", "5/8 in"),
        "1": ("19 mm", "3/4 in", "22 mm", "7/8 in"),
        "2": ("25.5 mm", "1 in", "28 mm", "1-1/8 in"),
        "3": ("1-1/4 in", "36.6 mm", "1-7/16 in"),
        "4": ("45 mm", "1-3/4 in", "2 in"),
    }
)


def category_pins(category: HitchCategory) -> tuple[str, ...]:
    """Return the names of the nominal pins of a category, metric and inch."""
    return _TRADE_PINS[category.rstrip("N")]


class UsualSize(NamedTuple):
    """A size in mm and half the width of the range it is usually found in."""

    mm: float
    half_mm: float


_MAST_1_MM = 460.0
_BALL_WIDTH_1_MM = 35.0  # from memory; stands in where a category's own ball width is not known
_MAST_HALF_MM = 1.5  # ISO 730: mast height and span plus or minus 1.5 mm (from memory)
_TYPICAL = MappingProxyType(
    {
        "lower_pivot_behind": UsualSize(60, 40),
        "lower_pivot_up": UsualSize(400, 60),
        "lower_link": UsualSize(790, 60),
        "bracket_behind": UsualSize(190, 40),
        "bracket_up": UsualSize(780, 60),
        "arm_pivot_behind": UsualSize(110, 40),
        "arm_pivot_up": UsualSize(820, 60),
        "lift_arm": UsualSize(260, 30),
        "lift_rod": UsualSize(475, 30),
        "rod_hole": UsualSize(430, 40),
        "axle_up": UsualSize(560, 60),
        "tyre_radius": UsualSize(560, 60),
        "pto_behind": UsualSize(330, 60),
        "pto_up": UsualSize(560, 60),
    }
)
_HEIGHTS = MappingProxyType(  # lowest ball height at most, transport height at least: ISO 730, from memory
    {"0": (200, 700), "1": (200, 820), "2": (200, 950), "3": (230, 1065), "4": (230, 1200)}
)
_HEIGHT_HALF_MM = 50.0


def usual_hitch(category: HitchCategory) -> dict[str, UsualSize]:
    """Return the usual size of everything on a hitch of this category, in mm."""
    sizes = HITCH_CATEGORIES[category]
    mast_mm = float(sizes.mast_height.mm)
    scale = mast_mm / _MAST_1_MM
    found = {key: UsualSize(size.mm * scale, size.half_mm * scale) for key, size in _TYPICAL.items()}
    low_mm, high_mm = _HEIGHTS[category.rstrip("N")]
    ball_mm = float(sizes.ball_width.mm) if sizes.ball_width is not None else _BALL_WIDTH_1_MM
    span_mm = float(sizes.ball_span.mm) if sizes.ball_span is not None else float(sizes.shoulder_span.mm) + ball_mm
    return found | {
        "ball_lowest": UsualSize(low_mm, _HEIGHT_HALF_MM),
        "ball_highest": UsualSize(high_mm, _HEIGHT_HALF_MM),
        "ball_span": UsualSize(span_mm, _MAST_HALF_MM),
        "mast": UsualSize(mast_mm, _MAST_HALF_MM),
    }
