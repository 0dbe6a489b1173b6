"""How likely each pin is, opened up: the factors that its share is the product of; and what a next step is worth."""

from collections.abc import Iterator

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.figure import Figure, Step
from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.measure.pin_weights import factors_of
from fieldlog.records.entries import Play
from fieldlog.records.log import MachineLog
from fieldlog.standards.pins import NOMINAL_PINS
from fieldlog.wear.numbers import Number, face_keys, joint_numbers
from fieldlog.wear.states import HoleState, JointState

_SHARE = (
    "Share = the product of these factors over the sum of all pins' products (Bayes' rule). A factor counts only "
    "against the same factor of another pin. Odds and shapes of wear are common practice, no source."
)
_SETTLES = "Every way that it can come out, weighed by how likely it is; counted where one size alone is left."


def evidence_numbers(state: JointState, log: MachineLog) -> list[Number]:
    """Return the numbers of the page of other evidence: shares, what was measured of the pin, what would settle it."""
    known = state.evidence
    if known is None:
        return []
    found = [*_shares(state, known, log), *_in_place(state, known, log)]
    found += [number for number in joint_numbers(state, log) if number.word.startswith("pin")]
    return [*found, *_steps(state)]


def _shares(state: JointState, known: PinEvidence, log: MachineLog) -> Iterator[Number]:
    candidates = state.pin_answer.candidates
    if len(candidates) < 2:
        return
    hole = next((hole for hole in state.holes if hole.hole.id == state.pin_answer.from_hole), None)
    keys = (*_hole_keys(hole), *(trial.key for trial in known.trials), *_play_keys(state, log))
    for candidate in candidates:
        pin = next((pin for pin in NOMINAL_PINS if pin.name == candidate.name), None)
        if pin is None:
            continue
        factors = factors_of(pin, hole.hole if hole is not None else None, known)
        steps = tuple(Step(word, Figure(value, "")) for word, value in factors)
        about = f"Share of {candidate.name} among all pins that stand; {candidate.standing}: {candidate.reason}"
        value = Figure(100 * candidate.share, "%")
        yield Number(candidate.name, about, value, keys, steps=steps, formula=_SHARE)


def _hole_keys(hole: HoleState | None) -> tuple[str, ...]:
    """Return the readings of the face on which the hole was smallest since it was new."""
    span = hole.history[hole.span_start :] if hole is not None else ()
    first = min(span, key=lambda size: size.smallest.value_mm, default=None)
    return face_keys(min(first.faces, key=lambda face: face.smallest.value_mm)) if first is not None else ()


def _play_keys(state: JointState, log: MachineLog) -> tuple[str, ...]:
    return tuple(play.key for play in log.standing(Play) if play.joint == state.joint.id)


def _in_place(state: JointState, known: PinEvidence, log: MachineLog) -> Iterator[Number]:
    sizes: tuple[tuple[str, str, Estimate | None], ...] = (
        ("play", "Play of the joint in place", known.play),
        ("feeler", "The thickest feeler beside the pin", known.feeler),
    )
    for word, about, size in sizes:
        if size is not None:
            yield Number(word, about, size, _play_keys(state, log))


def _steps(state: JointState) -> Iterator[Number]:
    for step in state.pin_answer.next_steps:
        steps = (
            Step("takes about", f"{step.minutes} min, common practice"),
            Step("takes away on the average", f"{100 * step.narrows:.0f} % of the doubt"),
        )
        about = f"How often it settles the pin: {step.action}"
        yield Number(step.action, about, Figure(100 * step.settles, "%"), (), steps=steps, formula=_SETTLES)
