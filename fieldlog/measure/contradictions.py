"""Pieces of evidence about a pin and its holes that cannot both be right, in words, and what would settle each."""

from collections.abc import Callable, Iterator
from itertools import product

from fieldlog.measure.estimate import Estimate, difference
from fieldlog.measure.pin_evidence import Contradiction, PinEvidence
from fieldlog.measure.pin_rules import FAR_UNDER_NAME_MM
from fieldlog.measure.rounding import mm_text, size_text
from fieldlog.measure.trials import SAME_STATE, trial_words
from fieldlog.records.days import day_text
from fieldlog.records.entries import Trial
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units

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
    over_mm = measured.value_mm - float(stated.mm)
    is_small = evidence.measured_pin is not None and -over_mm > FAR_UNDER_NAME_MM + measured.expanded_mm
    if over_mm > measured.expanded_mm or is_small:
        reads = f"the pin reads {size_text(measured, units)}"
        yield Contradiction(f"the pin is stated as {stated.typed}, but {reads}", BOTH_AGAIN, reads)


def _stated_against_hole(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    stated = evidence.joint.pin
    if stated is None:
        return
    for hole, smallest in evidence.holes:
        if float(stated.mm) - smallest.value_mm > smallest.expanded_mm:
            which = f"{shown_name(hole)}, " if len(evidence.holes) > 1 else ""
            said = f"{stated.typed} cannot enter {which}a hole of {size_text(smallest, units)}"
            yield Contradiction(said, BOTH_AGAIN, said)


def _pin_against_hole(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    pin = evidence.measured_pin
    if pin is None:
        return
    for _, smallest in evidence.holes:
        over = difference(pin, smallest)
        if over.value_mm > over.expanded_mm:
            more = f"more than its hole of {size_text(smallest, units)}: one of them is wrong"
            said, settles = f"the pin reads {size_text(pin, units)}", f"{BOTH_AGAIN}; a burr makes a hole read small"
            yield Contradiction(f"{said}, {more}", settles, f"that is {more}")


def _band_against_end(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    worn, unworn = evidence.worn_pin, evidence.measured_pin
    if worn is None or unworn is None:
        return
    over = difference(worn, unworn)
    if over.value_mm > over.expanded_mm:
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
        elif measured is not None and measured.value_mm - measured.expanded_mm > size_mm:
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
        over_mm = float(trial.size.mm) - day.smallest.value_mm
        doubt_mm = day.smallest.expanded_mm
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
        over_mm = float(trial.size.mm) - last.smallest.value_mm
        if over_mm > _MOST_GROWN_MM + last.smallest.expanded_mm and last.day < trial.day - SAME_STATE:
            read = f"read {size_text(last.smallest, units)} on {day_text(last.day)}"
            grown = f"it has grown by {mm_text(over_mm, units)} since, or one of them is wrong"
            said = f"a {trial_words(trial)} went through {_hole_name(trial, evidence)}, which {read}: {grown}"
            yield Contradiction(said, "measure the hole again")


def _play_against_sizes(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    """Play in place is the clearance of hole and pin, unless something else gives way or the joint was loaded."""
    pin = evidence.worn_pin or evidence.measured_pin
    if pin is None or evidence.largest is None:
        return
    clearance = difference(evidence.largest, pin)
    leaves = f"its largest hole and its pin leave {size_text(clearance, units)}"
    for name, loose in _in_place(evidence):
        gap = difference(loose, clearance)
        if gap.value_mm > gap.expanded_mm:
            settles = "measure the other holes on this pin, and look whether a bush moves in its bore"
            yield Contradiction(f"{name} {size_text(loose, units)}, but {leaves}", settles)
        elif -gap.value_mm > gap.expanded_mm and evidence.worn_pin is not None:
            settles = "take the load off until the pin rattles, and measure the play again"
            yield Contradiction(f"{name} only {size_text(loose, units)}, but {leaves}", settles, is_grave=False)


def _feeler_against_play(evidence: PinEvidence, units: Units) -> Iterator[Contradiction]:
    play, feeler = evidence.play, evidence.feeler
    if play is None or feeler is None:
        return
    gap = difference(play, feeler)
    if abs(gap.value_mm) > gap.expanded_mm:
        said = f"the play in place is {size_text(play, units)}, but the feeler says {size_text(feeler, units)}"
        settles = "take the load off and do both again, the feeler at the unloaded side"
        yield Contradiction(said, settles, is_grave=False)


def _in_place(evidence: PinEvidence) -> tuple[tuple[str, Estimate], ...]:
    pairs = (("the play in place is", evidence.play), ("the feeler enters at", evidence.feeler))
    return tuple((name, loose) for name, loose in pairs if loose is not None)


def _hole_name(trial: Trial, evidence: PinEvidence) -> str:
    holes = (*(hole for hole, _ in evidence.holes), *evidence.unmeasured)
    return next((shown_name(hole) for hole in holes if hole.id == trial.hole), trial.hole)
