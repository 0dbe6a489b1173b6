"""How much thread is in at each end of a screw link, and how far it may be opened.

Engagement is the thread length of the rod less what stands out of the body. Lines in use: 1.0 d the floor, 1.5 d the
target, handbook practice for steel in steel; worn, dirty, trapezoidal or cast threads stay at 1.5 d (common practice).

What holds a thread: strip areas, the least engagement by the published formula, forces in round figures.

The strip formula is for information. It holds for new threads at their limits; 1.0 d and 1.5 d are the lines.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fieldlog.measure.instruments import UNKNOWN_TAPE, limit_term, mean, typing_half_width_mm
from fieldlog.measure.lengths import Screwing
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.source import limit, step
from fieldlog.quantity.value import Value, total
from fieldlog.records.entries import LinkState, ThreadReading
from fieldlog.records.machine import ENDS, Instrument, LinkEnd, Thread
from fieldlog.standards.threads import ThreadLimits, stress_area_mm2, thread_limits

FLOOR_D = 1.0  # thread diameters that must be in at each end: handbook practice, like steels of good strength
TARGET_D = 1.5  # thread diameters wanted at each end: rule of thumb for steel in steel
RUN_OUT_MM = 1.0  # half-width of where a thread begins and ends, by eye: common practice, no source
_STATES: tuple[LinkState, ...] = ("open", "as set", "closed")


@dataclass(frozen=True, slots=True)
class Engaged:
    """The thread that is in at one end; `by_state` holds every state for which it is known."""

    end: LinkEnd
    measured_in: LinkState
    by_state: Mapping[LinkState, Value]

    def at(self, state: LinkState) -> Value | None:
        """Return the engagement in a state, None when it is not known."""
        return self.by_state.get(state)


def exposed_length(readings: Sequence[ThreadReading], instruments: Mapping[str, Instrument]) -> Value:
    """Return the thread standing out, from the readings at one end in one state."""
    used = [instruments.get(reading.instrument, UNKNOWN_TAPE) for reading in readings]
    value = mean([float(reading.exposed.mm) for reading in readings])
    first = readings[0]
    whose = f"{first.round or first.day.isoformat()}/{first.link}/{first.end} end/{first.state}"
    of_tape = max((limit_term(tape, "length", value, whose) for tape in used), key=lambda term: term.u)
    half = max(typing_half_width_mm(r.exposed, tape) for r, tape in zip(readings, used, strict=True))
    setups = math.sqrt(len(readings))
    begins, why = f"{whose}/thread begins", _practice(RUN_OUT_MM)
    terms = (
        of_tape.called(f"{of_tape.source.label}, thread out"),
        limit(begins, RUN_OUT_MM / setups, "setting", label="where the thread begins", why=why),
        step(f"{whose}/step", half / setups, label="step of the typing, thread out", why=f"± {half:.3g} mm"),
    )
    return Value(value, "mm", terms)


def thread_length(typed: Length, whose: str) -> Value:
    """Return the thread length of a rod as typed, with the doubt of its run-out; `whose` is the id of the rod's end."""
    half, practice = float(typed.half_width_mm), _practice(RUN_OUT_MM)
    terms = (
        limit(f"{whose}/run-out", RUN_OUT_MM, "setting", label="run-out of the thread", why=practice),
        limit(f"{whose}/typing", half, "typing", label="step of the typing, thread length", why=f"± {half:.3g} mm"),
    )
    return Value(float(typed.mm), "mm", terms)


def _practice(half_mm: float) -> str:
    return f"± {half_mm:g} mm, common practice"


def share_at(screw: Screwing, end: LinkEnd) -> float:
    """Return the share of the travel that happens at one end."""
    return screw.near_share if end == "near" else screw.far_share


def engaged_at(
    end: LinkEnd,
    length: Value,
    exposed: Mapping[LinkState, Value],
    lengths: Mapping[LinkState, Value],
    screw: Screwing,
) -> Engaged | None:
    """Return the thread that is in at one end, in every state that can be told; None without a reading of it.

    e = thread length - exposed thread; from one state to another e falls by this end's share of what the link grows:
    half with left and right hand threads, all of it with one.
    """
    seen = {state: length - exposed[state] for state in _STATES if state in exposed}
    if not seen:
        return None
    measured_in = next(iter(seen))
    found = dict(seen)
    for state in _STATES:
        if state not in found and state in lengths and measured_in in lengths:
            growth = lengths[state] - lengths[measured_in]
            found[state] = total((seen[measured_in], 1.0), (growth, -share_at(screw, end)))
    return Engaged(end, measured_in, found)


def longest_open(engaged: Engaged, lengths: Mapping[LinkState, Value], screw: Screwing, least_mm: float) -> Value:
    """Return the length at which exactly `least_mm` of thread is in at one end.

    L = L_measured + (e_measured - e_least) / share: twice the engagement to spare with left and right hand threads,
    once with one. `lengths` must hold the state the engagement was measured in.
    """
    share = share_at(screw, engaged.end)
    spare = engaged.by_state[engaged.measured_in] - least_mm
    return lengths[engaged.measured_in] + spare / share


def weak_end(both: Sequence[Engaged], state: LinkState) -> tuple[Engaged, Value] | None:
    """Return the end with less thread in, and how much less, when that is beyond doubt; None when they are equal."""
    known = [(one, size) for one in both if (size := one.at(state)) is not None]
    if len(known) < len(ENDS):
        return None
    (weak, less), (_, more) = sorted(known, key=lambda pair: pair[1].value)
    gap = more - less
    return (weak, gap) if gap.value > gap.plus_minus else None


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
