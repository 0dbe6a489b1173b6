"""The five answers and how findings rank; apart from the findings, so that a list of them can be had without sizes."""

from enum import IntEnum, StrEnum


class Verdict(StrEnum):
    """The five answers, worst last."""

    SOUND = "sound"
    REMEASURE = "re-measure"
    PLAN = "plan"
    RENEW = "renew"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """0 for sound up to 4 for stop."""
        return tuple(Verdict).index(self)


class Severity(IntEnum):
    """How findings rank against each other: finer than the verdict, which says "re-measure" for three things."""

    SOUND = 0
    UNKNOWN = 1
    DOUBTFUL = 2
    PLAN = 3
    MAY_BE_OVER = 4
    RENEW = 5
    STOP = 6
