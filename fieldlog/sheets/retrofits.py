"""Cylinders on offer in the report: as printed lines and as data. The manual (data) describes the data's shape."""

from collections.abc import Mapping, Sequence

from fieldlog.app.retrofits import MachineRetrofits
from fieldlog.pages.lines import BLANK, Line, Span, line, wrapped
from fieldlog.pages.machine import kept_detail, kept_lines
from fieldlog.pages.offers import link_words, offer_verdict_span, opened_offer, opened_work
from fieldlog.quantity.lengths import Units
from fieldlog.records.machine import shown_name
from fieldlog.records.offer import Offer
from fieldlog.retrofit.offers.compare import Compared, Job
from fieldlog.retrofit.offers.kept import Kept
from fieldlog.retrofit.offers.sense import Check, OfferFigure, OfferVerdict, figures_of
from fieldlog.sheets.trend_data import derived
from fieldlog.words.eye import ENDS
from fieldlog.words.offer import topic_words
from fieldlog.words.speak import say

Data = Mapping[str, object]
_DIGITS = 6


def retrofit_lines(found: Sequence[MachineRetrofits], units: Units, width: int) -> tuple[Line, ...]:
    """Return the offers for each link, best first, each with what decides, and the kept recommendations."""
    lines: list[Line] = []
    for item in found:
        for job, compared in item.links:
            title = f"In the place of {shown_name(job.facts.link)}, {shown_name(item.machine)}"
            lines += [BLANK, *wrapped(title, width, "", "head"), *link_words(job, units, width)]
            for one in compared:
                lines.append(line(offer_verdict_span(one.verdict), Span(one.offer.shown_name, "strong")))
                lines += wrapped(f"{topic_words(one.worst)}: {say(one.worst.said, units)}", width, "   ")
                for check in _worst_work(item, job, one):
                    lines += wrapped(f"{topic_words(check)}: {say(check.said, units)}", width, "   ")
        lines += _kept(item, units, width)
    return tuple(lines)


def _worst_work(item: MachineRetrofits, job: Job, one: Compared) -> Sequence[Check]:
    """Return what matters most about force and oil of an offer that is in the running, if that is not said yet."""
    work = item.work.get((job.facts.link.id, one.offer.id))
    if work is None or one.verdict is OfferVerdict.NO or work.points[0] == one.worst:
        return ()
    return work.points[:1]


def _kept(item: MachineRetrofits, units: Units, width: int) -> list[Line]:
    lines: list[Line] = []
    rows = kept_lines(item.kept, item.machine, width)
    by_id = {kept.recommendation.id: kept for kept in item.kept}
    for row in rows:
        lines.append(row)
        kept = by_id.get(getattr(row.target, "kept", ""))
        lines += [Line((Span("   "), *detail.spans)) for detail in kept_detail(kept, units, width - 3)] if kept else []
    return lines


def retrofit_data(item: MachineRetrofits, units: Units) -> Data:
    """Return a machine's comparisons and kept recommendations as plain dictionaries and lists; lengths in mm."""
    return {
        "machine": item.machine.id,
        "links": [
            {"link": job.facts.link.id, "offers": [_compared(one, item, job, units) for one in compared]}
            for job, compared in item.links
        ],
        "kept": [_kept_data(kept, units) for kept in item.kept],
    }


def offer_data(offer: Offer) -> Data:
    """Return a cylinder on offer with its figures."""
    pressure, weight = offer.rated_pressure, offer.weight
    return {
        "id": offer.id,
        "name": offer.shown_name,
        "supplier": offer.supplier,
        "price": offer.price,
        "figures": {key: _figure(figure) for key, figure in figures_of(offer).items()},
        "rod_end": offer.rod_end,
        "cap_end": offer.cap_end,
        "check_valve": offer.check_valve,
        "rated_pressure_bar": round(pressure.bar, _DIGITS) if pressure is not None else None,
        "weight_kg": round(weight.kg, _DIGITS) if weight is not None else None,
        "set_aside": offer.set_aside,
    }


def _figure(figure: OfferFigure) -> Data:
    return {
        "mm": round(figure.mm, _DIGITS),
        "plus_minus_mm": round(figure.size.expanded_mm, _DIGITS),
        "source": figure.source,
        "typed": figure.typed,
    }


def _compared(one: Compared, item: MachineRetrofits, job: Job, units: Units) -> Data:
    work = item.work.get((job.facts.link.id, one.offer.id))
    return {
        "offer": one.offer.id,
        "verdict": one.verdict.value,
        "dead_length_mm": round(one.sense.dead_mm, _DIGITS) if one.sense.dead_mm is not None else None,
        "at_the_tractor": ENDS[one.near_end],
        "points": [_point(check, units) for check in one.points],
        "numbers": derived(lambda: opened_offer(one, job, units)),
        "force_and_oil": [_point(check, units) for check in work.points] if work is not None else [],
        "force_and_oil_numbers": derived(lambda: opened_work(work, units) if work is not None else ()),
    }


def _point(check: Check, units: Units) -> Data:
    why = say(check.why, units) if check.why is not None else ""
    return {"topic": topic_words(check), "level": check.level.name.lower(), "said": say(check.said, units), "why": why}


def _kept_data(kept: Kept, units: Units) -> Data:
    told = kept.recommendation
    return {
        "id": told.id,
        "link": told.link,
        "day": told.day.isoformat(),
        "who": told.who,
        "offer": told.offer,
        "verdict": told.verdict,
        "words": told.words,
        "stale": [say(reason, units) for reason in kept.stale],
        "reasons": list(told.reasons),
        "parts": list(told.parts),
        "cautions": list(told.cautions),
        "basis": [
            {
                "what": basis.what,
                "value": basis.value,
                "plus_minus": basis.plus_minus,
                "origin": basis.origin,
                "entries": list(basis.entries),
            }
            for basis in told.basis
        ],
    }
