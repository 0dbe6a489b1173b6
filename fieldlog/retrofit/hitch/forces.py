"""Force in the top link and the lift rods of a carried implement, and what the hitch can lift at each height.

Statics in the side view: the implement is held by the top link along its own line and by the balls; the lower links
by their pivots, the balls and the lift rods. Friction and the links' own weight are left out. Tension is positive.
Forces in kN, back and up positive; places in mm. A road bounce makes two to three times the standing force of it.

The PTO shaft between tractor and implement: joint angles, length, overlap, and how unevenly it turns.

What hangs on a hitch as figures with their doubt: weight, centre of gravity, the ground's push, the PTO's joint.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.hitch import Directed, Implement
from fieldlog.retrofit.carried import PLUMBED_MM, TAPED_MM, Given, Values, measured, own_limit, usual_figure
from fieldlog.retrofit.hitch.lift import arm_at, arm_end, lift_rate_mm_per_rad, rod_hole
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Point,
    Pose,
    direction_deg,
    distance_mm,
    pitch_by_height_deg_per_mm,
    pose_at,
    with_top_link,
)

G_KN_PER_KG = 9.80665e-3  # standard acceleration of free fall, exact by definition (ISO 80000-3)
BOUNCE = 2.5  # standing force times this on the road: common practice, two to three
BEHIND_MM = 610.0  # where lift capacity is stated behind the balls (ISO 789-2)


class Push(NamedTuple):
    """A force on the implement at one of its points: back and up positive, in kN."""

    back_kn: float
    up_kn: float
    at: Offset


@dataclass(frozen=True, slots=True)
class Load:
    """An implement's weight, where its centre of gravity is, and what else pushes on it."""

    weight_kg: float
    centre: Offset
    pushes: tuple[Push, ...] = ()


class TopLinkForces(NamedTuple):
    """The top link's force carried, and with a push along the ground one way and the other."""

    carried_kn: float
    pulled_kn: float
    pushed_kn: float

    @property
    def reverses(self) -> bool:
        """Tell whether the link is pulled at one time and pushed at another, so that both ways must be held."""
        return min(self) < 0 < max(self)

    @property
    def exactly(self) -> "TopLinkSizes":
        """The same without asking how sure they are, which takes time."""
        return TopLinkSizes(*(exactly(kn, "kN") for kn in self))


class TopLinkSizes(NamedTuple):
    """The same three forces with their doubt."""

    carried: Value
    pulled: Value
    pushed: Value

    @property
    def reverses(self) -> bool:
        """Tell whether the link is pulled at one time and pushed at another, as the forces stand."""
        return min(force.value for force in self) < 0 < max(force.value for force in self)

    @property
    def surely_reverses(self) -> bool:
        """Tell whether the link is pulled and pushed by more than the doubt of either force."""
        return all(any(sign * force.value > force.plus_minus for force in self) for sign in (1, -1))


def all_pushes(load: Load) -> tuple[Push, ...]:
    """Return the weight and everything else that pushes."""
    return (Push(0.0, -load.weight_kg * G_KN_PER_KG, load.centre), *load.pushes)


def top_link_kn(linkage: Linkage, height_mm: float, load: Load) -> float | CannotReach:
    """Return the top link's tension: T = -(moments of all forces about the ball) / (r_D x u), u from D to B.

    With the weight alone and link and mast square, T = W x_cg / m.
    """
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    moment = sum(_moment(pose.ball, pose.place(push.at), push.back_kn, push.up_kn) for push in all_pushes(load))
    ux, uy = _unit(pose.upper, linkage.bracket)
    lever_mm = _moment(pose.ball, pose.upper, ux, uy)
    return -moment / lever_mm if abs(lever_mm) > 1e-6 else math.copysign(math.inf, -moment)


def lift_rods_kn(linkage: Linkage, height_mm: float, load: Load) -> float | CannotReach:
    """Return the tension of both lift rods together, by moments of the lower links about their pivot."""
    pose, top = pose_at(linkage, height_mm), top_link_kn(linkage, height_mm, load)
    arm, low = arm_at(linkage, height_mm), rod_hole(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    if isinstance(top, CannotReach) or isinstance(arm, CannotReach) or isinstance(low, CannotReach):
        return next(found for found in (top, arm, low) if isinstance(found, CannotReach))
    ux, uy = _unit(pose.upper, linkage.bracket)
    back_kn = top * ux + sum(push.back_kn for push in all_pushes(load))
    up_kn = top * uy + sum(push.up_kn for push in all_pushes(load))
    lever_mm = _moment(linkage.lower_pivot, low, *_unit(low, arm_end(linkage, arm)))
    moment = _moment(linkage.lower_pivot, pose.ball, back_kn, up_kn)
    return -moment / lever_mm if abs(lever_mm) > 1e-6 else math.copysign(math.inf, -moment)


def pushed_kn(linkage: Linkage, height_mm: float, load: Load, push_kn: float, at: Offset) -> float | CannotReach:
    """Return the top link's tension with a push along the ground at a point, backwards positive."""
    pushed = Load(load.weight_kg, load.centre, (*load.pushes, Push(push_kn, 0.0, at)))
    return top_link_kn(linkage, height_mm, pushed)


def with_ground_push(
    linkage: Linkage, height_mm: float, load: Load, push_kn: float, at: Offset
) -> TopLinkForces | CannotReach:
    """Return the top link's force carried, with the ground pushing the implement forward, and with it pushing back.

    Pushed forward is what backing up with the blade down does; it adds tension when it acts below the balls.
    """
    found = []
    for force_kn in (0.0, -push_kn, push_kn):
        top = pushed_kn(linkage, height_mm, load, force_kn, at)
        if isinstance(top, CannotReach):
            return top
        found.append(top)
    return TopLinkForces(*found)


def rise_of_point(linkage: Linkage, pose: Pose, at: Offset) -> float | CannotReach:
    """Return how far a point of the implement rises for each mm that the balls rise, the link keeping its length."""
    rate = pitch_by_height_deg_per_mm(linkage, pose.ball.y_mm)
    if isinstance(rate, CannotReach):
        return rate
    place = pose.place(at)
    return 1.0 - (place.x_mm - pose.ball.x_mm) * math.radians(rate)


def lift_share(
    linkage: Linkage, height_mm: float, reference_mm: float, at: Offset | None = None
) -> float | CannotReach:
    """Return what the hitch lifts at a height as a share of what it lifts at the balls at a reference height.

    Capacity times vertical travel is constant (virtual work with the same torque at the rockshaft), so the share is
    the balls' rise a radian of lift arm at the reference over the point's rise here.
    """
    here, there = _rise_at(linkage, height_mm), _rise_at(linkage, reference_mm)
    if isinstance(here, CannotReach):
        return here
    if isinstance(there, CannotReach):
        return there
    if at is None:
        return there / here
    pose = pose_at(linkage, height_mm)
    rise = pose if isinstance(pose, CannotReach) else rise_of_point(linkage, pose, at)
    return rise if isinstance(rise, CannotReach) else there / (here * rise)


def _rise_at(linkage: Linkage, height_mm: float) -> float | CannotReach:
    arm = arm_at(linkage, height_mm)
    return arm if isinstance(arm, CannotReach) else lift_rate_mm_per_rad(linkage, arm)


def _unit(start: Point, end: Point) -> tuple[float, float]:
    length_mm = math.hypot(end.x_mm - start.x_mm, end.y_mm - start.y_mm)
    return (end.x_mm - start.x_mm) / length_mm, (end.y_mm - start.y_mm) / length_mm


def _moment(about: Point, at: Point, back_kn: float, up_kn: float) -> float:
    return (at.x_mm - about.x_mm) * up_kn - (at.y_mm - about.y_mm) * back_kn


GOOD_DEG = 15.0  # trade figures: run up to this if you can
CONTINUOUS_DEG = 25.0  # trade figures: at most this while it works
MOMENTARY_DEG = 45.0  # trade figures: for a moment, unloaded
OVERLAP_MM = 150.0  # trade figures: 6 in of overlap at the longest
ROOM_MM = 25.0  # trade figures: 1 to 2 in left to close at the shortest

AngleWord = Literal["good", "allowed", "PTO off", "too much"]


class Shaft(NamedTuple):
    """The shaft at one position of the hitch."""

    length_mm: float
    tractor_deg: float
    implement_deg: float

    @property
    def steepest_deg(self) -> float:
        """The larger joint angle, without its sign."""
        return max(abs(self.tractor_deg), abs(self.implement_deg))

    @property
    def exactly(self) -> "ShaftSize":
        """The same without asking how sure it is, which takes time."""
        return ShaftSize(
            exactly(self.length_mm, "mm"), exactly(self.tractor_deg, "deg"), exactly(self.implement_deg, "deg")
        )


class ShaftSize(NamedTuple):
    """The shaft at one position with its doubt."""

    length: Value
    tractor: Value
    implement: Value

    @property
    def steepest_deg(self) -> float:
        """The larger joint angle, without its sign."""
        return max(abs(self.tractor.value), abs(self.implement.value))


class ShaftSizes(NamedTuple):
    """A telescoping shaft pushed fully together: joint to joint, and how far its halves overlap then."""

    closed_mm: float
    overlap_mm: float

    def overlap_at(self, length_mm: float) -> float:
        """Return the overlap left at a length; below zero it has come apart."""
        return self.overlap_mm - (length_mm - self.closed_mm)


@dataclass(frozen=True, slots=True)
class Slip:
    """What the shaft must take up over a field of positions: its shortest and longest, and its steepest joint."""

    shortest_mm: float
    longest_mm: float
    steepest_deg: float

    @property
    def slip_mm(self) -> float:
        """How far it must telescope."""
        return self.longest_mm - self.shortest_mm


def shaft_at(linkage: Linkage, height_mm: float, stub: Point, joint: Offset) -> Shaft | CannotReach:
    """Return length and joint angles: tractor angle d = direction of the shaft, implement angle d + pitch."""
    pose = pose_at(linkage, height_mm)
    if isinstance(pose, CannotReach):
        return pose
    place = pose.place(joint)
    rising_deg = direction_deg(stub, place)
    return Shaft(distance_mm(stub, place), rising_deg, rising_deg + pose.pitch_deg)


def residual_deg(tractor_deg: float, implement_deg: float) -> float:
    """Return the angle of the one joint that would turn as unevenly as two in one plane: sqrt |b1^2 - b2^2|.

    Small-angle form for joints in phase, forks in line; from memory, as the trade gives it.
    """
    return math.sqrt(abs(tractor_deg**2 - implement_deg**2))


def unevenness(residual: float) -> float:
    """Return the swing of speed, largest less smallest, as a share of the mean: 1/cos b - cos b; below 90 degrees.

    A single joint turns its far end between cos b and 1/cos b of its speed (Cardan joint).
    """
    if residual >= 90:
        return math.inf
    cosine = math.cos(math.radians(residual))
    return 1 / cosine - cosine


def angle_word(steepest_deg: float) -> AngleWord:
    """Return what a joint angle allows, by the trade's figures."""
    if steepest_deg <= GOOD_DEG:
        return "good"
    if steepest_deg <= CONTINUOUS_DEG:
        return "allowed"
    return "PTO off" if steepest_deg <= MOMENTARY_DEG else "too much"


def slip(
    linkage: Linkage, lengths_mm: Iterable[float], heights_mm: Iterable[float], stub: Point, joint: Offset
) -> Slip | None:
    """Return what the shaft must take up over all these lengths and heights; None where none can be reached."""
    heights = tuple(heights_mm)
    found = [
        shaft
        for at_length in (with_top_link(linkage, length_mm) for length_mm in lengths_mm)
        for height_mm in heights
        if isinstance(shaft := shaft_at(at_length, height_mm, stub, joint), Shaft)
    ]
    if not found:
        return None
    lengths = [shaft.length_mm for shaft in found]
    return Slip(min(lengths), max(lengths), max(shaft.steepest_deg for shaft in found))


WEIGHT_SHARE = 0.05  # of a written weight: oil, mud and what is bolted on
CENTRE_MM = 50.0  # a centre of gravity found by lifting, or by eye
CENTRE_UP_MM = 200.0  # the same where nobody wrote its height: taken level with the lower pins
PUSH_SHARE = 0.25  # of the most that the ground is thought to push
_LENGTHS = (
    ("joint_behind", "pto_behind", "implement's PTO joint, behind", PLUMBED_MM),
    ("joint_above", "pto_above", "implement's PTO joint, above", PLUMBED_MM),
    ("shaft_closed", "shaft_closed", "PTO shaft, closed", TAPED_MM),
    ("shaft_overlap", "shaft_overlap", "PTO shaft, overlap", TAPED_MM),
)


def stated(value: float, share: float, unit: str, name: str, typed: str, given_id: str = "") -> Given:
    """Return a figure that is written down and believed within a share of itself."""
    words = name, "", f"as written, ± {share * 100:g} %, common practice"
    term = own_limit(given_id or name, value * share, "stated", words)
    return Given(value, (term,), name, typed=(f"{name}: {typed}",), unit=unit, id=given_id)


def implement_figures(item: Implement | None) -> dict[str, Given]:
    """Return what is written of an implement's weight, push and shaft; without weight or centre there is no load."""
    if item is None:
        return {}
    found: dict[str, Given] = {}
    own = f"implement/{item.id}"
    if item.weight is not None and item.centre_behind is not None:
        found["weight"] = stated(
            item.weight.kg, WEIGHT_SHARE, "kg", "implement's weight", item.weight.typed, f"{own}/weight"
        )
        found["centre_behind"] = _centre(item.centre_behind, "centre of gravity, behind", f"{own}/centre_behind")
        found["centre_above"] = (
            _centre(item.centre_above, "centre of gravity, above", f"{own}/centre_above")
            if item.centre_above is not None
            else usual_figure(0.0, CENTRE_UP_MM, "centre of gravity, above", given_id=f"{own}/centre_above")
        )
        found |= _push(item)
    for key, attribute, name, tape_mm in _LENGTHS:
        size: Length | Directed | None = getattr(item, attribute)
        if size is not None:
            found[key] = measured(size, f"{own}/{key}", name, tape_mm)
    return found


def _centre(size: Directed, name: str, given_id: str) -> Given:
    words = name, "", f"± {CENTRE_MM:g} mm, found by lifting or by eye, common practice"
    term = own_limit(given_id, CENTRE_MM, "setting", words)
    return Given(float(size.mm), (term,), name, typed=(f"{name}: {size.typed}",), id=given_id)


def _push(item: Implement) -> dict[str, Given]:
    kn, typed = (item.push.kn, item.push.typed) if item.push is not None else (0.0, "none written")
    below = item.push_below
    own = f"implement/{item.id}"
    found = {"push": stated(kn, PUSH_SHARE, "kN", "ground's push", typed, f"{own}/push")}
    found["push_below"] = (
        measured(below, f"{own}/push_below", "ground's push, below the balls", PLUMBED_MM)
        if below is not None
        else Given(0.0, (), "ground's push, below the balls")
    )
    return found


def load_of_values(values: Values) -> Load | None:
    """Return the implement's weight and centre of plain numbers; None where they are not written."""
    if "weight" not in values:
        return None
    return Load(values["weight"], Offset(values["centre_behind"], values["centre_above"]))


def push_of_values(values: Values) -> tuple[float, Offset]:
    """Return the most that the ground pushes, in kN, and where."""
    return values["push"], Offset(0.0, -values["push_below"])


def joint_of_values(values: Values) -> Offset | None:
    """Return where the implement's PTO input joint is."""
    if "joint_behind" not in values or "joint_above" not in values:
        return None
    return Offset(values["joint_behind"], values["joint_above"])


def shaft_of_values(values: Values) -> ShaftSizes | None:
    """Return the PTO shaft's own sizes where they are written."""
    if "shaft_closed" not in values or "shaft_overlap" not in values:
        return None
    return ShaftSizes(values["shaft_closed"], values["shaft_overlap"])
