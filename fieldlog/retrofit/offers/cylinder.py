"""What a hydraulic cylinder does: areas, push and pull, oil and time, intensification, oil warmed while locked.

No efficiency is taken off: seals and hoses cost a few per cent of force. Lengths in mm, areas in mm2, pressures
in MPa (1 MPa = 10 bar), forces in kN, volumes in litres, flows in litres a minute.

Whether a cylinder that pushes can buckle: its open length taken as one column of the rod's thickness.

What a cylinder does on a tractor as numbers declared once, so that each carries the doubt of what it rests on.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from fieldlog.errors import MeasureError
from fieldlog.quantity.number import Number, of_plain
from fieldlog.quantity.value import Refusal

BAR_PER_MPA = 10.0
LOCKED_OIL_MPA_PER_DEGC = 1.1  # about 11 bar a degree in a tube that does not stretch: fluid-power trade note
DISCHARGE = 0.65  # of a sharp-edged orifice: handbook figure, from memory
OIL_KG_PER_M3 = 870.0  # mineral hydraulic oil: handbook figure, from memory
HOSE_GOOD_M_PER_S = 4.6  # 15 ft/s; pressure lines 15 to 20 ft/s, return lines 10 to 15: hose makers' sizing charts
HOSE_MOST_M_PER_S = 6.1  # 20 ft/s
PILOT_MARGIN = 1.5  # pilot ratio over area ratio: common practice, no source


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A double-acting cylinder with one rod; all in mm."""

    bore_mm: float
    rod_mm: float
    stroke_mm: float

    def __post_init__(self) -> None:
        """Refuse what no cylinder is."""
        if not 0 < self.rod_mm < self.bore_mm:
            raise MeasureError(
                f"A rod of {self.rod_mm:g} mm does not go into a bore of {self.bore_mm:g} mm; measure both again."
            )
        if self.stroke_mm <= 0:
            raise MeasureError(f"A stroke of {self.stroke_mm:g} mm moves nothing; open less closed is the stroke.")

    @property
    def bore_area_mm2(self) -> float:
        """Area on the cap side, that pushes: pi B^2 / 4."""
        return math.pi * self.bore_mm**2 / 4

    @property
    def ring_area_mm2(self) -> float:
        """Area on the rod side, that pulls: pi (B^2 - d^2) / 4."""
        return math.pi * (self.bore_mm**2 - self.rod_mm**2) / 4

    @property
    def area_ratio(self) -> float:
        """Cap side over rod side."""
        return self.bore_area_mm2 / self.ring_area_mm2

    @property
    def extend_litres(self) -> float:
        """Oil for the whole stroke out."""
        return self.bore_area_mm2 * self.stroke_mm / 1e6

    @property
    def retract_litres(self) -> float:
        """Oil for the whole stroke in."""
        return self.ring_area_mm2 * self.stroke_mm / 1e6

    @property
    def rod_litres(self) -> float:
        """What the tank must take more when the cylinder is in than when it is out."""
        return self.extend_litres - self.retract_litres


def push_kn(cylinder: Cylinder, pressure_mpa: float) -> float:
    """Return the push at a pressure: p times the bore's area."""
    return pressure_mpa * cylinder.bore_area_mm2 / 1000


def pull_kn(cylinder: Cylinder, pressure_mpa: float) -> float:
    """Return the pull at a pressure: p times the ring's area; a top link mostly pulls."""
    return pressure_mpa * cylinder.ring_area_mm2 / 1000


def pressure_to_hold_mpa(cylinder: Cylinder, tension_kn: float) -> float:
    """Return the pressure that holds a force: tension (above 0) on the ring's area, compression on the bore's."""
    area = cylinder.ring_area_mm2 if tension_kn >= 0 else cylinder.bore_area_mm2
    return abs(tension_kn) * 1000 / area


def intensified_mpa(cylinder: Cylinder, pressure_mpa: float) -> float:
    """Return the pressure on a blocked rod side with `pressure_mpa` on the cap side: p times the area ratio."""
    return pressure_mpa * cylinder.area_ratio


def stroke_seconds(litres: float, flow_l_per_min: float) -> float:
    """Return how long a volume takes at a flow: 60 V / Q; a flow of nothing is refused."""
    if flow_l_per_min <= 0:
        raise MeasureError("A pump flow of nothing moves no cylinder; write the flow at the remotes, as 18.9 L/min.")
    return 60 * litres / flow_l_per_min


def flow_for_seconds(litres: float, seconds: float) -> float:
    """Return the flow in litres a minute that makes a volume take so long."""
    if seconds <= 0:
        raise MeasureError("A time of nothing cannot be reached; write the seconds wanted, as 5.")
    return 60 * litres / seconds


def orifice_mm(flow_l_per_min: float, drop_mpa: float) -> float:
    """Return the diameter of a sharp-edged restrictor for a flow at a pressure drop.

    Q = C A sqrt(2 dp / rho), C 0.65, oil 870 kg/m3; holds for turbulent flow, which small restrictors in warm
    oil have. Source: the orifice equation of any hydraulics handbook.
    """
    if flow_l_per_min <= 0 or drop_mpa <= 0:
        raise MeasureError("A restrictor needs a flow and a pressure drop above nothing.")
    speed = math.sqrt(2 * drop_mpa * 1e6 / OIL_KG_PER_M3)
    area_mm2 = flow_l_per_min / 60e3 / (DISCHARGE * speed) * 1e6
    return math.sqrt(4 * area_mm2 / math.pi)


def hose_m_per_s(flow_l_per_min: float, inside_mm: float) -> float:
    """Return how fast the oil runs in a hose of this inside diameter."""
    if inside_mm <= 0:
        raise MeasureError("A hose has an inside diameter; 3/8 in hose is 9.5 mm inside.")
    return flow_l_per_min / 60e3 / (math.pi * (inside_mm / 1000) ** 2 / 4)


def locked_rise_mpa(warming_degc: float) -> float:
    """Return the pressure that warming may put on oil locked in on both sides, at the worst.

    About 1.1 MPa (11 bar) a degree if nothing gives; tube stretch and weeping seals leave less in practice.
    """
    return LOCKED_OIL_MPA_PER_DEGC * max(warming_degc, 0.0)


def pilot_ratio_needed(cylinder: Cylinder) -> float:
    """Return the least pilot ratio of a check valve on the rod side: the area ratio with a margin of a half."""
    return cylinder.area_ratio * PILOT_MARGIN


def drift_mm_per_ml(cylinder: Cylinder) -> tuple[float, float]:
    """Return how far the rod moves for each millilitre that leaks, on the cap side and on the rod side."""
    return 1000 / cylinder.bore_area_mm2, 1000 / cylinder.ring_area_mm2


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


SHOCK = 3.0  # standing load times this when it bounces on the road, two to three: common practice, no source
DROP_SHARE = 0.87  # of the relief pressure that a restrictor takes at speed: 15 MPa of 17.2, common practice
SLOW_S = 5.0  # a stroke slow enough to set a blade by, 4 to 7 s: common practice


class NoCylinder(Refusal):
    """Sizes that no cylinder has, of which nothing can be worked out."""

    __slots__ = ()


Plain = Mapping[str, float]
Take = Callable[[Cylinder, Plain], float]


def hold_bar(cylinder: Cylinder, plain: Plain) -> float:
    """Return the pressure that holds the worse of the pull and the push asked of it."""
    pulled = pressure_to_hold_mpa(cylinder, plain["tension"])
    return BAR_PER_MPA * max(pulled, pressure_to_hold_mpa(cylinder, -plain["compression"]))


def bouncing_bar(cylinder: Cylinder, plain: Plain) -> float:
    """Return the same with what is carried bouncing on the road."""
    return max(hold_bar(cylinder, plain), BAR_PER_MPA * pressure_to_hold_mpa(cylinder, plain["carried"] * SHOCK))


def _mpa(plain: Plain, key: str) -> float:
    return plain[key] / BAR_PER_MPA


def _restrictor(cylinder: Cylinder, plain: Plain) -> float:
    flow = flow_for_seconds(cylinder.extend_litres, SLOW_S)
    return orifice_mm(flow, _mpa(plain, "relief") * plain["drop"]) * math.sqrt(DISCHARGE / plain["discharge"])


def _safety(cylinder: Cylinder, plain: Plain) -> float:
    return column(cylinder.rod_mm, plain["open"]).critical_kn / push_kn(cylinder, _mpa(plain, "working"))


def _number(number_id: str, unit: str, rests_on: str, take: Take) -> Number:
    """Declare a number of a cylinder that rests on its sizes and on more."""

    def answer(plain: Plain) -> float | NoCylinder:
        try:
            return take(Cylinder(plain["bore"], plain["rod"], plain["stroke"]), plain)
        except MeasureError:
            return NoCylinder()

    return Number(number_id, unit, tuple(sorted({"bore", "rod", "stroke", *rests_on.split()})), of_plain(answer, unit))


_LOAD = "tension compression carried"
WORK_NUMBERS: tuple[Number, ...] = (
    _number("pull", "kN", "working", lambda c, x: pull_kn(c, _mpa(x, "working"))),
    _number("push", "kN", "working", lambda c, x: push_kn(c, _mpa(x, "working"))),
    _number("pressure_to_hold", "bar", _LOAD, hold_bar),
    _number("pressure_bouncing", "bar", _LOAD, bouncing_bar),
    _number("spare", "bar", f"{_LOAD} working", lambda c, x: x["working"] - hold_bar(c, x)),
    _number("spare_bouncing", "bar", f"{_LOAD} working", lambda c, x: x["working"] - bouncing_bar(c, x)),
    _number("raised_pressure", "bar", "full", lambda c, x: BAR_PER_MPA * intensified_mpa(c, _mpa(x, "full"))),
    _number("bends_at", "kN", "open", lambda c, x: column(c.rod_mm, x["open"]).critical_kn),
    _number("safety_bending", "", "open working", _safety),
    _number("pilot_ratio", "", "", lambda c, _: pilot_ratio_needed(c)),
    _number("creep_cap", "mm", "", lambda c, _: drift_mm_per_ml(c)[0]),
    _number("creep_rod", "mm", "", lambda c, _: drift_mm_per_ml(c)[1]),
    _number("oil_out", "L", "", lambda c, _: c.extend_litres),
    _number("oil_in", "L", "", lambda c, _: c.retract_litres),
    _number("oil_more", "L", "", lambda c, _: c.rod_litres),
    _number("seconds_out", "s", "flow", lambda c, x: stroke_seconds(c.extend_litres, x["flow"])),
    _number("seconds_in", "s", "flow", lambda c, x: stroke_seconds(c.retract_litres, x["flow"])),
    _number("slow_flow", "L/min", "flow", lambda c, _: flow_for_seconds(c.extend_litres, SLOW_S)),
    _number("restrictor", "mm", "flow relief drop discharge", _restrictor),
    _number("warmed_oil", "bar", "warming", lambda _, x: BAR_PER_MPA * locked_rise_mpa(x["warming"])),
    _number("hose_speed", "m/s", "flow hose", lambda _, x: hose_m_per_s(x["flow"], x["hose"])),
)
# what they rest on, each with a value or said to be missing; pressures in bar, forces in kN, lengths in mm
WORK_INPUTS: tuple[str, ...] = (
    "bore", "rod", "stroke", "open", "relief", "rated", "working", "full", "flow", "hose", "drop", "discharge",
    "warming", "tension", "compression", "carried",
)  # fmt: skip
