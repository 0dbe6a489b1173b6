"""What a comparison rests on, as plain items that can be written down and compared with later ones.

What to mind when the chosen cylinder is fitted.

Does a kept recommendation still stand? What it rested on is compared with what is known now, item by item, by id.

A kept recommendation stores what it rested on as plain items (name, value, entries), not a digest: whether it still
stands is found by making the same items again, and the difference is the reason.
"""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from fieldlog.measure.lengths import LinkLength
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.number import Behind
from fieldlog.quantity.said import Said, said
from fieldlog.records.offer import Basis, Offer, Recommendation
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.compare import Compared, Job, job_of
from fieldlog.retrofit.offers.link_facts import EndOfLink, LinkEnd, RestsOn
from fieldlog.retrofit.offers.sense import Level, figures_of
from fieldlog.wear.states import MachineState

# What items are called in files: theirs for good, whatever a page calls them. Files without ids are read by it.
_IN_FILES: Mapping[str, str] = MappingProxyType(
    {
        "link/closed": "link closed",
        "link/open": "link open",
        "link/as_set": "link as set",
        "link/mast": "mast height",
        "link/other_rod": "other lift rod",
        "need/closed": "needed closed",
        "need/open": "needed open",
        **{
            f"{what}/{at}": f"{what}, {at.replace('_', ' ')}"
            for what in ("pin", "gap", "joint", "limit")
            for at in EndOfLink
        },
        "offer/closed": "offer, closed",
        "offer/open": "offer, open",
        "offer/stroke": "offer, stroke",
        "offer/bore": "offer, bore",
        "offer/rod": "offer, rod",
        "offer/rod_end_hole": "offer, hole at the rod end",
        "offer/rod_end_width": "offer, eye width at the rod end",
        "offer/rod_end_outside": "offer, outside of the eye at the rod end",
        "offer/cap_end_hole": "offer, hole at the cap end",
        "offer/cap_end_width": "offer, eye width at the cap end",
        "offer/cap_end_outside": "offer, outside of the eye at the cap end",
        "offer/rod_end": "offer, kind of rod end",
        "offer/cap_end": "offer, kind of cap end",
        "offer/check_valve": "offer, check valve",
        "offer/rated_pressure": "offer, rated pressure",
        "offer/set_aside": "offer, set aside",
    }
)
_IDS: Mapping[str, str] = MappingProxyType({name: item_id for item_id, name in _IN_FILES.items()})


def basis_of(job: Job, offer: Offer) -> tuple[RestsOn, ...]:
    """Return everything that the comparison of one offer with a link rests on, each under an id of its own."""
    return (
        *_link(job),
        *(item for end in job.facts.ends for item in _end(end, job.state, job.facts.behind)),
        *_wanted(job),
        *job.geometry,
        *_offer(offer),
    )


def _item(item_id: str, value: str, origin: Said | str = "", entries: tuple[str, ...] = ()) -> RestsOn:
    return RestsOn(item_id, _IN_FILES[item_id], value, "", origin, entries)


def _size(item_id: str, size: Estimate, origin: Said | str = "", entries: tuple[str, ...] = ()) -> RestsOn:
    doubt = f"{size.plus_minus:.2f} mm" if size.plus_minus > 0 else ""
    return RestsOn(item_id, _IN_FILES[item_id], f"{size.value:.2f} mm", doubt, origin, entries)


def _link(job: Job) -> Iterator[RestsOn]:
    facts = job.facts
    report = next(report for report in job.state.links if report.link.id == facts.link.id)
    taped = (("link/closed", facts.closed, report.closed), ("link/as_set", facts.as_set, report.as_set))
    for item_id, size, length in taped:
        if size is not None and length is not None:
            yield _size(item_id, size, ", ".join(length.ways), length.keys)
    if facts.open is not None:
        limit = said("kept.open_limit", stop=facts.open_limit) if facts.open_limit is not None else _ways(report.open)
        yield _size("link/open", facts.open, limit, _keys(report.open))
    if facts.mast is not None:
        yield _item("link/mast", f"{facts.mast.mm:.2f} mm", facts.mast.origin)
    if facts.other_rod is not None:
        yield _size("link/other_rod", facts.other_rod, facts.other_rod_name, facts.behind["other_rod"].keys)


def _ways(length: LinkLength | None) -> str:
    return ", ".join(length.ways) if length is not None else ""


def _keys(length: LinkLength | None) -> tuple[str, ...]:
    return length.keys if length is not None else ()


def _end(end: LinkEnd, state: MachineState, behind: Mapping[str, Behind]) -> Iterator[RestsOn]:
    joint = next((joint for joint in state.joints if joint.joint.id == end.joint), None)
    if end.pins:
        value = " or ".join(pin.name for pin in end.pins)
        yield _item(f"pin/{end.at}", value, end.pins[0].origin, behind[f"pin/{end.at}"].keys)
    if end.gap is not None:
        yield _item(f"gap/{end.at}", f"{end.gap.value:.2f} mm")
    if joint is not None:
        yield _item(f"joint/{end.at}", joint.finding.verdict.value)
        limit = joint.finding.limit
        if limit is not None:
            value = f"renew over {limit.renew_mm:.2f} mm of {limit.of}"
            yield _item(f"limit/{end.at}", value, limit.origin)


def _wanted(job: Job) -> Iterator[RestsOn]:
    wanted = job.wanted
    if wanted is not None:
        yield _size("need/closed", wanted.least, wanted.origin)
        yield _size("need/open", wanted.most, wanted.origin)


def _offer(offer: Offer) -> Iterator[RestsOn]:
    for key, figure in figures_of(offer).items():
        yield _item(f"offer/{key}", f"{figure.mm:.2f} mm", said("kept.figure", figure=figure))
    values = (
        ("rod_end", offer.rod_end or ""),
        ("cap_end", offer.cap_end or ""),
        ("check_valve", offer.check_valve or ""),
        ("rated_pressure", offer.rated_pressure.typed if offer.rated_pressure is not None else ""),
        ("set_aside", offer.set_aside),
    )
    for key, value in values:
        if value:
            yield _item(f"offer/{key}", value)


def way_round(item: Compared, job: Job) -> Said:
    """Return which end of the cylinder goes where."""
    return said("kept.way_round", end=item.near_end, at=job.facts.ends[0].at)


def cautions(job: Job, item: Compared) -> tuple[Said, ...]:
    """Return the cautions that belong to fitting this cylinder."""
    is_rod = job.facts.link.position == "lift rod"
    works = any(check.level is Level.WORK for check in item.points)
    return (
        said("kept.mind_corners"),
        said("kept.mind_slope") if is_rod else said("kept.mind_shaft"),
        said("kept.mind_no_prop"),
        said("kept.mind_pressure"),
        *((said("kept.mind_no_drilling"),) if works else ()),
        said("kept.mind_manual"),
    )


_SAME_MM = 0.05  # finer than any tape or caliper here tells
_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")


Gone = Literal["struck", "missing"]


def stale_reasons(kept: Recommendation, now: Sequence[RestsOn] | None, gone: Mapping[str, Gone]) -> tuple[Said, ...]:
    """Return why a recommendation does not stand any more, empty while it does.

    Args:
        kept: the recommendation.
        now: what the same comparison rests on today; None where the link or the offer is not there any more.
        gone: entries that count no more, each with the reason: struck, or not in the files.
    """
    if now is None:
        return (said("kept.not_there", offer=kept.offer_name or kept.offer, link=kept.link),)
    today = {item.id: item for item in now}
    then = {_id_of(item, now): item for item in kept.basis}
    reasons = [_changed(item, today.get(item_id)) for item_id, item in then.items()]
    reasons += [said("kept.known_now", what=item.name, value=item.value) for item in now if item.id not in then]
    reasons += [_struck(item, gone) for item in kept.basis]
    return tuple(reason for reason in reasons if reason is not None)


def _id_of(item: Basis, now: Sequence[RestsOn]) -> str:
    """Return what an item is about; in a file without ids by what such items are called in files."""
    if item.id:
        return item.id
    names = {one.name: one.id for one in now}
    return _IDS.get(item.what) or names.get(item.what) or item.what


def _changed(then: Basis, now: RestsOn | None) -> Said | None:
    if now is None:
        return said("kept.not_known_now", what=then.what, value=then.value)
    if _is_same(then.value, now.value):
        return None
    fresh = sorted({key.partition(" ")[0] for key in now.entries} - {key.partition(" ")[0] for key in then.entries})
    since, origins = fresh[-1] if fresh else "", said("kept.origins", then=then.origin, now=now.origin)
    return said("kept.changed", what=then.what, then=then.value, now=now.value, since=since, origins=origins)


def _is_same(then: str, now: str) -> bool:
    first, second = _MM.match(then), _MM.match(now)
    if first and second:
        return abs(float(first[1]) - float(second[1])) <= _SAME_MM
    return then == now


def _struck(item: Basis, gone: Mapping[str, Gone]) -> Said | None:
    found = [key for key in item.entries if key in gone]
    if not found:
        return None
    return said("kept.rests_on_gone", what=item.what, entry=found[0], more=len(found) - 1, how=gone[found[0]])


def gone_entries(kept: Recommendation, there: Collection[str], struck: Collection[str]) -> dict[str, Gone]:
    """Return the entries that a recommendation rests on and that count no more, with the reason."""
    found: dict[str, Gone] = {}
    for item in kept.basis:
        for key in item.entries:
            if key in struck:
                found[key] = "struck"
            elif key not in there:
                found[key] = "missing"
    return found


@dataclass(frozen=True, slots=True)
class Kept:
    """A recommendation and why it does not stand any more; no reason while it does."""

    recommendation: Recommendation
    stale: tuple[Said, ...] = ()


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
