"""The whole of one comparison: a link, what its work asks of it, and every offer against it, ranked."""

from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.records.recommendation import Basis
from fieldlog.retrofit.compare import Compared, Extra, compare, ranked
from fieldlog.retrofit.link_facts import LinkFacts, link_facts
from fieldlog.retrofit.reach import Wanted
from fieldlog.wear.states import MachineState


@dataclass(frozen=True, slots=True)
class Job:
    """A link to be replaced. `geometry` is what of the hitch's geometry the comparison rests on."""

    facts: LinkFacts
    state: MachineState
    wanted: Wanted | None = None
    extra: Extra | None = None
    geometry: tuple[Basis, ...] = ()


def job_of(state: MachineState, link_id: str) -> Job | None:
    """Return the job for a link of a machine; None where there is no such link."""
    facts = link_facts(state, link_id)
    return Job(facts, state) if facts is not None else None


def compare_all(job: Job, offers: Sequence[Offer], units: Units) -> tuple[Compared, ...]:
    """Return every offer against the link, best first."""
    return ranked([compare(offer, job.facts, units, job.wanted, job.extra) for offer in offers])
