"""What rules a cylinder out whatever else speaks for it: its range misses the link's or keeps too little, or its force.

A range counts as kept by its lengths as they stand; the doubt of a tape does not bring back what misses.

Every offer against one link, ranked, with the worst point of each first.

Verdict of an offer is that of its worst point; points are values with a level. The order among equals is reach lost
(the closed end counted three times, our judgement), limits, work at the pins, remarks, questions, name. Only a hitch
on which something was measured decides; with its category alone the link's own range does.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said, said
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.offer import Offer
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.link_facts import RETROFITTED, LinkFacts, Mast, RestsOn, link_facts
from fieldlog.retrofit.offers.numbers import offer_numbers
from fieldlog.retrofit.offers.pins import way_round
from fieldlog.retrofit.offers.reach import Wanted, fitting_points, link_points, need_points, tilt_points
from fieldlog.retrofit.offers.sense import (
    Check,
    CylinderEnd,
    Level,
    OfferFigure,
    OfferVerdict,
    Sense,
    Topic,
    make_sense,
    verdict_of,
    worst_first,
)
from fieldlog.wear.states import MachineState

if TYPE_CHECKING:
    from fieldlog.retrofit.offers.demand import Work

LEAST_KEPT = 0.5  # of the link's own travel that a cylinder must keep: our judgement, common practice


class Miss(NamedTuple):
    """By how much two ranges miss each other; `is_long` where the cylinder is too long, else it is too short."""

    gap_mm: float
    is_long: bool


def miss_of(closed_mm: float, open_mm: float, facts: LinkFacts) -> Miss | None:
    """Return by how much a range misses the link's; None where they meet, or where the link's end is not known."""
    if facts.open is not None and closed_mm > facts.open.value:
        return Miss(closed_mm - facts.open.value, is_long=True)
    if facts.closed is not None and open_mm < facts.closed.value:
        return Miss(facts.closed.value - open_mm, is_long=False)
    return None


def range_guard(figures: Mapping[str, OfferFigure], facts: LinkFacts, needs: Sequence[Check] = ()) -> tuple[Check, ...]:
    """Return the point that rules an offer out by its range, none where the range may do.

    `needs` are the points about the range needed or the roll wanted. A need that is met excuses a range kept by less
    than half, and that of a top link a range that misses the link's; a need within its doubt excuses nothing. The
    point costs reach only where no other one does: for a lift rod with neither its set length nor the other rod known.
    """
    is_rod, is_met = facts.link.position == "lift rod", _is_met(needs)
    miss = miss_of(figures["closed"].mm, figures["open"].mm, facts)
    if miss is not None:
        cost_mm = miss.gap_mm if is_rod and facts.other_rod is None and facts.as_set is None else 0.0
        if is_met and not is_rod:
            return ()
        return (
            Check(Topic.RANGE_OF_LINK, Level.NO, said("offer.misses", miss=miss), said("offer.why_misses"), cost_mm),
        )
    if is_met or facts.closed is None or facts.open is None or any(need.level is Level.NO for need in needs):
        return ()
    return _kept(figures, (facts.closed, facts.open))


def _is_met(needs: Iterable[Check]) -> bool:
    found = tuple(needs)
    return any(need.meets_need for need in found) and all(need.level <= Level.NOTE for need in found)


def _kept(figures: Mapping[str, OfferFigure], link: tuple[Estimate, Estimate]) -> tuple[Check, ...]:
    low_mm, high_mm = (end.value for end in link)
    travel_mm = high_mm - low_mm
    kept_mm = min(figures["open"].mm, high_mm) - max(figures["closed"].mm, low_mm)
    if kept_mm >= LEAST_KEPT * travel_mm:
        return ()
    little = said("offer.keeps_little", kept_mm=kept_mm, travel_mm=travel_mm)
    return (Check(Topic.RANGE_OF_LINK, Level.NO, little, said("offer.why_half_is_kept")),)


def held_guard(figures: Mapping[str, OfferFigure], facts: LinkFacts) -> tuple[Check, ...]:
    """Return the same for an offer whose closed and stroke are not its open: ruled out if every reading of it misses.

    A stroke that does not even go into its closed length is a slip of the pen and rules nothing out.
    """
    closed, opened, stroke = (figures[key].mm for key in ("closed", "open", "stroke"))
    if stroke >= closed:
        return ()
    readings = ((closed, opened), (closed, closed + stroke), (opened - stroke, opened))
    misses = [miss for low, high in readings if (miss := miss_of(low, high, facts)) is not None]
    if len(misses) < len(readings):
        return ()
    missed = said("offer.misses_either_way", miss=min(misses))
    return (Check(Topic.RANGE_OF_LINK, Level.NO, missed, said("offer.why_misses")),)


def work_guard(points: Sequence[Check]) -> tuple[Check, ...]:
    """Return what of the page of force and oil belongs to the verdict: what rules out, and a force that is not enough.

    What is only asked for there, and what to mind at the plumbing, stays on that page.
    """
    return tuple(p for p in points if p.level is Level.NO or (p.topic is Topic.FORCE and p.level is Level.LIMIT))


Extra = Callable[[dict[str, OfferFigure]], tuple[Check, ...]]
WorkHere = Callable[[Offer, dict[str, OfferFigure]], "Work"]


@dataclass(frozen=True, slots=True)
class Compared:
    """One offer against the link: all its points, worst first, its numbers, and what it does on this tractor.

    `near_end` is which of its ends is at the tractor, or up.
    """

    offer: Offer
    sense: Sense
    points: tuple[Check, ...]
    numbers: Numbers
    near_end: CylinderEnd
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
    def parts(self) -> tuple[Said, ...]:
        """Lines for the order: sleeves, washers."""
        return tuple(point.part for point in self.points if point.part)


def compare(
    offer: Offer,
    facts: LinkFacts,
    need: Wanted | None = None,
    extra: Extra | None = None,
    work_here: WorkHere | None = None,
) -> Compared:
    """Return one offer against a link; of the range of an offer that contradicts itself only a miss is worked out."""
    sense = make_sense(offer)
    figures = dict(sense.figures)
    way = way_round(offer, figures, facts.ends, partial(offer_numbers, figures, facts, need))
    numbers = way.numbers
    points = [*sense.points, *way.points, *fitting_points(offer, facts)]
    guard: tuple[Check, ...] = ()
    if sense.has_range and not _is_held(sense):
        needs = need_points(numbers, need) if need is not None else ()
        is_rod, has_need = facts.link.position == "lift rod", need is not None
        on_hitch = extra(figures) if extra is not None else ()
        guard = range_guard(figures, facts, (*needs, *(p for p in on_hitch if p.topic is Topic.ROLL)))
        points += needs
        points += link_points(numbers, facts, is_second=has_need or is_rod, has_need=has_need)
        points += (*(tilt_points(numbers, facts) if is_rod else ()), *on_hitch)
    elif sense.has_range and need is None:
        guard = held_guard(figures, facts)
    work = work_here(offer, figures) if work_here is not None else None
    points += work_guard(work.points) if work is not None else ()
    return Compared(offer, sense, (*guard, *worst_first(points)), numbers, way.near_end, work)


def _is_held(sense: Sense) -> bool:
    return any(point.level is Level.UNCLEAR and point.topic in {Topic.RANGE, Topic.STROKE} for point in sense.points)


def ranked(compared: Sequence[Compared]) -> tuple[Compared, ...]:
    """Return the offers best first: by verdict, reach lost, limits, work at the pins, questions left, then by id."""
    return tuple(sorted(compared, key=_order))


def _order(item: Compared) -> tuple[int, float, int, int, int, int, str]:
    return (
        item.verdict.rank,
        round(item.cost_mm, 1),
        item.count(Level.LIMIT),
        item.count(Level.WORK),
        item.count(Level.NOTE),
        item.count(Level.ASK),
        item.offer.id,
    )


def why_after(better: Compared, item: Compared) -> Said:
    """Return why an offer stands behind the one before it: the first thing in which they differ."""
    before, this = _order(better), _order(item)
    name = better.offer.shown_name
    if before[0] != this[0]:
        return said("kept.behind_by_verdict", name=name, verdict=better.verdict)
    if before[1] != this[1]:
        return said("kept.behind_by_reach", name=name, less_mm=this[1] - before[1])
    for index, level in enumerate((Level.LIMIT, Level.WORK, Level.NOTE, Level.ASK), 2):
        if before[index] != this[index]:
            return said("kept.behind_by_count", name=name, level=level)
    return said("kept.no_better", name=name)


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
    geometry: tuple[RestsOn, ...] = ()
    setups: tuple[HitchSetup, ...] = ()
    hydraulics: Hydraulics = NOTHING_KNOWN


def job_of(
    state: MachineState,
    link_id: str,
    setups: Sequence[HitchSetup] = (),
    hydraulics: Hydraulics = NOTHING_KNOWN,
) -> Job | None:
    """Return the job for a link of a machine, with its hitch where that is measured; None without such a link."""
    facts = link_facts(state, link_id)
    if facts is None:
        return None
    if not setups or facts.link.position not in RETROFITTED:
        return Job(facts, state, hydraulics=hydraulics)
    return _on_its_hitch(Job(facts, state, hydraulics=hydraulics), setups)


def _on_its_hitch(job: Job, setups: Sequence[HitchSetup]) -> Job:
    from fieldlog.retrofit.offers import corners as hitch_job

    is_rod = job.facts.link.position == "lift rod"
    hitches = [found for setup in setups if (found := hitch_job.on_hitch(setup)) is not None]
    geometry = tuple(hitch_job.geometry_basis(setups, with_mast=not is_rod))

    def extra(figures: dict[str, OfferFigure]) -> tuple[Check, ...]:
        if is_rod:
            return hitch_job.lift_rod_checks(hitches, job.facts.other_rod, figures)
        return hitch_job.top_link_checks(hitches, figures)

    wanted = None if is_rod else hitch_job.widest_wanted(hitches)
    facts = job.facts
    if hitches and not is_rod:
        facts = replace(facts, mast=Mast(hitches[0].linkage.mast_mm, hitches[0].name))
    known = tuple(hitch.setup for hitch in hitches if hitch.setup is not None)
    return replace(job, facts=facts, wanted=wanted, extra=extra, geometry=geometry, setups=known)


def compare_all(job: Job, offers: Sequence[Offer]) -> tuple[Compared, ...]:
    """Return every offer against the link, best first."""
    work_here = _work_here(job)
    return ranked([compare(offer, job.facts, job.wanted, job.extra, work_here) for offer in offers])


def _work_here(job: Job) -> WorkHere:
    """Return what tells of an offer what it does on this tractor: the page of force and oil and the verdict ask it."""
    from fieldlog.retrofit.offers.demand import Work, demand_of, work_of

    position = job.facts.link.position
    demand = demand_of(job.setups, position)

    def work_here(offer: Offer, figures: dict[str, OfferFigure]) -> Work:
        return work_of(offer, figures, job.hydraulics, demand, position)

    return work_here
