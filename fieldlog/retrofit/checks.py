"""What a comparison is made of: points, each with a level, a sentence and why; the worst decides the verdict."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum, StrEnum


class Level(IntEnum):
    """How much a point matters, worst last."""

    GOOD = 0
    NOTE = 1
    ASK = 2
    WORK = 3
    LIMIT = 4
    UNCLEAR = 5
    NO = 6


class OfferVerdict(StrEnum):
    """The five answers about an offer, best first."""

    FITS = "fits"
    WORK = "with work"
    LIMITS = "with limits"
    UNCLEAR = "unclear"
    NO = "no"

    @property
    def rank(self) -> int:
        """0 for fits up to 4 for no."""
        return tuple(OfferVerdict).index(self)


_VERDICTS = (
    OfferVerdict.FITS,
    OfferVerdict.FITS,
    OfferVerdict.FITS,
    OfferVerdict.WORK,
    OfferVerdict.LIMITS,
    OfferVerdict.UNCLEAR,
    OfferVerdict.NO,
)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing compared. `cost_mm` is the reach lost, by which offers of one verdict are ranked.

    `meets_need` is true of a point that says that what the work asks for is there, beyond its doubt.
    """

    topic: str
    level: Level
    sentence: str
    why: str = ""
    cost_mm: float = 0.0
    part: str = ""
    meets_need: bool = False


def verdict_of(points: Sequence[Check]) -> OfferVerdict:
    """Return the verdict that the worst point gives."""
    return _VERDICTS[max((point.level for point in points), default=Level.ASK)]


def worst_first(points: Sequence[Check]) -> tuple[Check, ...]:
    """Return the points by how much they matter, the costliest first among equals."""
    return tuple(sorted(points, key=lambda point: (-point.level, -point.cost_mm)))
