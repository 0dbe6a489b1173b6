"""Pin-to-pin length of a link from tape readings on the edges of its holes.

"Outer" is a hole's edge facing away from the other hole, "inner" the edge facing it. With hole diameters D1
(near) and D2 (far) and true centre distance C, plane geometry gives: outside = C + (D1 + D2)/2,
inside = C - (D1 + D2)/2, outer to inner = C + (D1 - D2)/2, inner to outer = C - (D1 - D2)/2.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from fieldlog.measure.estimate import Estimate, difference, limit_of, scaled
from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_TAPE, limit_part, typing_half_width_mm
from fieldlog.measure.repeats import mean
from fieldlog.records.entries import LengthReading, TapeWay
from fieldlog.records.machine import Instrument

PAIR_AGREES_MM = 1.5  # outside minus inside against the sum of the holes: common practice, no source
REPEATS_AGREE_MM = 2.0  # range of tape readings of one way, twice hook and eye: common practice, no source
BY_EYE_MM = 1.5  # half-width of setting a tape on two centres by eye: common practice, no source
_HALF_SUM: Mapping[TapeWay, tuple[float, float]] = MappingProxyType(
    {
        "outside": (-0.5, -0.5),
        "inside": (0.5, 0.5),
        "outer to inner": (-0.5, 0.5),
        "inner to outer": (0.5, -0.5),
        "centres": (0.0, 0.0),
    }
)
_OPPOSITE_PAIRS: tuple[tuple[TapeWay, TapeWay], ...] = (
    ("outside", "inside"),
    ("outer to inner", "inner to outer"),
)


@dataclass(frozen=True, slots=True)
class LinkLength:
    """A link's length between hole centres; `centres` is None when it cannot be had, and `needs` says why."""

    centres: Estimate | None
    ways: tuple[str, ...]
    remarks: tuple[str, ...]
    needs: str = ""
    keys: tuple[str, ...] = ()


def link_length(
    readings: Sequence[LengthReading],
    near_mm: Estimate | None,
    far_mm: Estimate | None,
    instruments: Mapping[str, Instrument],
) -> LinkLength | None:
    """Return the pin-to-pin length from one round's readings of a link in one state; None without readings."""
    if not readings:
        return None
    taped = {way: _taped([r for r in readings if r.way == way], instruments) for way in _HALF_SUM}
    given = {way: estimate for way, estimate in taped.items() if estimate is not None}
    answers, ways = _answers(given, near_mm, far_mm)
    keys = tuple(reading.key for reading in readings)
    remarks = (*_leans(readings), *_repeats_apart(readings), *_pair_check(given, near_mm, far_mm))
    if not answers:
        needs = f"taped {', '.join(given)} only, and the holes are not measured; tape {_partner(next(iter(given)))} too"
        return LinkLength(None, tuple(given), remarks, needs, keys)
    return LinkLength(_together(answers), ways, (*remarks, *_disagreement(answers, ways)), "", keys)


def _taped(readings: Sequence[LengthReading], instruments: Mapping[str, Instrument]) -> Estimate | None:
    if not readings:
        return None
    values = [float(reading.size.mm) for reading in readings]
    used = [instruments.get(reading.instrument, UNKNOWN_TAPE) for reading in readings]
    length_mm = mean(values)
    limit = max((limit_part(tape, "length", length_mm) for tape in used), key=lambda part: part.u_mm)
    half = max(typing_half_width_mm(r.size, tape) for r, tape in zip(readings, used, strict=True))
    by_eye = BY_EYE_MM if readings[0].way == "centres" else HOOK_AND_EYE_MM
    setups = math.sqrt(len(values))
    parts = (
        limit,
        limit_of("hook and eye", by_eye / setups, f"± {by_eye:g} mm a set-up, common practice"),
        limit_of("step of the typing", half / setups, f"± {half:.3g} mm"),
    )
    return Estimate(length_mm, parts)


def _answers(
    given: Mapping[TapeWay, Estimate], near_mm: Estimate | None, far_mm: Estimate | None
) -> tuple[list[Estimate], tuple[str, ...]]:
    """Return one estimate of the centre distance a way; a pair of opposite ways needs no diameters."""
    answers: list[Estimate] = []
    ways: list[str] = []
    left = dict(given)
    for first, second in _OPPOSITE_PAIRS:
        if first in left and second in left:
            answers.append(_mean_of_pair(left.pop(first), left.pop(second)))
            ways.append(f"{first} and {second}, halved")
    for way, taped in left.items():
        centre = _from_one_way(way, taped, near_mm, far_mm)
        if centre is not None:
            answers.append(centre)
            ways.append(way if way == "centres" else f"{way}, corrected for the holes")
    return answers, tuple(ways)


def _mean_of_pair(first: Estimate, second: Estimate) -> Estimate:
    """Halve the sum; the tape's own limit is common to both, the set-ups are not."""
    (tape_1, *others_1), (tape_2, *others_2) = first.parts, second.parts
    tape = max(tape_1, tape_2, key=lambda part: part.u_mm)
    halves = scaled(Estimate(0.0, (*others_1, *others_2)), 0.5).parts
    return Estimate((first.value_mm + second.value_mm) / 2, (tape, *halves))


def _from_one_way(way: TapeWay, taped: Estimate, near_mm: Estimate | None, far_mm: Estimate | None) -> Estimate | None:
    near_share, far_share = _HALF_SUM[way]
    if way == "centres":
        return taped
    if near_mm is None or far_mm is None:
        return None
    near, far = scaled(near_mm, near_share), scaled(far_mm, far_share)
    return Estimate(taped.value_mm + near.value_mm + far.value_mm, (*taped.parts, *near.parts, *far.parts))


def _together(answers: Sequence[Estimate]) -> Estimate:
    """Return the mean weighted by 1/u^2; the doubt is that of the best, since the same tape made them all."""
    best = min(answers, key=lambda answer: answer.u_mm)
    if len(answers) == 1 or best.u_mm == 0:
        return best
    weights = [1 / answer.u_mm**2 for answer in answers]
    value = math.fsum(w * a.value_mm for w, a in zip(weights, answers, strict=True)) / math.fsum(weights)
    return Estimate(value, best.parts)


def _pair_check(
    given: Mapping[TapeWay, Estimate], near_mm: Estimate | None, far_mm: Estimate | None
) -> tuple[str, ...]:
    if "outside" not in given or "inside" not in given:
        return ()
    gap_mm = given["outside"].value_mm - given["inside"].value_mm
    if gap_mm <= 0:
        return ("outside is not longer than inside: the two were swapped, or an edge was mistaken; tape both again",)
    if near_mm is None or far_mm is None:
        return ()
    holes_mm = near_mm.value_mm + far_mm.value_mm
    if abs(gap_mm - holes_mm) <= PAIR_AGREES_MM:
        return ()
    return (
        f"outside minus inside is {gap_mm:.1f} mm, but the two holes add up to {holes_mm:.1f} mm: "
        "a wrong edge, a wrong hole or a bad reading; tape both again",
    )


def _disagreement(answers: Sequence[Estimate], ways: Sequence[str]) -> tuple[str, ...]:
    if len(answers) < 2:
        return ()
    low = min(range(len(answers)), key=lambda i: answers[i].value_mm)
    high = max(range(len(answers)), key=lambda i: answers[i].value_mm)
    gap = difference(answers[high], answers[low])
    if gap.value_mm <= gap.expanded_mm:
        return ()
    return (f"{ways[high]} gives {gap.value_mm:.1f} mm more than {ways[low]}: an edge was mistaken; tape again",)


def _repeats_apart(readings: Sequence[LengthReading]) -> tuple[str, ...]:
    by_way = {way: [float(r.size.mm) for r in readings if r.way == way] for way in _HALF_SUM}
    return tuple(
        f"{way} was taped {len(sizes)} times, {max(sizes) - min(sizes):.1f} mm apart; tape it again"
        for way, sizes in by_way.items()
        if sizes and max(sizes) - min(sizes) > REPEATS_AGREE_MM
    )


def _leans(readings: Sequence[LengthReading]) -> tuple[str, ...]:
    return tuple(
        f"{r.size.typed} taken as {float(r.size.mm):.2f} mm, a quarter step {'over' if r.size.lean > 0 else 'under'}, "
        f"± {float(r.size.half_width_mm):.2f} mm"
        for r in readings
        if r.size.lean
    )


def _partner(way: TapeWay) -> str:
    for pair in _OPPOSITE_PAIRS:
        if way in pair:
            return pair[1] if way == pair[0] else pair[0]
    return "outside and inside"


def functional_lengths(
    centres_mm: float, clearance_near_mm: float, clearance_far_mm: float
) -> tuple[float, float, float]:
    """Return the length with the pins pulled tight, pushed tight, and the backlash between them, in mm.

    Pulled tight C + (c1 + c2)/2, pushed tight C - (c1 + c2)/2, backlash c1 + c2; c is bore minus pin along
    the link, zero or more.
    """
    backlash_mm = clearance_near_mm + clearance_far_mm
    return centres_mm + backlash_mm / 2, centres_mm - backlash_mm / 2, backlash_mm
