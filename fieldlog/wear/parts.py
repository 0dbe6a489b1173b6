"""What is ordered together when a joint is made new: pin, bushes, seals and what goes with them.

A new bush on a stepped pin, or a new pin in a worn bush, is worn out in no time; so they go together. Common practice.
"""

from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.records.machine import Hole, Joint, Machine

SEALS_A_BUSH = 2  # one at each mouth: common practice


class Part(NamedTuple):
    """One kind of part and how many; 0 is as many as it takes."""

    name: str
    number: int

    @property
    def text(self) -> str:
        """Return 'pin', '2 bushes' or 'shims'."""
        return f"{self.number} {_plural(self.name)}" if self.number > 1 else self.name


def parts_of(joint: Joint, holes: Sequence[Hole]) -> tuple[Part, ...]:
    """Return the parts of a joint with these holes; a plain hole has none of its own, a towing eye is its maker's."""
    bushed = sum(hole.kind == "bushed" for hole in holes)
    balls = sum(hole.kind == "ball" for hole in holes)
    found = [Part("pin", 1)]
    if bushed:
        found += [
            Part("bush", bushed),
            Part("seal", SEALS_A_BUSH * bushed),
            Part("shims", 0),
            Part("grease fitting", 1),
        ]
    found += [Part("ball", balls)] if balls else []
    found += [Part("drawbar or clevis of its maker", 1)] if joint.kind == "drawbar" else []
    return (*found, Part(joint.keeper or "keeper", 1))


def parts_text(joint: Joint, machine: Machine) -> str:
    """Return the order line of a joint: 'pin, 2 bushes, 4 seals, shims, grease fitting and keeper'."""
    parts = [part.text for part in parts_of(joint, holes_of(joint, machine))]
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def holes_of(joint: Joint, machine: Machine) -> tuple[Hole, ...]:
    """Return the holes of a joint that its pin works in; of a row only those in daily use, if there are any."""
    own = [hole for hole in machine.holes if hole.joint == joint.id]
    daily = [hole for hole in own if hole.in_row is None or hole.use == "daily"]
    return tuple(daily or own)


def _plural(name: str) -> str:
    return {"bush": "bushes", "shims": "shims"}.get(name, f"{name}s")
