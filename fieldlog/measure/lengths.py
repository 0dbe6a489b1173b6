"""Pin-to-pin length of a link from tape readings on the edges of its holes, and how far the ways agree.

How far a link opens: taped, and counted in turns of its body, each a check on the other.

Travel is taken way by way. The same edges closed and open: the holes drop out, whatever they are, and the tape's
class limit counts once, as between any two marks; so travel is surer than the difference of two lengths.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.taping import (
    OPPOSITE_PAIRS,
    OVER_PINS,
    Ends,
    Taped,
    centres_from,
    mean_of_pair,
    most_doubtful,
    pins_pair,
    taped_ways,
)
from fieldlog.quantity.source import limit
from fieldlog.quantity.value import Value, difference_named, total
from fieldlog.records.entries import LengthReading, TapeWay
from fieldlog.records.machine import Instrument, Link, Thread, Turns

PAIR_AGREES_MM = 1.5  # outside minus inside against the sum of the holes: common practice, no source
REPEATS_AGREE_MM = 2.0  # range of tape readings of one way, twice hook and eye: common practice, no source


@dataclass(frozen=True, slots=True)
class LinkLength:
    """A link's length between hole centres; `centres` is None when it cannot be had, and `needs` says why.

    `checks` are the cross-checks that agree, `remarks` what does not; `taped` is what each way gave.
    """

    centres: Value | None
    ways: tuple[str, ...]
    remarks: tuple[str, ...]
    needs: str = ""
    keys: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    taped: tuple[Taped, ...] = ()


def link_length(
    readings: Sequence[LengthReading],
    near_mm: Value | None,
    far_mm: Value | None,
    instruments: Mapping[str, Instrument],
    pins: tuple[Value | None, Value | None] = (None, None),
) -> LinkLength | None:
    """Return the pin-to-pin length from one round's readings of a link in one state; None without readings."""
    if not readings:
        return None
    ends = Ends(near_mm, far_mm, *pins)
    given = taped_ways(readings, instruments)
    answers = _answers(given, ends)
    keys = tuple(reading.key for reading in readings)
    remarks, checks = _all_checks(given, answers, ends)
    remarks = (*_leans(readings), *remarks)
    taped = tuple(given.values())
    if not answers:
        return LinkLength(None, tuple(given), remarks, _needs(given), keys, checks, taped)
    ways = tuple(way for way, _ in answers)
    return LinkLength(_together([answer for _, answer in answers]), ways, remarks, "", keys, checks, taped)


def _answers(given: Mapping[TapeWay, Taped], ends: Ends) -> list[tuple[str, Value]]:
    """Return one estimate of the centre distance a way; a pair of opposite ways needs no holes."""
    answers: list[tuple[str, Value]] = []
    left = dict(given)
    for first, second in OPPOSITE_PAIRS:
        if first in left and second in left:
            answers.append((f"{first} and {second}, halved", mean_of_pair(left.pop(first), left.pop(second))))
    if ends.pins is not None and all(way in left for way in OVER_PINS):
        pulled, pushed = (left.pop(way) for way in OVER_PINS)
        answers.append(("over pins pulled and pushed, halved", pins_pair(pulled, pushed, ends.pins)))
    for way, taped in left.items():
        centre = centres_from(taped, ends)
        if centre is not None:
            answers.append((_way_words(way, ends), centre))
    return answers


def _way_words(way: TapeWay, ends: Ends) -> str:
    if way == "centres":
        return "centre to centre by eye"
    if way not in OVER_PINS:
        return f"{way}, corrected for the holes"
    return f"{way}, less the pins" if ends.holes is None else f"{way}, corrected for holes and pins"


def _together(answers: Sequence[Value]) -> Value:
    """Return the mean weighted by 1/u^2; the doubt is that of the best, since the same tape made them all."""
    best = min(answers, key=lambda answer: answer.u)
    if len(answers) == 1 or best.u == 0:
        return best
    weights = [1 / answer.u**2 for answer in answers]
    value = math.fsum(w * a.value for w, a in zip(weights, answers, strict=True)) / math.fsum(weights)
    return replace(best, value=value)


def _all_checks(
    given: Mapping[TapeWay, Taped], answers: Sequence[tuple[str, Value]], ends: Ends
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what does not agree and what does."""
    found = [*map(_repeats, given.values()), _pair_check(given, ends), _slack_check(given, ends), _ways_agree(answers)]
    wrong = tuple(text for is_good, text in found if text and not is_good)
    return wrong, tuple(text for is_good, text in found if text and is_good)


def _pair_check(given: Mapping[TapeWay, Taped], ends: Ends) -> tuple[bool, str]:
    if "outside" not in given or "inside" not in given:
        return True, ""
    gap_mm = given["outside"].value_mm - given["inside"].value_mm
    if gap_mm <= 0:
        said = "outside is not longer than inside: the two were swapped, or an edge was mistaken; tape both again"
        return False, said
    if ends.holes is None:
        return True, ""
    holes_mm = math.fsum(hole.value for hole in ends.holes)
    if abs(gap_mm - holes_mm) <= PAIR_AGREES_MM:
        return True, f"outside minus inside is {gap_mm:.1f} mm, the two holes add up to {holes_mm:.1f} mm: agrees"
    return False, (
        f"outside minus inside is {gap_mm:.1f} mm, but the two holes add up to {holes_mm:.1f} mm: "
        "a wrong edge, a wrong hole or a bad reading; tape both again"
    )


def _slack_check(given: Mapping[TapeWay, Taped], ends: Ends) -> tuple[bool, str]:
    """Compare the slack taped over the pins, pulled less pushed, with holes less pins."""
    if not all(way in given for way in OVER_PINS):
        return True, ""
    pulled, pushed = (given[way].value_mm for way in OVER_PINS)
    if pulled < pushed:
        return (
            False,
            "pulled tight it is shorter than pushed tight: the two were swapped, or the pins differ; tape again",
        )
    if ends.holes is None or ends.pins is None:
        return True, f"pulled and pushed lie {pulled - pushed:.1f} mm apart, the slack of both pins together"
    slack_mm = math.fsum(h.value for h in ends.holes) - math.fsum(p.value for p in ends.pins)
    if abs(pulled - pushed - slack_mm) <= PAIR_AGREES_MM:
        return True, f"pulled less pushed is {pulled - pushed:.1f} mm, holes less pins {slack_mm:.1f} mm: agrees"
    return False, (
        f"pulled less pushed is {pulled - pushed:.1f} mm, but holes less pins are {slack_mm:.1f} mm: "
        "the link was not pulled tight, or a pin or hole was misread; tape both again"
    )


def _ways_agree(answers: Sequence[tuple[str, Value]]) -> tuple[bool, str]:
    if len(answers) < 2:
        return True, ""
    low = min(answers, key=lambda answer: answer[1].value)
    high = max(answers, key=lambda answer: answer[1].value)
    gap = high[1] - low[1]
    if gap.value <= gap.plus_minus:
        return True, f"{len(answers)} ways agree within {gap.value:.1f} mm"
    return False, f"{high[0]} gives {gap.value:.1f} mm more than {low[0]}: an edge was mistaken; tape again"


def _repeats(taped: Taped) -> tuple[bool, str]:
    count, apart_mm = len(taped.sizes_mm), max(taped.sizes_mm) - min(taped.sizes_mm)
    if count < 2:
        return True, ""
    times = "twice" if count == 2 else f"{count} times"
    if apart_mm > REPEATS_AGREE_MM:
        return False, f"{taped.way} was taped {count} times, {apart_mm:.1f} mm apart; tape it again"
    return True, f"{taped.way} taped {times}, {apart_mm:.1f} mm apart: averaged"


def _leans(readings: Sequence[LengthReading]) -> tuple[str, ...]:
    return tuple(
        f"{r.size.typed} taken as {float(r.size.mm):.2f} mm, a quarter step {'over' if r.size.lean > 0 else 'under'}, "
        f"± {float(r.size.half_width_mm):.2f} mm"
        for r in readings
        if r.size.lean
    )


def _needs(given: Mapping[TapeWay, Taped]) -> str:
    first = next(iter(given))
    if first in OVER_PINS:
        return f"taped {' and '.join(given)} only, and the pins are not known; measure them, or type their sizes"
    return f"taped {', '.join(given)} only, and the holes are not measured; tape {_partner(first)} too"


def _partner(way: TapeWay) -> str:
    for pair in OPPOSITE_PAIRS:
        if way in pair:
            return pair[1] if way == pair[0] else pair[0]
    return "outside and inside"


@dataclass(frozen=True, slots=True)
class Functional:
    """A link's length as it works, with pins that rattle: pulled tight, pushed tight, and the backlash between."""

    tight: Value
    slack: Value
    backlash: Value


def functional(centres: Value, near: Value, far: Value) -> Functional:
    """Return a link's working lengths from its centre distance and the clearance at both ends, doubts included.

    A clearance that reads below zero counts as none: a pin cannot be larger than its hole.
    """
    near, far = (replace(end, value=max(end.value, 0.0)) for end in (near, far))
    tight_mm, slack_mm, _ = functional_lengths(centres.value, near.value, far.value)
    backlash = near + far
    tight, slack = (total((centres, 1.0), (backlash, half)) for half in (0.5, -0.5))
    return Functional(replace(tight, value=tight_mm), replace(slack, value=slack_mm), backlash)


def functional_lengths(
    centres_mm: float, clearance_near_mm: float, clearance_far_mm: float
) -> tuple[float, float, float]:
    """Return the length with the pins pulled tight, pushed tight, and the backlash between them, in mm.

    Pulled tight C + (c1 + c2)/2, pushed tight C - (c1 + c2)/2, backlash c1 + c2; c is bore minus pin along
    the link, zero or more.
    """
    backlash_mm = clearance_near_mm + clearance_far_mm
    return centres_mm + backlash_mm / 2, centres_mm - backlash_mm / 2, backlash_mm


TURN_BY_EYE = 0.25  # half-width of a counted number of turns: common practice, no source


@dataclass(frozen=True, slots=True)
class Screwing:
    """How a link screws: the share of its travel at each end, and what one turn of the body makes it longer."""

    near_share: float
    far_share: float
    per_turn_mm: float

    @property
    def is_two_ended(self) -> bool:
        """True when both ends screw."""
        return self.near_share > 0 and self.far_share > 0


def screwing(thread: Thread, link: Link) -> Screwing | str:
    """Return how the link screws, or the sentence that says why that cannot be told.

    A body between a left and a right hand thread gives two leads a turn, half at each end; with a thread at one end
    only it is one lead.
    """
    lead_mm = float(thread.lead_mm)
    hands = (link.near_hand, link.far_hand)
    if None in hands:
        end = "either end" if hands == (None, None) else "one end"
        return (
            f"The hand of the thread at {end} is not written down, so it is not known whether a turn moves it by one "
            "lead or by two: look which way each thread climbs; none is an end without thread."
        )
    if hands == ("none", "none"):
        return "Neither end is said to have a thread, but a thread is given: look at both ends again."
    if "none" in hands:
        near = 1.0 if link.near_hand != "none" else 0.0
        return Screwing(near, 1.0 - near, lead_mm)
    if link.near_hand == link.far_hand:
        return (
            f"Both ends are said to be {link.near_hand}-handed; turning the body would not change the length. Look "
            "which way each thread climbs."
        )
    return Screwing(0.5, 0.5, 2 * lead_mm)


def taped_travel(closed: LinkLength | None, opened: LinkLength | None) -> Value | None:
    """Return open minus closed from the tape; None when one of them was not taped.

    Taped the same way at the same edges, the holes drop out whatever they are, and so does what the tape does to
    both; its class limit counts once, as it does between any two marks.
    """
    if closed is None or opened is None:
        return None
    first = {taped.way: taped for taped in closed.taped}
    second = {taped.way: taped for taped in opened.taped}
    both = [(first[way], second[way]) for way in first if way in second]
    if both:
        return _by_ways(both)
    if closed.centres is None or opened.centres is None:
        return None
    return difference_named((opened.centres, "open"), (closed.centres, "closed"))


def _by_ways(both: list[tuple[Taped, Taped]]) -> Value:
    value = math.fsum(opened.value_mm - closed.value_mm for closed, opened in both) / len(both)
    common = most_doubtful([taped for pair in both for taped in pair])
    named = [("closed", -1, closed) for closed, _ in both] + [("open", 1, opened) for _, opened in both]
    own = [
        term.times(sign / len(both)).called(f"{term.source.label}, {state}")
        for state, sign, taped in named
        for term in taped.own
    ]
    return Value(value, "mm", (*common, *own))


def turned_travel(turns: Turns, screw: Screwing, whose: str) -> Value:
    """Return the travel that a count of turns makes, in mm, doubtful by a quarter of a turn; `whose` count it is."""
    half_mm = TURN_BY_EYE * screw.per_turn_mm
    counted = limit(
        f"{whose}/turns", half_mm, "setting", label="turns counted", why=f"± {TURN_BY_EYE:g} turn, common practice"
    )
    return Value(float(turns) * screw.per_turn_mm, "mm", (counted,))


def turns_disagree(taped: Value, turned: Value, turns: Turns, screw: Screwing) -> str:
    """Return the sentence for turns that do not make the travel that was taped, empty when they do."""
    gap = taped - turned
    if abs(gap.value) <= gap.plus_minus:
        return ""
    said = (
        f"{turns} turns at {screw.per_turn_mm:.4g} mm make {turned.value:.0f} mm, but the tape says "
        f"{taped.value:.0f} mm"
    )
    if screw.is_two_ended and abs(taped.value - turned.value / 2) <= gap.plus_minus:
        return f"{said}: as if one end alone had turned. Free the other end, or write down that it has no thread."
    if not screw.is_two_ended and abs(taped.value - turned.value * 2) <= gap.plus_minus:
        return f"{said}: as if both ends had a thread, left and right hand. Look at the end without thread again."
    return f"{said}. Count the turns again, tape closed and open again, and measure the pitch over ten crests."
