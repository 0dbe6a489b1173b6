"""Which limit a joint is judged by, in millimetres, and who says so."""

from collections.abc import Iterable

from fieldlog.records.machine import Joint, Limit, Logbook, Machine, Share
from fieldlog.records.quantities import Length
from fieldlog.standards.joints import DEFAULT_ORIGIN, JOINT_DEFAULTS, PIN_RENEW_SHARE, PIN_WATCH_SHARE
from fieldlog.wear.states import LimitInForce


def limits_in_force(
    joint: Joint, hole_id: str, machine: Machine, logbook: Logbook, pin_mm: float
) -> tuple[LimitInForce, ...]:
    """Return the limits for one hole of a joint; a clearance limit is always among them.

    The nearest one counts: the hole's own, then the joint's, then the machine's for the kind of joint, then
    the logbook's for the kind, then usual practice.
    """
    found: dict[str, LimitInForce] = {}
    for limit in _nearest_first(joint, hole_id, machine, logbook):
        found.setdefault(limit.of, _in_mm(limit, pin_mm))
    found.setdefault("clearance", default_clearance(joint, pin_mm))
    return tuple(found.values())


def _nearest_first(joint: Joint, hole_id: str, machine: Machine, logbook: Logbook) -> Iterable[Limit]:
    own = machine.limits
    yield from (limit for limit in own if limit.hole and limit.hole == hole_id)
    yield from (limit for limit in own if not limit.hole and limit.joint == joint.id)
    yield from (limit for limit in own if not limit.hole and not limit.joint and limit.kind == joint.kind)
    yield from (limit for limit in logbook.limits if limit.kind == joint.kind)


def _in_mm(limit: Limit, pin_mm: float) -> LimitInForce:
    watch_mm = _mm(limit.watch, pin_mm) if limit.watch is not None else None
    return LimitInForce(limit.of, watch_mm, _mm(limit.renew, pin_mm), limit.origin)


def _mm(value: Length | Share, pin_mm: float) -> float:
    return float(value.mm) if isinstance(value, Length) else float(value.percent) / 100 * pin_mm


def default_clearance(joint: Joint, pin_mm: float) -> LimitInForce:
    """Return the usual clearance limits of a kind of joint: the smaller of a length and a share of the pin."""
    usual = JOINT_DEFAULTS[joint.kind]
    renew, share = usual.renew_mm, usual.renew_share
    words = f"{usual.renew_mm:g} mm"
    if share is not None:
        words = f"smaller of {usual.renew_mm:g} mm and {share * 100:g} % of the pin"
        renew = min(renew, share * pin_mm)
    watch = usual.watch_mm if usual.watch_share is None else min(usual.watch_mm, usual.watch_share * pin_mm)
    return LimitInForce("clearance", min(watch, renew), renew, f"{words}: {DEFAULT_ORIGIN}")


def default_pin_wear(pin_mm: float) -> LimitInForce:
    """Return the usual limit for what may be worn off a pin."""
    origin = f"{PIN_RENEW_SHARE * 100:g} % of the pin: {DEFAULT_ORIGIN}"
    return LimitInForce("pin", PIN_WATCH_SHARE * pin_mm, PIN_RENEW_SHARE * pin_mm, origin)
