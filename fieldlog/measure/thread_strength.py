"""What holds a thread: strip areas, the least engagement by the published formula, forces in round figures."""

import math

from fieldlog.records.frozen import dataclass
from fieldlog.records.threads import Thread
from fieldlog.standards.thread_sizes import ThreadLimits, stress_area_mm2, thread_limits

_TAN_30 = 0.57735


@dataclass(frozen=True, slots=True)
class StripAreas:
    """Areas in mm2 over which the threads of rod and nut would shear off along a length of engagement."""

    rod_mm2: float
    nut_mm2: float


def strip_areas(limits: ThreadLimits, pitch_mm: float, engaged_mm: float) -> StripAreas:
    """Return the shear areas along a length of engagement, lengths in mm.

    As = pi n Le Kn_max (1/(2n) + 0.57735 (Es_min - Kn_max)), An = pi n Le Ds_min (1/(2n) + 0.57735 (Ds_min - En_max)),
    n being one over the pitch. For symmetric 60 degree threads that are engaged all round (FED-STD-H28/2B;
    Machinery's Handbook).
    """
    turns = engaged_mm / pitch_mm
    rod = pitch_mm / 2 + _TAN_30 * (limits.es_min_mm - limits.kn_max_mm)
    nut = pitch_mm / 2 + _TAN_30 * (limits.ds_min_mm - limits.en_max_mm)
    return StripAreas(math.pi * turns * limits.kn_max_mm * rod, math.pi * turns * limits.ds_min_mm * nut)


def least_engagement_mm(thread: Thread, strength_ratio: float = 1.0) -> float | None:
    """Return the engagement at which a new rod breaks before its thread strips; None for trapezoidal threads.

    Le = 2 At / (pi Kn_max (1/2 + 0.57735 n (Es_min - Kn_max))), lengthened by J = As S_rod / (An S_nut) where J is
    over 1; `strength_ratio` is the rod's tensile strength over the body's (FED-STD-H28/2B; Machinery's Handbook). New,
    clean threads only: worn ones need more, so 1.0 d and 1.5 d stay the working lines.
    """
    limits = thread_limits(thread)
    if limits is None:
        return None
    pitch_mm = float(thread.pitch_mm)
    share = 0.5 + _TAN_30 * (limits.es_min_mm - limits.kn_max_mm) / pitch_mm
    least_mm = 2 * stress_area_mm2(thread) / (math.pi * limits.kn_max_mm * share)
    areas = strip_areas(limits, pitch_mm, least_mm)
    return least_mm * max(1.0, areas.rod_mm2 * strength_ratio / areas.nut_mm2)


def strip_force_n(d_mm: float, engaged_mm: float, yield_mpa: float) -> float:
    """Return about what strips a thread, in N: 0.577 Sy over half the cylinder pi d e.

    A rough figure for round trade use, shear yield by the distortion-energy rule (0.577); it needs e of at least two
    pitches, and knows nothing of wear or of a nut that widens.
    """
    return 0.577 * yield_mpa * 0.5 * math.pi * d_mm * engaged_mm


def rod_force_n(thread: Thread, tensile_mpa: float) -> float:
    """Return what breaks the rod in plain tension, in N: stress area times tensile strength."""
    return stress_area_mm2(thread) * tensile_mpa
