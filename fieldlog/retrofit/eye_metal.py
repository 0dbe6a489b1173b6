"""The metal left around a cylinder's eye when its hole is opened: worked out where the eye's outside is known.

The eye is taken as round about its hole, so that its end is half its outside from the centre, and as made for a pin
that had the least room of a new joint.
"""

from collections.abc import Callable
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.figure import figure_limit
from fieldlog.records.quantities import Units
from fieldlog.retrofit.carried import Carried, Measure, Values, carried, of_estimate
from fieldlog.retrofit.metal import Eye as MetalEye
from fieldlog.retrofit.metal import MetalLeft, MetalWord, metal_left
from fieldlog.retrofit.oil import said
from fieldlog.retrofit.opened import Answer, Opener
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.repair_records import sure_text
from fieldlog.standards.joints import JOINT_DEFAULTS
from fieldlog.wear.numbers import Number

OPENED_MM = 0.05  # what a reamer, cutter or boring head keeps: common practice, no source
_LEAST_ROOM_MM = JOINT_DEFAULTS["hitch"].new_least_mm
_WORDS = {
    MetalWord.ENOUGH: "enough is left",
    MetalWord.ASK_A_SHOP: "ask a shop whether that is enough",
    MetalWord.TOO_LITTLE: "too little is left",
}


@dataclass(frozen=True, slots=True)
class Opening:
    """An eye whose hole is to be opened: outside, width along the pin, hole as it is, what it is opened to, new pin."""

    outside: Estimate
    width: Estimate
    hole: Estimate
    to_mm: float
    pin_mm: float

    def figures(self, where: str) -> dict[str, Measure]:
        """Return it as figures, named by the end of the cylinder."""
        cut = figure_limit("hole as opened", OPENED_MM, f"± {OPENED_MM:g} mm, what a cutter keeps, common practice")
        return {
            "outside": of_estimate(self.outside, f"{where}, outside"),
            "width": of_estimate(self.width, f"{where}, width"),
            "hole": of_estimate(self.hole, f"{where}, hole"),
            "now": Measure(self.to_mm, (cut,), "hole as opened", typed=(f"hole as opened: {self.to_mm:.2f} mm",)),
            "new_pin": Measure(self.pin_mm, (), "pin"),
        }


def metal_of(values: Values) -> MetalLeft:
    """Return the metal left of plain numbers.

    Raises:
        MeasureError: the hole breaks out of the eye, or the sizes are no eye.
    """
    made_for = max(values["hole"] - _LEAST_ROOM_MM, 0.5 * values["hole"])
    sizes = (values["outside"], values["width"], values["outside"] / 2)
    made, now = MetalEye(*sizes, values["hole"], made_for), MetalEye(*sizes, values["now"], values["new_pin"])
    return metal_left(made, now)


def opening_text(opening: Opening, units: Units) -> tuple[MetalWord, str]:
    """Return what the metal left says, as a word and as the end of a sentence."""
    figures = opening.figures("eye")
    try:
        left = metal_of({key: figure.value for key, figure in figures.items()})
    except MeasureError as error:
        return MetalWord.TOO_LITTLE, f"{str(error).rstrip('.')}"
    wall, kept = carried(_take(lambda x: x.now.side_mm), figures), carried(_take(_kept), figures)
    wall_mm, percent = (found.plus_minus if isinstance(found, Carried) else 0.0 for found in (wall, kept))
    word, share = left.word, 100 * left.ligament_share
    if word is MetalWord.ENOUGH and share - percent < _LEAST_PERCENT:
        word = MetalWord.ASK_A_SHOP
    walls = f"walls of {sure_text(left.now.side_mm, wall_mm, units)}, {said(share, percent, 1)} % of as made"
    reasons = f" ({'; '.join(left.reasons)})" if left.reasons else ""
    return word, f"{walls}: {_WORDS[word]}{reasons}"


_LEAST_PERCENT = 85.0  # of a wall as made, see `metal`


def opening_numbers(opening: Opening, where: str) -> list[Number]:
    """Return wall, share kept and strength kept opened up."""
    opener = Opener(opening.figures(where))
    to = f"with its hole opened to {opening.to_mm:.2f} mm"
    rows: tuple[tuple[str, str, str, Callable[[MetalLeft], float]], ...] = (
        (f"wall left, {where}", f"Wall beside the hole of the {where}, {to}", "mm", lambda left: left.now.side_mm),
        (f"wall kept, {where}", f"The same, of as made, {to}", "%", _kept),
        (f"strength kept, {where}", f"What the {where} carries, of as made, {to}", "%", _carries),
    )
    return [number for word, about, unit, take in rows for number in opener.number(word, about, unit, _take(take))]


def _kept(left: MetalLeft) -> float:
    return 100 * left.ligament_share


def _carries(left: MetalLeft) -> float:
    return 100 * left.capacity_share


def _take(take: Callable[[MetalLeft], float]) -> Answer:
    def answer(values: Values) -> float | CannotReach:
        try:
            return take(metal_of(values))
        except MeasureError as error:
            return CannotReach(0.0, why=str(error))

    return answer
