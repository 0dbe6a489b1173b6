"""What a size has grown from one measuring to another, with the doubt of both and of who measured."""

import datetime
import math
from typing import NamedTuple

from fieldlog.measure.estimate import Estimate, Part, difference_of_days
from fieldlog.measure.instruments import USUAL_BETWEEN_PEOPLE_MM, USUAL_REPEATABILITY_DOF
from fieldlog.measure.worth import PEOPLE_DIFFER


class Seen(NamedTuple):
    """A size as one person measured it on one day."""

    size: Estimate
    day: datetime.date
    who: str


def growth(now: Seen, before: Seen) -> Estimate:
    """Return how much larger a size is now; what both days share cancels, the rest is named with its day.

    Two people with one caliper read differently. Where a gauge study says by how much, that is in their sizes; the
    usual figure stands in for whoever was in none.
    """
    change = difference_of_days((now.size, now.day), (before.size, before.day))
    unknown = [seen for seen in (now, before) if all(part.name != PEOPLE_DIFFER for part in seen.size.parts)]
    if now.who == before.who or not unknown:
        return change
    u_mm = USUAL_BETWEEN_PEOPLE_MM * math.sqrt(len(unknown))
    source = f"{now.who} and {before.who}; usual figure, common practice: a gauge study tells it"
    return Estimate(change.value_mm, (*change.parts, Part(PEOPLE_DIFFER, u_mm, USUAL_REPEATABILITY_DOF, source)))
