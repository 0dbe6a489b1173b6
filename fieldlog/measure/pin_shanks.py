"""Which drill shank to try in a hole so that as many pins as possible fall out, whatever comes of it."""

import math
from collections.abc import Sequence
from itertools import accumulate

from fieldlog.measure.distributions import normal_cdf
from fieldlog.measure.pin_doubt import Doubt, Worth, worth_of
from fieldlog.measure.pin_evidence import NextStep
from fieldlog.measure.pin_room import BINS, FIRST_MM, STEP_MM, room_mm
from fieldlog.measure.pin_weights import MISTAKEN, Weighed, shares_of
from fieldlog.records.machine import shown_name
from fieldlog.standards.pins import NominalPin
from fieldlog.standards.shanks import shanks_between

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
