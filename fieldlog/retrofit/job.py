"""The whole of one comparison: a link, what its work asks of it, and every offer against it, ranked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.records.hydraulics import Hydraulics
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.records.recommendation import Basis
from fieldlog.retrofit.checks import Check
from fieldlog.retrofit.compare import Compared, Extra, WorkHere, compare, ranked
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.link_facts import RETROFITTED, LinkFacts, Mast, link_facts
from fieldlog.retrofit.reach import Wanted
from fieldlog.retrofit.setup import HitchSetup
from fieldlog.wear.states import MachineState

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
    from fieldlog.retrofit import hitch_job

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
    from fieldlog.retrofit.demand import demand_of
    from fieldlog.retrofit.offered import Work, work_of

    position = job.facts.link.position
    demand = demand_of(job.setups, position)

    def work_here(offer: Offer, figures: dict[str, OfferFigure]) -> Work:
        return work_of(offer, figures, job.hydraulics, demand, position)

    return work_here
