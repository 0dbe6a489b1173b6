"""What a comparison rests on, as plain items that can be written down and compared with later ones.

A comparison turned into a recommendation to be kept: the reasons as sentences, the cautions, what it rests on.

Does a kept recommendation still stand? What it rested on is compared with what is known now.

A kept recommendation together with whether it still stands.
"""

import datetime
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from fieldlog.measure.lengths import LinkLength
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.lengths import Units
from fieldlog.records.offer import Basis, Offer, Recommendation
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.compare import Compared, Job, job_of, why_after
from fieldlog.retrofit.offers.link_facts import LinkEnd
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, Check, Level, figures_of
from fieldlog.wear.states import JointState, LinkReport, MachineState
from fieldlog.words.speak import words_of


def basis_of(job: Job, offer: Offer) -> tuple[Basis, ...]:
    """Return everything that the comparison of one offer with a link rests on, each under a name of its own."""
    return (
        *_link(job),
        *(item for end in job.facts.ends for item in _end(end, job.state)),
        *_wanted(job),
        *job.geometry,
        *_offer(offer),
    )


def _size(what: str, size: Estimate, origin: str = "", entries: tuple[str, ...] = ()) -> Basis:
    doubt = f"{size.expanded_mm:.2f} mm" if size.expanded_mm > 0 else ""
    return Basis(what=what, value=f"{size.value_mm:.2f} mm", plus_minus=doubt, origin=origin, entries=entries)


def _link(job: Job) -> Iterator[Basis]:
    facts = job.facts
    report = next(report for report in job.state.links if report.link.id == facts.link.id)
    taped = (("link closed", facts.closed, report.closed), ("link as set", facts.as_set, report.as_set))
    for what, size, length in taped:
        if size is not None and length is not None:
            yield _size(what, size, ", ".join(length.ways), length.keys)
    if facts.open is not None:
        yield _size("link open", facts.open, facts.open_limit or _ways(report.open), _keys(report.open))
    if facts.mast is not None:
        yield Basis(what="mast height", value=f"{facts.mast.mm:.2f} mm", origin=facts.mast.origin)
    if facts.other_rod is not None:
        yield _size("other lift rod", facts.other_rod, facts.other_rod_name, other_rod_keys(job))


def _ways(length: LinkLength | None) -> str:
    return ", ".join(length.ways) if length is not None else ""


def _keys(length: LinkLength | None) -> tuple[str, ...]:
    return length.keys if length is not None else ()


def other_rod_keys(job: Job) -> tuple[str, ...]:
    """Return the tape readings of the lift rod on the other side."""

    def size_of(report: LinkReport) -> LinkLength | None:
        lengths = (report.as_set, report.closed)
        return next((x for x in lengths if x is not None and x.centres is job.facts.other_rod), None)

    return next((length.keys for report in job.state.links if (length := size_of(report)) is not None), ())


def _end(end: LinkEnd, state: MachineState) -> Iterator[Basis]:
    joint = next((joint for joint in state.joints if joint.joint.id == end.joint), None)
    if end.pins:
        value = " or ".join(pin.name for pin in end.pins)
        origin = end.pins[0].origin
        yield Basis(what=f"pin, {end.name}", value=value, origin=origin, entries=pin_keys(joint))
    if end.gap is not None:
        yield Basis(what=f"gap, {end.name}", value=f"{end.gap.value_mm:.2f} mm")
    if joint is not None:
        yield Basis(what=f"joint, {end.name}", value=joint.finding.verdict.value)
        limit = joint.finding.limit
        if limit is not None:
            value = f"renew over {limit.renew_mm:.2f} mm of {limit.of}"
            yield Basis(what=f"limit, {end.name}", value=value, origin=words_of(limit.origin, "mm"))


def pin_keys(joint: JointState | None) -> tuple[str, ...]:
    """Return the readings of the holes as last measured: they tell the pin."""
    holes = joint.holes if joint is not None else ()
    return tuple(key for hole in holes if hole.latest is not None for key in hole.latest.keys)


def _wanted(job: Job) -> Iterator[Basis]:
    wanted = job.wanted
    if wanted is not None:
        yield _size("needed closed", wanted.least, wanted.origin)
        yield _size("needed open", wanted.most, wanted.origin)


def _offer(offer: Offer) -> Iterator[Basis]:
    for key, figure in figures_of(offer).items():
        value = f"{figure.mm:.2f} mm"
        yield Basis(what=f"offer, {FIGURE_WORDS[key]}", value=value, origin=f"{figure.origin}: {figure.typed}")
    words = (
        ("kind of rod end", offer.rod_end or ""),
        ("kind of cap end", offer.cap_end or ""),
        ("check valve", offer.check_valve or ""),
        ("rated pressure", offer.rated_pressure.typed if offer.rated_pressure is not None else ""),
        ("set aside", offer.set_aside),
    )
    for what, word in words:
        if word:
            yield Basis(what=f"offer, {what}", value=word)


CORNERS = (
    "From the seat, nobody near, before any work: closed and open, lowest and highest, all four. Watch cab, tyre, "
    "ground and PTO shaft; a hydraulic link can be run to either end at any height."
)
NO_PROP = "A cylinder is no prop and a check valve no block: lower or block the implement before anyone reaches under."
PRESSURE = (
    "Before a fitting is opened: load off, engine off, levers cycled. A locked cylinder stays under pressure even "
    "then; look for leaks with cardboard, never a hand."
)
MANUAL = "The manuals of tractor and implement and the local rules win over this page; the weakest rating counts."
SHAFT = "PTO shaft: check overlap and angle again in all four corners; PTO off before lifting."
NO_DRILLING = "No hole is opened in cracked, cast, hardened, drawbar, steering or protective parts: that is no repair."
SLOPE = "Roll moves the centre of gravity: on a slope change it little and slowly."


def recommendation_of(
    job: Job, chosen: Compared, order: Sequence[Compared], day: datetime.date, words: tuple[str, str], units: Units
) -> Recommendation:
    """Return what is to be kept; `words` are who keeps it and what he says about it. Its `id` is given by the store."""
    who, text = words
    link = job.facts.link
    return Recommendation(
        id="",
        link=link.id,
        day=day,
        offer=chosen.offer.id,
        verdict=chosen.verdict.value,
        who=who,
        offer_name=chosen.offer.shown_name,
        words=text,
        way_round=way_words(chosen, job),
        reasons=tuple(reason_text(check) for check in chosen.points),
        others=tuple(_other(item, order, units) for item in order if item.offer.id != chosen.offer.id),
        parts=(*chosen.parts, "pins and keepers for both ends, if the seller gives none"),
        cautions=cautions(job, chosen),
        basis=basis_of(job, chosen.offer),
    )


def reason_text(check: Check) -> str:
    """Return a check as one sentence with its topic."""
    return f"{check.topic}: {check.sentence}"


def way_words(item: Compared, job: Job) -> str:
    """Return which end of the cylinder goes where."""
    return f"{item.near_end} at the {job.facts.ends[0].name}" if item.near_end else ""


def _other(item: Compared, order: Sequence[Compared], units: Units) -> str:
    place = next(index for index, other in enumerate(order) if other.offer.id == item.offer.id)
    behind = f" {why_after(order[place - 1], item, units)}" if place else ""
    return f"{item.offer.shown_name}: {item.verdict.value}. {item.worst.sentence}{behind}"


def cautions(job: Job, item: Compared) -> tuple[str, ...]:
    """Return the cautions that belong to fitting this cylinder."""
    is_rod = job.facts.link.position == "lift rod"
    works = any(check.level is Level.WORK for check in item.points)
    return (CORNERS, *((SLOPE,) if is_rod else (SHAFT,)), NO_PROP, PRESSURE, *((NO_DRILLING,) if works else ()), MANUAL)


_SAME_MM = 0.05  # finer than any tape or caliper here tells
_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")


def stale_reasons(kept: Recommendation, now: Sequence[Basis] | None, gone: Mapping[str, str]) -> tuple[str, ...]:
    """Return why a recommendation does not stand any more, empty while it does.

    Args:
        kept: the recommendation.
        now: what the same comparison rests on today; None where the link or the offer is not there any more.
        gone: entries that count no more, each with the reason: struck, or not in the files.
    """
    if now is None:
        return (f"the offer {kept.offer_name or kept.offer} or the link {kept.link} is not in the logbook any more",)
    then = {item.what: item for item in kept.basis}
    today = {item.what: item for item in now}
    reasons = [_changed(item, today.get(item.what)) for item in kept.basis]
    reasons += [f"{item.what} is known now and was not: {item.value}" for item in now if item.what not in then]
    reasons += [_struck(item, gone) for item in kept.basis]
    return tuple(reason for reason in reasons if reason)


def _changed(then: Basis, now: Basis | None) -> str:
    if now is None:
        return f"{then.what}, {then.value}, is not known any more"
    if _is_same(then.value, now.value):
        return ""
    fresh = sorted({key.partition(" ")[0] for key in now.entries} - {key.partition(" ")[0] for key in then.entries})
    since = f", measured in {fresh[-1]}" if fresh else ""
    origin = f" ({now.origin})" if now.origin != then.origin and not fresh else ""
    return f"{then.what} was {then.value} and is {now.value} now{since}{origin}"


def _is_same(then: str, now: str) -> bool:
    first, second = _MM.match(then), _MM.match(now)
    if first and second:
        return abs(float(first[1]) - float(second[1])) <= _SAME_MM
    return then == now


def _struck(item: Basis, gone: Mapping[str, str]) -> str:
    found = [key for key in item.entries if key in gone]
    if not found:
        return ""
    more = f" and {len(found) - 1} more" if len(found) > 1 else ""
    return f"{item.what} rests on {found[0]}{more}, {gone[found[0]]}"


def gone_entries(kept: Recommendation, there: Collection[str], struck: Collection[str]) -> dict[str, str]:
    """Return the entries that a recommendation rests on and that count no more, with the reason."""
    found: dict[str, str] = {}
    for item in kept.basis:
        for key in item.entries:
            if key in struck:
                found[key] = "struck out since"
            elif key not in there:
                found[key] = "which is not in the files any more"
    return found


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
