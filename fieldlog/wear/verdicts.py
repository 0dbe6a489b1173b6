"""The five answers and how findings rank; apart from the findings, so that a list of them needs no sizes."""

from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """The limit a joint is judged by, in mm of clearance (or of what `of` says), and where it comes from."""

    of: str
    watch_mm: float | None
    renew_mm: float
    origin: str
