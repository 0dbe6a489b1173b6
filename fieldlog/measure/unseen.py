"""What the lines across a hole cannot see of its shape, as a part of its doubt that belongs to that hole.

Two crossed lines see an oval along one of them and miss one that lies between them completely.
"""

import datetime
import math
from dataclasses import replace
from typing import TYPE_CHECKING

from fieldlog.measure.estimate import Estimate, Part, limit_of

if TYPE_CHECKING:
    from fieldlog.measure.hole import FaceShape

UNSEEN_OVALITY_MM = 0.15  # largest less smallest that may lie between two crossed lines: common practice, no source
_SHAPE_PARTS = ("oval between the lines", "shape other than an oval")


def unseen_between(apart_mm: float) -> Part:
    """Return what two lines at right angles, `apart_mm` from each other, leave open of their hole's largest size.

    With a half of the difference seen, and b that of the oval between the lines, the amplitude is sqrt(a^2 + b^2):
    the largest size is sqrt(a^2 + b^2) - a over the larger line, the smallest as much under the smaller one. b is
    anywhere up to half of `UNSEEN_OVALITY_MM`. Reckoned from the line that is a rectangle on one side, whose root mean
    square is its width / sqrt(3).
    """
    seen_mm = abs(apart_mm) / 2
    most_mm = math.hypot(seen_mm, UNSEEN_OVALITY_MM / 2) - seen_mm
    source = f"two crossed lines miss an oval between them; up to {UNSEEN_OVALITY_MM:g} mm of it, common practice"
    return limit_of(_SHAPE_PARTS[0], most_mm, source)


def of_the_hole(face: "FaceShape", hole: str, day: datetime.date) -> "FaceShape":
    """Return a face whose doubt about its shape is marked as its own, so that in a change it counts once."""
    cause = f"shape of {hole}, {face.face} face"

    def marked(size: Estimate) -> Estimate:
        if all(part.name not in _SHAPE_PARTS for part in size.parts):
            return size
        parts = (
            replace(part, cause=cause, moves=day.isoformat()) if part.name in _SHAPE_PARTS else part
            for part in size.parts
        )
        return replace(size, parts=tuple(parts))

    return replace(face, smallest=marked(face.smallest), largest=marked(face.largest))
