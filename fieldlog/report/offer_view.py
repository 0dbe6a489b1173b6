"""Offers against a link: the ruler, the ranked list, and one offer with all its points."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.measure.rounding import both_text, mm_text, size_text
from fieldlog.records.machine import shown_name
from fieldlog.records.offer import Offer
from fieldlog.records.quantities import Units
from fieldlog.report.lines import BLANK, Line, Span, fit, heading, line, short, wrapped
from fieldlog.report.ruler import RulerRow, ruler_lines
from fieldlog.report.words import VERDICT_WIDTH
from fieldlog.retrofit.checks import Check, Level, OfferVerdict
from fieldlog.retrofit.compare import Compared, why_after
from fieldlog.retrofit.figures import FIGURE_WORDS
from fieldlog.retrofit.fittings import LOOK_AT
from fieldlog.retrofit.job import Job
from fieldlog.retrofit.recommend import cautions, way_words


class OfferRow(NamedTuple):
    """An offer in the list."""

    offer: str


VERDICT_LOOKS: Mapping[OfferVerdict, tuple[str, str]] = MappingProxyType(
    {
        OfferVerdict.FITS: ("ok", "sound"),
        OfferVerdict.WORK: ("->", "plan"),
        OfferVerdict.LIMITS: ("<>", "plan"),
        OfferVerdict.UNCLEAR: ("??", "re-measure"),
        OfferVerdict.NO: ("!!", "renew"),
    }
)
_LEVEL_LOOKS: Mapping[Level, tuple[str, str]] = MappingProxyType(
    {
        Level.GOOD: ("ok", "sound"),
        Level.NOTE: (" -", ""),
        Level.ASK: (" ?", "re-measure"),
        Level.WORK: ("->", "plan"),
        Level.LIMIT: ("<>", "plan"),
        Level.UNCLEAR: ("??", "re-measure"),
        Level.NO: ("!!", "renew"),
    }
)
_NO_OFFERS = "No offer yet: a adds one here; fieldlog offers FILE.csv takes a whole table in."
_NAME_WIDTH = 20


def offer_verdict_span(verdict: OfferVerdict) -> Span:
    """Return sign and word of a verdict about an offer."""
    sign, mark = VERDICT_LOOKS[verdict]
    return Span(f"{sign} {verdict.value}".ljust(VERDICT_WIDTH), mark)


def offers_lines(
    job: Job, compared: Sequence[Compared], units: Units, width: int, *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Return the ruler and the ranked list for a list `width` columns wide."""
    if not compared:
        return (*link_words(job, units, width), BLANK, *wrapped(_NO_OFFERS, width, "", "dim"))
    lines = [*ruler_lines(_rows(job, compared), _set_mm(job), units, width, ascii_only=ascii_only)]
    lines += link_words(job, units, width)
    lines += [BLANK, heading("Offers, best first")]
    lines += [_offer_line(item, width) for item in compared]
    return tuple(lines)


def _offer_line(item: Compared, width: int) -> Line:
    name_width = min(_NAME_WIDTH, (width - VERDICT_WIDTH) // 2)
    room = width - VERDICT_WIDTH - name_width - 1
    name = Span(fit(item.offer.shown_name, name_width), "strong")
    worst = Span(short(item.worst.sentence, room), "dim")
    return line(offer_verdict_span(item.verdict), name, " ", worst, target=OfferRow(item.offer.id))


def _rows(job: Job, compared: Sequence[Compared]) -> list[RulerRow]:
    facts = job.facts
    rows = []
    if facts.closed is not None and facts.open is not None:
        rows.append(RulerRow("link now", facts.closed.value_mm, facts.open.value_mm, "link", "strong"))
    if job.wanted is not None:
        rows.append(RulerRow("needed", job.wanted.least_mm, job.wanted.most_mm, "need"))
    for item in compared:
        figures = item.sense.figures
        if item.sense.has_range:
            rows.append(RulerRow(item.offer.shown_name, figures["closed"].mm, figures["open"].mm))
        else:
            rows.append(RulerRow(item.offer.shown_name, None, None, text="lengths not clear", mark="dim"))
    return rows


def _set_mm(job: Job) -> float | None:
    return job.facts.as_set.value_mm if job.facts.as_set is not None else None


def link_words(job: Job, units: Units, width: int) -> tuple[Line, ...]:
    """Return what the offers are held against: the need, or else the link itself."""
    facts = job.facts
    lengths = (("closes", facts.closed), ("opens", facts.open), ("is set to", facts.as_set))
    known = [f"{word} {size_text(size, units)}" for word, size in lengths if size is not None]
    limit = f", opened no further for {facts.open_limit}" if facts.open_limit else ""
    text = f"{shown_name(facts.link)} {', '.join(known)}{limit}." if known else "The link is not taped yet."
    lines = [*wrapped(text, width, "", "dim")]
    if job.wanted is not None:
        places = 0 if units == "mm" else 2
        need = f"{mm_text(job.wanted.least_mm, units, places)} to {mm_text(job.wanted.most_mm, units, places)}"
        lines += wrapped(f"Needed: {need}, {job.wanted.origin}.", width, "", "dim")
    return tuple(lines)


def offer_summary(item: Compared, order: Sequence[Compared], units: Units, width: int) -> tuple[Line, ...]:
    """Return the worst point of an offer in full, and why it stands where it does."""
    place = next((index for index, other in enumerate(order) if other.offer.id == item.offer.id), 0)
    lines = [*wrapped(item.worst.sentence, width)]
    lines += wrapped(item.worst.why, width, "", "dim") if item.worst.why else ()
    lines += wrapped(why_after(order[place - 1], item, units), width, "", "strong") if place else ()
    return tuple(lines)


def offer_page(item: Compared, job: Job, order: Sequence[Compared], units: Units, width: int) -> tuple[Line, ...]:
    """Return one offer with every point and its reason, its figures, what to look at, and the cautions."""
    place = next(index for index, other in enumerate(order) if other.offer.id == item.offer.id)
    behind = f" {why_after(order[place - 1], item, units)}" if place else ""
    lines = [line(offer_verdict_span(item.verdict), f"number {place + 1} of {len(order)}.")]
    lines += wrapped(behind.strip(), width, "", "dim") if behind else ()
    lines += [BLANK]
    for check in item.points:
        lines += check_lines(check, width)
    lines += [BLANK, heading("The cylinder"), *_facts(item, job, units, width)]
    lines += [BLANK, *wrapped(LOOK_AT, width)]
    lines += [BLANK, *(row for text in cautions(job, item) for row in wrapped(text, width, "", "warn"))]
    return tuple(lines)


def check_lines(check: Check, width: int) -> tuple[Line, ...]:
    """Return one point: sign and topic, the sentence, and why."""
    sign, mark = _LEVEL_LOOKS[check.level]
    lines = [line(Span(f"{sign} ", mark), Span(check.topic, "strong"))]
    lines += wrapped(check.sentence, width, "   ")
    lines += wrapped(check.why, width, "   ", "dim") if check.why else ()
    return tuple(lines)


def _facts(item: Compared, job: Job, units: Units, width: int) -> tuple[Line, ...]:
    lines: list[Line] = []
    for key, figure in item.sense.figures.items():
        text = f"{FIGURE_WORDS[key]}: {both_text(figure.size, units)}, {figure.origin} ({figure.typed})"
        lines += wrapped(text, width)
    if item.sense.dead_mm is not None:
        lines += wrapped(f"dead length, closed less stroke: {mm_text(item.sense.dead_mm, units)}", width)
    if item.near_end:
        lines += wrapped(f"way round: {way_words(item, job)}", width)
    for text in offer_words(item.offer):
        lines += wrapped(text, width)
    return tuple(lines)


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
