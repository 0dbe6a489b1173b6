"""What to do next: measure, order, repair, and what was put off."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Event, Sign
from fieldlog.records.machine import Joint, shown_name
from fieldlog.wear.parts import Part, PartKind, Parts
from fieldlog.wear.states import MeasuringDue

_CURES: Mapping[Sign, str] = MappingProxyType(
    {
        "crack": "Replace the part, or let a qualified welder judge it.",
        "bush turns in its bore": "Pull the bush and measure the bore it sits in; re-bush before the bore is gone.",
        "keeper torn": "Fit a new pin and keeper.",
        "pin bent": "Fit a new pin.",
    }
)


def part_text(part: Part) -> str:
    """Return 'pin', '2 bushes' or 'shims'."""
    plural = {PartKind.BUSH: "bushes", PartKind.SHIMS: "shims"}.get(part.kind, f"{part.kind.value}s")
    return f"{part.number} {plural}" if part.number > 1 else part.kind.value


def parts_text(parts: Parts) -> str:
    """Return an order line: 'pin, 2 bushes, 4 seals, shims, grease fitting and keeper'."""
    texts = [part_text(part) for part in parts] or ["the worn part"]
    return f"{', '.join(texts[:-1])} and {texts[-1]}" if len(texts) > 1 else texts[0]


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _lower(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


# Measure.


def measure_next_season(units: Units) -> str:
    """Nothing before."""
    return "Measure again next season."


def measure_soon(units: Units) -> str:
    """After it was made new."""
    return "Measure it within 50 hours of work, then once a season."


def measure_with_pin(units: Units) -> str:
    """For the first time."""
    return "Measure it and its pin on the next walk."


def measure_all(units: Units) -> str:
    """The whole joint for the first time."""
    return "Measure its holes and its pin on the next walk."


def add_holes(units: Units) -> str:
    """A joint without holes."""
    return "Add its holes, then measure them."


def settle_pin(units: Units, *, action: str) -> str:
    """What tells which pin it is; the pin itself where nothing else does."""
    return f"{_upper(action or 'measure the pin at its unworn end')}."


def first_and_then(units: Units, *, action: str, then: str) -> str:
    """What settles the pin comes first."""
    return f"{_upper(action)}; then {_lower(then)}"


def measure_again(units: Units, *, due: MeasuringDue, why: str) -> str:
    """When to measure next."""
    hours = f" or at {due.hours:.0f} h" if due.hours is not None else ""
    when = "now" if due.is_overdue else f"by {day_text(due.day)}{hours}"
    return f"Measure again {when}: {why}."


def measure_more(units: Units, *, times: int) -> str:
    """More readings settle it."""
    return f"Measure again, all four lines: {times} times as many readings in all settle it if it stays where it is."


def measure_better(units: Units, *, best_mm: float) -> str:
    """No number of readings settles it."""
    best = mm_text(best_mm, units)
    return f"Measure again with a better caliper: these jaws are good to {best} at best, however often they measure."


def measure_after_work(units: Units) -> str:
    """Too near the line to tell."""
    return "Measure again after some more work: it lies so near the line that wear will tell before the caliper does."


def measure_another_day(units: Units, *, times: int | None) -> str:
    """In doubt of the watch line."""
    enough = f": {times} times as many readings in all settle it" if times is not None else ""
    return f"Measure again on another day{enough}."


def measure_pin_before_ordering(units: Units) -> str:
    """Two days rest on one reading of the pin."""
    return "Measure the pin again before ordering."


def measure_before_ordering(units: Units) -> str:
    """Over once."""
    return "Measure again on another day before ordering."


def measure_both(units: Units) -> str:
    """Pin or hole is wrong."""
    return "Measure the pin at its unworn end and the hole again; one of them is not what it is taken for."


def clean_and_repeat(units: Units) -> str:
    """One of two readings is wrong."""
    return "Clean the hole, check the caliper's zero and measure again; strike the one that was wrong."


def measure_half_way(units: Units) -> str:
    """Before the season is over."""
    return "Measure again half-way through it."


# Order and do.


def fit_new_part(units: Units) -> str:
    """A worn-out pin."""
    return "Fit a new part."


def cure(units: Units, *, sign: Sign) -> str:
    """What cures an unsafe sign."""
    return _CURES[sign]


def renew(units: Units, *, parts: Parts) -> str:
    """Over its limit."""
    return f"Renew: order {parts_text(parts)} together."


def not_to_work_until(units: Units, *, then: str) -> str:
    """A pin that may be worn out."""
    return f"Do not work with it until it is measured again; {_lower(then)}"


def plan_and_measure_first(units: Units) -> str:
    """Over the watch line once."""
    return "Plan the repair, and measure on another day before you order anything."


def plan_and_order(units: Units, *, parts: Parts) -> str:
    """Over the watch line twice."""
    return f"Plan the repair; order before the season: {parts_text(parts)}."


def plan_and_measure_next_season(units: Units) -> str:
    """At the watch line twice."""
    return "Plan the repair; measure again next season."


def plan_for_it(units: Units, *, days: int, over: float, is_sure: bool, parts: Parts) -> str:
    """In doubt now, over by the season's end."""
    sure = "it is over" if is_sure else f"it has a {100 * over:.0f} % chance to be over"
    return f"Plan for it: by its {days} measuring days {sure} before the season ends; ask now for {parts_text(parts)}."


def order_before_season(units: Units, *, parts: Parts) -> str:
    """It may not last the season."""
    return f"Order before the season: {parts_text(parts)}."


def both_sides(units: Units, *, twin: Joint) -> str:
    """Both arms or both ends of a bucket go together."""
    return f"{shown_name(twin)}, the other side, goes with it, or the machine racks."


def put_off(units: Units, *, event: Event) -> str:
    """Put off, by whom and why."""
    why = event.text.strip().rstrip(".") or "no reason is written down"
    return f"Put off on {day_text(event.day)} by {event.who}: {why}."
