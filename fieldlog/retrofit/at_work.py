"""What a cylinder on offer does on this tractor: pull and push, holding, speed, oil, buckling, hoses, remotes.

Every point says what it rests on. Nothing is worked out from a figure that is missing; the point asks for it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import CheckValve
from fieldlog.retrofit.checks import Check, Level, worst_first
from fieldlog.retrofit.column import SAFETY, column
from fieldlog.retrofit.cylinder import (
    BAR_PER_MPA,
    HOSE_GOOD_M_PER_S,
    HOSE_MOST_M_PER_S,
    Cylinder,
    drift_mm_per_ml,
    flow_for_seconds,
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

SHOCK = 3.0  # standing load times this when it bounces on the road, two to three: common practice, no source
QUICK_S = 4.0  # a stroke faster than this is too quick to set a blade by; 4 to 7 s are wanted: common practice
SLOW_S = 5.0
DROP_SHARE = 0.87  # of the relief pressure that a restrictor takes at speed: 15 MPa of 17.2, common practice
SUN_DEGC = 25.0  # what a parked cylinder warms by in the sun: common practice
HOSE_BURST = 4  # hose burst over working pressure, SAE J517/J343, from memory
_COUPLERS = 2


@dataclass(frozen=True, slots=True)
class Demand:
    """What the link must hold in kN: most tension and most compression, the most of it only carried, and whence.

    What is carried bounces on the road; what the ground pushes does not.
    """

    tension_kn: float
    compression_kn: float
    carried_kn: float
    origin: str

    @property
    def worst_tension_kn(self) -> float:
        """Tension with the carried load bouncing."""
        return max(self.tension_kn, self.carried_kn * SHOCK)

    @property
    def reverses(self) -> bool:
        """True when it is pulled at one time and pushed at another."""
        return self.tension_kn > 0 and self.compression_kn > 0


@dataclass(frozen=True, slots=True)
class Supply:
    """What the tractor gives, as far as it is written down: MPa, L/min, count of remotes, mm."""

    relief_mpa: float | None = None
    flow_l_per_min: float | None = None
    remotes: int | None = None
    hose_mm: float | None = None


@dataclass(frozen=True, slots=True)
class OfferedCylinder:
    """The offer's figures that force and oil are worked out from, in mm and MPa; None where they are not stated."""

    bore_mm: float | None
    rod_mm: float | None
    stroke_mm: float | None
    open_mm: float | None
    rated_mpa: float | None
    check_valve: CheckValve | None


def work_points(
    offer: OfferedCylinder, supply: Supply, demand: Demand | None, position: LinkPosition
) -> tuple[Check, ...]:
    """Return every point about force and oil, what matters most first.

    Without bore, rod or stroke there is one point that asks for them.
    """
    missing = [word for word, mm in (("bore", offer.bore_mm), ("rod", offer.rod_mm)) if mm is None]
    if offer.bore_mm is None or offer.rod_mm is None:
        return (Check("force", Level.ASK, f"Not stated: {', '.join(missing)}. Force needs bore and rod; ask."),)
    if offer.stroke_mm is None:
        return (Check("force", Level.ASK, "The stroke is not stated: oil and time need it; ask."),)
    try:
        cylinder = Cylinder(offer.bore_mm, offer.rod_mm, offer.stroke_mm)
    except MeasureError as error:
        return (Check("force", Level.UNCLEAR, str(error)),)
    points = [
        *_pressure_points(offer, supply, cylinder),
        *_force_points(cylinder, _working_mpa(offer, supply), demand),
        *_holding(offer, cylinder, demand),
        *_buckling(offer, cylinder, supply, demand),
        *_speed(cylinder, supply),
        *_plumbing(cylinder, supply, position),
    ]
    return worst_first(points)


def _working_mpa(offer: OfferedCylinder, supply: Supply) -> tuple[float, str] | None:
    """Return the pressure it works at and whose it is: the relief, or the rated one where that is lower or alone."""
    known = [
        (mpa, word) for mpa, word in ((supply.relief_mpa, "relief"), (offer.rated_mpa, "rated")) if mpa is not None
    ]
    return min(known) if known else None


def bar(mpa: float) -> str:
    """Return a pressure in bar and psi."""
    return f"{mpa * BAR_PER_MPA:.0f} bar ({mpa * 145.0377:.0f} psi)"


def kn(force: float) -> str:
    """Return a force in kN and lbf."""
    return f"{force:.1f} kN ({force * 224.809:.0f} lbf)"


def _pressure_points(offer: OfferedCylinder, supply: Supply, cylinder: Cylinder) -> Iterator[Check]:
    if supply.relief_mpa is None:
        text = "The tractor's relief pressure is not written down: p on this page; until then the rated one is used."
        yield Check("relief pressure", Level.ASK, text)
    elif offer.rated_mpa is not None and offer.rated_mpa < supply.relief_mpa:
        text = (
            f"Rated {bar(offer.rated_mpa)}, under the tractor's relief {bar(supply.relief_mpa)}: it can be overloaded."
        )
        yield Check("rated pressure", Level.NO, text, "Never above a cylinder's rating.")
    raised = intensified_mpa(cylinder, supply.relief_mpa or offer.rated_mpa or 0.0)
    if raised <= 0:
        return
    text = f"With the rod side shut, full pressure on the cap side raises it to {bar(raised)}."
    why = f"Area ratio {cylinder.area_ratio:.2f}. Ports and hoses must stand it; a hose bursts at {HOSE_BURST} times."
    is_over = offer.rated_mpa is not None and raised > offer.rated_mpa
    over = (
        f" Over its rated {bar(offer.rated_mpa)}: no restrictor on the rod side alone."
        if is_over and offer.rated_mpa
        else ""
    )
    yield Check("raised pressure", Level.LIMIT if is_over else Level.NOTE, text + over, why)


def _force_points(cylinder: Cylinder, working: tuple[float, str] | None, demand: Demand | None) -> Iterator[Check]:
    if working is None:
        yield Check("force", Level.ASK, "Neither relief nor rated pressure is known: no force can be told.")
        return
    mpa, whose = working
    pull, push = pull_kn(cylinder, mpa), push_kn(cylinder, mpa)
    text = f"At its {whose} {bar(mpa)} it pulls {kn(pull)} and pushes {kn(push)}."
    if demand is None:
        why = "What the link must hold is not known: write the implement's weight and centre on the hitch's page."
        yield Check("force", Level.ASK, text, why)
        return
    need = pressure_to_hold_mpa(cylinder, demand.tension_kn)
    need = max(need, pressure_to_hold_mpa(cylinder, -demand.compression_kn))
    worst = max(need, pressure_to_hold_mpa(cylinder, demand.worst_tension_kn))
    asks = f"It must hold {kn(demand.tension_kn)} pulled"
    asks += f" and {kn(demand.compression_kn)} pushed" if demand.compression_kn > 0 else ""
    asks += f", {demand.origin}: {bar(need)}; "
    asks += f"with {kn(demand.carried_kn)} carried and bouncing {SHOCK:.0f} times {bar(worst)}."
    level = Level.GOOD if worst <= mpa else Level.LIMIT if need <= mpa else Level.NO
    yield Check(
        "force", level, f"{text} {asks}", "A top link mostly pulls: the ring around the rod counts, not the bore."
    )


def _holding(offer: OfferedCylinder, cylinder: Cylinder, demand: Demand | None) -> Iterator[Check]:
    ratio = f"Pilot ratio on the rod side {pilot_ratio_needed(cylinder):.1f} to 1 or more."
    cap_mm, ring_mm = drift_mm_per_ml(cylinder)
    drift = f"One millilitre that leaks lets it creep {cap_mm:.2f} mm (cap side) or {ring_mm:.2f} mm (rod side)."
    if demand is not None and demand.reverses and offer.check_valve != "double":
        text = "The load reverses: a double pilot-operated check at the cylinder is needed, not only wanted."
        yield Check("holding", Level.WORK, text, f"{ratio} {drift}", part="double pilot-operated check valve")
    else:
        yield Check("holding", Level.NOTE, ratio, drift)
    warm = locked_rise_mpa(SUN_DEGC)
    text = f"Oil locked in both ways and warmed by {SUN_DEGC:.0f} degC may rise by {bar(warm)} at the worst."
    why = "Do not park it tight between two stops; take the load off and open the ends slowly."
    yield Check("warmed oil", Level.NOTE, text, why)


def _buckling(offer: OfferedCylinder, cylinder: Cylinder, supply: Supply, demand: Demand | None) -> Iterator[Check]:
    if offer.open_mm is None:
        yield Check("buckling", Level.ASK, "The open length is not known, so neither is whether the rod buckles.")
        return
    found = column(cylinder.rod_mm, offer.open_mm)
    kind = "by Euler" if found.is_euler else "by Johnson's parabola, it is too stubby for Euler"
    text = f"Pushing fully open the rod bends at {kn(found.critical_kn)} ({kind}, pinned ends)."
    working = _working_mpa(offer, supply)
    most = push_kn(cylinder, working[0]) if working is not None else None
    level = Level.GOOD
    if most is not None:
        text += f" Full push {kn(most)}: safety {found.safety_at(most):.1f}, {SAFETY:g} is wanted."
        level = Level.GOOD if found.safety_at(most) >= SAFETY else Level.NOTE
    if demand is not None and found.safety_at(demand.compression_kn) < SAFETY:
        level = Level.LIMIT
        text += f" With what it must hold pushed, only {found.safety_at(demand.compression_kn):.1f}."
    why = "The whole open length reckoned as rod, on the safe side. Push is rarely needed of a top link."
    yield Check("buckling", level, text, why)


def _speed(cylinder: Cylinder, supply: Supply) -> Iterator[Check]:
    oil = (
        f"Oil: {cylinder.extend_litres:.3f} L out, {cylinder.retract_litres:.3f} L in; "
        f"the tank takes {cylinder.rod_litres:.3f} L more when it is in."
    )
    if supply.flow_l_per_min is None:
        yield Check("speed", Level.ASK, f"{oil} The pump's flow is not written down: p on this page.")
        return
    out, back = (
        stroke_seconds(litres, supply.flow_l_per_min) for litres in (cylinder.extend_litres, cylinder.retract_litres)
    )
    text = f"{oil} At full flow {out:.1f} s out and {back:.1f} s in."
    if min(out, back) >= QUICK_S:
        yield Check("speed", Level.GOOD, text)
        return
    flow = flow_for_seconds(cylinder.extend_litres, SLOW_S)
    size = f"to {flow:.1f} L/min"
    if supply.relief_mpa is not None:
        hole_mm = orifice_mm(flow, supply.relief_mpa * DROP_SHARE)
        size += f": a sharp-edged restrictor of about {hole_mm:.2f} mm in each port"
    why = "Too quick to set a blade by; slow it " + size + ". Meter out holds a load that pulls, meter in does not."
    yield Check("speed", Level.NOTE, text, why)


def _plumbing(cylinder: Cylinder, supply: Supply, position: LinkPosition) -> Iterator[Check]:
    if supply.flow_l_per_min is not None and supply.hose_mm is not None:
        speed = hose_m_per_s(supply.flow_l_per_min, supply.hose_mm)
        level = Level.GOOD if speed <= HOSE_GOOD_M_PER_S else Level.NOTE
        word = (
            "good"
            if speed <= HOSE_GOOD_M_PER_S
            else "high"
            if speed <= HOSE_MOST_M_PER_S
            else "only behind a restrictor"
        )
        text = f"In a hose of {supply.hose_mm:.1f} mm inside the oil runs {speed:.1f} m/s: {word}."
        yield Check("hose", level, text, "Pressure lines 4.6 to 6.1 m/s (15 to 20 ft/s).")
    other = "top link" if position == "lift rod" else "hydraulic lift rod"
    text = f"It takes one double-acting remote ({_COUPLERS} couplers); a {other} beside it takes another."
    if supply.remotes is None:
        yield Check("remotes", Level.NOTE, f"{text} How many the tractor has is not written down.")
    elif supply.remotes < 1:
        yield Check("remotes", Level.WORK, f"{text} The tractor has none.", part="a remote valve, or a diverter")
    else:
        yield Check(
            "remotes", Level.GOOD if supply.remotes > 1 else Level.NOTE, f"{text} The tractor has {supply.remotes}."
        )


def most_of(forces_kn: list[float]) -> tuple[float, float]:
    """Return the most tension and the most compression among forces, tension positive; neither below nothing."""
    finite = [force for force in forces_kn if math.isfinite(force)]
    return max([0.0, *finite]), max([0.0, *(-force for force in finite)])
