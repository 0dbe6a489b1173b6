"""One link with the offers for it during one sitting: compared when shown, and the way a recommendation is kept."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.records.machine import Link
from fieldlog.records.offer import Offer
from fieldlog.records.recommendation import Recommendation
from fieldlog.retrofit.compare import Compared
from fieldlog.retrofit.job import Job, compare_all, job_of
from fieldlog.retrofit.link_facts import RETROFITTED
from fieldlog.retrofit.recommend import recommendation_of

if TYPE_CHECKING:
    from fieldlog.tui.session import Session


@dataclass(frozen=True, slots=True)
class RetrofitWork:
    """A link of a machine and everything on offer in its place, worked out anew each time it is asked for."""

    session: "Session"
    machine_id: str
    link_id: str

    def job(self) -> Job | None:
        """Return what is known of the link; None where it is not there any more."""
        return job_of(self.session.state(self.machine_id), self.link_id)

    def compared(self, job: Job) -> tuple[Compared, ...]:
        """Return every offer against the link, best first."""
        return compare_all(job, self.session.offers(), self.session.units)

    def offer(self, offer_id: str) -> Offer | None:
        """Return an offer as its file holds it now."""
        return next((offer for offer in self.session.offers() if offer.id == offer_id), None)

    def keep(self, offer_id: str, who: str, words: str) -> Recommendation:
        """Keep the recommendation of an offer; when this returns it is on disk.

        Raises:
            StoreError: the link or the offer is not there any more, or the disk refuses.
        """
        from fieldlog.errors import StoreError
        from fieldlog.store.retrofits import keep

        job = self.job()
        order = self.compared(job) if job is not None else ()
        chosen = next((item for item in order if item.offer.id == offer_id), None)
        if job is None or chosen is None:
            raise StoreError("The link or the offer is not in the files any more; nothing was written.")
        session = self.session
        told = recommendation_of(job, chosen, order, session.today(), (who, words), session.units)
        return keep(session.folder, self.machine_id, told)


def links_of(session: "Session", machine_id: str) -> tuple[Link, ...]:
    """Return a machine's links, those that a cylinder usually replaces first."""
    links = session.machine(machine_id).links
    return tuple(sorted(links, key=lambda link: link.position not in RETROFITTED))
