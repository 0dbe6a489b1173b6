"""What a cylinder on offer does on this tractor: pull and push, holding, speed, oil, buckling, hoses, remotes.

Every number of it is asked for by its id, so a point says what the page of that number opens.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from fieldlog.errors import MeasureError
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import Value
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import CheckValve
from fieldlog.retrofit.carried import Measure
from fieldlog.retrofit.offers.cylinder import HOSE_GOOD_M_PER_S, SAFETY, Cylinder, column
from fieldlog.retrofit.offers.sense import Check, Level, Topic, worst_first

QUICK_S = 4.0  # a stroke faster than this is too quick to set a blade by; 4 to 7 s are wanted: common practice
SUN_DEGC = 25.0  # what a parked cylinder warms by in the sun: common practice
_NO_SIZES: Mapping[str, Measure] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Demand:
    """What the link must hold in kN: most tension and most compression, the most of it only carried, and whence.

    What is carried bounces on the road; what the ground pushes does not. `sizes` are the three with their doubt.
    """

    tension_kn: float
    compression_kn: float
    carried_kn: float
    origin: Said | str
    sizes: Mapping[str, Measure] = field(default_factory=lambda: _NO_SIZES)

    @property
    def reverses(self) -> bool:
        """True when it is pulled at one time and pushed at another."""
        return self.tension_kn > 0 and self.compression_kn > 0


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What of an offer and a tractor is no number: the check valve, the place, the remotes, what must be held."""

    check_valve: CheckValve | None
    position: LinkPosition
    remotes: int | None
    demand: Demand | None


def known(numbers: Numbers, number_id: str) -> Value | None:
    """Return a number where it has a value; an id that nobody declared is a mistake."""
    found = numbers[number_id]
    return found if isinstance(found, Value) else None


def work_points(numbers: Numbers, there: Circumstances) -> tuple[Check, ...]:
    """Return every point about force and oil, what matters most first.

    Without bore, rod or stroke there is one point that asks for them.
    """
    missing = tuple(key for key in ("bore", "rod") if known(numbers, key) is None)
    if missing:
        return (Check(Topic.FORCE, Level.ASK, said("oil.sizes_not_stated", missing=missing)),)
    if known(numbers, "stroke") is None:
        return (Check(Topic.FORCE, Level.ASK, said("oil.stroke_not_stated")),)
    bore_mm, rod_mm, stroke_mm = (numbers.value(key).value for key in ("bore", "rod", "stroke"))
    try:
        cylinder = Cylinder(bore_mm, rod_mm, stroke_mm)
    except MeasureError:
        wrong = said("oil.no_cylinder", bore_mm=bore_mm, rod_mm=rod_mm, stroke_mm=stroke_mm)
        return (Check(Topic.FORCE, Level.UNCLEAR, wrong),)
    points = [
        *_pressure_points(numbers, cylinder),
        *_force_points(numbers, there.demand),
        *_holding(numbers, there),
        *_buckling(numbers, cylinder, there.demand),
        *_oil_points(numbers),
        *_plumbing(numbers, there),
    ]
    return worst_first(points)


def _pressure_points(numbers: Numbers, cylinder: Cylinder) -> Iterator[Check]:
    relief, rated = known(numbers, "relief"), known(numbers, "rated")
    if relief is None:
        yield Check(Topic.RELIEF_PRESSURE, Level.ASK, said("oil.relief_not_known"))
    elif rated is not None and rated.value < relief.value:
        under = said("oil.rated_under_relief", rated=rated, relief=relief)
        yield Check(Topic.RATED_PRESSURE, Level.NO, under, said("oil.why_never_above_rating"))
    raised = known(numbers, "raised_pressure")
    if raised is None or raised.value <= 0:
        return
    why = said("oil.why_raised", area_ratio=cylinder.area_ratio)
    if rated is not None and raised.value > rated.value:
        over = said("oil.raised_over_rated", raised=raised, rated=rated)
        yield Check(Topic.RAISED_PRESSURE, Level.LIMIT, over, why)
    else:
        yield Check(Topic.RAISED_PRESSURE, Level.NOTE, said("oil.raised", raised=raised), why)


def _whose(numbers: Numbers) -> str:
    """Return whose pressure it works at: the relief, or the rated one where that is not over it or is alone."""
    relief, rated = known(numbers, "relief"), known(numbers, "rated")
    return "rated" if rated is not None and (relief is None or rated.value <= relief.value) else "relief"


def _force_points(numbers: Numbers, demand: Demand | None) -> Iterator[Check]:
    working = known(numbers, "working")
    if working is None:
        yield Check(Topic.FORCE, Level.ASK, said("oil.no_pressure_known"))
        return
    does = said(
        "oil.force", whose=_whose(numbers), working=working, pull=numbers.value("pull"), push=numbers.value("push")
    )
    if demand is None:
        asked = said("oil.force_without_demand", does=does)
        yield Check(Topic.FORCE, Level.ASK, asked, said("oil.why_demand_not_known"))
        return
    level, remark = _level(numbers)
    tension, compression, carried = (numbers.value(key) for key in ("tension", "compression", "carried"))
    asks = said("oil.asks", tension=tension, compression=compression, origin=demand.origin)
    standing, bouncing = numbers.value("pressure_to_hold"), numbers.value("pressure_bouncing")
    takes = said("oil.takes", standing=standing, carried=carried, bouncing=bouncing)
    held = said("oil.must_hold", does=does, asks=asks, takes=takes, remark=remark)
    yield Check(Topic.FORCE, level, held, said("oil.why_ring_counts"))


def _level(numbers: Numbers) -> tuple[Level, Said | None]:
    """Return the level from what is to spare, standing and bouncing, and a remark where that is within the doubt."""
    spare, bounce = numbers.value("spare"), numbers.value("spare_bouncing")
    if spare.value < -spare.plus_minus:
        return Level.NO, said("oil.too_weak", over=-spare, whose=_whose(numbers))
    if spare.value < spare.plus_minus:
        return Level.LIMIT, said("oil.standing_in_doubt")
    if bounce.value < 0:
        return Level.LIMIT, None
    if bounce.value < bounce.plus_minus:
        return Level.NOTE, said("oil.bouncing_in_doubt")
    return Level.GOOD, None


def _holding(numbers: Numbers, there: Circumstances) -> Iterator[Check]:
    pilot = said("oil.pilot_ratio", ratio=numbers.value("pilot_ratio"))
    creep = said("oil.creep", cap=numbers.value("creep_cap"), ring=numbers.value("creep_rod"))
    if there.demand is not None and there.demand.reverses and there.check_valve != "double":
        both, part = said("oil.pilot_and_creep", pilot=pilot, creep=creep), said("oil.part_double_valve")
        yield Check(Topic.HOLDING, Level.WORK, said("oil.load_reverses"), both, part=part)
    else:
        yield Check(Topic.HOLDING, Level.NOTE, pilot, creep)
    warmed = said("oil.warmed", warming_degc=SUN_DEGC, rise=numbers.value("warmed_oil"))
    yield Check(Topic.WARMED_OIL, Level.NOTE, warmed, said("oil.why_warmed"))


def _buckling(numbers: Numbers, cylinder: Cylinder, demand: Demand | None) -> Iterator[Check]:
    open_ = known(numbers, "open")
    if open_ is None:
        yield Check(Topic.BUCKLING, Level.ASK, said("oil.open_not_known"))
        return
    bends_at, safety = numbers.value("bends_at"), known(numbers, "safety_bending")
    level = Level.NOTE if safety is not None and safety.value < SAFETY else Level.GOOD
    pushed = numbers.value("compression") if demand is not None else None
    if pushed is not None and not (pushed.value > 0 and bends_at.value / pushed.value < SAFETY):
        pushed = None
    bends = said(
        "oil.bends",
        bends_at=bends_at,
        is_euler=column(cylinder.rod_mm, open_.value).is_euler,
        push=known(numbers, "push"),
        safety=safety,
        pushed=pushed,
    )
    yield Check(Topic.BUCKLING, Level.NO if pushed is not None else level, bends, said("oil.why_bends"))


def _oil_points(numbers: Numbers) -> Iterator[Check]:
    """Return the oil a stroke takes, how long it takes, and the restrictor that slows it."""
    oil = said("oil.oil", out=numbers.value("oil_out"), back=numbers.value("oil_in"), more=numbers.value("oil_more"))
    out, back = known(numbers, "seconds_out"), known(numbers, "seconds_in")
    if out is None or back is None:
        yield Check(Topic.SPEED, Level.ASK, said("oil.flow_not_known", oil=oil))
        return
    times = said("oil.times", oil=oil, out=out, back=back)
    if min(out.value, back.value) >= QUICK_S:
        yield Check(Topic.SPEED, Level.GOOD, times)
        return
    slow = said("oil.why_slow_it", flow=numbers.value("slow_flow"), restrictor=known(numbers, "restrictor"))
    yield Check(Topic.SPEED, Level.NOTE, times, slow)


def _plumbing(numbers: Numbers, there: Circumstances) -> Iterator[Check]:
    speed, hose = known(numbers, "hose_speed"), known(numbers, "hose")
    if speed is not None and hose is not None:
        level = Level.GOOD if speed.value <= HOSE_GOOD_M_PER_S else Level.NOTE
        yield Check(Topic.HOSE, level, said("oil.hose", hose=hose, speed=speed), said("oil.why_hose"))
    takes = said("oil.takes_a_remote", position=there.position)
    if there.remotes is None:
        yield Check(Topic.REMOTES, Level.NOTE, said("oil.remotes_not_known", takes=takes))
    elif there.remotes < 1:
        part = said("oil.part_remote")
        yield Check(Topic.REMOTES, Level.WORK, said("oil.no_remote", takes=takes), part=part)
    else:
        level = Level.GOOD if there.remotes > 1 else Level.NOTE
        yield Check(Topic.REMOTES, level, said("oil.remotes", takes=takes, remotes=there.remotes))
