"""Every number about a hole's repair opened up: walls and strength left, the bush that is pressed in, the sleeve.

An eye's sizes carry the doubt of a caliper nobody named; a hole is opened to its size within what a cutter keeps.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial

from fieldlog.errors import MeasureError
from fieldlog.quantity.estimate import Estimate, Interval, figure_limit
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.page_number import Number
from fieldlog.records.machine import Hole
from fieldlog.retrofit.carried import Answer, Measure, Opener, Values, of_estimate, opened, usual_figure
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.offers.sense import calipered
from fieldlog.retrofit.repair.bush import (
    BRONZE_MPA,
    FRICTION,
    WARMED_ROOM_MM,
    Bush,
    Material,
    bush_in_eye,
    heat_degc,
    pressed,
    running_clearance_mm,
    stock_bush,
    usual_interference_mm,
)
from fieldlog.retrofit.repair.metal import Eye, MetalLeft, metal_left
from fieldlog.retrofit.repair.records import WornHole
from fieldlog.retrofit.repair.ways import refusals, repairs, worn_hole
from fieldlog.standards.joints import JOINT_DEFAULTS
from fieldlog.wear.numbers.sizes import face_keys
from fieldlog.wear.states import HoleState, JointState, MachineState

OPENED_MM = 0.05  # what a reamer, cutter or boring head keeps: common practice, no source
BRONZE_HALF_GPA = 10.0
_EYE = (
    ("eye_width", "eye, width across the hole"),
    ("eye_thickness", "eye, thickness"),
    ("centre_to_end", "eye, centre to end"),
)


def repair_numbers(machine: MachineState, joint: JointState, hole: HoleState) -> list[Number]:
    """Return the numbers of a hole's repair page; none while its case is not known yet."""
    case = worn_hole(machine, joint, hole)
    if isinstance(case, str):
        return []
    figures = _figures(case, hole)
    opener = Opener(figures)
    found = [
        opened("largest now", "Largest size as it is worn", figures["largest"].figure, (figures["largest"],)),
        opened(
            "as made", "The hole as made: its smallest size, or the pin's", figures["made"].figure, (figures["made"],)
        ),
        opened("oval by", "Ovality: largest less smallest", figures["oval"].figure, (figures["oval"],)),
    ]
    if refusals(case) or case.joint_kind == "pivot":
        return found
    if case.hole_kind == "bushed":
        room_mm = JOINT_DEFAULTS["bushed"].new_most_mm
        about = f"Pin turned to fill the bush: largest less {room_mm:g} mm of room"
        return [*found, *opener.number("oversize pin", about, "mm", lambda v: v["largest"] - room_mm)]
    least_mm = JOINT_DEFAULTS["hitch"].new_least_mm
    about = f"Wall of a sleeve: half of largest less pin less {least_mm:g} mm of room"
    found += opener.number("sleeve's wall", about, "mm", lambda v: (v["largest"] - v["pin"] - least_mm) / 2)
    for way in repairs(case, "mm"):
        if way.metal is not None:
            how = "reamed" if way.name.startswith("ream") else "bushed"
            found += _metal(opener, way.metal, how)
    return [*found, *_bush(case, opener)]


def _figures(case: WornHole, hole: HoleState) -> dict[str, Measure]:
    latest, worn = hole.latest, hole.worn
    assert latest is not None
    assert worn is not None
    keys = face_keys(max(latest.faces, key=lambda face: face.largest.value_mm))
    shape = latest.best_face.shape
    oval = shape.ovality if shape is not None else replace(worn, value=case.oval_mm)
    pin = Measure(case.pin_mm, (), "pin", typed=(f"pin: {case.pin_name}, counts as its nominal size",))
    identity = hole.identity
    is_pin = identity is None or case.made_mm > identity.value_mm
    made = pin if identity is None or is_pin else of_estimate(identity, "hole as made", _identity_keys(hole))
    return {
        "largest": of_estimate(worn, "largest size", keys),
        "oval": of_estimate(oval, "ovality", face_keys(latest.best_face)),
        "pin": pin,
        "made": made,
        **_eye(hole.hole),
    }


def _identity_keys(hole: HoleState) -> tuple[str, ...]:
    span = hole.history[hole.span_start :]
    first = min(span, key=lambda size: size.smallest.value_mm)
    return face_keys(min(first.faces, key=lambda face: face.smallest.value_mm))


def _eye(hole: Hole) -> dict[str, Measure]:
    found: dict[str, Measure] = {}
    for key, name in _EYE:
        size: Length | None = getattr(hole, key)
        if size is not None:
            found[key] = of_estimate(calipered(size, "outside", whose=key), name, typed=f"{name}: {size.typed}")
    return found


def _metal(opener: Opener, left: MetalLeft, how: str) -> Iterator[Number]:
    """Return walls and shares after the hole was opened, each with the doubt of the eye's sizes and of the cutter."""
    name = f"hole as {how}"
    cut = figure_limit(name, OPENED_MM, f"± {OPENED_MM:g} mm, what a cutter keeps, common practice")
    to_mm = left.now.hole_mm
    opener = opener.with_figures(
        {
            "now": Measure(to_mm, (cut,), name, typed=(f"{name}: to {to_mm:.2f} mm",)),
            "new_pin": Measure(left.now.pin_mm, (), "new pin"),
        }
    )
    to = f"with the hole {how} to {to_mm:.2f} mm"
    yield from opener.number(
        f"side wall, {how}", f"Wall at each side {to}", "mm", _left(lambda x: x.now.side_mm), _SIDE
    )
    yield from opener.number(f"end wall, {how}", f"Wall at the end {to}", "mm", _left(lambda x: x.now.end_mm), _END)
    about = f"The thinner wall {to}, of as made"
    yield from opener.number(f"wall kept, {how}", about, "%", _left(lambda x: 100 * x.ligament_share))
    about = f"What the eye carries {to}, of as made"
    yield from opener.number(f"strength kept, {how}", about, "%", _left(lambda x: 100 * x.capacity_share), _CARRIES)


_SIDE = "Wall = (width less hole) / 2."
_END = "Wall = centre to end less half the hole."
_CARRIES = "The least of sides tearing, end tearing out, hole crushing (AISC 360 D5), now over as made."


def _left(take: Callable[[MetalLeft], float]) -> Answer:
    def answer(values: Values) -> float | CannotReach:
        sizes = (values["eye_width"], values["eye_thickness"], values["centre_to_end"])
        try:
            made, now = Eye(*sizes, values["made"], values["pin"]), Eye(*sizes, values["now"], values["new_pin"])
        except MeasureError as error:
            return CannotReach(0.0, why=str(error))
        return take(metal_left(made, now))

    return answer


def _bush(case: WornHole, opener: Opener) -> Iterator[Number]:
    """Return what pressing in the stock bush does, the interference being anywhere in its fit's range."""
    stock = stock_bush(case)
    bush = bush_in_eye(case, stock) if stock is not None else None
    if stock is None or bush is None:
        return
    least_mm, most_mm = usual_interference_mm(stock.outside_mm)
    middle_mm, half_mm = (least_mm + most_mm) / 2, (most_mm - least_mm) / 2
    about = f"Interference of the bush {stock.name} in its eye, anywhere in the range of H7/p6"
    yield Number("interference", about, Interval(middle_mm, least_mm, most_mm, "mm"), ())
    fit = figure_limit("interference", half_mm, f"± {half_mm:.3f} mm, the fit's own range")
    opener = opener.with_figures(
        {
            "interference": Measure(middle_mm, (fit,), "interference", typed=("interference: H7/p6, ISO 286",)),
            "modulus": usual_figure(BRONZE_MPA / 1000, BRONZE_HALF_GPA, "stiffness of the bronze", "GPa"),
            "friction": usual_figure(sum(FRICTION) / 2, (FRICTION[1] - FRICTION[0]) / 2, "friction", ""),
        }
    )
    room_mm = running_clearance_mm()
    in_it = partial(_pressed_bush, bush)
    closes = "Lame's thick-walled cylinders: pressure from the interference, then what the bore gives."
    yield from opener.number("closes in", "How far its bore closes in", "mm", lambda v: _closes(in_it(v), v), closes)
    about = f"Bore to order: pin, {room_mm:.2f} mm of room, and what it closes in by"
    yield from opener.number("bore to order", about, "mm", lambda v: v["pin"] + room_mm + _closes(in_it(v), v))
    yield from opener.number("pressing force", "Force that presses it in", "kN", lambda v: _force_kn(in_it(v), v))
    yield from opener.number("eye stretched", "Stress in the eye", "MPa", lambda v: _hoop_mpa(in_it(v), v), closes)
    about = f"How much warmer the eye grows over the bush with {WARMED_ROOM_MM:g} mm to spare"
    outside_mm = stock.outside_mm
    warm = lambda v: heat_degc(outside_mm, v["interference"] + WARMED_ROOM_MM)  # noqa: E731 -- one line of a table
    yield from opener.number("warming", about, "degC", warm)


def _pressed_bush(bush: Bush, values: Values) -> Bush:
    across_mm = min(values["eye_width"], 2 * values["centre_to_end"])
    material = Material(1000 * values["modulus"], bush.material.poisson)
    return Bush(bush.bore_mm, bush.outside_mm, values["eye_thickness"], across_mm, material)


def _closes(bush: Bush, values: Values) -> float:
    return pressed(bush, values["interference"]).closes_in_mm


def _hoop_mpa(bush: Bush, values: Values) -> float:
    return pressed(bush, values["interference"]).hoop_mpa


def _force_kn(bush: Bush, values: Values) -> float:
    return values["friction"] * pressed(bush, values["interference"]).force_kn[0] / FRICTION[0]


def repair_doubts(numbers: list[Number]) -> Mapping[str, float]:
    """Return the 95 % half-width of each number by its word."""
    return {n.word: n.estimate.expanded for n in numbers if not isinstance(n.estimate, Interval | Estimate)}
