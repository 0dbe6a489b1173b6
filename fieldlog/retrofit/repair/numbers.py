"""Every number about a hole's repair, declared once: walls and strength left, the bush pressed in, the sleeve.

An eye's sizes carry the doubt of a caliper nobody named; a hole is opened to its size within what a cutter keeps.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

from fieldlog.errors import MeasureError
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.number import Behind, Found, Number, Numbers, missing, of_plain
from fieldlog.quantity.value import Interval, exactly
from fieldlog.records.machine import Hole
from fieldlog.retrofit.carried import Answer, Given, Values, of_estimate, own_limit, usual_figure
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.offers.sense import calipered
from fieldlog.retrofit.repair.bush import (
    BRONZE_MPA,
    BRONZE_POISSON,
    FRICTION,
    WARMED_ROOM_MM,
    Bush,
    How,
    Material,
    bush_in_eye,
    heat_degc,
    pressed,
    running_clearance_mm,
    stock_bush,
    usual_interference_mm,
)
from fieldlog.retrofit.repair.metal import OPENED_MM, Eye, MetalLeft, NoEye, metal_left
from fieldlog.retrofit.repair.records import MOST_PIN_STEP, OVAL_NEEDS_WELD_MM, WornHole, next_pin
from fieldlog.standards.fits import StockBush
from fieldlog.standards.joints import JOINT_DEFAULTS
from fieldlog.wear.numbers.sizes import face_keys
from fieldlog.wear.states import HoleState

BRONZE_HALF_GPA = 10.0
PIN_ROOM_MM = JOINT_DEFAULTS["bushed"].new_most_mm  # that a pin turned to fill its bush leaves
SLEEVE_ROOM_MM = JOINT_DEFAULTS["hitch"].new_least_mm  # of a pin in its sleeve
_EYE = (
    ("eye_width", "eye, width across the hole"),
    ("eye_thickness", "eye, thickness"),
    ("centre_to_end", "eye, centre to end"),
)
_GIVEN = ("largest", "made", "oval", "pin", *(key for key, _ in _EYE))
_OPENED = ("now/reamed", "new pin/reamed", "now/bushed")
_BUSH = ("bore", "outside", "fit", "modulus", "friction")


def repair_numbers(case: WornHole, givens: Mapping[str, Given] | None = None) -> Numbers:
    """Return the numbers of a hole's repair, each worked out when it is asked for.

    `givens` are what was measured, as of `givens_of`; without them the case's sizes are taken as they stand.
    """
    known = dict(givens) if givens is not None else _as_they_stand(case)
    known |= _opened(case)
    stock = stock_bush(case)
    if stock is not None:
        known |= _of_bush(stock)
    if givens is None:
        known = {key: Given(given.value, (), given.name, unit=given.unit) for key, given in known.items()}
    found: dict[str, Found] = {key: missing(key) for key in (*_GIVEN, *_OPENED, *_BUSH, "interference")}
    found |= {key: given.size for key, given in known.items()}
    if stock is not None and bush_in_eye(case, stock) is not None:
        least_mm, most_mm = usual_interference_mm(stock.outside_mm)
        found["interference"] = Interval((least_mm + most_mm) / 2, least_mm, most_mm, "mm")
    return Numbers(NUMBERS, found, {key: Behind(given.keys, given.typed) for key, given in known.items()})


def shown_numbers(case: WornHole, *, is_refused: bool) -> tuple[str, ...]:
    """Return the ids of what a hole's repair page tells; some may have no value here."""
    found = ("largest", "made", "oval")
    if is_refused or case.joint_kind == "pivot":
        return found
    if case.hole_kind == "bushed":
        return (*found, "oversize pin")
    return (*found, "sleeve's wall", *_METAL_SHOWN, "interference", *(number.id for number in _PRESSED))


def givens_of(case: WornHole, hole: HoleState) -> dict[str, Given]:
    """Return a hole's sizes, its pin and its eye as far as it was measured, each with its doubt."""
    latest, worn = hole.latest, hole.worn
    assert latest is not None
    assert worn is not None
    own, keys = hole.hole.id, face_keys(max(latest.faces, key=lambda face: face.largest.value))
    shape = latest.best_face.shape
    oval = shape.ovality if shape is not None else replace(worn, value=case.oval_mm)
    pin = Given(case.pin_mm, (), "pin", typed=(f"pin: {case.pin_name}, counts as its nominal size",))
    identity = hole.identity
    made = pin
    if identity is not None and case.made_mm <= identity.value:
        made = of_estimate(identity, "hole as made", _identity_keys(hole), given_id=f"{own}/made")
    return {
        "largest": of_estimate(worn, "largest size", keys, given_id=f"{own}/largest"),
        "oval": of_estimate(oval, "ovality", face_keys(latest.best_face), given_id=f"{own}/oval"),
        "pin": pin,
        "made": made,
        **_eye(hole.hole),
    }


def _identity_keys(hole: HoleState) -> tuple[str, ...]:
    span = hole.history[hole.span_start :]
    first = min(span, key=lambda size: size.smallest.value)
    return face_keys(min(first.faces, key=lambda face: face.smallest.value))


def _eye(hole: Hole) -> dict[str, Given]:
    found: dict[str, Given] = {}
    for key, name in _EYE:
        size: Length | None = getattr(hole, key)
        if size is not None:
            typed, own = f"{name}: {size.typed}", f"{hole.id}/{key}"
            found[key] = of_estimate(calipered(size, "outside", whose=own), name, typed=typed, given_id=own)
    return found


def _as_they_stand(case: WornHole) -> dict[str, Given]:
    sizes = {
        "largest": case.largest_mm,
        "made": case.made_mm,
        "oval": case.oval_mm,
        "pin": case.pin_mm,
        "eye_width": case.eye_width_mm,
        "eye_thickness": case.eye_thickness_mm,
        "centre_to_end": case.centre_to_end_mm,
    }
    return {key: Given(mm, (), key) for key, mm in sizes.items() if mm is not None}


def _opened(case: WornHole) -> dict[str, Given]:
    """Return what the hole is opened to for the next pin, and for a bush, within what a cutter keeps."""
    found: dict[str, Given] = {}
    pin, stock = next_pin(case), stock_bush(case)
    if pin is not None and case.oval_mm <= OVAL_NEEDS_WELD_MM and pin.mm <= case.pin_mm * MOST_PIN_STEP:
        found |= {"now/reamed": _cut(pin.tool.mm, "reamed"), "new pin/reamed": Given(pin.mm, (), "new pin")}
    if stock is not None:
        found["now/bushed"] = _cut(stock.outside_mm, "bushed")
    return found


def _cut(to_mm: float, how: How) -> Given:
    name, given_id = f"hole as {how}", f"cut/{how}"
    words = name, "", f"± {OPENED_MM:g} mm, what a cutter keeps, common practice"
    term = own_limit(given_id, OPENED_MM, "setting", words)
    return Given(to_mm, (term,), name, typed=(f"{name}: to {to_mm:.2f} mm",), id=given_id)


def _of_bush(stock: StockBush) -> dict[str, Given]:
    """Return the stock bush; its interference lies anywhere in its fit's range."""
    least_mm, most_mm = usual_interference_mm(stock.outside_mm)
    half_mm, half = (most_mm - least_mm) / 2, (FRICTION[1] - FRICTION[0]) / 2
    words = "interference", "", f"± {half_mm:.3f} mm, the fit's own range"
    fit = own_limit("fit", half_mm, "stated", words)
    typed = ("interference: H7/p6, ISO 286",)
    return {
        "bore": Given(stock.bore_mm, (), "bore of the bush"),
        "outside": Given(stock.outside_mm, (), "outside of the bush"),
        "fit": Given((least_mm + most_mm) / 2, (fit,), "interference", typed=typed, id="fit"),
        "modulus": usual_figure(BRONZE_MPA / 1000, BRONZE_HALF_GPA, "stiffness of the bronze", "GPa", "usual/bronze"),
        "friction": usual_figure(sum(FRICTION) / 2, half, "friction", "", "usual/friction"),
    }


def _eyes(values: Values, how: How, pins: tuple[str, str]) -> tuple[Eye, Eye]:
    sizes = (values["eye_width"], values["eye_thickness"], values["centre_to_end"])
    return Eye(*sizes, values["made"], values[pins[0]]), Eye(*sizes, values[f"now/{how}"], values[pins[1]])


def _metal(number_id: str, how: How, unit: str, pins: tuple[str, str], take: Callable[[MetalLeft], float]) -> Number:
    """Return a number of the metal left; what it holds of the walls alone is asked with the holes as pins."""

    def answer(values: Values) -> float | CannotReach:
        try:
            return take(metal_left(*_eyes(values, how, pins)))
        except NoEye as error:
            return CannotReach(0.0, why=error.said)

    inputs = dict.fromkeys(("eye_width", "eye_thickness", "centre_to_end", "made", f"now/{how}", *pins))
    return Number(number_id, unit, tuple(inputs), of_plain(answer, unit))


def _metal_numbers(how: How, new_pin: str) -> tuple[Number, ...]:
    """Return walls and shares after the hole was opened."""
    filled = ("made", f"now/{how}")
    return (
        _metal(f"side wall/{how}", how, "mm", filled, lambda left: left.now.side_mm),
        _metal(f"end wall/{how}", how, "mm", filled, lambda left: left.now.end_mm),
        _metal(f"wall kept/{how}", how, "%", filled, lambda left: 100 * left.ligament_share),
        _metal(f"strength kept/{how}", how, "%", ("pin", new_pin), lambda left: 100 * left.capacity_share),
    )


def _in_eye(take: Callable[[Bush, Values], float]) -> Answer:
    """Return an answer about the bush in the ring that the eye makes about it."""

    def answer(values: Values) -> float | CannotReach:
        across_mm = min(values["eye_width"], 2 * values["centre_to_end"])
        bronze = Material(1000 * values["modulus"], BRONZE_POISSON)
        try:
            bush = Bush(values["bore"], values["outside"], values["eye_thickness"], across_mm, bronze)
        except MeasureError:
            return _TOO_SMALL
        return take(bush, values)

    return answer


_TOO_SMALL = CannotReach(0.0)


def _closes(bush: Bush, values: Values) -> float:
    return pressed(bush, values["fit"]).closes_in_mm


def _force_kn(bush: Bush, values: Values) -> float:
    return values["friction"] * pressed(bush, values["fit"]).force_kn[0] / FRICTION[0]


def _in_bush(number_id: str, unit: str, more: tuple[str, ...], take: Callable[[Bush, Values], float]) -> Number:
    inputs = ("eye_width", "eye_thickness", "centre_to_end", "bore", "outside", "fit", "modulus", *more)
    return Number(number_id, unit, inputs, of_plain(_in_eye(take), unit))


_PRESSED = (
    _in_bush("closes in", "mm", (), _closes),
    _in_bush("bore to order", "mm", ("pin",), lambda b, v: v["pin"] + running_clearance_mm() + _closes(b, v)),
    _in_bush("pressing force", "kN", ("friction",), _force_kn),
    _in_bush("eye stretched", "MPa", (), lambda b, v: pressed(b, v["fit"]).hoop_mpa),
    _in_bush("warming", "degC", (), lambda b, v: heat_degc(b.outside_mm, v["fit"] + WARMED_ROOM_MM)),
)
_METAL = (*_metal_numbers("bushed", "pin"), *_metal_numbers("reamed", "new pin/reamed"))
_METAL_SHOWN = tuple(number.id for number in _METAL)
NUMBERS: tuple[Number, ...] = (
    Number("oversize pin", "mm", ("largest",), lambda v: v["largest"] - PIN_ROOM_MM),
    Number(
        "sleeve's wall",
        "mm",
        ("largest", "pin"),
        lambda v: (v["largest"] - v["pin"] - exactly(SLEEVE_ROOM_MM, "mm")) / 2,
    ),
    *_METAL,
    *_PRESSED,
)
