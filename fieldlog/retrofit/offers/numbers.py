"""Every number on an offer's page, with what it rests on: the seller's figures, the link's taping, the hitch.

The numbers that a kept recommendation rests on, as they were kept, each with the entries that it came from.
"""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from fieldlog.measure.lengths import LinkLength
from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, as_figure, as_value
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.text import day_text
from fieldlog.records.offer import Basis, Recommendation
from fieldlog.retrofit.carried import Carried, Measure, less, of_estimate, opened
from fieldlog.retrofit.offers.compare import Compared, Job
from fieldlog.retrofit.offers.demand import offer_measure
from fieldlog.retrofit.offers.kept import other_rod_keys, pin_keys
from fieldlog.retrofit.offers.link_facts import LinkEnd
from fieldlog.retrofit.offers.on_hitch import hitch_numbers_of
from fieldlog.retrofit.offers.pins import as_hole, eye_of, pin_fit
from fieldlog.retrofit.offers.reach import mid_stroke
from fieldlog.retrofit.offers.sense import FIGURE_WORDS
from fieldlog.retrofit.repair.metal import opening_numbers

Figures = Mapping[str, Measure]


def offer_numbers(item: Compared, job: Job) -> list[Number]:
    """Return what the comparison gives, then the cylinder's own figures."""
    figures = {key: offer_measure(figure) for key, figure in item.sense.figures.items()}
    found: list[Number] = []
    if item.sense.has_range:
        found += [*_need(figures, job), *_link(figures, job), *_level(figures, job)]
        is_rod, rod = job.facts.link.position == "lift rod", (job.facts.other_rod, job.facts.other_rod_name)
        for setup in job.setups:
            found += hitch_numbers_of(setup, item.sense.figures, rod, is_rod=is_rod)
    found += _eyes(item, figures, job)
    if item.sense.has_range:
        found.append(less("travel", "Travel: open less closed", figures["open"], figures["closed"]))
    found += _dead(item, figures)
    return [*found, *(opened(FIGURE_WORDS[key], _about(key), one.figure, (one,)) for key, one in figures.items())]


def _about(key: str) -> str:
    return f"{FIGURE_WORDS[key][:1].upper()}{FIGURE_WORDS[key][1:]} of the offer"


def _need(figures: Figures, job: Job) -> Iterator[Number]:
    """Return what is in hand at both ends against the length needed; below nothing it is missing."""
    wanted = job.wanted
    if wanted is None:
        return
    behind = wanted.behind or (None, None)
    least, most = _needed(wanted.least, behind[0], "shortest"), _needed(wanted.most, behind[1], "longest")
    about = f"the length needed ({wanted.origin})"
    yield less("closed to the need", f"In hand closed: {about} less closed", least, figures["closed"])
    yield less("open to the need", f"In hand open: open less {about}", figures["open"], most)


def _needed(size: Estimate, found: Carried | None, word: str) -> Measure:
    name = f"{word} length needed"
    return found.as_measure(name) if found is not None else of_estimate(size, name)


def _link(figures: Figures, job: Job) -> Iterator[Number]:
    facts = job.facts
    report = next(report for report in job.state.links if report.link.id == facts.link.id)
    closed = _taped(facts.closed, report.closed, "link closed")
    opened_ = _taped(facts.open, report.open, "link open", facts.open_limit)
    now = _taped(facts.as_set, report.as_set, "link as set")
    if closed is not None:
        yield less("closed to the link", "Closed less the link closed: longer is +", figures["closed"], closed)
    if opened_ is not None:
        yield less("open to the link", "Open less the link open: longer is +", figures["open"], opened_)
    if now is not None:
        yield less("in hand closed", "In hand closed at the length the link is set to", now, figures["closed"])
        yield less("in hand open", "In hand open at the length the link is set to", figures["open"], now)


def _taped(size: Estimate | None, length: LinkLength | None, name: str, limit: str = "") -> Measure | None:
    if size is None:
        return None
    keys = length.keys if length is not None else ()
    return of_estimate(size, name, keys, f"{name}: ended by {limit}" if limit else "")


def _level(figures: Figures, job: Job) -> Iterator[Number]:
    """Return a tilt cylinder against the other lift rod: where it is level, and how far it goes each way."""
    facts = job.facts
    if facts.link.position != "lift rod" or facts.other_rod is None:
        return
    name = facts.other_rod_name or "other lift rod"
    rod = of_estimate(facts.other_rod, name, other_rod_keys(job))
    closed, opened_ = figures["closed"], figures["open"]
    size = as_figure(mid_stroke(as_value(closed.figure, "closed"), as_value(opened_.figure, "open")))
    middle = Measure(size.value, size.parts, "mid stroke", typed=(*closed.typed, *opened_.typed))
    yield less("mid stroke", f"Mid stroke less {name}: nought rolls as far both ways", middle, rod)
    yield less("shorter from level", f"{name} less closed", rod, closed)
    yield less("longer from level", f"Open less {name}", opened_, rod)


def _eyes(item: Compared, figures: Figures, job: Job) -> Iterator[Number]:
    """Return the room that each eye has on the pin there, and in the gap it goes into."""
    if not item.near_end:
        return
    far_end = "rod end" if item.near_end == "cap end" else "cap end"
    for eye, end in ((item.near_end, job.facts.ends[0]), (far_end, job.facts.ends[1])):
        key = eye.replace(" ", "_")
        hole, width = figures.get(f"{key}_hole"), figures.get(f"{key}_width")
        if hole is not None and len(end.pins) == 1:
            yield from _opened_eye(item, eye, end)
            size, about = (
                as_hole(item.sense.figures[f"{key}_hole"]),
                f"Hole at the {eye} less the pin at the {end.name}",
            )
            made = of_estimate(size, f"offer, hole at the {eye}", typed=hole.typed[0])
            yield less(f"room on the pin at the {end.name}", about, made, _pin(end, job))
        if width is not None and end.gap is not None:
            about = f"Gap at the {end.name} less the width of the eye at the {eye}"
            gap = of_estimate(end.gap, f"gap at the {end.name}", typed=f"gap at the {end.name}: {_gap_typed(job, end)}")
            yield less(f"room in the gap at the {end.name}", about, gap, width)


def _opened_eye(item: Compared, eye: str, end: LinkEnd) -> Iterator[Number]:
    """Return the metal left where an eye's hole has to be opened for its pin."""
    fit = pin_fit(eye_of(item.offer, item.sense.figures, eye), end.pins[0], "mm")
    if fit.opening is not None:
        yield from opening_numbers(fit.opening, eye)


def _pin(end: LinkEnd, job: Job) -> Measure:
    """The pin by its name, as the fit takes it; a worn one is looser."""
    joint = next((joint for joint in job.state.joints if joint.joint.id == end.joint), None)
    pin = end.pins[0]
    typed = f"pin at the {end.name}: {pin.name} ({pin.origin}), counts as its nominal size"
    return Measure(pin.mm, (), "pin", keys=pin_keys(joint), typed=(typed,))


def _gap_typed(job: Job, end: LinkEnd) -> str:
    link = job.facts.link
    length = link.near_gap if end is job.facts.ends[0] else link.far_gap
    return length.typed if length is not None else ""


def _dead(item: Compared, figures: Figures) -> Iterator[Number]:
    """Return closed less stroke, the stroke being open less closed where none is stated: then it is 2 closed - open."""
    if item.sense.dead_mm is None:
        return
    closed, stroke = figures["closed"], figures.get("stroke")
    if stroke is not None:
        yield less("dead length", "Dead length: closed less stroke", closed, stroke)
        return
    twice = tuple(replace(part, u=2 * part.u) for part in closed.parts)
    size = Figure(item.sense.dead_mm, "mm", (*twice, *figures["open"].parts))
    yield opened("dead length", "Dead length: twice closed less open", size, (closed, figures["open"]))


_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")
_NORMAL = 1.959964  # 95 % of a bell, which the kept half-width is taken as


def kept_numbers(told: Recommendation) -> list[Number]:
    """Return every length that a recommendation rests on; what its doubt was made of then is not kept."""
    return [number for basis in told.basis if (number := _number(basis, told)) is not None]


def _number(basis: Basis, told: Recommendation) -> Number | None:
    match = _MM.match(basis.value)
    if match is None:
        return None
    about = f"{basis.what[:1].upper()}{basis.what[1:]}, as it was on {day_text(told.day)}"
    said = "The offers page, o on the page before, has the same number as it is today, with its parts."
    typed = (f"{basis.what}: {basis.origin}",) if basis.origin else ()
    return Number(
        basis.what, about, Figure(float(match[1]), "mm", _parts(basis)), basis.entries, said=said, typed=typed
    )


def _parts(basis: Basis) -> tuple[FigurePart, ...]:
    match = _MM.match(basis.plus_minus)
    if match is None:
        return ()
    source = f"± {basis.plus_minus} at 95 %, kept in the file without its parts"
    return (FigurePart("as it was kept", float(match[1]) / _NORMAL, math.inf, source),)
