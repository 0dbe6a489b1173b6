"""What like joints on like machines lend to one with few readings: their rate, and what that foretells.

It works on plain rows alone, and loads nothing that the first screen does not need anyway but its own arithmetic.
"""

from collections.abc import Iterable, Sequence

from fieldlog.measure.crossing import Crossing, crossing
from fieldlog.measure.kind_without import KindWithout
from fieldlog.measure.line_fit import Straight
from fieldlog.measure.shrinkage import FEWEST_OF_A_KIND, Kind, blended
from fieldlog.records.frozen import dataclass
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
    """The joints that others may borrow from, by kind; asking costs the same in a large fleet as in a small one."""

    def __init__(self, rows: Iterable[RateRow]) -> None:
        self._others: dict[tuple[str, str], list[RateRow]] = {}
        self._alike: dict[tuple[str, str, str], list[RateRow]] = {}
        self._kinds: dict[tuple[str, ...], KindWithout] = {}
        for row in filter(is_evidence, rows):
            self._others.setdefault((row.kind, row.axis), []).append(row)
            if row.like:
                self._alike.setdefault((row.kind, row.axis, row.like), []).append(row)

    def kind_for(self, row: RateRow) -> tuple[Kind, str] | None:
        """Return what the other joints of a kind say, on like machines where there are enough, else on all of them.

        The joint itself is left out, so that it does not count twice. None with fewer than three others.
        """
        alike, others = (row.kind, row.axis, row.like), (row.kind, row.axis)
        found = self._kind(alike, self._alike.get(alike, []), row)
        if found is not None:
            return found, f"on machines of the kind {row.like}"
        found = self._kind(others, self._others.get(others, []), row)
        return (found, "on all machines") if found is not None else None

    def _kind(self, key: tuple[str, ...], group: Sequence[RateRow], row: RateRow) -> Kind | None:
        is_in_it = is_evidence(row)
        if len(group) - is_in_it < FEWEST_OF_A_KIND:
            return None
        if key not in self._kinds:
            self._kinds[key] = KindWithout([_rate_of(other) for other in group])
        kind = self._kinds[key]
        return kind.without(*_rate_of(row)) if is_in_it else kind.whole


def _rate_of(row: RateRow) -> tuple[float, float]:
    return row.rate or 0.0, row.rate_u or 0.0


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
