"""A size as data, with everything its doubt is made of."""

import math
from collections.abc import Mapping

from fieldlog.measure.estimate import Estimate

_DIGITS = 6


def size_data(estimate: Estimate | None) -> Mapping[str, object] | None:
    """Return a size with its 95 % half-width, standard uncertainty, degrees of freedom (null: infinite) and parts."""
    if estimate is None:
        return None
    return {
        "mm": number(estimate.value_mm),
        "plus_minus_mm": number(estimate.expanded_mm),
        "u_mm": number(estimate.u_mm),
        "dof": number(estimate.dof) if math.isfinite(estimate.dof) else None,
        "coverage": number(estimate.coverage),
        "parts": [
            {
                "name": part.name,
                "u_mm": number(part.u_mm),
                "dof": number(part.dof) if math.isfinite(part.dof) else None,
                "source": part.source,
                "is_limit": part.is_limit,
            }
            for part in estimate.parts
        ],
    }


def number(value: float) -> float:
    """Return a number to six decimals: a millionth of a millimetre."""
    return round(value, _DIGITS)
