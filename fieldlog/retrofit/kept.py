"""A kept recommendation together with whether it still stands."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from fieldlog.records.offer import Offer
from fieldlog.records.recommendation import Recommendation
from fieldlog.retrofit.basis import basis_of
from fieldlog.retrofit.job import job_of
from fieldlog.retrofit.setup import HitchSetup
from fieldlog.retrofit.stale import gone_entries, stale_reasons
from fieldlog.wear.states import MachineState


@dataclass(frozen=True, slots=True)
class Kept:
    """A recommendation and why it does not stand any more; no reason while it does."""

    recommendation: Recommendation
    stale: tuple[str, ...] = ()


def kept_of(
    recommendations: Sequence[Recommendation],
    state: MachineState,
    offers: Sequence[Offer],
    entries: tuple[Collection[str], Collection[str]],
    setups: Sequence[HitchSetup] = (),
) -> tuple[Kept, ...]:
    """Return each recommendation of a machine held against today.

    `entries` are the keys there and those struck, `setups` the hitch with each implement.
    """
    by_id = {offer.id: offer for offer in offers}
    found = []
    for item in recommendations:
        job, offer = job_of(state, item.link, setups), by_id.get(item.offer)
        now = basis_of(job, offer) if job is not None and offer is not None else None
        found.append(Kept(item, stale_reasons(item, now, gone_entries(item, *entries))))
    return tuple(found)
