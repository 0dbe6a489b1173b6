"""A bush pressed into an eye: interference, pressure between them, how far the bore closes in, what the eye feels.

Lame's thick-walled cylinders, after any machine design handbook. Lengths in mm, pressures and stresses in MPa.

Boring an eye out for a bush: the bush, the metal left, what pressing it in does.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from fieldlog.errors import MeasureError
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.retrofit.repair.metal import LEAST_CAPACITY_SHARE, LEAST_LIGAMENT_SHARE, MetalWord, NoEye, metal_left
from fieldlog.retrofit.repair.records import CLEANS_UP_MM, Repair, RepairWord, WornHole
from fieldlog.standards.fits import StockBush, bushes_for, clearance_range_mm, fit_limits
from fieldlog.standards.joints import JOINT_DEFAULTS

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


def press_warnings(bush: Bush, interference_mm: float, yield_mpa: float) -> tuple[Said, ...]:
    """Return what speaks against pressing this bush in; empty when nothing does."""
    result = pressed(bush, interference_mm)
    found: list[Said] = []
    if bush.wall_mm < LEAST_WALL_MM:
        found.append(said("metal.thin_bush", wall_mm=bush.wall_mm, least_mm=LEAST_WALL_MM))
    if bush.eye_mm < LEAST_EYE_OVER_BUSH * bush.outside_mm:
        found.append(said("metal.small_eye", ratio=bush.eye_mm / bush.outside_mm, least=LEAST_EYE_OVER_BUSH))
    if result.hoop_mpa > HOOP_MOST_SHARE * yield_mpa:
        found.append(said("metal.eye_over_stretched", hoop_mpa=result.hoop_mpa, most_share=HOOP_MOST_SHARE))
    return tuple(found)


LEAST_BUSH_WALL_MM = 2.0
SHOP_DEGC = 20.0
WARMED_ROOM_MM = 0.05  # by which a warmed eye is larger than the bush: common practice
How = Literal["reamed", "bushed"]
HOWS: tuple[How, ...] = ("bushed", "reamed")
_YIELD_MPA = 250.0


def metal_after(
    hole: WornHole, sizes: tuple[float, float], numbers: Numbers, how: How
) -> tuple[RepairWord, tuple[Said, ...]]:
    """Return what the metal left after a hole of (size, pin) says, and why."""
    hole_mm, pin_mm = sizes
    try:
        made, now = hole.eye(hole.made_mm, hole.pin_mm), hole.eye(hole_mm, pin_mm)
    except NoEye as error:
        return RepairWord.NO, (error.said,)
    if made is None or now is None:
        return RepairWord.ASK, (said("metal.eye_not_measured"),)
    left = metal_left(made, now)
    word = {MetalWord.ENOUGH: RepairWord.GOOD, MetalWord.ASK_A_SHOP: RepairWord.ASK}.get(left.word, RepairWord.NO)
    side, end, kept, carries = (
        numbers.value(f"{what}/{how}") for what in ("side wall", "end wall", "wall kept", "strength kept")
    )
    why = [said("metal.metal_left", side=side, end=end, kept=kept, carries=carries)]
    why += [said("metal.because", reason=reason) for reason in left.reasons]
    is_close = kept.value - kept.plus_minus < 100 * LEAST_LIGAMENT_SHARE
    if word is RepairWord.GOOD and (is_close or carries.value - carries.plus_minus < 100 * LEAST_CAPACITY_SHARE):
        return RepairWord.ASK, (*why, said("metal.within_doubt"))
    return word, tuple(why)


def bushed_down(hole: WornHole, numbers: Numbers) -> Repair:
    """Return the eye bored out for a bush of the usual series."""
    stock = stock_bush(hole)
    if stock is None:
        why = said("repair.no_bush", pin=hole.pin_name, least_mm=hole.largest_mm + CLEANS_UP_MM)
        return Repair(said("repair.way_bush"), RepairWord.ASK, (why, said("repair.shop_can_turn_one")))
    return _pressed_in(hole, stock, numbers)


def stock_bush(hole: WornHole) -> StockBush | None:
    """Return the smallest bush of the usual series that the worn hole can be bored for."""
    least_mm = hole.largest_mm + CLEANS_UP_MM
    fitting = (
        bush
        for bush in bushes_for(hole.pin_mm)
        if bush.outside_mm >= least_mm and (bush.outside_mm - bush.bore_mm) / 2 >= LEAST_BUSH_WALL_MM
    )
    return next(fitting, None)


def bush_in_eye(hole: WornHole, stock: StockBush) -> Bush | None:
    """Return the bush with the ring that the eye makes about it; None where it was not measured or is too small."""
    across_mm = _across_mm(hole)
    if across_mm is None or across_mm <= stock.outside_mm or not hole.eye_thickness_mm:
        return None
    return Bush(stock.bore_mm, stock.outside_mm, hole.eye_thickness_mm, across_mm, BRONZE)


def _pressed_in(hole: WornHole, stock: StockBush, numbers: Numbers) -> Repair:
    word, why = metal_after(hole, (stock.outside_mm, hole.pin_mm), numbers, "bushed")
    least_mm, most_mm = usual_interference_mm(stock.outside_mm)
    parts = (
        said("repair.part_bush", bush=stock),
        said("repair.part_pin", pin=hole.pin_name),
        said("repair.part_keeper"),
    )
    shop = [
        said("metal.shop_bore", to_mm=stock.outside_mm),
        said("metal.shop_chamfer"),
        said("metal.shop_interference", least_mm=least_mm, most_mm=most_mm),
    ]
    bush = bush_in_eye(hole, stock)
    if bush is not None:
        shop += _pressing(bush, (least_mm + most_mm) / 2, numbers)
        against = press_warnings(bush, most_mm, _YIELD_MPA)
        why = (*why, *(said("metal.because", reason=reason) for reason in against))
        word = RepairWord.ASK if against and word is RepairWord.GOOD else word
    caution = said("repair.caution_pressing")
    return Repair(said("repair.way_this_bush", bush=stock), word, why, parts, tuple(shop), caution)


def _across_mm(hole: WornHole) -> float | None:
    """Return the outside of the ring that the eye makes at its thinnest."""
    if hole.eye_width_mm is None or hole.centre_to_end_mm is None:
        return None
    return min(hole.eye_width_mm, 2 * hole.centre_to_end_mm)


def running_clearance_mm() -> float:
    """Return the room that a bush has on its pin: the middle of what a bushed joint has when new."""
    new = JOINT_DEFAULTS["bushed"]
    return (new.new_least_mm + new.new_most_mm) / 2


def _pressing(bush: Bush, interference_mm: float, numbers: Numbers) -> Iterable[Said]:
    yield said(
        "metal.shop_closes_in",
        closes=numbers.value("closes in"),
        order=numbers.value("bore to order"),
        room_mm=running_clearance_mm(),
    )
    low_kn, high_kn = pressed(bush, interference_mm).force_kn
    warm = numbers.value("warming")
    is_too_hot = warm.value > HOTTEST_DEGC - SHOP_DEGC
    yield said("metal.shop_press", low_kn=low_kn, high_kn=high_kn, warm=warm, is_too_hot=is_too_hot)
    yield said("metal.shop_stretched", stress=numbers.value("eye stretched"))
