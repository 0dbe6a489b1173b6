"""What a link must hold, from the implements that hang on this hitch, and how sure that is."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from fieldlog.records.machine import LinkPosition
from fieldlog.retrofit.at_work import Demand
from fieldlog.retrofit.carried import Carried, Measure, Values, carried, values_of
from fieldlog.retrofit.forces_opened import rods_answer, top_link_answer
from fieldlog.retrofit.look import first_setting, heights_of
from fieldlog.retrofit.opened import Answer
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import HitchSetup, figures_for

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
