"""What a comparison rests on, as plain items that can be written down and compared with later ones."""

from collections.abc import Iterator

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.lengths import LinkLength
from fieldlog.records.offer import Offer
from fieldlog.records.recommendation import Basis
from fieldlog.retrofit.figures import FIGURE_WORDS, figures_of
from fieldlog.retrofit.job import Job
from fieldlog.retrofit.link_facts import LinkEnd
from fieldlog.wear.states import JointState, LinkReport, MachineState


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
            yield Basis(what=f"limit, {end.name}", value=value, origin=limit.origin)


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
