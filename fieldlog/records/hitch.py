"""What is measured on a tractor's three-point hitch and on an implement, as it stands in the files.

Distances along the ground are taken from a plumb line through the centre of the rear axle, heights from the level
ground the tractor stands on; those of an implement from its lower pins, with its mast upright. The attribute names
are the TOML keys; what is not measured is left out.
"""

from dataclasses import dataclass
from typing import Literal

from fieldlog.records.directed import Angle, Directed
from fieldlog.records.machine import HitchCategory
from fieldlog.records.physical import Force, Mass
from fieldlog.records.quantities import Length

YesNo = Literal["no", "yes"]


@dataclass(frozen=True, slots=True)
class Hitch:
    """The [hitch] of a machine.toml: pivots, links, lift arm and what stands around them, each if it was measured.

    `rod_hole` and `top_hole` are those in use. `heights_hole` is the lift rod's hole in which the balls' heights were
    taped, where that is another one than the one in use now.
    """

    lower_pivot_behind: Directed | None = None
    lower_pivot_up: Length | None = None
    lower_link: Length | None = None
    ball_span: Length | None = None
    ball_lowest: Length | None = None
    ball_highest: Length | None = None
    arm_pivot_behind: Directed | None = None
    arm_pivot_up: Length | None = None
    lift_arm: Length | None = None
    lift_rod: Length | None = None
    rod_hole: str = ""
    heights_hole: str = ""
    top_hole: str = ""
    axle_up: Length | None = None
    tyre_radius: Length | None = None
    cab_behind: Directed | None = None
    pto_behind: Directed | None = None
    pto_up: Length | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True)
class TopLinkHole:
    """A hole for the top link on the tractor's bracket."""

    id: str
    behind: Directed
    up: Length
    name: str = ""


@dataclass(frozen=True, slots=True)
class RodHole:
    """A hole for the lift rod on the lower link, and how far it is from the link's pivot."""

    id: str
    from_pivot: Length
    name: str = ""


@dataclass(frozen=True, slots=True)
class Implement:
    """Something that hangs on a hitch, on any of the tractors.

    `push` is the most that the ground pushes it along, `push_below` how far below the balls; `shaft_closed` is its
    PTO shaft pushed together, joint to joint, `shaft_overlap` how far the halves overlap then.
    """

    id: str
    name: str = ""
    category: HitchCategory | None = None
    weight: Mass | None = None
    centre_behind: Directed | None = None
    centre_above: Directed | None = None
    mast_hole: str = ""
    work_lowest: Length | None = None
    work_highest: Length | None = None
    nose_down: Angle | None = None
    nose_up: Angle | None = None
    roll: Angle | None = None
    push: Force | None = None
    push_below: Length | None = None
    pto_behind: Directed | None = None
    pto_above: Directed | None = None
    shaft_closed: Length | None = None
    shaft_overlap: Length | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True)
class MastHole:
    """A hole for the top link on an implement's mast: its height over the lower pins."""

    id: str
    implement: str
    height: Length
    name: str = ""


@dataclass(frozen=True, slots=True)
class ImplementPoint:
    """A corner of an implement that may hit something; `in_track` if it is as far out as the tractor's tyre."""

    id: str
    implement: str
    behind: Directed
    above: Directed
    name: str = ""
    in_track: YesNo = "no"


@dataclass(frozen=True, slots=True)
class HitchParts:
    """A machine's hitch with its rows of holes; `hitch` is None where nothing of it is written."""

    hitch: Hitch | None = None
    top_holes: tuple[TopLinkHole, ...] = ()
    rod_holes: tuple[RodHole, ...] = ()


@dataclass(frozen=True, slots=True)
class Implements:
    """The fleet's implements with their mast holes and the points that must clear things."""

    implements: tuple[Implement, ...] = ()
    mast_holes: tuple[MastHole, ...] = ()
    points: tuple[ImplementPoint, ...] = ()

    def masts_of(self, implement_id: str) -> tuple[MastHole, ...]:
        """Return the mast holes of one implement."""
        return tuple(hole for hole in self.mast_holes if hole.implement == implement_id)

    def points_of(self, implement_id: str) -> tuple[ImplementPoint, ...]:
        """Return the points of one implement."""
        return tuple(point for point in self.points if point.implement == implement_id)
