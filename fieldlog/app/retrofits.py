"""One link with the offers for it: compared when shown, and the way a recommendation is kept."""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldlog.app.beside import hitch_setups, kept_of_machine
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import Units
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.machine import Link, Machine
from fieldlog.records.offer import Basis, Offer, Recommendation
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.compare import Compared, Job, compare_all, job_of, why_after
from fieldlog.retrofit.offers.demand import Work
from fieldlog.retrofit.offers.kept import Kept, basis_of, cautions, way_round
from fieldlog.retrofit.offers.link_facts import RETROFITTED, RestsOn
from fieldlog.wear.states import MachineState
from fieldlog.words.offer import topic_words
from fieldlog.words.speak import say

if TYPE_CHECKING:
    from fieldlog.app.known import Book


@dataclass(frozen=True, slots=True)
class MachineRetrofits:
    """What there is about cylinders for one machine: each link with its offers, and what was kept.

    `work` is what an offer does on this tractor, by link and offer.
    """

    machine: Machine
    links: tuple[tuple[Job, tuple[Compared, ...]], ...]
    kept: tuple[Kept, ...]
    work: Mapping[tuple[str, str], Work]


@dataclass(frozen=True, slots=True)
class Look:
    """A link and every offer against it, best first."""

    job: Job
    order: tuple[Compared, ...]

    def of(self, offer_id: str) -> Compared | None:
        """Return one offer as it was compared."""
        return next((item for item in self.order if item.offer.id == offer_id), None)


@dataclass(frozen=True, slots=True)
class _Known:
    """A look, and what it was worked out from."""

    state: MachineState
    rest: tuple[tuple[Offer, ...], tuple[HitchSetup, ...], Hydraulics]
    look: Look | None


@dataclass(frozen=True, slots=True)
class RetrofitWork:
    """A link of a machine and everything on offer in its place, worked out anew each time it is asked for."""

    session: "Book"
    machine_id: str
    link_id: str

    def look(self) -> Look | None:
        """Return the link with every offer against it, best first; None where the link is not there any more.

        Worked out again only when the machine, an offer, an implement or the tractor's hydraulics changed.
        """
        session = self.session
        state, offers = session.state(self.machine_id), session.offers()
        setups = hitch_setups(session, self.machine_id)
        rest = (offers, setups, session.hydraulics(self.machine_id))
        known = session.looks_at_offers.get((self.machine_id, self.link_id))
        if isinstance(known, _Known) and known.state is state and known.rest == rest:
            return known.look
        job = job_of(state, self.link_id, setups, rest[-1])
        look = Look(job, compare_all(job, offers)) if job is not None else None
        session.looks_at_offers[self.machine_id, self.link_id] = _Known(state, rest, look)
        return look

    def offer(self, offer_id: str) -> Offer | None:
        """Return an offer as its file holds it now."""
        return next((offer for offer in self.session.offers() if offer.id == offer_id), None)

    def force_and_oil(self, offer_id: str) -> "Work | None":
        """Return what an offer does on this tractor, and what that rests on; None where it is gone."""
        look = self.look()
        item = look.of(offer_id) if look is not None else None
        return item.work if item is not None else None

    def keep(self, offer_id: str, who: str, words: str) -> Recommendation:
        """Keep the recommendation of an offer; when this returns it is on disk.

        Raises:
            StoreError: the link or the offer is not there any more, or the disk refuses.
        """
        from fieldlog.errors import StoreError
        from fieldlog.store.retrofits import keep

        look = self.look()
        chosen = look.of(offer_id) if look is not None else None
        if look is None or chosen is None:
            raise StoreError(said("refusal.link_or_offer_gone"))
        session = self.session
        told = recommendation_of(look.job, chosen, look.order, session.today(), (who, words), session.units)
        return keep(session.folder, self.machine_id, told)


def recommendation_of(
    job: Job, chosen: Compared, order: Sequence[Compared], day: datetime.date, words: tuple[str, str], units: Units
) -> Recommendation:
    """Return what is to be kept; `words` are who keeps it and what he says about it. Its `id` is given by the store."""
    who, text = words
    return Recommendation(
        id="",
        link=job.facts.link.id,
        day=day,
        offer=chosen.offer.id,
        verdict=chosen.verdict.value,
        who=who,
        offer_name=chosen.offer.shown_name,
        words=text,
        way_round=say(way_round(chosen, job), units),
        reasons=tuple(f"{topic_words(check)}: {say(check.said, units)}" for check in chosen.points),
        others=tuple(say(_other(item, order), units) for item in order if item.offer.id != chosen.offer.id),
        parts=tuple(say(part, units) for part in (*chosen.parts, said("kept.part_pins"))),
        cautions=tuple(say(caution, units) for caution in cautions(job, chosen)),
        basis=tuple(_in_file(item, units) for item in basis_of(job, chosen.offer)),
    )


def _other(item: Compared, order: Sequence[Compared]) -> Said:
    place = next(index for index, other in enumerate(order) if other.offer.id == item.offer.id)
    behind = why_after(order[place - 1], item) if place else None
    return said("kept.other", name=item.offer.shown_name, verdict=item.verdict, worst=item.worst.said, behind=behind)


def _in_file(item: RestsOn, units: Units) -> Basis:
    origin = say(item.origin, units) if isinstance(item.origin, Said) else item.origin
    return Basis(
        what=item.name,
        value=item.value,
        plus_minus=item.plus_minus,
        origin=origin,
        entries=item.entries,
        id=item.id,
    )


def links_of(session: "Book", machine_id: str) -> tuple[Link, ...]:
    """Return a machine's links, those that a cylinder usually replaces first."""
    links = session.machine(machine_id).links
    return tuple(sorted(links, key=lambda link: link.position not in RETROFITTED))


def retrofits_of(session: "Book", machine_id: str) -> "MachineRetrofits":
    """Return every link that a cylinder usually replaces with the offers for it, and what was kept."""
    found, done = [], {}
    for link in links_of(session, machine_id):
        work = RetrofitWork(session, machine_id, link.id)
        look = work.look() if link.position in RETROFITTED else None
        if look is not None and look.order:
            found.append((look.job, look.order))
            done.update({(link.id, item.offer.id): item.work for item in look.order if item.work is not None})
    return MachineRetrofits(session.machine(machine_id), tuple(found), kept_of_machine(session, machine_id), done)
