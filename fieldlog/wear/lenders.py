"""What like joints on like machines lend to one with few readings: their rate, and what that foretells.

It works on plain rows alone, and loads nothing that the first screen does not need anyway but its own arithmetic.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.measure.crossing import Crossing, crossing
from fieldlog.measure.line_fit import Straight
from fieldlog.measure.shrinkage import FEWEST_OF_A_KIND, Kind, blended, kind_of
from fieldlog.wear.axis import FEWEST_DAYS
from fieldlog.wear.summary import RateRow


@dataclass(frozen=True, slots=True)
class Borrowed:
    """What a joint borrows: its kind, in words, the blended line, and when it reaches its lines by that.

    `measure_at` is half-way to the earliest that its watch line (else its limit) is reached.
    """

    kind: Kind
    like: str
    line: Straight
    watch: Crossing | None = None
    renew: Crossing | None = None
    chance_later: float | None = None
    measure_at: float | None = None


@dataclass(frozen=True, slots=True)
class Ahead:
    """What lies ahead of a joint: its limit and watch line, its last measuring day, its season's end on the axis.

    `least` are the hours or days within which nothing is asked for again.
    """

    limit_mm: float
    watch_mm: float | None
    last: float
    season_end: float | None
    least: float


class Lenders:
    """The joints that others may borrow from, by kind."""

    def __init__(self, rows: Iterable[RateRow]) -> None:
        self._others: dict[tuple[str, str], list[RateRow]] = {}
        self._alike: dict[tuple[str, str, str], list[RateRow]] = {}
        self._kinds: dict[tuple[str, ...], tuple[Kind, str] | None] = {}
        for row in filter(is_evidence, rows):
            self._others.setdefault((row.kind, row.axis), []).append(row)
            if row.like:
                self._alike.setdefault((row.kind, row.axis, row.like), []).append(row)

    def kind_for(self, row: RateRow) -> tuple[Kind, str] | None:
        """Return what the other joints of a kind say, on like machines where there are enough, else on all of them.

        The joint itself is left out, so that it does not count twice. None with fewer than three others.
        """
        own = (row.machine.id, row.joint.id) if is_evidence(row) else ("", "")
        key = (row.kind, row.axis, row.like, *own)
        if key not in self._kinds:
            self._kinds[key] = self._worked_out(row)
        return self._kinds[key]

    def _worked_out(self, row: RateRow) -> tuple[Kind, str] | None:
        alike = self._alike.get((row.kind, row.axis, row.like), [])
        others = self._others.get((row.kind, row.axis), [])
        for group, words in ((alike, f"on machines of the kind {row.like}"), (others, "on all machines")):
            rates = [
                (other.rate or 0.0, other.rate_u or 0.0)
                for other in group
                if (other.machine, other.joint) != (row.machine, row.joint)
            ]
            if len(rates) >= FEWEST_OF_A_KIND:
                return kind_of(rates), words
        return None


def is_evidence(row: RateRow) -> bool:
    """Tell whether others may borrow from a joint: it has three days and 100 hours at least."""
    return row.rate is not None and row.days >= FEWEST_DAYS and row.span >= row.least_span


def lent(own: Straight, found: tuple[Kind, str], ahead: Ahead | None) -> Borrowed:
    """Return a joint's own line drawn towards its kind, and what that foretells."""
    kind, like = found
    line = blended(own, kind)
    if ahead is None or line.slope <= 0:
        return Borrowed(kind, like, line)
    renew = crossing(line, ahead.limit_mm)
    watch = crossing(line, ahead.watch_mm) if ahead.watch_mm is not None else None
    first = min((reached.earliest for reached in (watch, renew) if reached is not None), default=None)
    return Borrowed(
        kind=kind,
        like=like,
        line=line,
        watch=watch,
        renew=renew,
        chance_later=line.chance_over(ahead.season_end, ahead.limit_mm) if ahead.season_end is not None else None,
        measure_at=ahead.last + max((first - ahead.last) / 2, ahead.least) if first is not None else None,
    )
