"""Where on a hole the jaws stood, as hours on a clock face.

12 o'clock points along a loose link away from its other end, or straight up on a fixed bore, seen from the
left side of the machine. A caliper spans the hole, so 7:30 is the same line as 1:30.
"""

import re
from dataclasses import dataclass

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import said
from fieldlog.quantity.text import shortened

FULL_SET = ("12", "1:30", "3", "4:30")
_CLOCK = re.compile(r"^(?P<hour>\d{1,2})(?::(?P<minute>[0-5]\d))?$", re.ASCII)
_LAST_HOUR = 12
ACCEPTED_CLOCK = said("accepted.clock")


@dataclass(frozen=True, slots=True)
class Clock:
    """A line across the hole: the hours as typed and the angle from the 12-6 line, clockwise, 0 to under 180."""

    typed: str
    angle_deg: float


def parse_clock(text: str) -> Clock:
    """Read a clock position such as 12, 1:30 or 7:30.

    Raises:
        QuantityError: the text is no clock position.
    """
    typed = text.strip()
    match = _CLOCK.match(typed)
    hour = int(match["hour"]) if match else 0
    if match is None or not 1 <= hour <= _LAST_HOUR:
        raise QuantityError(said("typed.no_clock", typed=shortened(typed)), ACCEPTED_CLOCK)
    minutes = (hour % _LAST_HOUR) * 60 + int(match["minute"] or 0)
    return Clock(typed, (minutes / 2.0) % 180.0)


def point_deg(clock: Clock) -> float:
    """Return the angle of a point on the rim, clockwise from 12, 0 to under 360: there 6 is not 12."""
    hour, _, minute = clock.typed.partition(":")
    return (int(hour) % _LAST_HOUR) * 30.0 + int(minute or 0) / 2.0


def clock_text(angle_deg: float) -> str:
    """Return the line nearest to an angle as both its ends, to the half hour: 0 is '12-6', 45 is '1:30-7:30'."""
    half_hours = round((angle_deg % 180.0) / 15.0) % 12
    return f"{_hours(half_hours)}-{_hours(half_hours + 12)}"


def apart_deg(first: float, second: float) -> float:
    """Return the angle between two lines, 0 to 90 degrees."""
    gap = abs(first - second) % 180.0
    return min(gap, 180.0 - gap)


def near_clock(angle_deg: float) -> str:
    """Return the line nearest to an angle by its upper end, to the quarter hour: 22.5 is '12:45'."""
    quarters = round((angle_deg % 180.0) / 7.5) % 24
    hour, minute = divmod(quarters * 15, 60)
    return f"{hour or _LAST_HOUR}:{minute:02d}" if minute else f"{hour or _LAST_HOUR}"


def _hours(half_hours: int) -> str:
    hour = (half_hours // 2) % _LAST_HOUR or _LAST_HOUR
    return f"{hour}:30" if half_hours % 2 else str(hour)
