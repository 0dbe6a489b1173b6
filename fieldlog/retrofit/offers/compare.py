"""Every offer against one link, ranked, with the worst point of each first.

The first comparison needs a tape and a caliper only. Points that come from the hitch's geometry are worked out
elsewhere and handed in; where the needed range is known it decides, and the link's own range comes second. What rules
an offer out by its range stands first; what force and oil have against it counts as everything else does.

The whole of one comparison: a link, what its work asks of it, and every offer against it, ranked.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fieldlog.quantity.lengths import Units
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.offer import Basis, Offer
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.guards import held_guard, range_guard, work_guard
from fieldlog.retrofit.offers.link_facts import RETROFITTED, LinkFacts, Mast, link_facts
from fieldlog.retrofit.offers.on_hitch import ROLL
from fieldlog.retrofit.offers.pins import way_round
from fieldlog.retrofit.offers.reach import Wanted, about_text, fitting_points, link_points, need_points, tilt_points
from fieldlog.retrofit.offers.sense import (
    Check,
    Level,
    OfferFigure,
    OfferVerdict,
    Sense,
    make_sense,
    verdict_of,
    worst_first,
)
from fieldlog.wear.states import MachineState

if TYPE_CHECKING:
    from fieldlog.retrofit.offers.demand import Work

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


NOTHING_KNOWN = Hydraulics()


@dataclass(frozen=True, slots=True)
class Job:
    """A link to be replaced. `geometry` is what of the hitch's geometry the comparison rests on.

    `setups` are the hitch with each implement that bears on it, `hydraulics` what the tractor gives.
    """

    facts: LinkFacts
    state: MachineState
    wanted: Wanted | None = None
    extra: Extra | None = None
    geometry: tuple[Basis, ...] = ()
    setups: tuple[HitchSetup, ...] = ()
    hydraulics: Hydraulics = NOTHING_KNOWN


def job_of(
    state: MachineState,
    link_id: str,
    setups: Sequence[HitchSetup] = (),
    units: Units = "mm",
    hydraulics: Hydraulics = NOTHING_KNOWN,
) -> Job | None:
    """Return the job for a link of a machine, with its hitch where that is measured; None without such a link."""
    facts = link_facts(state, link_id)
    if facts is None:
        return None
    if not setups or facts.link.position not in RETROFITTED:
        return Job(facts, state, hydraulics=hydraulics)
    return _on_its_hitch(Job(facts, state, hydraulics=hydraulics), setups, units)


def _on_its_hitch(job: Job, setups: Sequence[HitchSetup], units: Units) -> Job:
    from fieldlog.retrofit.offers import corners as hitch_job

    is_rod = job.facts.link.position == "lift rod"
    hitches = [found for setup in setups if (found := hitch_job.on_hitch(setup, units)) is not None]
    geometry = tuple(hitch_job.geometry_basis(setups, with_mast=not is_rod))

    def extra(figures: dict[str, OfferFigure]) -> tuple[Check, ...]:
        if is_rod:
            return hitch_job.lift_rod_checks(hitches, job.facts.other_rod, figures, units)
        return hitch_job.top_link_checks(hitches, figures, units)

    wanted = None if is_rod else hitch_job.widest_wanted(hitches)
    facts = job.facts
    if hitches and not is_rod:
        facts = replace(facts, mast=Mast(hitches[0].linkage.mast_mm, hitches[0].name))
    known = tuple(hitch.setup for hitch in hitches if hitch.setup is not None)
    return replace(job, facts=facts, wanted=wanted, extra=extra, geometry=geometry, setups=known)


def compare_all(job: Job, offers: Sequence[Offer], units: Units) -> tuple[Compared, ...]:
    """Return every offer against the link, best first."""
    work_here = _work_here(job)
    return ranked([compare(offer, job.facts, units, job.wanted, job.extra, work_here) for offer in offers])


def _work_here(job: Job) -> WorkHere:
    """Return what tells of an offer what it does on this tractor: the page of force and oil and the verdict ask it."""
    from fieldlog.retrofit.offers.demand import Work, demand_of, work_of

    position = job.facts.link.position
    demand = demand_of(job.setups, position)

    def work_here(offer: Offer, figures: dict[str, OfferFigure]) -> Work:
        return work_of(offer, figures, job.hydraulics, demand, position)

    return work_here
