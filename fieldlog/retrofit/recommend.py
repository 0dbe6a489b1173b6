"""A comparison turned into a recommendation to be kept: the reasons as sentences, the cautions, what it rests on."""

import datetime
from collections.abc import Sequence

from fieldlog.records.quantities import Units
from fieldlog.records.recommendation import Recommendation
from fieldlog.retrofit.basis import basis_of
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.compare import Compared, why_after
from fieldlog.retrofit.job import Job

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
