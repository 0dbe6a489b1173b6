"""What is ordered together when a joint is made new: pin, bushes, seals and what goes with them.

A new bush on a stepped pin, or a new pin in a worn bush, is worn out in no time; so they go together. Common practice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldlog.records.machine import Hole, Joint, Machine

SEALS_A_BUSH = 2  # one at each mouth: common practice


class PartKind(StrEnum):
    """What can be ordered for a joint; the keepers are called as they are in the machine's file."""

    PIN = "pin"
    BUSH = "bush"
    SEAL = "seal"
    SHIMS = "shims"
    GREASE_FITTING = "grease fitting"
    BALL = "ball"
    MAKERS_EYE = "drawbar or clevis of its maker"
    KEEPER = "keeper"
    LINCH_PIN = "linch pin"
    COTTER = "cotter"
    HAIRPIN = "hairpin"
    BOLTED_FLAG = "bolted flag"
    RING = "ring"
    NUT = "nut"


@dataclass(frozen=True, slots=True)
class Part:
    """One kind of part and how many; 0 is as many as it takes."""

    kind: PartKind
    number: int


Parts = tuple[Part, ...]


def parts_of(joint: "Joint", holes: "Sequence[Hole]") -> Parts:
    """Return the parts of a joint with these holes; a plain hole has none of its own, a towing eye is its maker's."""
    bushed = sum(hole.kind == "bushed" for hole in holes)
    balls = sum(hole.kind == "ball" for hole in holes)
    found = [Part(PartKind.PIN, 1)]
    if bushed:
        found += [
            Part(PartKind.BUSH, bushed),
            Part(PartKind.SEAL, SEALS_A_BUSH * bushed),
            Part(PartKind.SHIMS, 0),
            Part(PartKind.GREASE_FITTING, 1),
        ]
    found += [Part(PartKind.BALL, balls)] if balls else []
    found += [Part(PartKind.MAKERS_EYE, 1)] if joint.kind == "drawbar" else []
    return (*found, Part(PartKind(joint.keeper) if joint.keeper is not None else PartKind.KEEPER, 1))


def parts_on(joint: "Joint", machine: "Machine") -> Parts:
    """Return what is ordered together when a joint is made new."""
    return parts_of(joint, holes_of(joint, machine))


def holes_of(joint: "Joint", machine: "Machine") -> "tuple[Hole, ...]":
    """Return the holes of a joint that its pin works in; of a row only those in daily use, if there are any."""
    own = [hole for hole in machine.holes if hole.joint == joint.id]
    daily = [hole for hole in own if hole.in_row is None or hole.use == "daily"]
    return tuple(daily or own)
