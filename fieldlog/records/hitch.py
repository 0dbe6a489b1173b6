"""Values that know which way they go or how steep they are, read from the words of a person.

Each class reads itself with `from_text`, as it stands in a file; there the unit must be written.

What is measured on a tractor's three-point hitch and on an implement, as it stands in the files.

A tractor's hydraulics as its manual states them or as they were gauged: [hydraulics] in machine.toml.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Literal, Self

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import Flow, Force, Mass, Pressure, Units
from fieldlog.records.machine import HitchCategory

Axis = Literal["", "along", "up"]

_DIRECTED = re.compile(
    r"^(?P<minus>[-−])?\s*(?P<size>.*?)(?:\s+(?P<word>behind|ahead|in front|above|below))?$", re.IGNORECASE | re.ASCII
)
_AGAINST = frozenset({"ahead", "in front", "below"})
_ALONG = frozenset({"behind", "ahead", "in front"})
_ANGLE = re.compile(r"^(?P<number>\d{1,3}(?:[.,]\d{1,3})?)\s*(?:deg|degrees?|°)?$", re.IGNORECASE)
_UNIT_MARKS = frozenset("'\"″′“”‘’")
STEEPEST_DEG = 45


@dataclass(frozen=True, slots=True)
class Directed:
    """A distance behind (+) or ahead of (-) something, or above (+) or below (-) it, as it was typed."""

    typed: str
    mm: Decimal
    half_width_mm: Decimal = Decimal(0)
    axis: Axis = ""

    accepted: ClassVar[Said] = said("accepted.directed")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read a distance from a file, where its unit must stand."""
        match = _DIRECTED.match(text.strip())
        size = match["size"] if match is not None else ""
        if not any(char.isalpha() or char in _UNIT_MARKS for char in size):
            raise QuantityError(said("typed.no_unit", typed=text[:40]))
        return cls._read(text, "mm")

    @classmethod
    def _read(cls, text: str, default_unit: Units) -> Self:
        match = _DIRECTED.match(" ".join(text.split()))
        if match is None or (match["minus"] and match["word"]):
            raise QuantityError(said("typed.no_distance", typed=text[:40]))
        length = parse_length(match["size"], default_unit)
        word = (match["word"] or "").lower()
        is_against = word in _AGAINST or bool(match["minus"])
        typed = f"{'-' if match['minus'] else ''}{length.typed}{f' {word}' if word else ''}"
        axis: Axis = "" if not word else "along" if word in _ALONG else "up"
        return cls(typed, -length.mm if is_against else length.mm, length.half_width_mm, axis)


def parse_directed(text: str, default_unit: Units = "mm") -> Directed:
    """Read a distance typed on the screen; without a direction it is behind, or above.

    Raises:
        QuantityError: the text is no distance; the message says what is accepted.
    """
    return Directed._read(text, default_unit)


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle in degrees, from 0 to 45: how far an implement is to lean or roll."""

    typed: str
    deg: float

    accepted: ClassVar[Said] = said("accepted.angle")

    @classmethod
    def from_text(cls, text: str) -> Self:
        """Read degrees."""
        match = _ANGLE.match(text.strip())
        value = float(match["number"].replace(",", ".")) if match is not None else -1.0
        if not 0 <= value <= STEEPEST_DEG:
            raise QuantityError(said("typed.no_angle", typed=text[:40], most=str(STEEPEST_DEG)))
        typed = text.strip()
        return cls(typed if not typed[-1].isdigit() else f"{typed} deg", value)


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


@dataclass(frozen=True, slots=True)
class Hydraulics:
    """Relief pressure, pump flow at the remotes, double-acting remotes, inside of the hose; as far as known."""

    relief: Pressure | None = None
    pump_flow: Flow | None = None
    remotes: int | None = None
    hose_inside: Length | None = None
