"""What a link must hold, from the implements that hang on this hitch, and how sure that is.

From an offer as it is reckoned with, and a tractor's hydraulics, to what force and oil are worked out from.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from fieldlog.quantity.estimate import FigurePart, figure_limit
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.number import Behind, Found, Numbers, missing
from fieldlog.quantity.said import said
from fieldlog.quantity.source import Kind, Source, Term
from fieldlog.quantity.value import Value
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.machine import LinkPosition
from fieldlog.records.offer import Offer
from fieldlog.retrofit.carried import (
    USUAL,
    Answer,
    Carried,
    Measure,
    Values,
    carried,
    of_estimate,
    usual_figure,
    values_of,
)
from fieldlog.retrofit.hitch.forces import stated
from fieldlog.retrofit.hitch.look import first_setting, heights_of
from fieldlog.retrofit.hitch.numbers import rods_answer, top_link_answer
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.hitch.setup import HitchSetup, figures_for
from fieldlog.retrofit.offers.cylinder import DISCHARGE, DROP_SHARE, WORK_INPUTS, WORK_NUMBERS
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, Check, OfferFigure, figure_words
from fieldlog.retrofit.offers.work import SUN_DEGC, Circumstances, Demand, work_points

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
        said("oil.worst_with", name=worst.name), sizes,
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


def work_figures(
    offer: Offer, figures: Mapping[str, OfferFigure], hydraulics: Hydraulics, demand: Demand | None
) -> dict[str, Measure]:
    """Return what force and oil are worked out from as figures with their doubt, keyed as in `WORK_INPUTS`."""
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
    return found | (_asked(demand) if demand is not None else {})


def _asked(demand: Demand) -> dict[str, Measure]:
    plain = {"tension": demand.tension_kn, "compression": demand.compression_kn, "carried": demand.carried_kn}
    return {key: demand.sizes.get(key) or Measure(kn, (), key, unit="kN") for key, kn in plain.items()}


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
    """What a cylinder does on a tractor: the points, its numbers, and the figures and hydraulics they rest on."""

    points: tuple[Check, ...]
    numbers: Numbers
    figures: Mapping[str, Measure]
    hydraulics: Hydraulics
    demand: Demand | None


def work_of(
    offer: Offer,
    figures: Mapping[str, OfferFigure],
    hydraulics: Hydraulics,
    demand: Demand | None,
    position: LinkPosition,
) -> Work:
    """Return what an offer does on a tractor, every number of it with its doubt."""
    given = work_figures(offer, figures, hydraulics, demand)
    numbers = work_numbers(given)
    there = Circumstances(offer.check_valve, position, hydraulics.remotes, demand)
    return Work(work_points(numbers, there), numbers, given, hydraulics, demand)


def work_numbers(figures: Mapping[str, Measure]) -> Numbers:
    """Return every number about force and oil, each worked out when it is asked for."""
    known: dict[str, Found] = {key: missing(key) for key in WORK_INPUTS}
    of = {key: next(one for one in WORK_INPUTS if figures.get(one) is figure) for key, figure in figures.items()}
    known |= {key: as_value(of[key], figure) for key, figure in figures.items()}
    behind = {key: Behind(figure.keys, figure.typed) for key, figure in figures.items()}
    return Numbers(WORK_NUMBERS, known, behind)


def as_value(of: str, figure: Measure) -> Value:
    """Return a figure as a value whose sources have ids of their own."""
    terms = tuple(Term(_source(f"{of}/{place}", part), part.u) for place, part in enumerate(figure.parts))
    return Value(figure.value, figure.unit, terms)


def _source(source_id: str, part: FigurePart) -> Source:
    kind: Kind = "usual" if part.source.startswith(USUAL) else "stated"
    return Source(source_id, kind, label=part.name, why=part.source, dof=part.dof, is_limit=part.is_limit)
