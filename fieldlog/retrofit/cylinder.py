"""What a hydraulic cylinder does: areas, push and pull, oil and time, intensification, oil warmed while locked.

No efficiency is taken off: seals and hoses cost a few per cent of force. Lengths in mm, areas in mm2, pressures
in MPa (1 MPa = 10 bar), forces in kN, volumes in litres, flows in litres a minute.
"""

import math
from dataclasses import dataclass

from fieldlog.errors import MeasureError

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
