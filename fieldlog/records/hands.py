"""What a gauge study found about one person with one instrument."""

import datetime

from fieldlog.records.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Hands:
    """One person's scatter with one instrument, and how far people's levels lie apart, from a study of one day.

    `between_mm` has the usual figure mixed in by degrees of freedom, since two or three people tell little.
    """

    who: str
    instrument: str
    day: datetime.date
    repeatability_mm: float
    dof: int
    between_mm: float
    between_dof: int
