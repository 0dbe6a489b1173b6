"""Trials and plays in round files, and the facts of joints and machines that go with them."""

import datetime
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import AnyEntry, Play, Round, Trial
from fieldlog.records.machine import Joint, Machine
from fieldlog.store.amend import add_machine, change_record
from fieldlog.store.reader import MachineRead, read_logbook, read_machine
from fieldlog.store.rounds import append_entry, open_round
from tests import spoken
from tests.store.test_append import DAY, made_logbook

HEAD = {"at": "09:00:00", "round": "", "day": DAY, "who": "ada"}
ROUND = 'format = 1\ndate = 2026-03-04\nwho = "ada"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook with one hole."""
    return made_logbook(tmp_path / "book")


def read(folder: Path, machine: str = "grey") -> MachineRead:
    return read_machine(folder, machine, read_logbook(folder).logbook, today=datetime.date(2026, 4, 1))


def with_round(folder: Path, text: str) -> MachineRead:
    """Read the logbook with a round file typed by hand."""
    rounds = folder / "grey" / "rounds"
    rounds.mkdir()
    (rounds / "2026-03-04-ada.toml").write_text(ROUND + text, encoding="utf-8")
    return read(folder)


@pytest.mark.parametrize(
    "entry",
    [
        Trial(hole="h1", size=parse_length("3/4"), result="no", **HEAD),  # type: ignore[arg-type]
        Trial(hole="h1", size=parse_length("19.5"), result="one side only", by="shank", **HEAD),  # type: ignore[arg-type]
        Play(joint="j1", size=parse_length("0.6"), **HEAD),  # type: ignore[arg-type]
        Play(joint="j1", size=parse_length("0"), by="feeler", **HEAD),  # type: ignore[arg-type]
    ],
)
def test_evidence_comes_back_as_it_was_written(folder: Path, entry: AnyEntry) -> None:
    """Written, read again, no complaint; `at` stands last."""
    stored = append_entry(open_round(folder, "grey", Round("", DAY, "ada")), entry)
    found = read(folder)
    assert found.log.entries == (stored,)
    assert found.problems == ()
    text = next((folder / "grey" / "rounds").glob("*.toml")).read_text(encoding="utf-8")
    assert text.rstrip().splitlines()[-1].startswith("at = ")


@pytest.mark.parametrize(
    ("block", "wrong", "accepted"),
    [
        (
            '[[trial]]\nhole = "h1"\nsize = "19 mm"\nresult = "fits"\n',
            '"fits" is not a choice',
            "goes, no, one side only",
        ),
        ('[[trial]]\nhole = "h1"\nsize = "19 mm"\n', "is missing", 'result = "goes"'),
        ('[[trial]]\nhole = "h9"\nsize = "19 mm"\nresult = "no"\n', '"h9" is not known', "known are: h1"),
        ('[[trial]]\nhole = "h1"\nsize = "190 cm"\nresult = "no"\n', "cannot be right", "at most 200 mm"),
        (
            '[[trial]]\nhole = "h1"\nsize = "19 mm"\nresult = "no"\nby = "drill"\n',
            '"drill" is not a choice',
            "pin, shank",
        ),
        ('[[play]]\njoint = "j1"\nsize = "6 cm"\n', "cannot be right", "at most 50 mm"),
        (
            '[[play]]\njoint = "j1"\nsize = "0.6 mm"\nby = "hand"\n',
            '"hand" is not a choice',
            "dial, marks, rocked, feeler",
        ),
    ],
)
def test_what_is_wrong_is_said_with_what_would_be_accepted(folder: Path, block: str, wrong: str, accepted: str) -> None:
    """Each slip of an editor gives one problem with its line."""
    (problem,) = with_round(folder, f'{block}at = "09:00:00"\n').problems
    assert wrong in spoken.wrong(problem)
    assert accepted in spoken.accepted(problem)
    assert problem.line > 3


def test_facts_of_joint_and_machine_are_kept_and_checked(folder: Path) -> None:
    """Pin kind, keeper, twin and threads are read back; a twin that is not there is reported."""
    joint = Joint("j", pin_kind="clevis pin", keeper="cotter", twin="nobody")
    add_machine(folder, Machine("red", joints=(joint,), link_threads="in"))
    found = read(folder, "red")
    assert (found.log.machine.joints, found.log.machine.link_threads) == ((joint,), "in")
    assert [problem.key for problem in found.problems] == ["twin"]
    change_record(folder, "red/machine.toml", "joints", "j", {"twin": None})
    assert read(folder, "red").problems == ()
