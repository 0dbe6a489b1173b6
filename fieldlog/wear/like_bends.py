"""Like joints of one machine looked at together, whether they wear faster and faster.

One joint's few days seldom prove that its line bends; four joints that all bend a little do. Looked at are the squared
terms of the parabolas, each over its own doubt.
"""

import math
from collections.abc import Iterable

from fieldlog.measure.distributions import normal_quantile, t_cdf
from fieldlog.records.machine import JointKind
from fieldlog.wear.rates import main_trend
from fieldlog.wear.states import JointState

FEWEST_JOINTS = 3
_SURE = 0.975
_TAIL = 1e-9


def kinds_that_speed_up(joints: Iterable[JointState]) -> frozenset[JointKind]:
    """Return the kinds of joints of a machine that are proved, together, to wear faster and faster.

    Each joint's squared term over its doubt is turned into a normal score z by its own t; their sum over the root of
    their number is a normal score again (S. A. Stouffer et al. 1949, from memory), to be over that of 97.5 %. From
    three joints on, each by its clearance; the joints are taken to be measured independently of each other.
    """
    scores: dict[JointKind, list[float]] = {}
    for joint in joints:
        trend = main_trend(joint)
        if trend is not None and trend.bend is not None:
            scores.setdefault(joint.joint.kind, []).append(_score(*trend.bend))
    limit = normal_quantile(_SURE)
    return frozenset(
        kind
        for kind, found in scores.items()
        if len(found) >= FEWEST_JOINTS and math.fsum(found) / math.sqrt(len(found)) > limit
    )


def _score(ratio: float, dof: float) -> float:
    return normal_quantile(min(max(t_cdf(ratio, dof), _TAIL), 1 - _TAIL))
