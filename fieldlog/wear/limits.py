"""Which limit a joint is judged by, in millimetres, and who says so."""

from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.records.machine import Joint, Limit, Logbook, Machine, Share
from fieldlog.standards.joints import JOINT_DEFAULTS, PIN_LIMITS, PIN_WATCH, Line
from fieldlog.wear.verdicts import LimitInForce

WATCH_SHARE = 0.65  # of a limit that comes without a watch line: act at 60 to 70 %, common practice


@dataclass(frozen=True, slots=True)
class LimitBasis:
    """What shares are taken of: the pin's nominal size, and the hole's smallest size as the nearest to as made."""

    pin_mm: float | None
    hole_mm: float | None


def limits_in_force(
    joint: Joint, hole_id: str, machine: Machine, logbook: Logbook, basis: LimitBasis
) -> tuple[LimitInForce, ...]:
    """Return the limits for one hole of a joint, one for each thing that is limited.

    The nearest one counts: the hole's own, then the joint's, then the machine's for the kind of joint, then the
    logbook's for the kind, then usual practice. Usual practice stands back where the owner limits the clearance
    or the bore. A share needs the pin's size; without it that limit is left out.
    """
    found: dict[str, LimitInForce] = {}
    for limit in nearest_first(joint, hole_id, machine, logbook):
        if limit.of == "bush wall":  # a share of its own wall, judged apart
            continue
        in_mm = _in_mm(limit, basis)
        if limit.of not in found and in_mm is not None:
            found[limit.of] = in_mm
    if "clearance" not in found and "bore" not in found:
        usual = default_limit(joint, basis)
        if usual is not None:
            found[usual.of] = usual
    return tuple(found.values())


def nearest_first(joint: Joint, hole_id: str, machine: Machine, logbook: Logbook) -> Iterable[Limit]:
    """Yield the limits that may hold for a hole of a joint, the nearest first."""
    own = machine.limits
    yield from (limit for limit in own if limit.hole and limit.hole == hole_id)
    yield from (limit for limit in own if not limit.hole and limit.joint == joint.id)
    for limits in (own, logbook.limits):
        general = [limit for limit in limits if not limit.hole and not limit.joint]
        yield from (limit for limit in general if limit.kind == joint.kind)
        yield from (limit for limit in general if limit.kind is None)


def _in_mm(limit: Limit, basis: LimitBasis) -> LimitInForce | None:
    renew_mm = _mm(limit.renew, limit.of, basis.pin_mm)
    if renew_mm is None:
        return None
    watch_mm = _mm(limit.watch, limit.of, basis.pin_mm) if limit.watch is not None else None
    if watch_mm is None and limit.of == "clearance":
        origin = said("finding.with_usual_watch", typed=limit.origin, share=WATCH_SHARE)
        return LimitInForce(limit.of, WATCH_SHARE * renew_mm, renew_mm, origin)
    return LimitInForce(limit.of, watch_mm, renew_mm, limit.origin)


def _mm(value: Length | Share, of: str, pin_mm: float | None) -> float | None:
    """Return a limit in mm; a share of a bore is over the pin, a share of a pin is under its nominal size."""
    if isinstance(value, Length):
        return float(value.mm)
    if pin_mm is None:
        return None
    share_mm = float(value.percent) / 100 * pin_mm
    return {"bore": pin_mm + share_mm, "pin": pin_mm - share_mm}.get(of, share_mm)


def default_limit(joint: Joint, basis: LimitBasis) -> LimitInForce | None:
    """Return the usual limit of a kind of joint: of its clearance, or of a drawbar's hole against itself as made."""
    usual = JOINT_DEFAULTS[joint.kind]
    if joint.kind == "drawbar":
        return _drawbar_hole(basis)
    if basis.pin_mm is None:
        return None
    watch_mm, renew_mm = usual.watch.at_mm(basis.pin_mm), usual.renew.at_mm(basis.pin_mm)
    return LimitInForce("clearance", watch_mm, renew_mm, _usual(usual.renew))


def _drawbar_hole(basis: LimitBasis) -> LimitInForce | None:
    """A hole worn all round is no witness of itself as made; its pin and the widest usual fit bound it then."""
    usual = JOINT_DEFAULTS["drawbar"]
    widest_mm = basis.pin_mm + usual.new_most_mm if basis.pin_mm is not None else float("inf")
    as_made_mm = min(basis.hole_mm if basis.hole_mm is not None else float("inf"), widest_mm)
    if as_made_mm == float("inf"):
        return None
    watch_mm = as_made_mm + usual.watch.at_mm(as_made_mm)
    origin = said("finding.usual_growth", line=usual.renew)
    return LimitInForce("bore", watch_mm, as_made_mm + usual.renew.at_mm(as_made_mm), origin)


def pin_limit(joint: Joint, limits: Iterable[LimitInForce], pin_mm: float) -> LimitInForce:
    """Return how much may be worn off a pin, from the limit on its diameter in force, else from usual practice."""
    own = next((limit for limit in limits if limit.of == "pin"), None)
    if own is not None:
        watch_mm = pin_mm - own.watch_mm if own.watch_mm is not None else None
        return LimitInForce("pin", watch_mm, pin_mm - own.renew_mm, own.origin)
    usual = PIN_LIMITS[joint.kind]
    return LimitInForce("pin", PIN_WATCH.at_mm(pin_mm), usual.at_mm(pin_mm), _usual(usual))


def _usual(line: Line) -> Said:
    return said("finding.usual_line", line=line)
