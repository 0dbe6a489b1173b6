"""Whether a cylinder that pushes can buckle: its open length taken as one column of the rod's thickness.

That is on the safe side, since the tube is stiffer than the rod. Euler's formula holds for slender columns
only; a stubby one is held by Johnson's parabola, below which it yields rather than bends.
"""

import math
from dataclasses import dataclass
from typing import Literal

from fieldlog.errors import MeasureError

EndCondition = Literal["pinned both ends", "fixed and free", "fixed and pinned", "fixed both ends"]

# effective length over length: Euler's cases, any strength-of-materials handbook
LENGTH_FACTORS: dict[EndCondition, float] = {
    "pinned both ends": 1.0,
    "fixed and free": 2.0,
    "fixed and pinned": 0.699,
    "fixed both ends": 0.5,
}
STEEL_MPA = 205_000.0  # Young's modulus of steel, 205 to 210 GPa: handbook figure
ROD_YIELD_MPA = 350.0  # of a plain chromed rod, the least usual: from memory
SAFETY = 3.5  # usual textbook figure, cylinder makers say 3 to 5: from memory


@dataclass(frozen=True, slots=True)
class Column:
    """What a rod of this thickness and length carries before it bends (`critical_kn`), by which formula.

    `is_euler` is False for a stubby rod, where Johnson's parabola stands in.
    """

    critical_kn: float
    slenderness: float
    is_euler: bool

    @property
    def allowed_kn(self) -> float:
        """What may be asked of it with the usual safety."""
        return self.critical_kn / SAFETY

    def safety_at(self, push_kn: float) -> float:
        """Return how many times a push goes into the critical load; infinite for no push."""
        return self.critical_kn / push_kn if push_kn > 0 else math.inf


def euler_kn(rod_mm: float, length_mm: float, factor: float = 1.0, modulus_mpa: float = STEEL_MPA) -> float:
    """Return Euler's load pi^2 E I / (K L)^2 of a round rod, I = pi d^4 / 64, whatever its slenderness."""
    inertia_mm4 = math.pi * rod_mm**4 / 64
    return math.pi**2 * modulus_mpa * inertia_mm4 / (factor * length_mm) ** 2 / 1000


def column(rod_mm: float, open_mm: float, ends: EndCondition = "pinned both ends") -> Column:
    """Return what a rod carries at the cylinder's open length, pin to pin.

    Euler where the slenderness K L / (d / 4) is above sqrt(2 pi^2 E / Sy), which is about 107 here; Johnson's
    parabola Sy A (1 - Sy s^2 / (4 pi^2 E)) below it. A rod or length of nothing is refused.
    """
    if rod_mm <= 0 or open_mm <= 0:
        raise MeasureError("Buckling needs the rod's thickness and the open length, both above nothing.")
    factor = LENGTH_FACTORS[ends]
    slenderness = factor * open_mm / (rod_mm / 4)
    turning = math.sqrt(2 * math.pi**2 * STEEL_MPA / ROD_YIELD_MPA)
    if slenderness >= turning:
        return Column(euler_kn(rod_mm, open_mm, factor), slenderness, is_euler=True)
    area_mm2 = math.pi * rod_mm**2 / 4
    share = 1 - ROD_YIELD_MPA * slenderness**2 / (4 * math.pi**2 * STEEL_MPA)
    return Column(ROD_YIELD_MPA * area_mm2 * share / 1000, slenderness, is_euler=False)
