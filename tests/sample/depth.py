"""What the sample fleet shows of depth, walls and single readings: a bell-mouth, a thin wall, a burr, a dent.

Drawn from dice of its own, so that everything else in the fleet stays as it was.
"""

import random
from collections.abc import Mapping, Sequence
from typing import Protocol

_CROSSED = ("12", "3")
_BUCKET = {"far": 25.50, "middle": 25.22}
_BOOM = {"12": 35.09, "1:30": 35.23, "3": 35.37, "4:30": 35.23}
_ARM = {"12": 30.07, "1:30": 30.30, "3": 30.52, "4:30": 30.30}


class _Round(Protocol):
    offset_mm: float

    def add(self, kind: str, **values: object) -> str: ...


def add_depth(hill: Sequence[_Round], loader: _Round, digger: _Round, seed: int) -> None:
    """Add to rounds that exist already, behind what is in them."""
    dice = random.Random(f"{seed} depth")
    _walls((hill[0], hill[-1]), dice)
    _bell_mouth(loader, dice)
    _again(digger, "boom-foot-bush", _BOOM, dice, {(0, "4:30"): -0.21})
    dent = _again(loader, "arm-left-bush", _ARM, dice, {(1, "12"): 0.25})
    loader.add("keep", of=dent, why="a dent at the mouth, seen and felt; not wear")


def _typed(size_mm: float, dice: random.Random) -> str:
    return f"{size_mm + dice.gauss(0, 0.012):.2f} mm"


def _walls(rounds: Sequence[_Round], dice: random.Random) -> None:
    """The implement end of the top link wore into its outer wall, at 12."""
    for writer, outer_mm in zip(rounds, (11.9, 10.8), strict=True):
        for clock, size_mm in (("12", outer_mm), ("6", 11.9)) * 2:
            writer.add("ligament", hole="top-rear-ball", size=_typed(size_mm, dice), clock=clock)


def _bell_mouth(writer: _Round, dice: random.Random) -> None:
    """The right bucket bush is wide at both mouths along the load, and nearly as made in the middle."""
    for face, worn_mm in _BUCKET.items():
        for clock in _CROSSED * 2:
            size = _typed((25.08 if clock == "12" else worn_mm) + writer.offset_mm, dice)
            writer.add("bore", hole="bucket-right-bush", size=size, clock=clock, face=face)


def _again(
    writer: _Round,
    hole: str,
    sizes_mm: Mapping[str, float],
    dice: random.Random,
    off_mm: Mapping[tuple[int, str], float],
) -> str:
    """Go round a hole twice more; return the time of the last reading that is off."""
    at_off = ""
    for sweep in range(2):
        for clock, size_mm in sizes_mm.items():
            extra_mm = off_mm.get((sweep, clock), 0.0)
            size = _typed(size_mm + writer.offset_mm + extra_mm, dice)
            at = writer.add("bore", hole=hole, size=size, clock=clock)
            at_off = at if extra_mm else at_off
    return at_off
