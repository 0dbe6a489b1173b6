"""Usual sizes of a hitch, to stand in for what nobody has measured yet; never to be shown without saying so.

The category fixes the ball-centre span and the mast (see `standards/hitch.py`, with what is published and what is
from memory). Everything else is free: the figures here are those of one invented but typical compact tractor of
category 1, made larger or smaller for the others in the ratio of the mast heights. Half-widths are the share by
which real machines differ, a judgement. ISO 730 asks for the lowest and the transport height of the balls.
"""

from types import MappingProxyType
from typing import NamedTuple

from fieldlog.records.machine import HitchCategory
from fieldlog.standards.hitch import HITCH_CATEGORIES


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
