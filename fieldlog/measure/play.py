"""Clearance in place, without pulling the pin: how far the joint moves on it, or which feeler enters beside it."""

import statistics
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from fieldlog.measure.estimate import Estimate, Part
from fieldlog.records.entries import Play, PlayBy

# half-widths in mm within which one such measuring is right: common practice, no source
_LIMITS_MM: Mapping[PlayBy, float] = MappingProxyType({"dial": 0.1, "marks": 0.4, "rocked": 0.8, "feeler": 0.08})
_WORDS: Mapping[PlayBy, str] = MappingProxyType(
    {
        "dial": "dial, joint pried",
        "marks": "two marks and a rule",
        "rocked": "rocked, judged by eye",
        "feeler": "feeler",
    }
)


def clearance_in_place(plays: Sequence[Play]) -> Estimate | None:
    """Return the middle of several plays (or feelers) of one day, None without any.

    The parts are the way it was taken, as a rectangle of its usual limit (GUM 4.3.7), and half the spread of the
    repeats, as a rectangle too: three repeats are too few for a standard deviation.
    """
    if not plays:
        return None
    sizes = [float(play.size.mm) for play in plays]
    widest = max((play.by for play in plays), key=_LIMITS_MM.__getitem__)
    limit_mm = max(_LIMITS_MM[widest], float(max(play.size.half_width_mm for play in plays)))
    parts = [Part(_WORDS[widest], limit_mm / 3**0.5, float("inf"), f"usual ± {limit_mm:g} mm, common practice")]
    spread_mm = (max(sizes) - min(sizes)) / 2
    if spread_mm > 0:
        parts.append(Part("repeats", spread_mm / 3**0.5, float("inf"), f"half their spread, {len(sizes)} repeats"))
    return Estimate(statistics.median(sizes), tuple(parts))
