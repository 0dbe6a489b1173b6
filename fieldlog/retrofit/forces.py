"""Force in the top link and the lift rods of a carried implement, and what the hitch can lift at each height.

Statics in the side view: the implement is held by the top link along its own line and by the balls; the lower links
by their pivots, the balls and the lift rods. Friction and the links' own weight are left out. Tension is positive.
Forces in kN, back and up positive; places in mm. A road bounce makes two to three times the standing force of it.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

from fieldlog.retrofit.lift import arm_at, arm_end, lift_rate_mm_per_rad, rod_hole
from fieldlog.retrofit.linkage import Linkage, Offset, Pose, pitch_by_height_deg_per_mm, pose_at
from fieldlog.retrofit.plane import CannotReach, Point

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
