"""What a cylinder does on a tractor as answers of named figures, so that each carries the doubt of what it rests on.

The same answers give the ± in the sentences about force and oil, and the numbers that those open to. Figures: bore,
rod, stroke and open in mm; working, relief and rated in bar; tension, compression and carried in kN; flow in L/min;
hose in mm.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from fieldlog.errors import MeasureError
from fieldlog.retrofit.carried import Values
from fieldlog.retrofit.column import column
from fieldlog.retrofit.cylinder import (
    BAR_PER_MPA,
    DISCHARGE,
    Cylinder,
    drift_mm_per_ml,
    hose_m_per_s,
    intensified_mpa,
    locked_rise_mpa,
    orifice_mm,
    pilot_ratio_needed,
    pressure_to_hold_mpa,
    pull_kn,
    push_kn,
    stroke_seconds,
)
from fieldlog.retrofit.plane import CannotReach

SHOCK = 3.0  # standing load times this when it bounces on the road, two to three: common practice, no source
DROP_SHARE = 0.87  # of the relief pressure that a restrictor takes at speed: 15 MPa of 17.2, common practice
SLOW_S = 5.0  # a stroke slow enough to set a blade by, 4 to 7 s: common practice


class WorkAnswer(NamedTuple):
    """One answer: its word, what it is, its unit, the figures it needs, how it follows, and its formula in words."""

    word: str
    about: str
    unit: str
    needs: frozenset[str]
    answer: Callable[[Values], float | CannotReach]
    formula: str


def _of_cylinder(take: Callable[[Cylinder, Values], float]) -> Callable[[Values], float | CannotReach]:
    def answer(values: Values) -> float | CannotReach:
        try:
            return take(Cylinder(values["bore"], values["rod"], values["stroke"]), values)
        except MeasureError as error:
            return CannotReach(0.0, why=str(error))

    return answer


def _mpa(values: Values, key: str) -> float:
    return values[key] / BAR_PER_MPA


def hold_bar(cylinder: Cylinder, values: Values) -> float:
    """Return the pressure that holds the worse of the pull and the push asked of it."""
    pulled = pressure_to_hold_mpa(cylinder, values["tension"])
    return BAR_PER_MPA * max(pulled, pressure_to_hold_mpa(cylinder, -values["compression"]))


def bouncing_bar(cylinder: Cylinder, values: Values) -> float:
    """Return the same with what is carried bouncing on the road."""
    bounced = pressure_to_hold_mpa(cylinder, values["carried"] * SHOCK)
    return max(hold_bar(cylinder, values), BAR_PER_MPA * bounced)


def _restrictor(cylinder: Cylinder, values: Values) -> float:
    flow = 60 * cylinder.extend_litres / SLOW_S
    drop_mpa = _mpa(values, "relief") * values["drop"]
    return orifice_mm(flow, drop_mpa) * math.sqrt(DISCHARGE / values["discharge"])


_SIZES = frozenset({"bore", "rod", "stroke"})
_LOADED = _SIZES | {"tension", "compression", "carried"}
_PULL = "Pull = pressure times the ring: pi / 4 times (bore squared less rod squared)."
_PUSH = "Push = pressure times the bore's area: pi / 4 times bore squared."
_HOLD = "Pressure = pull / ring, or push / bore's area, whichever is more."
_TIME = "Time = oil / flow."

WORK_ANSWERS: tuple[WorkAnswer, ...] = tuple(
    WorkAnswer(word, about, unit, _SIZES | needs, _of_cylinder(take), formula)
    for word, about, unit, needs, take, formula in (
        ("pull", "Pull at the working pressure", "kN", {"working"}, lambda c, v: pull_kn(c, _mpa(v, "working")), _PULL),
        ("push", "Push at the working pressure", "kN", {"working"}, lambda c, v: push_kn(c, _mpa(v, "working")), _PUSH),
        ("pressure to hold", "Pressure that holds what is asked of it", "bar", _LOADED, hold_bar, _HOLD),
        (
            "pressure, bouncing", f"The same, what is carried bouncing {SHOCK:.0f} times", "bar", _LOADED, bouncing_bar,
            _HOLD,
        ),
        (
            "to spare", "Working pressure less what holds the load", "bar", _LOADED | {"working"},
            lambda c, v: v["working"] - hold_bar(c, v), "",
        ),
        (
            "to spare, bouncing", "Working pressure less what holds it bouncing", "bar", _LOADED | {"working"},
            lambda c, v: v["working"] - bouncing_bar(c, v), "",
        ),
        (
            "raised pressure", "Pressure on a shut rod side with full pressure on the cap side", "bar", {"full"},
            lambda c, v: BAR_PER_MPA * intensified_mpa(c, _mpa(v, "full")), "Pressure times bore's area over ring.",
        ),
        (
            "bends at", "Push at which the rod bends, fully open", "kN", {"open"},
            lambda c, v: column(c.rod_mm, v["open"]).critical_kn, "Euler, or Johnson where it is stubby; pinned ends.",
        ),
        (
            "safety, bending", "Bending load over the full push", "", {"open", "working"},
            lambda c, v: column(c.rod_mm, v["open"]).critical_kn / push_kn(c, _mpa(v, "working")), "",
        ),
        ("pilot ratio", "Least pilot ratio of a check valve", "", set(), lambda c, _: pilot_ratio_needed(c),
         "1.5 times bore's area over ring."),
        ("creep, cap side", "Creep for a millilitre that leaks, cap side", "mm", set(),
         lambda c, _: drift_mm_per_ml(c)[0], ""),
        ("creep, rod side", "Creep for a millilitre that leaks, rod side", "mm", set(),
         lambda c, _: drift_mm_per_ml(c)[1], ""),
        ("oil out", "Oil for the whole stroke out", "L", set(), lambda c, _: c.extend_litres, ""),
        ("oil in", "Oil for the whole stroke in", "L", set(), lambda c, _: c.retract_litres, ""),
        ("oil more", "What the tank takes more when it is in", "L", set(), lambda c, _: c.rod_litres, ""),
        ("seconds out", "Whole stroke out at full flow", "s", {"flow"},
         lambda c, v: stroke_seconds(c.extend_litres, v["flow"]), _TIME),
        ("seconds in", "Whole stroke in at full flow", "s", {"flow"},
         lambda c, v: stroke_seconds(c.retract_litres, v["flow"]), _TIME),
        ("flow to slow it", f"Flow for {SLOW_S:g} s out", "L/min", {"flow"},
         lambda c, _: 60 * c.extend_litres / SLOW_S, _TIME),
        ("restrictor", "Sharp-edged restrictor for that flow", "mm", {"flow", "relief", "drop", "discharge"},
         _restrictor,
         "Flow = 0.65 times area times root of (2 times drop / density), most of the relief pressure dropped in it."),
        ("warmed oil", "What oil locked in both ways rises by at the worst when it warms", "bar", {"warming"},
         lambda _, v: BAR_PER_MPA * locked_rise_mpa(v["warming"]), "About 11 bar a degree where nothing gives."),
        ("oil in the hose", "Speed of the oil in the hose at full flow", "m/s", {"flow", "hose"},
         lambda _, v: hose_m_per_s(v["flow"], v["hose"]), "Flow over the hose's inside area."),
    )
)  # fmt: skip
