"""Every offer against one link, ranked, with the worst point of each first.

The first comparison needs a tape and a caliper only. Points that come from the hitch's geometry are worked out
elsewhere and handed in; where the needed range is known it decides, and the link's own range comes second. What rules
an offer out by its range stands first; what force and oil have against it counts as everything else does.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level, OfferVerdict, verdict_of, worst_first
from fieldlog.retrofit.ends import way_round
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.fittings import fitting_points
from fieldlog.retrofit.guards import held_guard, range_guard, work_guard
from fieldlog.retrofit.link_facts import LinkFacts
from fieldlog.retrofit.on_tilt import ROLL
from fieldlog.retrofit.reach import Wanted, about_text, link_points, need_points
from fieldlog.retrofit.sense import Sense, make_sense
from fieldlog.retrofit.tilt import tilt_points

if TYPE_CHECKING:
    from fieldlog.retrofit.offered import Work

Extra = Callable[[dict[str, OfferFigure]], tuple[Check, ...]]
WorkHere = Callable[[Offer, dict[str, OfferFigure]], "Work"]


@dataclass(frozen=True, slots=True)
class Compared:
    """One offer against the link: all its points, worst first, and what it does on this tractor where that is known."""

    offer: Offer
    sense: Sense
    points: tuple[Check, ...]
    near_end: str = ""
    work: "Work | None" = None

    @property
    def verdict(self) -> OfferVerdict:
        """What the worst point makes of it."""
        return verdict_of(self.points)

    @property
    def worst(self) -> Check:
        """The point that decides."""
        return self.points[0]

    @property
    def cost_mm(self) -> float:
        """Reach lost, the closed end counted three times."""
        return sum(point.cost_mm for point in self.points)

    def count(self, level: Level) -> int:
        """How many points are at a level."""
        return sum(1 for point in self.points if point.level is level)

    @property
    def parts(self) -> tuple[str, ...]:
        """Lines for the order: sleeves, washers."""
        return tuple(point.part for point in self.points if point.part)


def compare(
    offer: Offer,
    facts: LinkFacts,
    units: Units,
    need: Wanted | None = None,
    extra: Extra | None = None,
    work_here: WorkHere | None = None,
) -> Compared:
    """Return one offer against a link; of the range of an offer that contradicts itself only a miss is worked out."""
    sense = make_sense(offer, units)
    figures = dict(sense.figures)
    way = way_round(offer, figures, facts.ends, units)
    points = [*sense.points, *way.points, *fitting_points(offer, facts)]
    guard: tuple[Check, ...] = ()
    if sense.has_range and not _is_held(sense):
        needs = need_points(figures, need, units) if need is not None else ()
        is_rod, has_need = facts.link.position == "lift rod", need is not None
        on_hitch = extra(figures) if extra is not None else ()
        guard = range_guard(figures, facts, units, (*needs, *(p for p in on_hitch if p.topic.startswith(ROLL))))
        points += needs
        points += link_points(figures, facts, units, is_second=has_need or is_rod, has_need=has_need)
        points += (*(tilt_points(figures, facts, units) if is_rod else ()), *on_hitch)
    elif sense.has_range and need is None:
        guard = held_guard(figures, facts, units)
    work = work_here(offer, figures) if work_here is not None else None
    points += work_guard(work.points) if work is not None else ()
    return Compared(offer, sense, (*guard, *worst_first(points)), way.near_end, work)


def _is_held(sense: Sense) -> bool:
    return any(point.level is Level.UNCLEAR and point.topic in {"range", "stroke"} for point in sense.points)


def ranked(compared: Sequence[Compared]) -> tuple[Compared, ...]:
    """Return the offers best first: by verdict, reach lost, limits, work at the pins, questions left, then by name."""
    return tuple(sorted(compared, key=_order))


def _order(item: Compared) -> tuple[int, float, int, int, int, int, str]:
    return (
        item.verdict.rank,
        round(item.cost_mm, 1),
        item.count(Level.LIMIT),
        item.count(Level.WORK),
        item.count(Level.NOTE),
        item.count(Level.ASK),
        item.offer.shown_name.casefold(),
    )


def why_after(better: Compared, item: Compared, units: Units) -> str:
    """Return why an offer stands behind the one before it: the first thing in which they differ."""
    before, this = _order(better), _order(item)
    name = better.offer.shown_name
    if before[0] != this[0]:
        return f"Behind {name}, which {_SAYS[better.verdict]}."
    if before[1] != this[1]:
        less = about_text(this[1] - before[1], units)
        return f"Behind {name}, which loses {less} less reach, the closed end counted three times."
    words = ("has fewer limits", "needs less work at the pins", "has fewer remarks", "leaves fewer questions")
    for index, text in enumerate(words, 2):
        if before[index] != this[index]:
            return f"Behind {name}, which {text}."
    return f"No better and no worse than {name}."


_SAYS = {
    OfferVerdict.FITS: "fits",
    OfferVerdict.WORK: "only needs work",
    OfferVerdict.LIMITS: "has limits but goes",
    OfferVerdict.UNCLEAR: "is only unclear",
    OfferVerdict.NO: "is out too",
}
