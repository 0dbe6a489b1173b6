"""What wear is reckoned along: hours of the meter, days of the calendar or days in use, and how they come to a date."""

import datetime
import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from fieldlog.records.in_use import InUse

Axis = Literal["hours", "days", "days in use"]
UNITS: Mapping[str, str] = MappingProxyType({"hours": "h", "days": "calendar days", "days in use": "days in use"})
DAYS_A_YEAR = 365.25
FEWEST_DAYS = 3  # measuring days from which on a line foretells anything
_FARTHEST = datetime.date(2200, 1, 1)


def day_after(start: datetime.date, years: float, in_use: InUse | None) -> datetime.date | None:
    """Return the day by which so many years of work lie after a day, None when it lies too far."""
    if in_use is not None:
        found = in_use.day_after(start, years * in_use.per_year)
        return found if found is not None and found <= _FARTHEST else None
    days = years * DAYS_A_YEAR
    if days > (_FARTHEST - start).days or days < (datetime.date.min - start).days:
        return None
    return start + datetime.timedelta(days=round(days))


def rounded(x: float) -> str:
    """Return hours or days as they are said: to two digits, three from 1000 on."""
    if x < 10:
        return f"{x:.0f}"
    digits = math.floor(math.log10(x)) + 1
    step = 10 ** max(digits - (3 if x >= 1000 else 2), 0)
    return f"{round(x / step) * step:.0f}"
