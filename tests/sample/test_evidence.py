"""The sample's other evidence tells the story it is meant to tell."""

import datetime

import pytest

from fieldlog.measure.pin_evidence import PinAnswer
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.states import JointState

TODAY = datetime.date(2026, 11, 25)


def joint(machine: str, joint_id: str) -> JointState:
    """Assess one joint of the sample."""
    logbook = read_logbook(sample_folder()).logbook
    state = assess_machine(read_machine(sample_folder(), machine, logbook).log, logbook, TODAY)
    return next(joint for joint in state.joints if joint.joint.id == joint_id)


def standing(answer: PinAnswer) -> set[str]:
    return {candidate.name for candidate in answer.candidates}


@pytest.mark.parametrize(
    ("machine", "joint_id", "names"),
    [("hill-tractor", "lift-rod-low", {"22 mm", "7/8 in"}), ("mini-digger", "blade", {"1 in", "28 mm", "25.5 mm"})],
)
def test_a_trial_narrows_the_pin_and_does_not_settle_it(machine: str, joint_id: str, names: set[str]) -> None:
    """There are trials, several pins stand, and a next step is worked out."""
    state = joint(machine, joint_id)
    assert state.evidence is not None
    assert {trial.result for trial in state.evidence.trials} == {"goes", "no"}
    assert names <= standing(state.pin_answer)
    assert state.pin_answer.settled is None
    assert state.pin_answer.next_steps


def test_the_dipper_has_more_play_than_its_measured_hole_explains() -> None:
    """1.9 mm of play where hole and pin leave 1.35: another hole of the joint, or a moving bush."""
    (only,) = joint("mini-digger", "dipper").pin_answer.contradictions
    assert "the play in place is 1.90" in only.said
    assert "whether a bush moves in its bore" in only.settles
