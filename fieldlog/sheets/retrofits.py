"""Cylinders on offer in the report: as printed lines and as data. The manual (data) describes the data's shape.

A hitch with an implement as data: lengths in mm, angles in degrees, forces in kN; null where nothing is known.
"""

import math
from collections.abc import Mapping, Sequence

from fieldlog.app.retrofits import MachineRetrofits
from fieldlog.pages.hitch import pitch_word
from fieldlog.pages.hitch_numbers import opened_hitch
from fieldlog.pages.lines import BLANK, Line, Span, line, wrapped
from fieldlog.pages.machine import kept_detail, kept_lines
from fieldlog.pages.offers import link_words, offer_verdict_span, opened_offer, opened_work
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import shown_name
from fieldlog.records.offer import Offer
from fieldlog.retrofit.hitch.clearances import Clearance
from fieldlog.retrofit.hitch.field import FieldLook, HitchCase, NeedLook, tilt_need
from fieldlog.retrofit.hitch.forces import TopLinkForces, angle_word
from fieldlog.retrofit.hitch.lift import Levelling
from fieldlog.retrofit.hitch.look import Look
from fieldlog.retrofit.hitch.plane import CannotReach, Pose
from fieldlog.retrofit.hitch.setup import usual_names
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
        "plus_minus_mm": round(figure.size.plus_minus, _DIGITS),
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


_HITCH_DIGITS = 4


def hitches_data(cases: Sequence[HitchCase]) -> list[Data]:
    """Return one entry a tractor and implement."""
    return [_case(case) for case in cases]


def _case(case: HitchCase) -> Data:
    look, setting = case.look, case.look.setting
    return {
        "machine": case.machine.id,
        "implement": look.setup.implement.id if look.setup.implement is not None else None,
        "category": look.setup.category,
        "measured": case.is_measured,
        "usual_figures": list(usual_names(look.figures)),
        "ball_heights_mm": _span(look.heights_mm),
        "at": {"ball_height_mm": _number(setting.height_mm), "top_link_mm": _number(setting.top_link_mm)},
        "pitch_fore_aft_deg": _carried(look.pitch),
        "pitch_in_words": pitch_word(look.pitch.value) if isinstance(look.pitch, Value) else None,
        "pitch_deg_per_mm_of_link": _answer(look.pitch_rate),
        "roll_side_to_side_deg": _carried(look.roll),
        "levelling": _levelling(look.levelling),
        "stroke_for_roll": [
            {"hole": found.hole, "each_way_deg": found.each_way_deg, "stroke_mm": _answer(found.stroke_mm)}
            for found in tilt_need(look)
        ],
        "top_link_kn": _forces(look),
        "lift_rods_kn": _answer(look.rods_kn),
        "pto_shaft": _shaft(look),
        "rooms": [_room(clear) for clear in look.rooms],
        "field": _field(case.field),
        "needed": _need(case.need),
        "numbers": derived(lambda: opened_hitch(look, case.field, case.need, "mm")),
    }


def _number(value: float) -> float | None:
    return round(value, _HITCH_DIGITS) + 0.0 if math.isfinite(value) else None


def _answer(value: float | CannotReach | None) -> object:
    if isinstance(value, CannotReach):
        return {"cannot_reach": say(value.said, "mm")}
    return None if value is None else _number(value)


def _carried(found: Value | CannotReach) -> object:
    if isinstance(found, CannotReach):
        return _answer(found)
    return {"value": _number(found.value), "plus_minus": _number(found.plus_minus), "most_from": found.most_from}


def _span(found: tuple[float, float] | CannotReach) -> object:
    return _answer(found) if isinstance(found, CannotReach) else [_number(value) for value in found]


def _levelling(found: Levelling | CannotReach | None) -> object:
    if not isinstance(found, Levelling):
        return _answer(found)
    return {
        "up_deg": _number(found.up_deg),
        "down_deg": _number(found.down_deg),
        "up_mm": _number(found.up_mm),
        "down_mm": _number(found.down_mm),
    }


def _forces(look: Look) -> object:
    forces = look.top_link
    if not isinstance(forces, TopLinkForces):
        return _answer(forces)
    return {
        "carried": _number(forces.carried_kn),
        "pushed_forward": _number(forces.pulled_kn),
        "pushed_back": _number(forces.pushed_kn),
        "reverses": forces.reverses,
    }


def _shaft(look: Look) -> object:
    shaft = look.shaft
    if shaft is None or isinstance(shaft, CannotReach):
        return _answer(shaft)
    return {
        "length_mm": _number(shaft.length_mm),
        "tractor_deg": _number(shaft.tractor_deg),
        "implement_deg": _number(shaft.implement_deg),
        "verdict": angle_word(shaft.steepest_deg),
    }


def _room(clear: Clearance) -> Data:
    return {"to": clear.obstacle, "point": clear.point, "mm": _number(clear.room_mm)}


def _field(field: FieldLook | CannotReach | None) -> object:
    if not isinstance(field, FieldLook):
        return _answer(field)
    slip = field.slip
    return {
        "link": field.link.name,
        "closed_mm": _number(field.field.closed_mm),
        "open_mm": _number(field.field.open_mm),
        "corners": [
            {
                "top_link_mm": _number(found.corner.length_mm),
                "ball_height_mm": _number(found.corner.height_mm),
                "pitch_deg": _answer(
                    found.corner.pose.pitch_deg if isinstance(found.corner.pose, Pose) else found.corner.pose
                ),
                "worst": _room(found.worst) if found.worst is not None else None,
            }
            for found in field.corners
        ],
        "least_rooms": [
            {
                **_room(worst.clearance),
                "plus_minus": _number(room.plus_minus),
                "top_link_mm": _number(worst.length_mm),
                "ball_height_mm": _number(worst.height_mm),
            }
            for worst, room in zip(field.least, field.rooms, strict=True)
        ],
        "pitch_by_height": [
            {
                "ball_height_mm": _number(row.height_mm),
                "closed_deg": _answer(row.closed_deg),
                "open_deg": _answer(row.open_deg),
            }
            for row in field.table
        ],
        "pto_slip_mm": _number(slip.slip_mm) if slip is not None else None,
        "pto_steepest_deg": _number(slip.steepest_deg) if slip is not None else None,
        "pto_overlap_mm": _answer(field.overlap_mm),
        "pto_room_to_close_mm": _answer(field.room_to_close_mm),
    }


def _need(need: NeedLook | None) -> object:
    if need is None:
        return None
    if isinstance(need.need, CannotReach):
        return _answer(need.need)
    found = need.against
    return {
        "nose_down_deg": abs(need.need.down_deg),
        "nose_up_deg": need.need.up_deg,
        "shortest_mm": _carried(need.shortest),
        "longest_mm": _carried(need.longest),
        "reserve_mm": need.need.reserve_mm,
        "link_closed_in_hand_mm": _number(found.closed_room_mm) if found is not None else None,
        "link_open_in_hand_mm": _number(found.open_room_mm) if found is not None else None,
        "nose_down_lost_deg": _answer(found.lost_down_deg) if found is not None else None,
        "nose_up_lost_deg": _answer(found.lost_up_deg) if found is not None else None,
    }
