"""A bush pressed into an eye: interference, pressure between them, how far the bore closes in, what the eye feels.

Lame's thick-walled cylinders, after any machine design handbook. Lengths in mm, pressures and stresses in MPa.

Boring an eye out for a bush: the bush, the metal left, what pressing it in does.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_plain_text, mm_text
from fieldlog.quantity.rounding import with_doubt as said
from fieldlog.retrofit.repair.metal import (
    LEAST_CAPACITY_SHARE,
    LEAST_LIGAMENT_SHARE,
    MetalLeft,
    MetalWord,
    metal_left,
    sure_text,
)
from fieldlog.retrofit.repair.records import Doubts, Repair, RepairWord, WornHole
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


CLEANS_UP_MM = 0.2  # more than the largest size, so that the whole circle is cut
LEAST_BUSH_WALL_MM = 2.0
SHOP_DEGC = 20.0
WARMED_ROOM_MM = 0.05  # by which a warmed eye is larger than the bush: common practice
PRESSING = "Eye protection; press or draw it in, never hammer a hardened bush or pin; keep the eye under 200 degC."
_YIELD_MPA = 250.0


def metal_after(
    hole: WornHole, sizes: tuple[float, float], units: Units, doubts: Doubts, how: str
) -> tuple[MetalLeft | None, RepairWord, tuple[str, ...]]:
    """Return the metal left after a hole of (size, pin), as a word and sentences; `how` is reamed or bushed."""
    hole_mm, pin_mm = sizes
    try:
        made, now = hole.eye(hole.made_mm, hole.pin_mm), hole.eye(hole_mm, pin_mm)
    except MeasureError as error:
        return None, RepairWord.NO, (str(error),)
    if made is None or now is None:
        ask = "The eye was not measured: its width, thickness and the way from the hole's centre to its end decide."
        return None, RepairWord.ASK, (ask,)
    left = metal_left(made, now)
    word = {MetalWord.ENOUGH: RepairWord.GOOD, MetalWord.ASK_A_SHOP: RepairWord.ASK}.get(left.word, RepairWord.NO)
    side, end = (
        sure_text(mm, doubts.get(f"{wall} wall, {how}", 0.0), units)
        for wall, mm in (("side", now.side_mm), ("end", now.end_mm))
    )
    kept, carries = doubts.get(f"wall kept, {how}", 0.0), doubts.get(f"strength kept, {how}", 0.0)
    numbers = f"Metal left: walls {side} at the sides and {end} at the end, {_percent(left.ligament_share, kept)} of "
    numbers += f"as made; it carries {_percent(left.capacity_share, carries)} of what it did."
    why = [numbers, *(f"{reason[:1].upper()}{reason[1:]}." for reason in left.reasons)]
    if word is RepairWord.GOOD and _is_close(left, kept, carries):
        return left, RepairWord.ASK, (*why, "Whether that is enough is within the doubt of the eye's sizes.")
    return left, word, tuple(why)


def _percent(share: float, doubt: float) -> str:
    return f"{said(100 * share, doubt, 1 if doubt else 0)} %"


def _is_close(left: MetalLeft, kept: float, carries: float) -> bool:
    """Tell whether a share passes its line by less than its own doubt, in percent."""
    wall, strength = left.ligament_share - LEAST_LIGAMENT_SHARE, left.capacity_share - LEAST_CAPACITY_SHARE
    return 100 * wall < kept or 100 * strength < carries


def bushed_down(hole: WornHole, units: Units, doubts: Doubts) -> Repair:
    """Return the eye bored out for a bush of the usual series."""
    name = "bore out and press a bush in"
    stock = stock_bush(hole)
    if stock is None:
        least = mm_text(hole.largest_mm + CLEANS_UP_MM, units)
        why = f"No bush of the usual series for a {hole.pin_name} pin is {least} or more outside."
        return Repair(name, RepairWord.ASK, (why, "A shop can turn one."))
    return _pressed_in(hole, stock, units, doubts)


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


def _pressed_in(hole: WornHole, stock: StockBush, units: Units, doubts: Doubts) -> Repair:
    metal, word, why = metal_after(hole, (stock.outside_mm, hole.pin_mm), units, doubts, "bushed")
    least_mm, most_mm = usual_interference_mm(stock.outside_mm)
    parts = (f"bush {stock.name} ({stock.series}), one each eye", f"{hole.pin_name} pin", "keeper")
    shop = [
        f"bore the eye to {both_plain_text(stock.outside_mm, units)} H7, round within 0.03 mm",
        "chamfer 15 to 20 degrees, start square, a split bush with its joint off the load",
        f"interference {mm_text(least_mm, units, 3)} to {mm_text(most_mm, units, 3)} (H7/p6); grease hole lined up",
    ]
    bush = bush_in_eye(hole, stock)
    if bush is not None:
        shop += _pressing_lines(bush, hole.pin_mm, (least_mm + most_mm) / 2, units, doubts)
        against = press_warnings(bush, most_mm, _YIELD_MPA)
        why = (*why, *(f"{text[:1].upper()}{text[1:]}." for text in against))
        word = RepairWord.ASK if against and word is RepairWord.GOOD else word
    return Repair(f"bore out, bush {stock.name}", word, why, parts, tuple(shop), PRESSING, metal)


def _across_mm(hole: WornHole) -> float | None:
    """Return the outside of the ring that the eye makes at its thinnest."""
    if hole.eye_width_mm is None or hole.centre_to_end_mm is None:
        return None
    return min(hole.eye_width_mm, 2 * hole.centre_to_end_mm)


def running_clearance_mm() -> float:
    """Return the room that a bush has on its pin: the middle of what a bushed joint has when new."""
    new = JOINT_DEFAULTS["bushed"]
    return (new.new_least_mm + new.new_most_mm) / 2


def _pressing_lines(bush: Bush, pin_mm: float, interference_mm: float, units: Units, doubts: Doubts) -> Iterable[str]:
    result, clearance_mm = pressed(bush, interference_mm), running_clearance_mm()
    order_mm = bore_to_order_mm(bush, pin_mm, clearance_mm, interference_mm)
    closes = sure_text(result.closes_in_mm, doubts.get("closes in", 0.0), units, 3)
    order = sure_text(order_mm, doubts.get("bore to order", 0.0), units)
    yield (
        f"its bore closes in by about {closes}: order the bore {order}, or ream after pressing, for "
        f"{mm_text(clearance_mm, units)} of room on the pin"
    )
    low, high = result.force_kn
    warm = heat_degc(bush.outside_mm, interference_mm + WARMED_ROOM_MM)
    too_hot = f"; to warm it in would take {warm:.0f} degC more, which is too hot for the eye"
    warmed = f", or warm the eye by {warm:.0f} degC" if warm <= HOTTEST_DEGC - SHOP_DEGC else too_hot
    yield f"press with {low:.0f} to {high:.0f} kN{warmed}"
    yield f"pressed in, the eye is stretched with {said(result.hoop_mpa, doubts.get('eye stretched', 0.0), 0)} MPa"
