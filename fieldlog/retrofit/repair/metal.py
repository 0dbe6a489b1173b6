"""The metal left around a pin hole: what the eye carried as made, what it carries now, and after drilling.

Forces in kN, lengths in mm, strengths in MPa. These are static strengths of a sound eye: they never clear one
that is cracked, shock-loaded or that somebody's safety hangs on.

A hole that wants repair, and a way to repair it; and how its numbers are said with their doubt.

The metal left around a cylinder's eye when its hole is opened: worked out where the eye's outside is known.

An eye to be opened is taken as round about its hole; its outside and width decide by the rules of `metal.py`, and
where they are not known a fifth more hole is the most.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from fieldlog.errors import MeasureError
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.rounding import mm_text, plus_minus_text
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.quantity.value import Value
from fieldlog.retrofit.carried import Answer, Carried, Given, Opener, Values, carried, of_estimate, own_limit, values_of
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.standards.joints import JOINT_DEFAULTS

# plain structural steel where nobody knows better: the least that is usual, from memory
USUAL_YIELD_MPA = 250.0
USUAL_STRENGTH_MPA = 400.0
LEAST_CAPACITY_SHARE = 0.90  # keep so much of the as-made weakest capacity: common practice, no source
LEAST_LIGAMENT_SHARE = 0.85  # and of every ligament: common practice, no source
LEAST_EDGE_RATIO = 1.25  # centre to end over hole, under which a hole is not enlarged: common practice, no source
_RED_EDGE_RATIO = 1.0  # under which there is less than half a hole of metal at the end: common practice, no source
_LOOSE_FROM = 0.9  # pin over hole under which looseness costs strength: ASME BTH-1, threshold seen, formula from memory


class NoEye(MeasureError):
    """Sizes that are those of no eye; `said` tells why."""

    def __init__(self, why: Said) -> None:
        super().__init__(why.code)
        self.said = why


class Fails(StrEnum):
    """Where an eye fails first."""

    SIDES = "sides tear"
    END = "end tears out"
    HOLE = "hole crushes"


class MetalWord(StrEnum):
    """What the numbers say; a shop's word still counts more."""

    ENOUGH = "enough"
    ASK_A_SHOP = "ask"
    TOO_LITTLE = "too little"


@dataclass(frozen=True, slots=True)
class Eye:
    """A flat eye with a hole: width, thickness, centre of the hole to the end, hole and pin; all in mm."""

    width_mm: float
    thickness_mm: float
    centre_to_end_mm: float
    hole_mm: float
    pin_mm: float

    def __post_init__(self) -> None:
        """Refuse an eye that is no eye."""
        if min(self.width_mm, self.thickness_mm, self.centre_to_end_mm, self.hole_mm, self.pin_mm) <= 0:
            raise NoEye(said("metal.no_eye"))
        if self.hole_mm >= self.width_mm or self.hole_mm / 2 >= self.centre_to_end_mm:
            raise NoEye(
                said(
                    "metal.hole_breaks_out",
                    hole_mm=self.hole_mm,
                    width_mm=self.width_mm,
                    centre_to_end_mm=self.centre_to_end_mm,
                )
            )
        if self.pin_mm > self.hole_mm:
            raise NoEye(said("metal.pin_does_not_go_in", pin_mm=self.pin_mm, hole_mm=self.hole_mm))

    @property
    def side_mm(self) -> float:
        """Ligament at each side of the hole: (W - D) / 2."""
        return (self.width_mm - self.hole_mm) / 2

    @property
    def end_mm(self) -> float:
        """Ligament at the end: e - D / 2."""
        return self.centre_to_end_mm - self.hole_mm / 2

    @property
    def edge_ratio(self) -> float:
        """Centre to end over hole; 1.5 and more is wanted for new work, 2 where there are shocks."""
        return self.centre_to_end_mm / self.hole_mm


@dataclass(frozen=True, slots=True)
class Capacity:
    """What an eye carries before it fails in each way, nominal, without any safety taken off."""

    net_kn: float
    shear_kn: float
    bearing_kn: float

    @property
    def weakest_kn(self) -> float:
        """The least of the three."""
        return min(self.net_kn, self.shear_kn, self.bearing_kn)

    @property
    def weakest_way(self) -> Fails:
        """Where it would fail first."""
        ways = {Fails.SIDES: self.net_kn, Fails.END: self.shear_kn, Fails.HOLE: self.bearing_kn}
        return min(ways, key=lambda way: ways[way])


@dataclass(frozen=True, slots=True)
class MetalLeft:
    """An eye after something was done to its hole, against the eye as made."""

    made: Eye
    now: Eye
    capacity_made: Capacity
    capacity_now: Capacity
    word: MetalWord
    reasons: tuple[Said, ...]

    @property
    def capacity_share(self) -> float:
        """Weakest capacity over that as made."""
        return self.capacity_now.weakest_kn / self.capacity_made.weakest_kn

    @property
    def net_share(self) -> float:
        """Capacity of the sides over that as made."""
        return self.capacity_now.net_kn / self.capacity_made.net_kn

    @property
    def ligament_share(self) -> float:
        """The worse of the two ligaments over that as made."""
        return min(self.now.side_mm / self.made.side_mm, self.now.end_mm / self.made.end_mm)


def capacity(eye: Eye, yield_mpa: float = USUAL_YIELD_MPA, strength_mpa: float = USUAL_STRENGTH_MPA) -> Capacity:
    """Return the nominal strength of a pin-connected plate.

    Net tension Fu 2 t be with be = 2 t + 16 mm, at most the side ligament; shear 0.6 Fu 2 t (a + d / 2);
    bearing 1.8 Fy d t. AISC 360 D5, without its safety factor of 2; its commentary adds that such plates are
    not meant for joints where changing load wears the hole.
    """
    effective = min(2 * eye.thickness_mm + 16, eye.side_mm)
    net = strength_mpa * 2 * eye.thickness_mm * effective / 1000
    shear = 0.6 * strength_mpa * 2 * eye.thickness_mm * (eye.end_mm + eye.pin_mm / 2) / 1000
    return Capacity(net, shear, 1.8 * yield_mpa * eye.pin_mm * eye.thickness_mm / 1000)


def looseness_factor(pin_mm: float, hole_mm: float) -> float:
    """Return what a loose pin leaves of the strength: 1 down to pin 0.9 of hole, then 1 - 0.275 sqrt(1 - (d/D)^2).

    ASME BTH-1; the threshold from a public excerpt, the formula from memory. Looseness is wear and shock long
    before it is strength.
    """
    if not 0 < pin_mm <= hole_mm:
        raise NoEye(said("metal.pin_does_not_go_in", pin_mm=pin_mm, hole_mm=hole_mm))
    share = pin_mm / hole_mm
    return 1.0 if share > _LOOSE_FROM else 1 - 0.275 * math.sqrt(1 - share**2)


def metal_left(
    made: Eye, now: Eye, yield_mpa: float = USUAL_YIELD_MPA, strength_mpa: float = USUAL_STRENGTH_MPA
) -> MetalLeft:
    """Return whether enough metal is left, by the fairer of the trade's two tests and the rule of thumb.

    Enough: 90 % of the as-made weakest capacity, every ligament 85 % of as made, and centre to end at least
    1.25 holes (or the eye was made with less and is not enlarged). Failing only the thumb rule: ask a shop.
    Failing either share, or centre to end under one hole: too little.
    """
    before, after = capacity(made, yield_mpa, strength_mpa), capacity(now, yield_mpa, strength_mpa)
    unjudged = MetalLeft(made, now, before, after, MetalWord.ENOUGH, ())
    red = _too_little(unjudged)
    amber = _thumb_rule(unjudged)
    word = MetalWord.TOO_LITTLE if red else MetalWord.ASK_A_SHOP if amber else MetalWord.ENOUGH
    return MetalLeft(made, now, before, after, word, (*red, *amber))


def _too_little(left: MetalLeft) -> tuple[Said, ...]:
    found: list[Said] = []
    if left.capacity_share < LEAST_CAPACITY_SHARE:
        found.append(said("metal.carries_little", share=left.capacity_share, first=left.capacity_now.weakest_way))
    if left.ligament_share < LEAST_LIGAMENT_SHARE:
        found.append(said("metal.thin_wall", share=left.ligament_share, least=LEAST_LIGAMENT_SHARE))
    if left.now.edge_ratio < _RED_EDGE_RATIO:
        found.append(said("metal.hardly_an_end", ratio=left.now.edge_ratio))
    return tuple(found)


def _thumb_rule(left: MetalLeft) -> tuple[Said, ...]:
    is_enlarged = left.now.hole_mm > left.made.hole_mm
    if left.now.edge_ratio >= LEAST_EDGE_RATIO or not is_enlarged or left.now.edge_ratio < _RED_EDGE_RATIO:
        return ()
    return (said("metal.under_thumb_rule", ratio=left.now.edge_ratio, least=LEAST_EDGE_RATIO),)


OPENED_MM = 0.05  # what a reamer, cutter or boring head keeps: common practice, no source
_LEAST_ROOM_MM = JOINT_DEFAULTS["hitch"].new_least_mm


@dataclass(frozen=True, slots=True)
class Opening:
    """An eye whose hole is to be opened: outside, width along the pin, hole as it is, what it is opened to, new pin."""

    outside: Estimate
    width: Estimate
    hole: Estimate
    to_mm: float
    pin_mm: float

    def figures(self, where: str) -> dict[str, Given]:
        """Return it as figures, named by the end of the cylinder."""
        words = "hole as opened", "", f"± {OPENED_MM:g} mm, what a cutter keeps, common practice"
        cut = own_limit("hole as opened", OPENED_MM, "setting", words)
        return {
            "outside": of_estimate(self.outside, f"{where}, outside"),
            "width": of_estimate(self.width, f"{where}, width"),
            "hole": of_estimate(self.hole, f"{where}, hole"),
            "now": Given(self.to_mm, (cut,), "hole as opened", typed=(f"hole as opened: {self.to_mm:.2f} mm",)),
            "new_pin": Given(self.pin_mm, (), "pin"),
        }


def metal_of(values: Values) -> MetalLeft:
    """Return the metal left of plain numbers.

    Raises:
        NoEye: the hole breaks out of the eye, or the sizes are no eye.
    """
    made_for = max(values["hole"] - _LEAST_ROOM_MM, 0.5 * values["hole"])
    sizes = (values["outside"], values["width"], values["outside"] / 2)
    made, now = Eye(*sizes, values["hole"], made_for), Eye(*sizes, values["now"], values["new_pin"])
    return metal_left(made, now)


def opening_left(opening: Opening) -> tuple[MetalWord, Said]:
    """Return what the metal left around an opened hole says, as a word and as the end of a sentence."""
    figures = opening.figures("eye")
    try:
        left = metal_of(values_of(figures))
    except NoEye as error:
        return MetalWord.TOO_LITTLE, error.said
    wall, kept = carried(_take(lambda x: x.now.side_mm), figures), carried(_take(_kept), figures, "%")
    assert isinstance(wall, Carried)
    assert isinstance(kept, Carried)
    word = left.word
    if word is MetalWord.ENOUGH and kept.value - kept.plus_minus < 100 * LEAST_LIGAMENT_SHARE:
        word = MetalWord.ASK_A_SHOP
    return word, said("metal.opened", wall=wall, kept=kept, word=word, reasons=left.reasons)


def _kept(left: MetalLeft) -> float:
    return 100 * left.ligament_share


def _carries(left: MetalLeft) -> float:
    return 100 * left.capacity_share


def _take(take: Callable[[MetalLeft], float]) -> Answer:
    def answer(values: Values) -> float | CannotReach:
        try:
            return take(metal_of(values))
        except NoEye as error:
            return CannotReach(0.0, why=error.said)

    return answer


# What follows is English that offers put into sentences of their own.


def sure_text(mm: float, doubt_mm: float, units: Units, places: int = 2) -> str:
    """Return a length with its doubt where there is one, to so many places of a millimetre at the finest."""
    finest = places if units == "mm" else places + 2
    if doubt_mm <= 0:
        return mm_text(mm, units, finest)
    factor = 1.0 if units == "mm" else 1 / float(MM_PER_INCH)
    return f"{plus_minus_text(mm * factor, doubt_mm * factor, finest)} {units}"


_WORDS = {
    MetalWord.ENOUGH: "enough is left",
    MetalWord.ASK_A_SHOP: "ask a shop whether that is enough",
    MetalWord.TOO_LITTLE: "too little is left",
}


def opening_text(opening: Opening, units: Units) -> tuple[MetalWord, str]:
    """Return what the metal left says, as a word and as the end of a sentence."""
    word, told = opening_left(opening)
    about = dict(told.about)
    wall, kept, reasons = about.get("wall"), about.get("kept"), about.get("reasons", ())
    if not isinstance(wall, Value) or not isinstance(kept, Value) or not isinstance(reasons, tuple):
        return word, _REASONS[told.code].format(**about)
    walls = (
        f"walls of {sure_text(wall.value, wall.plus_minus, units)}, {plus_minus_text(kept.value, kept.plus_minus, 1)} %"
    )
    why = "; ".join(_REASONS[reason.code].format(**dict(reason.about)).replace("%", " %") for reason in reasons)
    return word, f"{walls} of as made: {_WORDS[word]}{f' ({why})' if why else ''}"


_REASONS: Mapping[str, str] = MappingProxyType(
    {
        "metal.carries_little": "it carries {share:.0%} of what it did ({first} first)",
        "metal.thin_wall": "the thinnest wall is {share:.0%} of what it was; {least:.0%} is kept",
        "metal.hardly_an_end": "only {ratio:.2f} holes from the centre to the end",
        "metal.under_thumb_rule": "{ratio:.2f} holes from the centre to the end, under the {least} of the thumb rule",
        "metal.no_eye": "An eye has a width, a thickness, a hole, a pin and metal at its end, all above nothing",
        "metal.hole_breaks_out": "A hole of {hole_mm:.2f} mm breaks out of an eye {width_mm:g} mm wide with "
        "{centre_to_end_mm:g} mm from its centre to the end; measure them again",
        "metal.pin_does_not_go_in": "A pin of {pin_mm:.2f} mm does not go into a hole of {hole_mm:.2f} mm",
    }
)


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
