"""What a link must hold, from the implements that hang on this hitch, and how sure that is.

From an offer as it is reckoned with, and a tractor's hydraulics, to what force and oil are worked out from.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from fieldlog.quantity.estimate import figure_limit
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.page_number import Number
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import Offer
from fieldlog.retrofit.carried import (
    Answer,
    Carried,
    Measure,
    Opener,
    Values,
    carried,
    of_estimate,
    opened,
    usual_figure,
    values_of,
)
from fieldlog.retrofit.hitch.forces import stated
from fieldlog.retrofit.hitch.look import first_setting, heights_of
from fieldlog.retrofit.hitch.numbers import rods_answer, top_link_answer
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.hitch.setup import HitchSetup, figures_for
from fieldlog.retrofit.offers.cylinder import BAR_PER_MPA, DISCHARGE, DROP_SHARE, WORK_ANSWERS
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, Check, OfferFigure, figure_words
from fieldlog.retrofit.offers.work import SUN_DEGC, Demand, OfferedCylinder, Supply, work_points

_HEIGHTS = 5  # places between the lowest and the highest at which the force is worked out
_CARRIED, _PUSHES = 0.0, (0.0, -1.0, 1.0)


@dataclass(frozen=True, slots=True)
class ForceCase:
    """The force in a link with one implement at one height, tension positive; `way` is the ground's push, 0 none."""

    setup: HitchSetup
    height_mm: float
    way: float
    kn: float
    answer: Answer

    @property
    def name(self) -> str:
        """The implement's name."""
        item = self.setup.implement
        return (item.name or item.id) if item is not None else "the implement"

    def measure(self, word: str) -> Measure:
        """Return the force as a figure that rests on the hitch's figures and the implement's."""
        figures = _figures(self.setup)
        name = f"{word} with {self.name}, balls at {self.height_mm:.0f} mm"
        found = carried(self.answer, figures)
        return found.as_measure(name, "kN") if isinstance(found, Carried) else Measure(self.kn, (), name, unit="kN")


def demand_of(setups: Sequence[HitchSetup], position: LinkPosition) -> Demand | None:
    """Return the most that a link must hold with any implement at any height; None where no weight is known.

    The top link's own force; of the lift rods what both carry together, since rolled to one side one rod can take
    it all. Carried, and with the ground's push both ways where that is written down.
    """
    cases = [case for setup in setups for case in _cases(setup, position)]
    if not cases:
        return None
    pulled = max(cases, key=lambda case: case.kn)
    pushed = min(cases, key=lambda case: case.kn)
    bounced = max((case for case in cases if case.way == _CARRIED), key=lambda case: case.kn)
    worst = max((pulled, pushed), key=lambda case: abs(case.kn))
    sizes = {
        "tension": _held(pulled, "pull", 1.0),
        "compression": _held(pushed, "push", -1.0),
        "carried": _held(bounced, "pull carried", 1.0),
    }
    return Demand(
        sizes["tension"].value, sizes["compression"].value, sizes["carried"].value,
        f"worst with {worst.name}, over all heights", sizes,
    )  # fmt: skip


def _held(case: ForceCase, word: str, sign: float) -> Measure:
    """Return what is asked one way; nothing, and surely so, where the force never goes that way."""
    if case.kn * sign <= 0:
        return Measure(0.0, (), word, unit="kN")
    found = case.measure(word)
    return Measure(case.kn * sign, found.parts, found.name, keys=found.keys, typed=found.typed, unit="kN")


def _figures(setup: HitchSetup) -> Mapping[str, Measure]:
    return {**figures_for(setup, first_setting(setup)), **setup.on_it}


def _cases(setup: HitchSetup, position: LinkPosition) -> Iterator[ForceCase]:
    heights = heights_of(setup, first_setting(setup))
    if isinstance(heights, CannotReach) or "weight" not in setup.on_it:
        return
    values: Values = values_of(_figures(setup))
    low, high = heights
    for step in range(_HEIGHTS):
        height_mm = low + (high - low) * step / (_HEIGHTS - 1)
        for way in (_CARRIED,) if position == "lift rod" else _PUSHES:
            answer = (
                partial(rods_answer, height_mm=height_mm)
                if position == "lift rod"
                else partial(top_link_answer, height_mm=height_mm, way=way)
            )
            kn = answer(values)
            if isinstance(kn, float) and math.isfinite(kn):
                yield ForceCase(setup, height_mm, way, kn, answer)


RELIEF_SHARE = 0.05  # of a relief pressure as written: gauges and springs
FLOW_SHARE = 0.10  # of a pump's flow as written: engine speed, wear, warm oil
HOSE_MM = 0.5  # of a hose's inside against its name
SUN_HALF_DEGC = 10.0


def offered_cylinder(offer: Offer, figures: Mapping[str, OfferFigure]) -> OfferedCylinder:
    """Return the offer's figures in mm and MPa; the stroke from open less closed where it is not stated."""

    def mm(key: str) -> float | None:
        return figures[key].mm if key in figures else None

    stroke, closed, opened = mm("stroke"), mm("closed"), mm("open")
    if stroke is None and closed is not None and opened is not None:
        stroke = opened - closed
    rated = offer.rated_pressure.bar / BAR_PER_MPA if offer.rated_pressure is not None else None
    return OfferedCylinder(mm("bore"), mm("rod"), stroke, opened, rated, offer.check_valve)


def supply_of(hydraulics: Hydraulics) -> Supply:
    """Return what a tractor gives, in MPa, L/min and mm."""
    return Supply(
        relief_mpa=hydraulics.relief.bar / BAR_PER_MPA if hydraulics.relief is not None else None,
        flow_l_per_min=hydraulics.pump_flow.l_per_min if hydraulics.pump_flow is not None else None,
        remotes=hydraulics.remotes,
        hose_mm=float(hydraulics.hose_inside.mm) if hydraulics.hose_inside is not None else None,
    )


def work_figures(
    offer: Offer, figures: Mapping[str, OfferFigure], hydraulics: Hydraulics, demand: Demand | None
) -> dict[str, Measure]:
    """Return what force and oil are worked out from as figures with their doubt, keyed as `work_answers` asks."""
    found = {key: offer_measure(figures[key]) for key in ("bore", "rod", "stroke", "open") if key in figures}
    if "stroke" not in found and "open" in found and "closed" in figures:
        opened, closed = found["open"], offer_measure(figures["closed"])
        parts, typed = (*opened.parts, *closed.parts), (*opened.typed, *closed.typed)
        found["stroke"] = Measure(opened.value - closed.value, parts, "stroke", typed=typed)
    found |= _pressures(offer, hydraulics)
    if hydraulics.pump_flow is not None:
        flow = hydraulics.pump_flow
        found["flow"] = stated(flow.l_per_min, FLOW_SHARE, "L/min", "pump's flow", flow.typed)
    if hydraulics.hose_inside is not None:
        found["hose"] = _hose(hydraulics.hose_inside)
    found["drop"] = usual_figure(DROP_SHARE, 0.1, "share of the relief pressure that drops in it", "")
    found["discharge"] = usual_figure(DISCHARGE, 0.05, "the orifice's own coefficient", "")
    found["warming"] = usual_figure(SUN_DEGC, SUN_HALF_DEGC, "warming in the sun", "degC")
    return found | dict(demand.sizes if demand is not None else {})


def offer_measure(figure: OfferFigure) -> Measure:
    """Return a figure of an offer as answers are worked out from it."""
    name = f"offer, {FIGURE_WORDS[figure.key]}"
    return of_estimate(figure.size, name, typed=f"{name}: {figure_words(figure)}")


def _pressures(offer: Offer, hydraulics: Hydraulics) -> dict[str, Measure]:
    """Return relief and rated, the lower as the working pressure, the relief else the rated as the full one.

    A rating is a limit that somebody set, so it carries no doubt.
    """
    found: dict[str, Measure] = {}
    if hydraulics.relief is not None:
        relief = hydraulics.relief
        found["relief"] = stated(relief.bar, RELIEF_SHARE, "bar", "relief pressure", relief.typed)
    if offer.rated_pressure is not None:
        rated = offer.rated_pressure
        found["rated"] = Measure(rated.bar, (), "rated pressure", typed=(f"rated pressure: {rated.typed}",), unit="bar")
    if found:
        found["working"] = min(found.values(), key=lambda pressure: pressure.value)
        found["full"] = found.get("relief") or found["rated"]
    return found


def _hose(size: Length) -> Measure:
    part = figure_limit("hose, inside", HOSE_MM, f"± {HOSE_MM:g} mm, hoses go by their nominal size, common practice")
    return Measure(float(size.mm), (part,), "hose, inside", typed=(f"hose, inside: {size.typed}",))


@dataclass(frozen=True, slots=True)
class Work:
    """What a cylinder does on a tractor: the points, and the figures and hydraulics that they rest on."""

    points: tuple[Check, ...]
    figures: Mapping[str, Measure]
    hydraulics: Hydraulics
    demand: Demand | None

    def numbers(self) -> list[Number]:
        """Return every number of it opened up."""
        return work_numbers(self.figures, self.demand)


def work_of(
    offer: Offer,
    figures: Mapping[str, OfferFigure],
    hydraulics: Hydraulics,
    demand: Demand | None,
    position: LinkPosition,
) -> Work:
    """Return what an offer does on a tractor, every number of it with its doubt."""
    known = work_figures(offer, figures, hydraulics, demand)
    offered, supply = offered_cylinder(offer, figures), supply_of(hydraulics)
    return Work(work_points(offered, supply, demand, position, work_doubts(known)), known, hydraulics, demand)


def work_doubts(figures: Mapping[str, Measure]) -> dict[str, float]:
    """Return the 95 % half-width of every answer about force and oil, by its word."""
    found = {}
    for row in WORK_ANSWERS:
        if row.needs <= figures.keys():
            answer = carried(row.answer, {key: figures[key] for key in sorted(row.needs)})
            if isinstance(answer, Carried):
                found[row.word] = answer.plus_minus
    return found


def work_numbers(figures: Mapping[str, Measure], demand: Demand | None) -> list[Number]:
    """Return every number about force and oil opened up, what is asked of the link first."""
    sizes = demand.sizes if demand is not None else {}
    asked = [
        opened(word, f"Asked of the link: {sizes[key].name}", sizes[key].figure, (sizes[key],))
        for word, key in (("must hold, pull", "tension"), ("must hold, push", "compression"), ("carried", "carried"))
        if key in sizes
    ]
    for row in WORK_ANSWERS:
        if row.needs <= figures.keys():
            opener = Opener({key: figures[key] for key in sorted(row.needs)})
            asked += opener.number(row.word, row.about, row.unit, row.answer, row.formula)
    return asked
