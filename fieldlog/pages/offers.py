"""Offers against a link: the ruler, the ranked list, and one offer with all its points.

What a cylinder does on this tractor, point by point, with its cautions.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.pages.lines import (
    BLANK,
    FULL,
    HALF,
    NOTHING,
    SOME,
    UNKNOWN,
    Line,
    Span,
    cells,
    fit,
    heading,
    line,
    short,
    wrapped,
)
from fieldlog.pages.rulers import Reach, ruler
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.page_number import Number, Texts, page_number
from fieldlog.quantity.rounding import both_text, mm_text, size_text
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import Units
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.machine import shown_name
from fieldlog.records.offer import Offer
from fieldlog.retrofit.offers.compare import Compared, Job, why_after
from fieldlog.retrofit.offers.demand import Work
from fieldlog.retrofit.offers.kept import cautions, way_round
from fieldlog.retrofit.offers.link_facts import LinkEnd
from fieldlog.retrofit.offers.numbers import other_end
from fieldlog.retrofit.offers.on_hitch import hitch_numbers_of
from fieldlog.retrofit.offers.pins import eye_of, pin_fit
from fieldlog.retrofit.offers.sense import FIGURE_WORDS, Check, CylinderEnd, Level, OfferVerdict, figure_origin
from fieldlog.retrofit.repair.metal import opening_numbers
from fieldlog.words import number as number_words
from fieldlog.words import oil as oil_words
from fieldlog.words.eye import ENDS
from fieldlog.words.offer import stop_words, topic_words
from fieldlog.words.speak import say


class OfferRow(NamedTuple):
    """An offer in the list."""

    offer: str


VERDICT_LOOKS: Mapping[OfferVerdict, tuple[str, str]] = MappingProxyType(
    {
        OfferVerdict.FITS: (NOTHING, "sound"),
        OfferVerdict.WORK: (SOME, "plan"),
        OfferVerdict.LIMITS: (HALF, "plan"),
        OfferVerdict.UNCLEAR: (UNKNOWN, "re-measure"),
        OfferVerdict.NO: (FULL, "renew"),
    }
)
_LEVEL_LOOKS: Mapping[Level, tuple[str, str]] = MappingProxyType(
    {
        Level.GOOD: (NOTHING, "sound"),
        Level.NOTE: (" -", ""),
        Level.ASK: (" ?", "re-measure"),
        Level.WORK: (SOME, "plan"),
        Level.LIMIT: (HALF, "plan"),
        Level.UNCLEAR: (UNKNOWN, "re-measure"),
        Level.NO: (FULL, "renew"),
    }
)
_NO_OFFERS = "No offer yet: a adds one here; fieldlog offers FILE.csv takes a whole table in."
_VERDICT_WIDTH = 15
_TOPIC_WIDTH = 18
_WORDS_FROM = 54  # columns from which verdicts stand in words, not in their signs alone
_TOPIC_FROM = 74  # columns from which what decides stands behind the bar


def offer_verdict_span(verdict: OfferVerdict) -> Span:
    """Return sign and word of a verdict about an offer."""
    sign, mark = VERDICT_LOOKS[verdict]
    return Span(f"{sign} {verdict.value}".ljust(_VERDICT_WIDTH), mark)


def offers_lines(
    job: Job, compared: Sequence[Compared], units: Units, width: int, *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Return the ranked list for a list `width` columns wide, every offer with its bar on one ruler."""
    if not compared:
        return (*link_words(job, units, width), BLANK, *wrapped(_NO_OFFERS, width, "", "dim"))
    frame = _frame(job, compared, width)
    above = _rows_above(job)
    reaches = [*(reach for _, reach in above), *(_reach(item, job, units) for item in compared)]
    drawn = ruler(reaches, _set_mm(job), units, frame.bar, ascii_only=ascii_only)
    if drawn is None:
        return (*link_words(job, units, width), *(_offer_line(item, "", frame) for item in compared))
    left = " " * (frame.verdict + frame.name)
    head = fit(f"Best first, {units}", len(left) - 1) + " "
    lines = [line(Span(head, "head"), Span(drawn.figures.rstrip(), "dim")), line(left, Span(drawn.ticks, "dim"))]
    for (name, _), bar in zip(above, drawn.bars, strict=False):
        lines.append(line(" " * frame.verdict, fit(name, frame.name), Span(bar, "picture")))
    bars = drawn.bars[len(above) :]
    lines += [_offer_line(item, bar, frame) for item, bar in zip(compared, bars, strict=True)]
    return (*lines, BLANK, *link_words(job, units, width))


class _Frame(NamedTuple):
    """The columns of the list: verdict (its sign alone where it is narrow), name, bar, and what decides."""

    verdict: int
    name: int
    bar: int
    topic: int


def _frame(job: Job, compared: Sequence[Compared], width: int) -> _Frame:
    longest = max(cells("link now"), *(cells(item.offer.shown_name) for item in compared)) + 1
    verdict = _VERDICT_WIDTH if width >= _WORDS_FROM else 3
    topic = _TOPIC_WIDTH if width >= _TOPIC_FROM else 0
    name = min(longest, (width - verdict - topic) // 3)
    return _Frame(verdict, name, width - verdict - name - topic, topic)


def _offer_line(item: Compared, bar: str, frame: _Frame) -> Line:
    sign, mark = VERDICT_LOOKS[item.verdict]
    verdict = fit(f"{sign} {item.verdict.value}" if frame.verdict > 3 else sign, frame.verdict)
    name = Span(fit(item.offer.shown_name, frame.name - 1) + " ", "strong")
    decides = topic_words(item.worst) if item.worst.level > Level.NOTE else "nothing"
    topic = Span(short(f" {decides}", frame.topic), "dim")
    return line(Span(verdict, mark), name, Span(bar, "picture"), topic, target=OfferRow(item.offer.id))


def _rows_above(job: Job) -> list[tuple[str, Reach]]:
    facts, wanted = job.facts, job.wanted
    rows = []
    if facts.closed is not None and facts.open is not None:
        rows.append(("link now", Reach(facts.closed.value, facts.open.value, "link")))
    if wanted is not None:
        rows.append(("needed", Reach(wanted.least.value, wanted.most.value, "need")))
    return rows


def _reach(item: Compared, job: Job, units: Units) -> Reach:
    """Return an offer's reach; one that meets neither the link nor the need is told in figures, off the ruler."""
    if not item.sense.has_range:
        return Reach(None, None, text="lengths not clear")
    closed, opened = item.sense.figures["closed"].mm, item.sense.figures["open"].mm
    above = [reach for _, reach in _rows_above(job)]
    meets = any(reach.low_mm <= opened and closed <= reach.high_mm for reach in above if reach.low_mm and reach.high_mm)
    if above and not meets:
        places = 0 if units == "mm" else 1
        return Reach(None, None, text=f"{mm_text(closed, units, places)} to {mm_text(opened, units, places)}")
    return Reach(closed, opened)


def _set_mm(job: Job) -> float | None:
    return job.facts.as_set.value if job.facts.as_set is not None else None


def link_words(job: Job, units: Units, width: int) -> tuple[Line, ...]:
    """Return what the offers are held against: the need, or else the link itself."""
    facts = job.facts
    lengths = (("closes", facts.closed), ("opens", facts.open), ("set to", facts.as_set))
    known = [f"{word} {size_text(size, units)}" for word, size in lengths if size is not None]
    limit = f", opened no further for {stop_words(facts.open_limit)}" if facts.open_limit else ""
    text = f"{shown_name(facts.link)} {', '.join(known)}{limit}." if known else "The link is not taped yet."
    lines = [*wrapped(text, width, "", "dim")]
    if job.wanted is not None:
        places = 0 if units == "mm" else 2
        need = f"{mm_text(job.wanted.least.value, units, places)} to {mm_text(job.wanted.most.value, units, places)}"
        lines += wrapped(f"Needed: {need}, {told(job.wanted.origin, units)}.", width, "", "dim")
    return tuple(lines)


def offer_summary(item: Compared, order: Sequence[Compared], units: Units, width: int) -> tuple[Line, ...]:
    """Return the worst point of an offer in full, and why it stands where it does."""
    place = next((index for index, other in enumerate(order) if other.offer.id == item.offer.id), 0)
    lines = [*wrapped(say(item.worst.said, units), width)]
    lines += wrapped(say(item.worst.why, units), width, "", "dim") if item.worst.why is not None else ()
    lines += wrapped(say(why_after(order[place - 1], item), units), width, "", "strong") if place else ()
    return tuple(lines)


def offer_page(item: Compared, job: Job, order: Sequence[Compared], units: Units, width: int) -> tuple[Line, ...]:
    """Return one offer with every point and its reason, its figures, what to look at, and the cautions."""
    place = next(index for index, other in enumerate(order) if other.offer.id == item.offer.id)
    behind = f" {say(why_after(order[place - 1], item), units)}" if place else ""
    lines = [line(offer_verdict_span(item.verdict), f"number {place + 1} of {len(order)}.")]
    lines += wrapped(behind.strip(), width, "", "dim") if behind else ()
    lines += [BLANK]
    for check in item.points:
        lines += check_lines(check, units, width)
    lines += [BLANK, heading("The cylinder"), *_facts(item, job, units, width)]
    bore = item.sense.figures.get("bore")
    lines += [BLANK, *wrapped(say(said("kept.look_at", bore_mm=bore.mm if bore is not None else None), units), width)]
    lines += [
        BLANK,
        *(row for caution in cautions(job, item) for row in wrapped(say(caution, units), width, "", "warn")),
    ]
    return tuple(lines)


def check_lines(check: Check, units: Units, width: int) -> tuple[Line, ...]:
    """Return one point: sign and topic, the sentence, and why."""
    sign, mark = _LEVEL_LOOKS[check.level]
    lines = [line(Span(f"{sign} ", mark), Span(topic_words(check), "strong"))]
    lines += wrapped(say(check.said, units), width, "   ")
    lines += wrapped(say(check.why, units), width, "   ", "dim") if check.why is not None else ()
    return tuple(lines)


def _facts(item: Compared, job: Job, units: Units, width: int) -> tuple[Line, ...]:
    lines: list[Line] = []
    for key, figure in item.sense.figures.items():
        text = f"{FIGURE_WORDS[key]}: {both_text(figure.size, units)}, {figure_origin(figure)} ({figure.typed})"
        lines += wrapped(text, width)
    lines += wrapped(_travel(item, job, units), width) if item.sense.has_range else ()
    if item.sense.dead_mm is not None:
        lines += wrapped(
            f"dead length, closed less stroke: {mm_text(item.sense.dead_mm, units, 1 if units == 'mm' else 2)}", width
        )
    lines += wrapped(f"way round: {say(way_round(item, job), units)}", width)
    for text in offer_words(item.offer):
        lines += wrapped(text, width)
    return tuple(lines)


def _travel(item: Compared, job: Job, units: Units) -> str:
    facts, places = job.facts, 1 if units == "mm" else 2
    text = f"travel, open less closed: {mm_text(item.numbers.value('travel').value, units, places)}"
    if facts.closed is None or facts.open is None:
        return text
    return f"{text}; the link {mm_text(facts.open.value - facts.closed.value, units, places)}"


def offer_words(offer: Offer) -> tuple[str, ...]:
    """Return what is known of an offer besides its lengths, a sentence each."""
    pressure = offer.rated_pressure
    named = (
        ("rod end", offer.rod_end),
        ("cap end", offer.cap_end),
        ("check valve", offer.check_valve),
        ("rated pressure", f"{pressure.typed} ({pressure.bar:.0f} bar)" if pressure is not None else ""),
        ("ports", offer.ports),
        ("weight", offer.weight.typed if offer.weight is not None else ""),
        ("price", offer.price),
        ("from", offer.supplier),
        ("notes", offer.notes),
        ("set aside", offer.set_aside),
    )
    return tuple(f"{word}: {text}" for word, text in named if text)


def cylinder_lines(points: Sequence[Check], hydraulics: Hydraulics, units: Units, width: int) -> tuple[Line, ...]:
    """Return the page: what the tractor gives, every point, and the cautions."""
    lines: list[Line] = [*wrapped(supply_words(hydraulics), width, "", "dim"), BLANK]
    for point in points:
        lines += check_lines(point, units, width)
    for text in oil_words.CAUTIONS:
        lines += [BLANK, *wrapped(text, width, "", "warn")]
    return tuple(lines)


def supply_words(hydraulics: Hydraulics) -> str:
    """Return what is known of the tractor's hydraulics."""
    known = (
        ("relief", hydraulics.relief.typed if hydraulics.relief else ""),
        ("flow", hydraulics.pump_flow.typed if hydraulics.pump_flow else ""),
        ("remotes", str(hydraulics.remotes or "")),
        ("hose inside", hydraulics.hose_inside.typed if hydraulics.hose_inside else ""),
    )
    words = ", ".join(f"{word} {text}" for word, text in known if text)
    return f"The tractor: {words}." if words else "Nothing is written down about the tractor's hydraulics yet: p."


def told(what: Said | str, units: Units) -> str:
    """Return what is a code or already somebody's own words as text."""
    return say(what, units) if isinstance(what, Said) else what


_AGAINST_THE_LINK = (
    "closed_to_need", "open_to_need", "closed_to_link", "open_to_link", "in_hand_closed", "in_hand_open", "mid_stroke",
    "shorter_from_level", "longer_from_level",
)  # fmt: skip


def opened_offer(item: Compared, job: Job, units: Units) -> list[Number]:
    """Return every number on an offer's page opened up: what the comparison gives, then the cylinder's own figures."""
    numbers, has_range = item.numbers, item.sense.has_range
    need = told(job.wanted.origin, units) if job.wanted is not None else ""
    rod = job.facts.other_rod_name or "other lift rod"

    def named(number_id: str) -> Numbered:
        return number_id, number_words.of_an_offer(number_id, need, rod)

    found = _opened(numbers, map(named, _AGAINST_THE_LINK), units) if has_range else []
    if has_range:
        is_rod, other = job.facts.link.position == "lift rod", (job.facts.other_rod, job.facts.other_rod_name)
        for setup in job.setups:
            found += hitch_numbers_of(setup, item.sense.figures, other, is_rod=is_rod)
    for end, eye in zip(job.facts.ends, (item.near_end, other_end(item.near_end)), strict=True):
        found += _opened_eye(item, end, eye, units)
    dead = "dead_length" if "stroke" in item.sense.figures else "dead_length_without_stroke"
    own = [*(["travel"] if has_range else []), *([dead] if item.sense.dead_mm is not None else [])]
    figures = ((key, number_words.figure_of_an_offer(key)) for key in item.sense.figures)
    return [*found, *_opened(numbers, [*map(named, own), *figures], units)]


Numbered = tuple[str, Texts]


def _opened(numbers: Numbers, named: Iterable[Numbered], units: Units) -> list[Number]:
    """Return the numbers that have a value here, each under its words."""
    found = (page_number(numbers, number_id, texts, lambda text: say(text, units)) for number_id, texts in named)
    return [number for number in found if number is not None]


def _opened_eye(item: Compared, end: LinkEnd, eye: CylinderEnd, units: Units) -> Iterator[Number]:
    """Return the metal left where an eye is opened for its pin, and its room on the pin and in the gap."""
    fit = pin_fit(eye_of(item.offer, item.sense.figures, eye), end.pins[0]) if len(end.pins) == 1 else None
    if fit is not None and fit.opening is not None:
        yield from opening_numbers(fit.opening, ENDS[eye])
    on_pin = f"room_on_pin/{end.at}", number_words.room_on_pin(end.at, eye)
    in_gap = f"room_in_gap/{end.at}", number_words.room_in_gap(end.at, eye)
    yield from _opened(item.numbers, (on_pin, in_gap), units)


def opened_work(work: Work, units: Units) -> list[Number]:
    """Return every number about force and oil opened up, what is asked of the link first."""
    sizes = work.demand.sizes if work.demand is not None else {}
    asked = ((key, oil_words.asked_of_the_link(key, sizes[key].name)) for key in oil_words.ASKED if key in sizes)
    return _opened(work.numbers, [*asked, *oil_words.NUMBERS.items()], units)
