"""A logbook in a temporary folder, away from the home folder of the machine that runs the tests."""

from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Instrument, Joint, Link, Logbook, Machine, Person
from fieldlog.store.amend import add_machine, create_logbook


@pytest.fixture(autouse=True)
def _shielded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep tests from the home folder and the colour settings of the machine they run on."""
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setattr("fieldlog.app.known._PATIENCE_S", 60.0)  # keys are pressed on a page that is complete


@pytest.fixture
def logbook_folder(tmp_path: Path) -> Path:
    """A logbook with one machine, one joint, two holes."""
    folder = tmp_path / "logbook"
    caliper = Instrument("blue", "caliper", "blue caliper", parse_length("0.01 mm"))
    create_logbook(folder, Logbook("Test book", "mm", (Person("ada", "Ada"),), (caliper,)))
    joint = Joint("top", "Top link", "hitch")
    links = (Link("link", "Top link bar", "top link", "screw", "used", "spare"),)
    holes = (Hole("used", "top", "link end"), Hole("spare", "top", "spare", use="never", number=2, in_row=2))
    add_machine(folder, Machine("grey", "Grey tractor", "compact tractor", joints=(joint,), holes=holes, links=links))
    return folder
