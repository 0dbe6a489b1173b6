"""A bush pressed into an eye: interference, pressure between them, how far the bore closes in, what the eye feels.

Lame's thick-walled cylinders, after any machine design handbook. Lengths in mm, pressures and stresses in MPa.
"""

import math
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.standards.fits import clearance_range_mm, fit_limits

STEEL_MPA = 205_000.0
POISSON = 0.3
BRONZE_MPA = 100_000.0  # tin bronze, 100 to 115 GPa; the softer end closes in most: handbook figure, from memory
BRONZE_POISSON = 0.34  # from memory
STEEL_PER_DEGC = 11.5e-6  # handbook figure
FRICTION = (0.12, 0.15)  # dry to lightly oiled press fit: handbook range
HOOP_MOST_SHARE = 0.6  # of yield, above which the eye may give: common practice, no source
LEAST_WALL_MM = 2.0  # of a pressed bush: common practice, no source
LEAST_EYE_OVER_BUSH = 1.5  # outside of the eye over outside of the bush: common practice, no source
HOTTEST_DEGC = 200.0  # above which steel may be drawn soft: common practice, no source


@dataclass(frozen=True, slots=True)
class Material:
    """Stiffness of a material: Young's modulus in MPa and Poisson's ratio."""

    modulus_mpa: float
    poisson: float


STEEL = Material(STEEL_MPA, POISSON)
BRONZE = Material(BRONZE_MPA, BRONZE_POISSON)


@dataclass(frozen=True, slots=True)
class Pressed:
    """What pressing in does, for one interference on the diameter."""

    interference_mm: float
    pressure_mpa: float
    hoop_mpa: float
    closes_in_mm: float
    force_kn: tuple[float, float]

    @property
    def closing_share(self) -> float:
        """How much of the interference the bore closes in by."""
        return self.closes_in_mm / self.interference_mm if self.interference_mm else 0.0


@dataclass(frozen=True, slots=True)
class Bush:
    """A bush and the eye it goes into: bore, outside, length, outside of the eye; all in mm."""

    bore_mm: float
    outside_mm: float
    length_mm: float
    eye_mm: float
    material: Material = STEEL

    def __post_init__(self) -> None:
        """Refuse what does not go together."""
        if not 0 < self.bore_mm < self.outside_mm < self.eye_mm or self.length_mm <= 0:
            raise MeasureError(
                f"Bore {self.bore_mm:g}, outside {self.outside_mm:g} and eye {self.eye_mm:g} mm must grow in this "
                "order, and the bush has a length; measure them again."
            )

    @property
    def wall_mm(self) -> float:
        """Thickness of the bush's wall."""
        return (self.outside_mm - self.bore_mm) / 2


def pressed(bush: Bush, interference_mm: float) -> Pressed:
    """Return pressure, hoop stress in the eye, closing in of the bore and pressing force, eye of steel.

    p = delta / (D (Co / Eo + Ci / Ei)) with Co = (Do^2 + D^2) / (Do^2 - D^2) + nu, Ci = (D^2 + Di^2) /
    (D^2 - Di^2) - nu; hoop in the eye p (Do^2 + D^2) / (Do^2 - D^2); the bore closes in by 2 p D^2 Di /
    (E (D^2 - Di^2)); force mu p pi D L. Holds while nothing yields. No interference: nothing happens.
    """
    if interference_mm < 0:
        raise MeasureError("A bush smaller than its hole is not pressed in; it needs a larger bush or a fit with glue.")
    inner, middle, outer = bush.bore_mm, bush.outside_mm, bush.eye_mm
    eye_shape = (outer**2 + middle**2) / (outer**2 - middle**2)
    bush_shape = (middle**2 + inner**2) / (middle**2 - inner**2)
    give = (eye_shape + POISSON) / STEEL_MPA + (bush_shape - bush.material.poisson) / bush.material.modulus_mpa
    pressure = interference_mm / (middle * give)
    closes = 2 * pressure * middle**2 * inner / (bush.material.modulus_mpa * (middle**2 - inner**2))
    area_mm2 = math.pi * middle * bush.length_mm
    force = (FRICTION[0] * pressure * area_mm2 / 1000, FRICTION[1] * pressure * area_mm2 / 1000)
    return Pressed(interference_mm, pressure, pressure * eye_shape, closes, force)


def usual_interference_mm(outside_mm: float, shaft_class: str = "p6") -> tuple[float, float]:
    """Return least and most interference of a bush in an H7 housing (ISO 286); p6, r6 and s6 press ever harder."""
    least_clearance, most_clearance = clearance_range_mm(
        fit_limits(outside_mm, "H7"), fit_limits(outside_mm, shaft_class)
    )
    return max(-most_clearance, 0.0), -least_clearance


def bore_to_order_mm(bush: Bush, pin_mm: float, clearance_mm: float, interference_mm: float) -> float:
    """Return the bore to order so that it has this clearance once it is pressed in: pin, clearance, closing in."""
    return pin_mm + clearance_mm + pressed(bush, interference_mm).closes_in_mm


def heat_degc(diameter_mm: float, growth_mm: float) -> float:
    """Return by how many degrees an eye is warmed to grow so far: growth over diameter and 11.5e-6 a degree."""
    if diameter_mm <= 0 or growth_mm < 0:
        raise MeasureError("Warming needs a diameter above nothing and a growth that is not below it.")
    return growth_mm / (diameter_mm * STEEL_PER_DEGC)


def press_warnings(bush: Bush, interference_mm: float, yield_mpa: float) -> tuple[str, ...]:
    """Return what speaks against pressing this bush in, as sentences; empty when nothing does."""
    result = pressed(bush, interference_mm)
    found: list[str] = []
    if bush.wall_mm < LEAST_WALL_MM:
        found.append(f"the bush's wall is {bush.wall_mm:.1f} mm; a pressed one has {LEAST_WALL_MM:g} mm or more")
    if bush.eye_mm < LEAST_EYE_OVER_BUSH * bush.outside_mm:
        found.append(
            f"the eye is {bush.eye_mm / bush.outside_mm:.2f} times the bush across; "
            f"{LEAST_EYE_OVER_BUSH} or more is wanted"
        )
    if result.hoop_mpa > HOOP_MOST_SHARE * yield_mpa:
        found.append(
            f"the eye is stretched with {result.hoop_mpa:.0f} MPa, over {100 * HOOP_MOST_SHARE:.0f} % of its yield"
        )
    return tuple(found)
