"""The sample fleet is what its script makes, and tells the story it is meant to tell."""

import datetime
import tomllib
from pathlib import Path
from typing import TypedDict, cast

import pytest

from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from tests.sample.make_fleet import make

TODAY = datetime.date(2026, 11, 25)
# what each joint is meant to show; the script's table of true wear was chosen for it
MEANT = {
    ("hill-tractor", "top-front"): "sound",
    ("hill-tractor", "top-rear"): "re-measure",
    ("hill-tractor", "lift-rod-low"): "plan",
    ("hill-tractor", "lower-left"): "sound",
    ("hill-tractor", "axle"): "renew",
    ("hill-tractor", "lift-rod-high"): "sound",
    ("hill-tractor", "right-rod-high"): "sound",
    ("hill-tractor", "right-rod-low"): "sound",
    ("yard-tractor", "top-rear"): "sound",
    ("yard-tractor", "lower-right"): "sound",
    ("yard-tractor", "drawbar"): "sound",
    ("yard-tractor", "loader-foot"): "sound",
    ("small-loader", "arm-left"): "sound",
    ("small-loader", "arm-right"): "sound",
    ("small-loader", "bucket-left"): "stop",
    ("small-loader", "bucket-right"): "plan",
    ("small-loader", "tilt-rod"): "re-measure",
    ("mini-digger", "bucket-pin"): "renew",
    ("mini-digger", "dipper"): "re-measure",
    ("mini-digger", "boom-foot"): "sound",
    ("mini-digger", "swing"): "plan",
    ("mini-digger", "blade"): "re-measure",
    ("mini-digger", "tipping-link"): "sound",
    ("flail-mower", "roller-left"): "plan",
    ("flail-mower", "roller-right"): "plan",
    ("flail-mower", "hood"): "re-measure",
}


class RawRound(TypedDict, total=False):
    """What the standard library reads from a round file."""

    who: str
    instrument: str
    bore: list[dict[str, str]]
    note: list[dict[str, list[str]]]
    strike: list[dict[str, str]]


def rounds(machine: str) -> list[RawRound]:
    """The raw round files, read by the standard library alone."""
    files = sorted((sample_folder() / machine / "rounds").glob("*.toml"))
    return [cast("RawRound", tomllib.loads(file.read_text(encoding="utf-8"))) for file in files]


def sizes(machine: str, hole: str, clock: str) -> list[float]:
    """Every near-face size of a hole on one line in mm, by plain arithmetic, struck ones too."""
    found = [bore for data in rounds(machine) for bore in data.get("bore", []) if bore["hole"] == hole]
    texts = [bore["size"].split() for bore in found if bore["clock"] == clock and "face" not in bore]
    return [float(number) * (25.4 if unit == "in" else 1) for number, unit in texts]


def test_the_files_are_what_the_script_makes(tmp_path: Path) -> None:
    """Byte for byte, and nothing else lies there."""
    make(tmp_path / "made")
    made = {path.relative_to(tmp_path / "made"): path.read_bytes() for path in (tmp_path / "made").rglob("*.toml")}
    there = {
        path.relative_to(sample_folder()): path.read_bytes() for path in sample_folder().rglob("*") if path.is_file()
    }
    assert made == there


@pytest.mark.parametrize("machine", sorted({machine for machine, _ in MEANT}))
def test_every_joint_shows_the_verdict_it_is_meant_to(machine: str) -> None:
    """Stop, renew, plan, re-measure and sound are all there."""
    logbook = read_logbook(sample_folder()).logbook
    state = assess_machine(read_machine(sample_folder(), machine, logbook).log, logbook, TODAY)
    found = {(machine, joint.joint.id): joint.finding.verdict.value for joint in state.joints}
    assert found == {key: verdict for key, verdict in MEANT.items() if key[0] == machine}


def test_the_story_is_in_the_files() -> None:
    """Egg-shaped hole, re-bush, strike, turned bush, undecided pin, unused reference, two people, two calipers."""
    assert sizes("hill-tractor", "top-rear-ball", "12")[-1] - sizes("hill-tractor", "top-rear-ball", "3")[-1] > 0.3
    arm = sizes("small-loader", "arm-right-bush", "3")
    assert arm[2] - arm[3] > 0.8
    everything = [data for machine in {m for m, _ in MEANT} for data in rounds(machine)]
    assert sum(len(data.get("strike", [])) for data in everything) == 1
    assert {data["who"] for data in everything} == {"nell", "tom"}
    assert {data["instrument"] for data in everything} == {"blue", "steel"}
    signs = [sign for data in everything for note in data.get("note", []) for sign in note["signs"]]
    assert "bush turns in its bore" in signs
    assert 22.6 < min(sizes("hill-tractor", "rod-3", "12")) < 22.85
    assert not [bore for data in everything for bore in data.get("bore", []) if bore["hole"] == "blade-bush"]


def test_greasing_that_helped_shows_in_the_tipping_link() -> None:
    """0.06 mm per 100 h before and 0.015 since, as the script has them: proved, and the forecast goes by the second."""
    logbook = read_logbook(sample_folder()).logbook
    state = assess_machine(read_machine(sample_folder(), "mini-digger", logbook).log, logbook, TODAY)
    joint = next(joint for joint in state.joints if joint.joint.id == "tipping-link")
    trend = next(trend for trend in joint.trends if trend.of == "clearance")
    change = trend.rate_change
    assert change is not None
    assert change.is_proved
    assert abs(100 * change.before - 0.06) < 100 * 2.5 * change.before_u
    assert abs(100 * change.after - 0.015) < 100 * 2.5 * change.after_u
    assert trend.usage.planned == 350
    assert trend.line is not None
    assert trend.line.slope == change.after
