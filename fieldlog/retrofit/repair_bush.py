"""Boring an eye out for a bush: the bush, the metal left, what pressing it in does.

Choice and rules are common practice unless a source is named.
"""

from collections.abc import Iterable

from fieldlog.errors import MeasureError
from fieldlog.measure.rounding import both_plain_text, mm_text
from fieldlog.records.quantities import Units
from fieldlog.retrofit.metal import LEAST_CAPACITY_SHARE, LEAST_LIGAMENT_SHARE, MetalLeft, MetalWord, metal_left
from fieldlog.retrofit.oil import said
from fieldlog.retrofit.press_fit import (
    BRONZE,
    HOTTEST_DEGC,
    Bush,
    bore_to_order_mm,
    heat_degc,
    press_warnings,
    pressed,
    usual_interference_mm,
)
from fieldlog.retrofit.repair_records import Doubts, Repair, RepairWord, WornHole, sure_text
from fieldlog.standards.bushes import StockBush, bushes_for
from fieldlog.standards.joints import JOINT_DEFAULTS

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
