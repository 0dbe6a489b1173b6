"""What a joint's clearance lets the tool's edge move, through the levers between them.

Small movements only: a clearance of a tenth of its lever arm is the most that the straight formulas hold for.

Lever ratios are straight-line ones, for a clearance up to a tenth of the lever arm; the lengths count with half the
step they were typed to. Both ends of a top link are added through one pair of lengths.
"""

from collections.abc import Sequence
from dataclasses import replace

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import limit
from fieldlog.quantity.value import Value, total
from fieldlog.records.machine import Joint, Link, Machine
from fieldlog.wear.states import JointState, ToolSlack

_MOST_SHARE = 0.1
_NEEDS_LEVERS = frozenset({"turns", "side to side", "top link"})


def edge_slack(joint: Joint, clearance: Value) -> Value | None:
    """Return how far the tool's edge moves for a clearance c, in mm; None without levers or outside their range.

    In line: c. It turns about a hinge and c is at lever arm r (a cylinder's pin): c R / r with the edge at R. Side to
    side, two bushes s apart: c R / s to each side. Top link, m above the lower pins: the implement pitches by c / m,
    which is c R / m at R behind the pins. The lever arm is r, s or m, the tool radius R. The doubt is that of c, and of
    both lengths as far as they were typed. Holds for c up to a tenth of the lever arm.

    Source: similar triangles; trade practice states the three cases with one example each.
    """
    arm, radius, way = joint.lever_arm, joint.tool_radius, joint.slack_way
    if way is None or clearance.value < 0:
        return None
    if way not in _NEEDS_LEVERS:
        return clearance
    if arm is None or radius is None or arm.mm <= 0 or radius.mm <= 0:
        return None
    if clearance.value > _MOST_SHARE * float(arm.mm):
        return None
    moved = clearance * float(radius.mm / arm.mm)
    arm_share, radius_share = (_share(length, moved.value) for length in (arm, radius))
    return moved.within(
        limit(f"{joint.id}/lever arm", arm_share, "typing", label="lever arm", why=f"typed {arm.typed}"),
        limit(f"{joint.id}/tool radius", radius_share, "typing", label="tool radius", why=f"typed {radius.typed}"),
    )


def _share(length: Length, moved_mm: float) -> float:
    """Return what the typing of a lever's length leaves open in what it moves."""
    return moved_mm * float(length.half_width_mm / length.mm)


def joint_clearance(state: JointState) -> Value | None:
    """Return the largest clearance of a joint's holes as last measured since they were made new."""
    found = [
        next((point.value for point in reversed(trend.points) if point.part == trend.last_part), None)
        for trend in state.trends
        if trend.of == "clearance"
    ]
    return max((value for value in found if value is not None), key=lambda value: value.value, default=None)


def with_tool_slack(joints: Sequence[JointState], machine: Machine) -> tuple[JointState, ...]:
    """Return the joints with the slack that each gives the tool."""
    if not any(state.joint.slack_way for state in joints):
        return tuple(joints)
    return tuple(replace(state, slack=_slack(state, joints, machine)) for state in joints)


def _slack(state: JointState, joints: Sequence[JointState], machine: Machine) -> ToolSlack | None:
    clearance = joint_clearance(state)
    own = edge_slack(state.joint, clearance) if clearance is not None else None
    if clearance is None or own is None:
        return None
    slack = ToolSlack(state.joint, clearance, own)
    others = _others(state, joints, machine)
    if not others:
        return slack
    theirs = [known for other in others if (known := joint_clearance(other)) is not None]
    whole = edge_slack(state.joint, total(*((one, 1.0) for one in (clearance, *theirs)))) if theirs else None
    return replace(slack, together=whole, others=len(theirs), is_whole=len(theirs) == len(others))


def _others(state: JointState, joints: Sequence[JointState], machine: Machine) -> tuple[JointState, ...]:
    """Return the joints whose slack adds to this one's: in line all of them, of a top link its other end."""
    way, own = state.joint.slack_way, state.joint.id
    if way == "in line":
        return tuple(other for other in joints if other.joint.slack_way == way and other.joint.id != own)
    if way != "top link":
        return ()
    ends = {joint for link in machine.links for joint in _ends(link, machine) if own in _ends(link, machine)}
    return tuple(other for other in joints if other.joint.id in ends - {own})


def _ends(link: Link, machine: Machine) -> frozenset[str]:
    return frozenset(hole.joint for hole in machine.holes if hole.id in {link.near_hole, link.far_hole})


def slack_said(slack: ToolSlack) -> Said:
    """Say what a clearance is worth at the tool's edge."""
    return said("finding.slack", slack=slack)
