"""Which pins can have been meant at all: the trade's plain rules, before anything is weighed.

A bore can only grow, so the smallest size of the least-used hole is the evidence. The room it has over a pin must be
what such a joint has when new, or that plus some wear. Common practice, no source.

Pieces of evidence about a pin and its holes that cannot both be right, in words, and what would settle each.

Which pin: rules first, weights second. `measure/pin_rules.py` says what can be at all (hard bounds by readings,
trials, worn band, play); `pin_weights.py` only ranks what stands, by Bayes' rule over bins of room (`pin_room.py`),
so a wrong belief about wear never hides a pin. Odds, shapes and minutes are stated beliefs marked common practice.
`tests/benchmarks/which_pin.py` draws worlds from the beliefs: a share of 60 to 70 % is the true pin in about 62 of
100.

Where evidence contradicts itself neither side is believed alone: the interval of the hole then holds both, and
nothing counts as settled. A trial that went long after the reading tells of wear and bounds nothing (60 days).
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from fieldlog.measure.pin_evidence import SAME_STATE, Contradiction, PinEvidence, RuledOut, Standing, trial_words
from fieldlog.measure.pin_weights import hole_ids, hole_interval, joint_kind, pins_in_place
from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Trial
from fieldlog.records.machine import Hole, shown_name
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS, WORST_WEAR_MM, NominalPin

USE_RANK = {"never": 0, "sometimes": 1, "daily": 2}
_UNDER_NAME_MM = 0.12  # how far an unworn pin usually reads under its name: common practice, no source
FAR_UNDER_NAME_MM = 0.2  # the same for a rough one: hitch pins to ISO 730, from memory
_TOLD_APART_MM = 0.1  # by how much one name must fit a measured pin better than another: common practice
_NO_LIMIT = float("inf")


@dataclass(frozen=True, slots=True)
class Possible:
    """A pin that the rules leave standing, with the least and the most room that its hole can have over it."""

    pin: NominalPin
    standing: Standing
    is_tight: bool
    least_room_mm: float
    most_room_mm: float


def reference_hole(holes: Sequence[tuple[Hole, Value]]) -> tuple[Hole, Value]:
    """Return the least-used hole, and among equals the one with the smallest smallest size."""
    return min(holes, key=lambda pair: (USE_RANK[pair[0].use], pair[1].value))


def tried_hole(evidence: PinEvidence) -> Hole | None:
    """Return, where no hole was measured, the least-used that something was tried in."""
    tried = [hole for hole in evidence.unmeasured if any(trial.hole == hole.id for trial in evidence.trials)]
    return min(tried, key=lambda hole: (USE_RANK[hole.use], hole.id), default=None)


def possible_pins(hole: Hole, smallest: Value | None, evidence: PinEvidence) -> tuple[Possible, ...]:
    """Return the pins that can have been meant; none where nothing says how large the hole is at least and at most."""
    least_mm, most_mm = hole_interval(hole.id, evidence)
    if -_NO_LIMIT in {least_mm, -most_mm}:
        return ()
    room_for_mm = min([most_mm, *(hole_interval(other, evidence)[1] for other in hole_ids(evidence))])
    fits = [pin for pin in NOMINAL_PINS if _fits(float(pin.mm), room_for_mm, evidence)]
    standing = tuple(p for pin in fits if (p := _possible(pin, hole, smallest, evidence)) is not None)
    # a hole that was never used has no wear, so a size that needs some stands only where nothing else does
    if hole.use == "never" and any(possible.standing == "unworn" for possible in standing):
        return tuple(possible for possible in standing if possible.standing == "unworn")
    return standing


def _fits(pin_mm: float, room_for_mm: float, evidence: PinEvidence) -> bool:
    """Tell whether a pin enters every hole, what was refused being too large, and is no smaller than it is worn to."""
    refused = min((float(t.size.mm) for t in evidence.trials if t.result != "goes"), default=_NO_LIMIT)
    if pin_mm > room_for_mm or (pin_mm >= refused and room_for_mm <= refused):
        return False
    now = (evidence.worn_pin,) if evidence.worn_pin is not None else pins_in_place(evidence)
    return all(pin_mm >= band.value - band.plus_minus for band in now)


def _possible(pin: NominalPin, hole: Hole, smallest: Value | None, evidence: PinEvidence) -> Possible | None:
    usual, pin_mm = JOINT_DEFAULTS[joint_kind(hole, evidence.joint)], float(pin.mm)
    least_mm, most_mm = hole_interval(hole.id, evidence)
    middle_mm = min(max(smallest.value, least_mm), most_mm) if smallest is not None else least_mm
    if middle_mm - pin_mm > usual.new_most_mm + WORST_WEAR_MM:
        return None
    standing: Standing = "worn" if least_mm - pin_mm > usual.new_most_mm else "unworn"
    is_tight = most_mm - pin_mm < usual.new_least_mm
    return Possible(pin, standing, is_tight, least_mm - pin_mm, most_mm - pin_mm)


def ruled_out(hole: Hole, smallest: Value | None, evidence: PinEvidence) -> tuple[RuledOut, ...]:
    """Return the pins that would stand but for one kind of evidence, each with that kind."""
    standing = {possible.pin.name for possible in possible_pins(hole, smallest, evidence)}
    found: dict[str, RuledOut] = {}
    for by, without in (
        ("what was tried", replace(evidence, trials=())),
        ("the pin's worn band", replace(evidence, worn_pin=None)),
        ("play in place", replace(evidence, play=None, feeler=None)),
    ):
        allowed = possible_pins(hole, smallest, without) if without != evidence else ()
        new = (p.pin.name for p in allowed if p.pin.name not in standing)
        found |= {name: RuledOut(name, by) for name in new if name not in found}
    return tuple(found.values())


def nearest_nominal(measured: Value) -> tuple[str, ...]:
    """Return the nominal pins that a pin measured at its unworn end can be; pins are made at or just under size."""
    doubt = measured.plus_minus
    under = [(float(pin.mm) - measured.value, pin.name) for pin in NOMINAL_PINS]
    for most in (_UNDER_NAME_MM, FAR_UNDER_NAME_MM):
        near = [(abs(gap), name) for gap, name in under if -doubt <= gap <= most + doubt]
        if near:
            best = min(near)[0]
            return tuple(name for gap, name in sorted(near) if gap <= best + _TOLD_APART_MM)
    return ()


Check = Callable[[PinEvidence, Units], Iterator[Contradiction]]
_MOST_GROWN_MM = 1.5  # more than this between two looks at a hole is likelier a slip: common practice, no source
BOTH_AGAIN = "measure the pin at its unworn end and the hole again"


def contradictions(evidence: PinEvidence, units: Units) -> tuple[Contradiction, ...]:
    """Return everything that cannot be, what touches the pin's name first."""
    checks: tuple[Check, ...] = (
        _stated_against_pin,
        _stated_against_hole,
        _pin_against_hole,
        _band_against_end,
        _pin_against_trial,
        _trials_against_each_other,
        _trials_against_readings,
        _trials_long_after,
        _play_against_sizes,
        _feeler_against_play,
    )
    found = (contradiction for check in checks for contradiction in check(evidence, units))
    return tuple(dict.fromkeys(found))


def _stated_against_pin(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    stated, measured = evidence.joint.pin, evidence.measured_pin or evidence.worn_pin
    if stated is None or measured is None:
        return
    over_mm = measured.value - float(stated.mm)
    is_small = evidence.measured_pin is not None and -over_mm > FAR_UNDER_NAME_MM + measured.plus_minus
    if over_mm > measured.plus_minus or is_small:
        reads = f"the pin reads {size_text(measured, units)}"
        yield Contradiction(f"the pin is stated as {stated.typed}, but {reads}", BOTH_AGAIN, reads)


def _stated_against_hole(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    stated = evidence.joint.pin
    if stated is None:
        return
    for hole, smallest in evidence.holes:
        if float(stated.mm) - smallest.value > smallest.plus_minus:
            which = f"{shown_name(hole)}, " if len(evidence.holes) > 1 else ""
            said = f"{stated.typed} cannot enter {which}a hole of {size_text(smallest, units)}"
            yield Contradiction(said, BOTH_AGAIN, said)


def _pin_against_hole(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    pin = evidence.measured_pin
    if pin is None:
        return
    for _, smallest in evidence.holes:
        over = pin - smallest
        if over.value > over.plus_minus:
            more = f"more than its hole of {size_text(smallest, units)}: one of them is wrong"
            said, settles = f"the pin reads {size_text(pin, units)}", f"{BOTH_AGAIN}; a burr makes a hole read small"
            yield Contradiction(f"{said}, {more}", settles, f"that is {more}")


def _band_against_end(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    worn, unworn = evidence.worn_pin, evidence.measured_pin
    if worn is None or unworn is None:
        return
    over = worn - unworn
    if over.value > over.plus_minus:
        said = (
            f"the pin's worn band reads {size_text(worn, units)}, more than its unworn end of "
            f"{size_text(unworn, units)}: a pin does not grow"
        )
        yield Contradiction(said, "measure both places on the pin again; an end that was hammered reads large")


def _pin_against_trial(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """The joint's pin is in its hole, so nothing that is smaller can have been refused there."""
    for trial in evidence.trials:
        if trial.result == "goes":
            continue
        stated, measured, size_mm = evidence.joint.pin, evidence.measured_pin, float(trial.size.mm)
        again = f"try it again from both faces of {_hole_name(trial, evidence)}, deburred, and measure the pin"
        refused = f"a {trial_words(trial)} did not go through {_hole_name(trial, evidence)}"
        if stated is not None and float(stated.mm) >= size_mm:
            yield Contradiction(f"the pin is stated as {stated.typed}, but {refused}", again)
        elif measured is not None and measured.value - measured.plus_minus > size_mm:
            yield Contradiction(f"the pin reads {size_text(measured, units)}, but {refused}", again)


def _trials_against_each_other(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """A bore only grows: what went once still goes later; what is refused later was never smaller than that."""
    for went, refused in product(evidence.trials, evidence.trials):
        if went.hole != refused.hole or went.result != "goes" or refused.result == "goes":
            continue
        if went.size.mm >= refused.size.mm and went.day <= refused.day + SAME_STATE:
            hole = _hole_name(went, evidence)
            said = f"a {trial_words(went)} went through {hole}, but a {trial_words(refused)} did not"
            yield Contradiction(
                said, "clean and deburr it, measure what was tried, try both again; strike the wrong one"
            )


def _trials_against_readings(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """What went must be no larger than the hole read then or later, what was refused no smaller than it read before."""
    for trial, day in product(evidence.trials, evidence.days):
        if trial.hole != day.hole:
            continue
        reads = f"{_hole_name(trial, evidence)}, which reads {size_text(day.smallest, units)}"
        over_mm = float(trial.size.mm) - day.smallest.value
        doubt_mm = day.smallest.plus_minus
        if trial.result == "goes" and over_mm > doubt_mm and day.day >= trial.day - SAME_STATE:
            said = f"a {trial_words(trial)} went through {reads}"
            settles = f"measure the hole again, and the {trial.by} that was tried: it may not be {trial.size.typed}"
            yield Contradiction(said, settles)
        if trial.result != "goes" and -over_mm > doubt_mm and day.day <= trial.day + SAME_STATE:
            said = f"a {trial_words(trial)} did not go through {reads}"
            yield Contradiction(
                said, f"look for a burr, a bend or a taper, and measure the {trial.by} and the middle face"
            )


def _trials_long_after(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """What goes long after the last reading, though it is larger, tells of wear since, but not of any amount of it."""
    for trial in evidence.trials:
        days = [day for day in evidence.days if day.hole == trial.hole]
        if trial.result != "goes" or not days:
            continue
        last = max(days, key=lambda day: day.day)
        over_mm = float(trial.size.mm) - last.smallest.value
        if over_mm > _MOST_GROWN_MM + last.smallest.plus_minus and last.day < trial.day - SAME_STATE:
            read = f"read {size_text(last.smallest, units)} on {day_text(last.day)}"
            grown = f"it has grown by {mm_text(over_mm, units)} since, or one of them is wrong"
            said = f"a {trial_words(trial)} went through {_hole_name(trial, evidence)}, which {read}: {grown}"
            yield Contradiction(said, "measure the hole again")


def _play_against_sizes(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """Play in place is the clearance of hole and pin, unless something else gives way or the joint was loaded."""
    pin = evidence.worn_pin or evidence.measured_pin
    if pin is None or evidence.largest is None:
        return
    clearance = evidence.largest - pin
    leaves = f"its largest hole and its pin leave {size_text(clearance, units)}"
    for name, loose in _in_place(evidence):
        gap = loose - clearance
        if gap.value > gap.plus_minus:
            settles = "measure the other holes on this pin, and look whether a bush moves in its bore"
            yield Contradiction(f"{name} {size_text(loose, units)}, but {leaves}", settles)
        elif -gap.value > gap.plus_minus and evidence.worn_pin is not None:
            settles = "take the load off until the pin rattles, and measure the play again"
            yield Contradiction(f"{name} only {size_text(loose, units)}, but {leaves}", settles, is_grave=False)


def _feeler_against_play(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    play, feeler = evidence.play, evidence.feeler
    if play is None or feeler is None:
        return
    gap = play - feeler
    if abs(gap.value) > gap.plus_minus:
        said = f"the play in place is {size_text(play, units)}, but the feeler says {size_text(feeler, units)}"
        settles = "take the load off and do both again, the feeler at the unloaded side"
        yield Contradiction(said, settles, is_grave=False)


def _in_place(evidence: PinEvidence) -> tuple[tuple[str, Value], ...]:
    pairs = (("the play in place is", evidence.play), ("the feeler enters at", evidence.feeler))
    return tuple((name, loose) for name, loose in pairs if loose is not None)


def _hole_name(trial: Trial, evidence: PinEvidence) -> str:
    holes = (*(hole for hole, _ in evidence.holes), *evidence.unmeasured)
    return next((shown_name(hole) for hole in holes if hole.id == trial.hole), trial.hole)
