"""The five answers and how findings rank; apart from the findings, so that a list of them needs no sizes."""

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING

from fieldlog.quantity.said import Said

if TYPE_CHECKING:
    from fieldlog.records.machine import LimitOf


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


class Caution(StrEnum):
    """What whoever acts on a finding is warned of."""

    BLOCK_FIRST = "block first"
    STOP_USING = "stop using"
    LINK_PULLS_APART = "link pulls apart"


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """The limit a joint is judged by, in mm of clearance (or of what `of` says).

    `origin` is where it comes from: what its owner typed, or which usual practice it is.
    """

    of: "LimitOf"
    watch_mm: float | None
    renew_mm: float
    origin: str | Said

    @property
    def typed_by(self) -> str:
        """What its owner typed as who says so; empty for usual practice."""
        if isinstance(self.origin, str):
            return self.origin
        return str(self.origin.of("typed")) if self.origin.code == "finding.with_usual_watch" else ""
