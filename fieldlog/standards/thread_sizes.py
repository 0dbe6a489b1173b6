"""What a thread's designation says about its steel: basic diameters, tensile stress area, sizes at their limits.

Formulas of ISO 724, ISO 898-1, ISO 965-1 and ASME B1.1 for symmetric 60 degree threads, and of ISO 2904 for trapezoidal
ones. The tolerance formulas are from memory; for 1/2-13, 3/4-10 and 1-8 they give the limits of the published
engagement examples, see the tests.
"""

import math

from fieldlog.records.frozen import dataclass
from fieldlog.records.threads import Thread

_MM = 25.4
# ISO 965-1, diameter steps for tolerances in mm (from memory)
_STEPS_MM = (2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0)


@dataclass(frozen=True, slots=True)
class BasicSizes:
    """Basic diameters in mm: major, pitch, minor of the nut and minor (root) of the rod."""

    major_mm: float
    pitch_mm: float
    nut_minor_mm: float
    rod_minor_mm: float


@dataclass(frozen=True, slots=True)
class ThreadLimits:
    """The limits that bound the strip areas, in mm; names as in FED-STD-H28.

    Kn_max largest minor diameter of the nut, Es_min smallest pitch diameter of the rod, Ds_min its smallest major
    diameter, En_max largest pitch diameter of the nut.
    """

    kn_max_mm: float
    es_min_mm: float
    ds_min_mm: float
    en_max_mm: float


def basic_sizes(thread: Thread) -> BasicSizes:
    """Return the basic diameters.

    60 degree threads: d2 = d - 0.649519 P, D1 = d - 1.082532 P, d3 = d - 1.226869 P (ISO 724, ISO 68-1).
    Trapezoidal: d2 = d - 0.5 P, D1 = d - P, d3 = d - P - 2 ac, ac 0.15 / 0.25 / 0.5 mm for P 1.5 / 2-5 / 6-12
    (ISO 2901, ISO 2904).
    """
    d_mm, p_mm = float(thread.d_mm), float(thread.pitch_mm)
    if thread.form == "trapezoidal":
        ac_mm = 0.15 if p_mm < 2 else 0.25 if p_mm <= 5 else 0.5
        return BasicSizes(d_mm, d_mm - p_mm / 2, d_mm - p_mm, d_mm - p_mm - 2 * ac_mm)
    return BasicSizes(d_mm, d_mm - 0.649519 * p_mm, d_mm - 1.082532 * p_mm, d_mm - 1.226869 * p_mm)


def stress_area_mm2(thread: Thread) -> float:
    """Return the tensile stress area of the rod in mm2.

    Metric: pi/4 (d - 0.9382 P)^2 (ISO 898-1). Inch: 0.7854 (D - 0.9743/n)^2 (ASME B1.1). Trapezoidal threads have
    no such standard; the circle of the mean of pitch and root diameter is taken, as for the others.
    """
    d_mm, p_mm = float(thread.d_mm), float(thread.pitch_mm)
    if thread.form == "trapezoidal":
        sizes = basic_sizes(thread)
        return math.pi / 4 * ((sizes.pitch_mm + sizes.rod_minor_mm) / 2) ** 2
    factor = 0.9382 if thread.form == "metric" else 0.9743
    return math.pi / 4 * (d_mm - factor * p_mm) ** 2


def thread_limits(thread: Thread) -> ThreadLimits | None:
    """Return the limits of a new thread, class 2A/2B or 6g/6H; None for trapezoidal threads."""
    if thread.form == "trapezoidal":
        return None
    return _unified_limits(thread) if thread.form == "inch" else _metric_limits(thread)


def _unified_limits(thread: Thread) -> ThreadLimits:
    """ASME B1.1 class 2A/2B in inches, engagement of one diameter (UNC, UNF) or nine pitches (others).

    Pitch diameter tolerance T = 0.0015 D^(1/3) + 0.0015 Le^(1/2) + 0.015 p^(2/3), of the nut 1.3 T; allowance 0.3 T;
    major diameter 0.060 p^(2/3); minor diameter of the nut 0.25 p - 0.40 p^2, for D of 1/4 in and more.
    """
    size, p = float(thread.d_mm) / _MM, float(thread.pitch_mm) / _MM
    basic = basic_sizes(thread)
    engaged = size if thread.series in {"UNC", "UNF"} else 9 * p
    tolerance = 0.0015 * size ** (1 / 3) + 0.0015 * engaged**0.5 + 0.015 * p ** (2 / 3)
    allowance = 0.3 * tolerance
    return ThreadLimits(
        kn_max_mm=basic.nut_minor_mm + (0.25 * p - 0.4 * p**2) * _MM,
        es_min_mm=basic.pitch_mm - (allowance + tolerance) * _MM,
        ds_min_mm=basic.major_mm - (allowance + 0.06 * p ** (2 / 3)) * _MM,
        en_max_mm=basic.pitch_mm + 1.3 * tolerance * _MM,
    )


def _metric_limits(thread: Thread) -> ThreadLimits:
    """ISO 965-1, tolerance classes 6g and 6H, in micrometres with d the geometric mean of its diameter step.

    es = 15 + 11 P; Td2 = 90 P^0.4 d^0.1, of the nut 1.32 Td2; Td = 180 P^(2/3) - 3.15 / P^0.5; TD1 = 230 P^0.7
    (433 P - 190 P^1.22 for pitches under 1 mm).
    """
    p, basic = float(thread.pitch_mm), basic_sizes(thread)
    upper = next((step for step in _STEPS_MM if basic.major_mm <= step), _STEPS_MM[-1])
    mean_mm = math.sqrt(upper * upper / 2)
    es = 15 + 11 * p
    pitch_tolerance = 90 * p**0.4 * mean_mm**0.1
    nut_minor = 230 * p**0.7 if p >= 1 else 433 * p - 190 * p**1.22
    return ThreadLimits(
        kn_max_mm=basic.nut_minor_mm + nut_minor / 1000,
        es_min_mm=basic.pitch_mm - (es + pitch_tolerance) / 1000,
        ds_min_mm=basic.major_mm - (es + 180 * p ** (2 / 3) - 3.15 / p**0.5) / 1000,
        en_max_mm=basic.pitch_mm + 1.32 * pitch_tolerance / 1000,
    )
