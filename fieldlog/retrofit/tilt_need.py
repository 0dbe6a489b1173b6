"""The stroke that a tilt cylinder needs for the roll an implement wants, for each hole of the lower link."""

from dataclasses import replace
from typing import NamedTuple

from fieldlog.retrofit.carried import values_of
from fieldlog.retrofit.lift import arm_at
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.roll import stroke_for_roll_mm
from fieldlog.retrofit.setup import figures_for, linkage_of


class TiltNeed(NamedTuple):
    """The stroke needed in one hole, closed + stroke / 2 being the other rod's length."""

    hole: str
    each_way_deg: float
    stroke_mm: float | CannotReach


def tilt_need(look: Look) -> tuple[TiltNeed, ...]:
    """Return the stroke for the implement's roll at the height looked at, hole by hole; empty without a wanted roll."""
    item = look.setup.implement
    if item is None or item.roll is None:
        return ()
    found = []
    for number, hole in enumerate(look.setup.rod_holes):
        linkage = linkage_of(values_of(figures_for(look.setup, replace(look.setting, rod_hole=number))))
        arm = arm_at(linkage, look.setting.height_mm)
        stroke = arm if isinstance(arm, CannotReach) else stroke_for_roll_mm(linkage, arm, item.roll.deg)
        found.append(TiltNeed(hole.name, item.roll.deg, stroke))
    return tuple(found)
