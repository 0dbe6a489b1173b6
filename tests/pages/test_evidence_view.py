"""Other evidence on the page, in the printed report and as data."""

import datetime
import json

import pytest

from fieldlog.pages.hole import evidence_lines, hole_evidence_lines, printed_evidence
from fieldlog.pages.lines import Line
from fieldlog.sheets.data import machine_data
from fieldlog.sheets.trend_data import plain
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.states import JointState, MachineState

TODAY = datetime.date(2026, 11, 25)
LOGBOOK = read_logbook(sample_folder()).logbook


def machine(machine_id: str) -> MachineState:
    return assess_machine(read_machine(sample_folder(), machine_id, LOGBOOK).log, LOGBOOK, TODAY)


def joint(machine_id: str, joint_id: str) -> JointState:
    return next(state for state in machine(machine_id).joints if state.joint.id == joint_id)


def text(lines: tuple[Line, ...]) -> str:
    return " ".join(" ".join(row.text for row in lines).split())


@pytest.mark.parametrize("width", [36, 56, 76])
@pytest.mark.parametrize(("machine_id", "joint_id"), [("hill-tractor", "lift-rod-low"), ("mini-digger", "dipper")])
def test_the_page_fits_its_width(machine_id: str, joint_id: str, width: int) -> None:
    """No line is wider than the screen gives it."""
    assert max(len(row.text) for row in evidence_lines(joint(machine_id, joint_id), "mm", width)) <= width


def test_the_page_holds_what_was_tried_what_is_known_and_what_would_settle_it() -> None:
    """Trials with day and person, play with how it was taken, facts, weights, minutes and chances."""
    page = text(evidence_lines(joint("hill-tractor", "lift-rod-low"), "mm", 76))
    assert "Tried in rear hole: 22.5 mm shank goes, 23 mm shank no (3 Nov 2026, nell)" in page
    assert "Play in place: 1.40" in page
    assert "dial" in page
    assert "kept by a cotter" in page
    assert "%" in page
    assert "about 4 min" in page
    assert "times in 100" in page or "nearly always" in page or "does not settle it" in page


def test_a_contradiction_stands_on_page_hole_and_report_with_its_way_out() -> None:
    """Both sides and what would settle it, wherever the pin is spoken of."""
    state = joint("mini-digger", "dipper")
    for page in (
        evidence_lines(state, "mm", 76),
        printed_evidence(state, "mm", 76),
    ):
        assert "! The play in place is 1.90" in text(page)
        assert "whether a bush moves in its bore" in text(page)


def test_a_hole_s_page_says_what_was_tried_in_it() -> None:
    """The rear hole has its shanks, the middle hole none; both say which pin."""
    state = joint("hill-tractor", "lift-rod-low")
    rear, middle = (text(hole_evidence_lines(state, hole, 76)) for hole in ("rod-3", "rod-2"))
    assert "Tried: 22.5 mm shank goes" in rear
    assert "Tried" not in middle
    assert "Which pin" in middle
    assert hole_evidence_lines(None, "rod-3", 76) == ()


def test_the_data_carry_weights_steps_contradictions_and_evidence() -> None:
    """Shares sum to 1, steps lie between 0 and 1, trials are there as typed; old keys stay."""
    states = [machine("hill-tractor"), machine("mini-digger")]
    data = json.loads(json.dumps([plain(machine_data(state, "mm")) for state in states], allow_nan=False))
    joints = {joint["id"]: joint["pin"] for state in data for joint in state["joints"]}
    rod, dipper = joints["lift-rod-low"], joints["dipper"]
    assert sum(candidate["share"] for candidate in rod["candidates"]) == pytest.approx(1, abs=1e-5)
    assert all(0 <= step["settles"] <= 1 and 0 <= step["narrows"] <= 1 for step in rod["next_steps"])
    assert [(t["size"], t["result"], t["by"]) for t in rod["evidence"]["trials"]] == [
        ("22.5 mm", "goes", "shank"),
        ("23 mm", "no", "shank"),
    ]
    assert rod["evidence"]["keeper"] == "cotter"
    assert rod["evidence"]["play"]["mm"] == pytest.approx(1.4)
    assert dipper["contradictions"][0]["said"] == dipper["contradiction"]
    assert {"answer", "settled", "next_measurement", "origin", "reckoned_with"} <= set(rod)
