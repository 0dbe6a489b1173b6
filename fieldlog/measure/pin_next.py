"""What to measure or look up next so that the pin is settled soonest: worked out, not canned.

The best action is the one with the fewest minutes for a settled pin. Minutes are common practice, no source.
"""

import math
from collections.abc import Callable, Sequence

from fieldlog.measure.distributions import normal_cdf
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.pin_doubt import Doubt, Outcomes, doubt_about, grid_mm, outcomes_on, worth_of
from fieldlog.measure.pin_evidence import NextStep, PinEvidence
from fieldlog.measure.pin_room import BINS, FIRST_MM, STEP_MM, growth_of, growth_shares, made_shares, room_mm
from fieldlog.measure.pin_rules import USE_RANK
from fieldlog.measure.pin_shanks import try_shank
from fieldlog.measure.pin_weights import (
    THREADS_ODDS,
    TWIN_ODDS,
    Weighed,
    band_density,
    joint_kind,
    sigma_mm,
    unworn_density,
)
from fieldlog.records.machine import Hole, shown_name
from fieldlog.standards.hitch import HITCH_CATEGORIES, category_pins

AT_UNWORN_END = "measure the pin at its unworn end"
_NEGLIGIBLE = 0.002
_WORTH = 0.15  # least share of cases settled, or of the doubt taken away, for which an action is proposed
_MINUTES = {"pin": 4, "unused hole": 3, "category": 2, "twin": 6, "threads": 2, "play": 2, "hole": 4}
_PIN_SIGMA_MM, _HOLE_SIGMA_MM, _DIAL_SIGMA_MM = 0.02, 0.03, 0.06
_RIGHT_PLATE = 0.9  # the share of hitch joints that take a pin of the category on the plate


def next_steps(
    weights: Sequence[Weighed], hole: Hole, smallest: Estimate | None, evidence: PinEvidence
) -> tuple[NextStep, ...]:
    """Return what could be done next, what settles the pin in the fewest minutes first."""
    total = math.fsum(weight.weight for weight in weights)
    heavy = tuple(weight for weight in weights if weight.weight > _NEGLIGIBLE * total)
    doubt = doubt_about(heavy, hole, smallest, evidence) if heavy else None
    if doubt is None or len(set(doubt.groups)) < 2:  # nothing weighs anything, or only one size does
        return (NextStep(AT_UNWORN_END, _MINUTES["pin"], 1.0, 1.0, needs_pin=True),)
    actions: tuple[Callable[[Doubt], NextStep | None], ...] = (
        _measure_pin, try_shank, _measure_unused, _measure_hole, _take_play, _look_up_category, _measure_twin,
        _look_at_threads,
    )  # fmt: skip
    found = [step for action in actions if (step := action(doubt)) is not None]
    return tuple(sorted(found, key=lambda step: step.minutes / max(step.settles, 0.01 * step.narrows, 1e-6)))


def said_next(steps: Sequence[NextStep]) -> str:
    """Return the best step with its reason; where it needs the pin in hand, the best one that does not behind it."""
    worth = [step for step in steps if step.settles >= _WORTH]
    if not worth:
        return f"{AT_UNWORN_END} with a micrometer; nothing quicker would settle it" if steps else ""
    first = worth[0]
    said = _with_reason(first)
    others = [step for step in steps if step.needs_pin is not first.needs_pin]
    settling = next((step for step in others if step.settles >= _WORTH), None)
    if settling is not None:
        return f"{said}, or {_with_reason(settling)}"
    narrowing = next((step for step in others if step.narrows >= _WORTH), None)
    return f"{said}; to narrow it, {_with_reason(narrowing)}" if narrowing is not None else said


def _with_reason(step: NextStep) -> str:
    return f"{step.action} ({step.why})" if step.why else step.action


def _step(doubt: Doubt, action: str, kind: str, outcomes: Outcomes, *, needs_pin: bool = False) -> NextStep:
    return NextStep(action, _MINUTES[kind], *worth_of(doubt, outcomes), needs_pin=needs_pin)


def _measure_pin(doubt: Doubt) -> NextStep | None:
    grid = grid_mm(min(doubt.sizes_mm) - 0.35, max(doubt.sizes_mm) + 0.1, 0.03)
    densities = [[unworn_density(size - mm, _PIN_SIGMA_MM) for mm in grid] for size in doubt.sizes_mm]
    return _step(doubt, AT_UNWORN_END, "pin", outcomes_on(grid, densities), needs_pin=True)


def _take_play(doubt: Doubt) -> NextStep | None:
    """Play in place tells the pin as it is, where the hole that it works in was measured."""
    evidence = doubt.evidence
    if evidence.largest is None or evidence.play is not None or evidence.worn_pin is not None:
        return None
    sigma = math.hypot(sigma_mm(evidence.largest), _DIAL_SIGMA_MM)
    grid = grid_mm(min(doubt.sizes_mm) - 1.5, max(doubt.sizes_mm) + 0.4, 0.06)
    densities = [[band_density(size - mm, sigma) for mm in grid] for size in doubt.sizes_mm]
    return _step(doubt, "take its play in place with a dial", "play", outcomes_on(grid, densities))


def _measure_hole(doubt: Doubt) -> NextStep | None:
    """Measuring the hole helps where nobody did, or only roughly."""
    smallest = doubt.smallest
    if smallest is not None and sigma_mm(smallest) < 2 * _HOLE_SIGMA_MM:
        return None
    width = 2 * STEP_MM
    grid = grid_mm(min(doubt.sizes_mm) + FIRST_MM, max(doubt.sizes_mm) + FIRST_MM + BINS * STEP_MM, width)
    densities = [[_near(weight, mm, width) for mm in grid] for weight in doubt.weights]
    again = "" if smallest is None else " again, all four lines three times"
    return _step(doubt, f"measure {shown_name(doubt.hole)}{again}", "hole", outcomes_on(grid, densities))


def _near(weight: Weighed, mm: float, width: float) -> float:
    """Return a candidate's weight for which the hole would read within half a `width` of a size."""
    over_mm = mm - float(weight.pin.mm)
    first = int((over_mm - FIRST_MM) / STEP_MM)
    reach = range(max(first - 6, 0), min(first + 7, BINS))
    return math.fsum(weight.masses[n] * _normal_share(over_mm - room_mm(n), width) for n in reach if weight.masses[n])


def _normal_share(gap_mm: float, width: float) -> float:
    return normal_cdf((gap_mm + width / 2) / _HOLE_SIGMA_MM) - normal_cdf((gap_mm - width / 2) / _HOLE_SIGMA_MM)


def _measure_unused(doubt: Doubt) -> NextStep | None:
    """An unused hole of the joint has the room as made: where this one has grown, it reads smaller."""
    better = [o for o in doubt.evidence.unmeasured if USE_RANK[o.use] < USE_RANK[doubt.hole.use]]
    if not better or doubt.smallest is None:
        return None
    best = min(better, key=lambda other: USE_RANK[other.use])
    width = 3 * STEP_MM
    grid = grid_mm(min(doubt.sizes_mm) - 0.1, doubt.smallest.value_mm + 0.2, width)
    densities = []
    for size, weight in zip(doubt.sizes_mm, doubt.weights, strict=True):
        spread = _as_made(weight, doubt)
        densities.append([_seen(mm - size, spread, width) for mm in grid])
    word = "never" if best.use == "never" else "less"
    return _step(
        doubt, f"measure {shown_name(best)}, which is {word} used", "unused hole", outcomes_on(grid, densities)
    )


def _seen(over_mm: float, spread: Sequence[tuple[float, float]], width: float) -> float:
    near = ((room, share) for room, share in spread if abs(over_mm - room) < 5 * _HOLE_SIGMA_MM)
    return math.fsum(share * _normal_share(over_mm - room, width) for room, share in near)


def _as_made(weight: Weighed, doubt: Doubt) -> list[tuple[float, float]]:
    """Return the room as made that a pin's hole can have had, given its room today: pairs of room and share."""
    assert doubt.smallest is not None
    has_signs = doubt.hole.id in doubt.evidence.worn_holes
    grown = growth_shares(growth_of(doubt.hole.use, has_signs=has_signs))
    made = made_shares(joint_kind(doubt.hole, doubt.evidence.joint))
    today = int((doubt.smallest.value_mm - float(weight.pin.mm) - FIRST_MM) / STEP_MM)
    numbers = range(max(today - len(grown) + 1, 0), min(today + 1, BINS))
    pairs = [(room_mm(n), made[n] * grown[today - n]) for n in numbers if made[n]]
    return pairs or [(weight.mean_room_mm, 1.0)]


def _look_up_category(doubt: Doubt) -> NextStep | None:
    """The plate or the manual names a category; a pin of none is as likely under any."""
    evidence = doubt.evidence
    if evidence.joint.kind != "hitch" or evidence.category is not None:
        return None
    plates = [category for category in HITCH_CATEGORIES if not category.endswith("N")]
    homes = [[pin.name in category_pins(plate) for plate in plates] for pin in doubt.pins]
    rows = [[_plate(home, number) for home in homes] for number in range(len(plates))]
    return _step(doubt, "look up the hitch category on its plate or in the manual", "category", rows)


def _plate(home: Sequence[bool], number: int) -> float:
    own, anywhere = sum(home), 1 / len(home)
    return _RIGHT_PLATE * home[number] / own + (1 - _RIGHT_PLATE) * anywhere if own else anywhere


def _measure_twin(doubt: Doubt) -> NextStep | None:
    """The joint on the other side takes the same pin, nearly always."""
    name = doubt.evidence.unknown_twin
    if not name:
        return None
    groups = list(dict.fromkeys(doubt.groups))
    other = 1 / (TWIN_ODDS + len(groups) - 1)
    rows = [[TWIN_ODDS * other if mine == group else other for mine in doubt.groups] for group in groups]
    return _step(doubt, f"measure the pin of {name} at its unworn end", "twin", rows)


def _look_at_threads(doubt: Doubt) -> NextStep | None:
    if doubt.evidence.threads is not None or not doubt.evidence.has_links:
        return None
    right = THREADS_ODDS / (THREADS_ODDS + 1)
    rows = [[right if pin.name.endswith(f" {unit}") else 1 - right for pin in doubt.pins] for unit in ("in", "mm")]
    return _step(doubt, "put a thread gauge on its link, inch or metric", "threads", rows)
