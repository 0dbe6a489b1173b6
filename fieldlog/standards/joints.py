"""Usual clearances and wear limits by kind of joint, for when the machine's manual is not at hand.

A synthesis of the limits that workshop manuals of small machines print; common practice, no single source.
The machine's own manual outranks every one of them.
"""

from types import MappingProxyType
from typing import NamedTuple

DEFAULT_ORIGIN = "usual practice, not the machine's manual"
PIN_RENEW_SHARE = 0.05  # of the nominal diameter: common practice, no source
PIN_WATCH_SHARE = 0.02  # of the nominal diameter: common practice, no source


class JointDefaults(NamedTuple):
    """Clearance in mm when new (least, most), and the lines to watch and to renew at, in mm and as a share."""

    new_least_mm: float
    new_most_mm: float
    watch_mm: float
    watch_share: float | None
    renew_mm: float
    renew_share: float | None


JOINT_DEFAULTS = MappingProxyType(
    {
        "pivot": JointDefaults(0.0, 0.2, 0.25, 0.007, 0.5, 0.01),
        "bushed": JointDefaults(0.03, 0.5, 0.6, 0.02, 1.0, 0.035),
        "hitch": JointDefaults(0.2, 1.0, 1.5, None, 2.0, 0.08),
        "drawbar": JointDefaults(0.2, 1.5, 1.0, 0.03, 2.0, 0.06),
    }
)
SAFETY_KINDS = frozenset({"pivot", "drawbar"})
WORST_WEAR_MM = 1.5  # most wear that a hole is assumed to have had when its pin is guessed: common practice
