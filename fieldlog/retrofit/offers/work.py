"""The oil that a cylinder takes: litres, seconds a stroke, and the restrictor that makes it slow enough.

What a cylinder on offer does on this tractor: pull and push, holding, speed, oil, buckling, hoses, remotes.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from fieldlog.errors import MeasureError
from fieldlog.quantity.rounding import plus_minus_text
from fieldlog.quantity.units import also_shown_in
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import CheckValve
from fieldlog.retrofit.carried import Measure
from fieldlog.retrofit.offers.cylinder import (
    BAR_PER_MPA,
    DROP_SHARE,
    HOSE_GOOD_M_PER_S,
    HOSE_MOST_M_PER_S,
    SAFETY,
    SHOCK,
    SLOW_S,
    Cylinder,
    column,
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
from fieldlog.retrofit.offers.sense import Check, Level, worst_first

QUICK_S = 4.0  # a stroke faster than this is too quick to set a blade by; 4 to 7 s are wanted: common practice


def of(doubts: Mapping[str, float], word: str) -> float:
    """Return a doubt by its word, 0 where there is none."""
    return doubts.get(word, 0.0)


def said(value: float, doubt: float, places: int) -> str:
    """Return a value with its doubt, to so many places at the finest."""
    return plus_minus_text(value, doubt, places) if doubt > 0 else f"{value:.{places}f}"


def oil_points(
    cylinder: Cylinder, flow_l_per_min: float | None, relief_mpa: float | None, doubts: Mapping[str, float]
) -> Iterator[Check]:
    """Return the oil a stroke takes, how long it takes, and the restrictor that slows it."""
    oil = (
        f"Oil: {said(cylinder.extend_litres, of(doubts, 'oil out'), 3)} L out, "
        f"{said(cylinder.retract_litres, of(doubts, 'oil in'), 3)} L in; "
        f"the tank takes {said(cylinder.rod_litres, of(doubts, 'oil more'), 3)} L more when it is in."
    )
    if flow_l_per_min is None:
        yield Check("speed", Level.ASK, f"{oil} The pump's flow is not written down: p on this page.")
        return
    out, back = (stroke_seconds(litres, flow_l_per_min) for litres in (cylinder.extend_litres, cylinder.retract_litres))
    times = f"{said(out, of(doubts, 'seconds out'), 1)} s out and {said(back, of(doubts, 'seconds in'), 1)} s in"
    text = f"{oil} At full flow {times}."
    if min(out, back) >= QUICK_S:
        yield Check("speed", Level.GOOD, text)
        return
    flow = flow_for_seconds(cylinder.extend_litres, SLOW_S)
    size = f"to {flow:.1f} L/min"
    if relief_mpa is not None:
        hole_mm = orifice_mm(flow, relief_mpa * DROP_SHARE)
        size += f": a sharp-edged restrictor of about {said(hole_mm, of(doubts, 'restrictor'), 2)} mm in each port"
    why = "Too quick to set a blade by; slow it " + size + ". Meter out holds a load that pulls, meter in does not."
    yield Check("speed", Level.NOTE, text, why)


NO_DOUBTS: Mapping[str, float] = MappingProxyType({})
SUN_DEGC = 25.0  # what a parked cylinder warms by in the sun: common practice
HOSE_BURST = 4  # hose burst over working pressure, SAE J517/J343, from memory
FORCE = "force"
_COUPLERS = 2


@dataclass(frozen=True, slots=True)
class Demand:
    """What the link must hold in kN: most tension and most compression, the most of it only carried, and whence.

    What is carried bounces on the road; what the ground pushes does not. `sizes` are the three with their doubt.
    """

    tension_kn: float
    compression_kn: float
    carried_kn: float
    origin: str
    sizes: Mapping[str, Measure] = field(default_factory=dict)

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
    offer: OfferedCylinder,
    supply: Supply,
    demand: Demand | None,
    position: LinkPosition,
    doubts: Mapping[str, float] = NO_DOUBTS,
) -> tuple[Check, ...]:
    """Return every point about force and oil, what matters most first.

    Without bore, rod or stroke there is one point that asks for them. `doubts` are 95 % half-widths by the words of
    `work_answers`; what is not in it is said without a doubt.
    """
    missing = [word for word, mm in (("bore", offer.bore_mm), ("rod", offer.rod_mm)) if mm is None]
    if offer.bore_mm is None or offer.rod_mm is None:
        return (Check(FORCE, Level.ASK, f"Not stated: {', '.join(missing)}. Force needs bore and rod; ask."),)
    if offer.stroke_mm is None:
        return (Check(FORCE, Level.ASK, "The stroke is not stated: oil and time need it; ask."),)
    try:
        cylinder = Cylinder(offer.bore_mm, offer.rod_mm, offer.stroke_mm)
    except MeasureError as error:
        return (Check(FORCE, Level.UNCLEAR, str(error)),)
    points = [
        *_pressure_points(offer, supply, cylinder, doubts),
        *_force_points(cylinder, _working_mpa(offer, supply), demand, doubts),
        *_holding(offer, cylinder, demand, doubts),
        *_buckling(offer, cylinder, (_working_mpa(offer, supply), demand), doubts),
        *oil_points(cylinder, supply.flow_l_per_min, supply.relief_mpa, doubts),
        *_plumbing(supply, position, doubts),
    ]
    return worst_first(points)


def _working_mpa(offer: OfferedCylinder, supply: Supply) -> tuple[float, str] | None:
    """Return the pressure it works at and whose it is: the relief, or the rated one where that is lower or alone."""
    known = [
        (mpa, word) for mpa, word in ((supply.relief_mpa, "relief"), (offer.rated_mpa, "rated")) if mpa is not None
    ]
    return min(known) if known else None


def bar(mpa: float, doubt_bar: float = 0.0) -> str:
    """Return a pressure in bar and psi, with its doubt where there is one."""
    return _both(mpa * BAR_PER_MPA, doubt_bar, "bar", 0)


def kn(force: float, doubt: float = 0.0) -> str:
    """Return a force in kN and lbf, with its doubt where there is one."""
    return _both(force, doubt, "kN", 1)


def _both(value: float, doubt: float, unit: str, places: int) -> str:
    """Return a value and its doubt in its unit, to so many places at the finest, and in the whole of the other one."""
    first, other = f"{said(value, doubt, places)} {unit}", also_shown_in(unit)
    if other is None:
        return first
    return f"{first} ({said(value * other[1], doubt * other[1], 0)} {other[0]})"


def _pressure_points(
    offer: OfferedCylinder, supply: Supply, cylinder: Cylinder, doubts: Mapping[str, float]
) -> Iterator[Check]:
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
    raised_to = bar(raised, of(doubts, "raised pressure"))
    text = f"With the rod side shut, full pressure on the cap side raises it to {raised_to}."
    why = f"Area ratio {cylinder.area_ratio:.2f}. Ports and hoses must stand it; a hose bursts at {HOSE_BURST} times."
    is_over = offer.rated_mpa is not None and raised > offer.rated_mpa
    over = (
        f" Over its rated {bar(offer.rated_mpa)}: no restrictor on the rod side alone."
        if is_over and offer.rated_mpa
        else ""
    )
    yield Check("raised pressure", Level.LIMIT if is_over else Level.NOTE, text + over, why)


def _force_points(
    cylinder: Cylinder, working: tuple[float, str] | None, demand: Demand | None, doubts: Mapping[str, float]
) -> Iterator[Check]:
    if working is None:
        yield Check(FORCE, Level.ASK, "Neither relief nor rated pressure is known: no force can be told.")
        return
    mpa, whose = working
    pull, push = pull_kn(cylinder, mpa), push_kn(cylinder, mpa)
    forces = f"pulls {kn(pull, of(doubts, 'pull'))} and pushes {kn(push, of(doubts, 'push'))}"
    text = f"At its {whose} {bar(mpa)} it {forces}."
    if demand is None:
        why = "What the link must hold is not known: write the implement's weight and centre on the hitch's page."
        yield Check(FORCE, Level.ASK, text, why)
        return
    need = pressure_to_hold_mpa(cylinder, demand.tension_kn)
    need = max(need, pressure_to_hold_mpa(cylinder, -demand.compression_kn))
    worst = max(need, pressure_to_hold_mpa(cylinder, demand.worst_tension_kn))
    asks = _asks(demand, (need, worst), doubts)
    level, within = _level((mpa - need, of(doubts, "to spare")), (mpa - worst, of(doubts, "to spare, bouncing")))
    within = f" Too weak: that is {bar(need - mpa)} over its {whose} pressure." if level is Level.NO else within
    why = "A top link mostly pulls: the ring around the rod counts, not the bore."
    yield Check(FORCE, level, f"{text} {asks}{within}", why)


def _asks(demand: Demand, pressures: tuple[float, float], doubts: Mapping[str, float]) -> str:
    """Return what the cylinder must hold, and the pressures that takes, standing and bouncing."""
    sizes = {key: size.figure.expanded for key, size in demand.sizes.items()}
    asks = f"It must hold {kn(demand.tension_kn, of(sizes, 'tension'))} pulled"
    if demand.compression_kn > 0:
        asks += f" and {kn(demand.compression_kn, of(sizes, 'compression'))} pushed"
    asks += f", {demand.origin}: {bar(pressures[0], of(doubts, 'pressure to hold'))}; "
    carried = kn(demand.carried_kn, of(sizes, "carried"))
    return (
        f"{asks}with {carried} carried and bouncing {SHOCK:.0f} times "
        f"{bar(pressures[1], of(doubts, 'pressure, bouncing'))}."
    )


def _level(standing: tuple[float, float], bouncing: tuple[float, float]) -> tuple[Level, str]:
    """Return the level from what is to spare in MPa and its doubt in bar, and a word where that is within the doubt."""
    spare, doubt = standing[0] * BAR_PER_MPA, standing[1]
    bounce, bounce_doubt = bouncing[0] * BAR_PER_MPA, bouncing[1]
    if spare < -doubt:
        return Level.NO, ""
    if spare < doubt:
        return Level.LIMIT, " Whether it holds that standing still is within the doubt."
    if bounce < 0:
        return Level.LIMIT, ""
    if bounce < bounce_doubt:
        return Level.NOTE, " Bouncing, that is within the doubt."
    return Level.GOOD, ""


def _holding(
    offer: OfferedCylinder, cylinder: Cylinder, demand: Demand | None, doubts: Mapping[str, float]
) -> Iterator[Check]:
    ratio = f"Pilot ratio on the rod side {pilot_ratio_needed(cylinder):.1f} to 1 or more."
    cap_mm, ring_mm = drift_mm_per_ml(cylinder)
    drift = f"One millilitre that leaks lets it creep {cap_mm:.2f} mm (cap side) or {ring_mm:.2f} mm (rod side)."
    if demand is not None and demand.reverses and offer.check_valve != "double":
        text = "The load reverses: a double pilot-operated check at the cylinder is needed, not only wanted."
        yield Check("holding", Level.WORK, text, f"{ratio} {drift}", part="double pilot-operated check valve")
    else:
        yield Check("holding", Level.NOTE, ratio, drift)
    warm = locked_rise_mpa(SUN_DEGC)
    risen = bar(warm, of(doubts, "warmed oil"))
    text = f"Oil locked in both ways and warmed by {SUN_DEGC:.0f} degC may rise by {risen} at the worst."
    why = "Do not park it tight between two stops; take the load off and open the ends slowly."
    yield Check("warmed oil", Level.NOTE, text, why)


def _buckling(
    offer: OfferedCylinder,
    cylinder: Cylinder,
    asked: tuple[tuple[float, str] | None, Demand | None],
    doubts: Mapping[str, float],
) -> Iterator[Check]:
    if offer.open_mm is None:
        yield Check("buckling", Level.ASK, "The open length is not known, so neither is whether the rod buckles.")
        return
    found = column(cylinder.rod_mm, offer.open_mm)
    kind = "by Euler" if found.is_euler else "by Johnson's parabola, it is too stubby for Euler"
    bends = kn(found.critical_kn, of(doubts, "bends at"))
    text = f"Pushing fully open the rod bends at {bends} ({kind}, pinned ends)."
    working, demand = asked
    most = push_kn(cylinder, working[0]) if working is not None else None
    level = Level.GOOD
    if most is not None:
        safety = said(found.safety_at(most), of(doubts, "safety, bending"), 1)
        text += f" Full push {kn(most, of(doubts, 'push'))}: safety {safety}, {SAFETY:g} is wanted."
        level = Level.GOOD if found.safety_at(most) >= SAFETY else Level.NOTE
    if demand is not None and found.safety_at(demand.compression_kn) < SAFETY:
        level = Level.NO
        pushed = kn(demand.compression_kn, of({k: m.figure.expanded for k, m in demand.sizes.items()}, "compression"))
        text += f" With the {pushed} that it must hold pushed, only {found.safety_at(demand.compression_kn):.1f}."
    why = "The whole open length reckoned as rod, on the safe side. Push is rarely needed of a top link."
    yield Check("buckling", level, text, why)


def _plumbing(supply: Supply, position: LinkPosition, doubts: Mapping[str, float]) -> Iterator[Check]:
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
        runs = said(speed, of(doubts, "oil in the hose"), 1)
        text = f"In a hose of {supply.hose_mm:.1f} mm inside the oil runs {runs} m/s: {word}."
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
