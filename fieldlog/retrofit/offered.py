"""From an offer as it is reckoned with, and a tractor's hydraulics, to what force and oil are worked out from.

How far a written pressure, flow or hose is trusted is common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from fieldlog.measure.figure import figure_limit
from fieldlog.records.hydraulics import Hydraulics
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Length
from fieldlog.retrofit.at_work import SUN_DEGC, Demand, OfferedCylinder, Supply, work_points
from fieldlog.retrofit.carried import Carried, Measure, carried, of_estimate, usual_figure
from fieldlog.retrofit.checks import Check
from fieldlog.retrofit.cylinder import BAR_PER_MPA, DISCHARGE
from fieldlog.retrofit.figures import FIGURE_WORDS, OfferFigure, figure_words
from fieldlog.retrofit.loads import stated
from fieldlog.retrofit.opened import Opener, opened
from fieldlog.retrofit.work_answers import DROP_SHARE, WORK_ANSWERS
from fieldlog.wear.numbers import Number

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
