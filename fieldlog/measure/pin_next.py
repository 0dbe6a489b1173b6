"""How much doubt is left about a pin, and how much of it an action would take away.

An action is the list of things that can come out of it, each with how likely it is under each candidate. For each
outcome the weights are worked out as they would stand then.

Which drill shank to try in a hole so that as many pins as possible fall out, whatever comes of it.

What to measure or look up next so that the pin is settled soonest: worked out, not canned.

The next step is the one with the fewest minutes for a settled pin (`pin_next.py`): every outcome of every action is
weighed through. It finds by itself that no shank tells two pins apart that both enter a well-read hole.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

from fieldlog.measure.pin_evidence import NextStep, PinEvidence
from fieldlog.measure.pin_rules import USE_RANK
from fieldlog.measure.pin_weights import (
    BINS,
    FIRST_MM,
    MISTAKEN,
    STEP_MM,
    THREADS_ODDS,
    TWIN_ODDS,
    Weighed,
    band_density,
    growth_of,
    growth_shares,
    joint_kind,
    made_shares,
    room_mm,
    shares_of,
    sigma_mm,
    unworn_density,
)
from fieldlog.quantity.distributions import normal_cdf
from fieldlog.quantity.value import Value
from fieldlog.records.machine import Hole, shown_name
from fieldlog.standards.hitch import HITCH_CATEGORIES, category_pins
from fieldlog.standards.joints import NominalPin, is_one_size, shanks_between

SETTLED = 0.95  # one size has this much of the weight, or all but a fifth of the doubt there was

Outcomes = Sequence[Sequence[float]]


class Worth(NamedTuple):
    """What an action is worth: in which share of cases it settles the pin, and what share of the doubt it takes."""

    settles: float
    narrows: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """The candidates that weigh anything, with the hole and the evidence that left them standing.

    `prior` are their shares, `groups` for each the place of the first that is one size with it, `target` the share
    at which one size counts as settled.
    """

    weights: tuple[Weighed, ...]
    hole: Hole
    smallest: Value | None
    evidence: PinEvidence
    prior: tuple[float, ...]
    groups: tuple[int, ...]
    target: float

    @property
    def pins(self) -> tuple[NominalPin, ...]:
        """The candidates' pins."""
        return tuple(weight.pin for weight in self.weights)

    @property
    def sizes_mm(self) -> tuple[float, ...]:
        """The candidates' nominal sizes."""
        return tuple(float(weight.pin.mm) for weight in self.weights)


def doubt_about(weights: tuple[Weighed, ...], hole: Hole, smallest: Value | None, evidence: PinEvidence) -> Doubt:
    """Return the doubt that weighed candidates leave."""
    prior = shares_of([weight.weight for weight in weights])
    names = [weight.pin.name for weight in weights]
    groups = tuple(next(i for i, first in enumerate(names) if is_one_size(first, name)) for name in names)
    best = max(group_shares(prior, groups))
    return Doubt(weights, hole, smallest, evidence, prior, groups, max(SETTLED, 1 - (1 - best) / 5))


def group_shares(shares: Sequence[float], groups: Sequence[int]) -> list[float]:
    """Return the shares of candidates that are one size added up."""
    sums: dict[int, float] = {}
    for share, group in zip(shares, groups, strict=True):
        sums[group] = sums.get(group, 0.0) + share
    return list(sums.values())


def worth_of(doubt: Doubt, outcomes: Outcomes) -> Worth:
    """Return what an action is worth, over everything that can come out of it.

    The doubt is the entropy of the sizes' shares, the sum of -share x ln(share); 0 when one size has it all.
    """
    settled = left = 0.0
    for likelihoods in outcomes:
        after = [share * likely for share, likely in zip(doubt.prior, likelihoods, strict=True)]
        total = math.fsum(after)
        if total > 0:
            shares = [share / total for share in group_shares(after, doubt.groups)]
            settled += total if max(shares) >= doubt.target else 0.0
            left += total * entropy(shares)
    now = entropy(group_shares(doubt.prior, doubt.groups))
    return Worth(min(settled, 1.0), max(1 - left / now, 0.0) if now > 0 else 0.0)


def entropy(shares: Sequence[float]) -> float:
    """Return the sum of -share x ln(share)."""
    return -math.fsum(share * math.log(share) for share in shares if share > 0)


def outcomes_on(grid: Sequence[float], densities: Sequence[Sequence[float]]) -> Outcomes:
    """Return what can be read on a grid as outcomes: each candidate's densities brought to a sum of 1."""
    totals = [math.fsum(column) or 1.0 for column in densities]
    return [[column[n] / total for column, total in zip(densities, totals, strict=True)] for n in range(len(grid))]


def grid_mm(low: float, high: float, width: float) -> list[float]:
    """Return the middles of steps of a width from low to high."""
    return [low + (n + 0.5) * width for n in range(max(math.ceil((high - low) / width), 1))]


_MINUTES = 2
_SIGMA_MM = 0.03
_SOFT_BINS = 8  # beyond these a shank surely goes or surely does not
_OUT = 0.02  # a size with less than this of the weight is out
_MOST_TRIED = 24
_REACH = 0.005


def try_shank(doubt: Doubt) -> NextStep | None:
    """Return the shank that settles most often, None where none would take any pin off the list."""
    below = [_weights_below(weight) for weight in doubt.weights]
    tried = [(shank, _outcomes(shank, doubt, below)) for shank in _shanks(doubt, below)]
    worths = [worth_of(doubt, outcomes) for _, outcomes in tried]
    order = sorted(range(len(tried)), key=lambda n: _merit(worths[n]), reverse=True)
    for n in order[:3]:
        shank, (goes, no) = tried[n]
        why = _out_text(doubt, goes, no)
        if why:
            action = f"try a {shank.name} shank in {shown_name(doubt.hole)}"
            return NextStep(action, _MINUTES, *worths[n], why=why)
    return None


def _merit(worth: Worth) -> tuple[float, float]:
    return round(worth.settles, 3), worth.narrows


def _weights_below(weight: Weighed) -> list[float]:
    """Return the weight below the left edge of each bin, and the whole of it at the end."""
    return [0.0, *accumulate(weight.masses)]


def _shanks(doubt: Doubt, below: Sequence[Sequence[float]]) -> tuple[NominalPin, ...]:
    """Return shanks over the range where the hole's size is in doubt, thinned out where there are very many."""
    lows, highs = [], []
    for weight, sums in zip(doubt.weights, below, strict=True):
        inside = [n for n in range(BINS) if sums[n + 1] > _REACH * sums[-1] and sums[n] < (1 - _REACH) * sums[-1]]
        lows.append(float(weight.pin.mm) + room_mm(inside[0]))
        highs.append(float(weight.pin.mm) + room_mm(inside[-1]))
    found = shanks_between(min(lows), max(highs))
    return found[:: max(math.ceil(len(found) / _MOST_TRIED), 1)]


def _outcomes(shank: NominalPin, doubt: Doubt, below: Sequence[Sequence[float]]) -> tuple[list[float], list[float]]:
    pairs = zip(doubt.weights, below, strict=True)
    goes = [_share_that_goes(float(shank.mm - weight.pin.mm), weight, sums) for weight, sums in pairs]
    return goes, [1 - share for share in goes]


def _share_that_goes(over_mm: float, weight: Weighed, below: Sequence[float]) -> float:
    """Return in which share of a candidate's weight something `over_mm` over the pin goes through."""
    edge = int((over_mm - FIRST_MM) / STEP_MM)
    first, last = (min(max(edge + step, 0), BINS) for step in (-_SOFT_BINS, _SOFT_BINS))
    soft = math.fsum(
        weight.masses[n] * normal_cdf((room_mm(n) - over_mm + _SIGMA_MM) / _SIGMA_MM) for n in range(first, last)
    )
    return MISTAKEN + (1 - 2 * MISTAKEN) * (soft + below[-1] - below[last]) / below[-1]


def _out_text(doubt: Doubt, goes: Sequence[float], no: Sequence[float]) -> str:
    """Return what each outcome of a trial would take off the list, empty where neither takes anything."""
    if_goes, if_not = (_names_out(doubt, likelihoods) for likelihoods in (goes, no))
    parts = [f"if it goes, {if_goes} out"] if if_goes else []
    parts += [f"if {'not' if if_goes else 'it does not'}, {if_not} out"] if if_not else []
    return "; ".join(parts)


def _names_out(doubt: Doubt, likelihoods: Sequence[float]) -> str:
    after = shares_of([share * likely for share, likely in zip(doubt.prior, likelihoods, strict=True)])
    gone: list[NominalPin] = []
    for group in dict.fromkeys(doubt.groups):
        members = [i for i, g in enumerate(doubt.groups) if g == group]
        before = math.fsum(doubt.prior[i] for i in members)
        if math.fsum(after[i] for i in members) < _OUT <= before:
            gone += [doubt.pins[i] for i in members]
    names = [pin.name for pin in sorted(gone, key=lambda pin: pin.mm)]
    if not names:
        return ""
    return f"{names[0]} is" if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]} are"


AT_UNWORN_END = "measure the pin at its unworn end"
_NEGLIGIBLE = 0.002
_WORTH = 0.15  # least share of cases settled, or of the doubt taken away, for which an action is proposed
_MINUTES_OF = {"pin": 4, "unused hole": 3, "category": 2, "twin": 6, "threads": 2, "play": 2, "hole": 4}
_PIN_SIGMA_MM, _HOLE_SIGMA_MM, _DIAL_SIGMA_MM = 0.02, 0.03, 0.06
_RIGHT_PLATE = 0.9  # the share of hitch joints that take a pin of the category on the plate


def next_steps(
    weights: Sequence[Weighed], hole: Hole, smallest: Value | None, evidence: PinEvidence
) -> tuple[NextStep, ...]:
    """Return what could be done next, what settles the pin in the fewest minutes first."""
    total = math.fsum(weight.weight for weight in weights)
    heavy = tuple(weight for weight in weights if weight.weight > _NEGLIGIBLE * total)
    doubt = doubt_about(heavy, hole, smallest, evidence) if heavy else None
    if doubt is None or len(set(doubt.groups)) < 2:  # nothing weighs anything, or only one size does
        return (NextStep(AT_UNWORN_END, _MINUTES_OF["pin"], 1.0, 1.0, needs_pin=True),)
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
    return NextStep(action, _MINUTES_OF[kind], *worth_of(doubt, outcomes), needs_pin=needs_pin)


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
    grid = grid_mm(min(doubt.sizes_mm) - 0.1, doubt.smallest.value + 0.2, width)
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
    today = int((doubt.smallest.value - float(weight.pin.mm) - FIRST_MM) / STEP_MM)
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
    rows = [[right if pin.units == unit else 1 - right for pin in doubt.pins] for unit in ("in", "mm")]
    return _step(doubt, "put a thread gauge on its link, inch or metric", "threads", rows)
