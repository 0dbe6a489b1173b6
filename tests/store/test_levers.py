"""Levers, greasing intervals and the season's start in the files: read, written, and what is wrong with them."""

import datetime
from pathlib import Path

import pytest

from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.words.speak import problem_text

TODAY = datetime.date(2026, 4, 1)


def book(folder: Path, joint: str = "", machine: str = "", logbook: str = "", event: str = "") -> Path:
    """Write a logbook with one joint, with the given lines added."""
    (folder / "digger" / "rounds").mkdir(parents=True)
    head = f'format = 1\nname = "b"\n{logbook}\n[[people]]\nid = "ann"\n'
    (folder / "logbook.toml").write_text(head, encoding="utf-8")
    text = f'format = 1\n{machine}\n[[joints]]\nid = "tip"\n{joint}\n[[holes]]\nid = "h"\njoint = "tip"\n'
    (folder / "digger" / "machine.toml").write_text(text, encoding="utf-8")
    if event:
        text = f'format = 1\ndate = 2026-03-01\nwho = "ann"\n\n[[event]]\n{event}\nat = "08:00:00"\n'
        (folder / "digger" / "rounds" / "2026-03-01-ann.toml").write_text(text, encoding="utf-8")
    return folder


def test_levers_intervals_and_start_are_read(tmp_path: Path) -> None:
    """As typed, nothing to complain of."""
    folder = book(
        tmp_path,
        'slack_way = "turns"\nlever_arm = "180 mm"\ntool_radius = "26 in"\ngrease_every = "10 h"',
        'grease_every = "weekly"',
        'season_start = "1 Nov"',
        'deed = "put off"\njoint = "tip"\ntext = "no bush to be had"',
    )
    assert check_logbook(folder, TODAY) == ()
    logbook = read_logbook(folder).logbook
    log = read_machine(folder, "digger", logbook).log
    joint = log.machine.joints[0]
    assert logbook.season_start is not None
    assert (logbook.season_start.month, logbook.season_start.day) == (11, 1)
    assert joint.tool_radius is not None
    assert float(joint.tool_radius.mm) == pytest.approx(660.4)
    assert joint.grease_every is not None
    assert log.machine.grease_every is not None
    assert (joint.grease_every.amount, log.machine.grease_every.amount) == (10.0, 7.0)


@pytest.mark.parametrize(
    ("joint", "key", "said"),
    [
        ('slack_way = "turns"', "lever_arm", "is missing"),
        ('slack_way = "turns"\nlever_arm = "180 mm"', "tool_radius", "is missing"),
        ('slack_way = "sideways"', "slack_way", "write one of: in line, turns, side to side, top link"),
        ('lever_arm = "180 mm"', "lever_arm", "nothing says which way"),
        ('slack_way = "turns"\nlever_arm = "0 mm"\ntool_radius = "650 mm"', "lever_arm", "cannot be right"),
        ('slack_way = "in line"\ntool_radius = "65 m"', "tool_radius", "cannot be right"),
        ('slack_way = "turns"\nlever_arm = "180"\ntool_radius = "650 mm"', "lever_arm", "no unit"),
        ('grease_every = "often"', "grease_every", "is no interval"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(tmp_path: Path, joint: str, key: str, said: str) -> None:
    """file:line: key: what is wrong; what would be accepted."""
    problems = check_logbook(book(tmp_path, joint), TODAY)
    found = [problem for problem in problems if problem.key == key]
    assert found
    assert said in problem_text(found[0])
    assert problem_text(found[0]).startswith("digger/machine.toml:")


@pytest.mark.parametrize(
    ("machine", "key", "said"),
    [
        ('in_use = "Aprl to Sept"', "in_use", "does not say when it works"),
        ("in_use = 8", "in_use", "is not text"),
        ('grease_every = "often"', "grease_every", "is no interval"),
    ],
)
def test_what_is_wrong_of_a_machine_is_told_once(tmp_path: Path, machine: str, key: str, said: str) -> None:
    """What is wrong, then what would be accepted, and that only once."""
    found = [problem for problem in check_logbook(book(tmp_path, "", machine), TODAY) if problem.key == key]
    assert len(found) == 1
    sentence = problem_text(found[0])
    assert said in sentence
    assert sentence.count("; ") == 1


def test_months_of_work_are_read(tmp_path: Path) -> None:
    """As typed, and kept as typed."""
    folder = book(tmp_path, "", 'in_use = "Apr to Jun, Sep, 3 days a week"')
    assert check_logbook(folder, TODAY) == ()
    machine = read_machine(folder, "digger", read_logbook(folder).logbook).log.machine
    assert machine.in_use is not None
    assert machine.in_use.typed == "Apr to Jun, Sep, 3 days a week"
    assert machine.in_use.per_year == pytest.approx((30 + 31 + 30 + 30) * 3 / 7)


def test_a_season_that_begins_on_no_day_and_a_putting_off_without_a_reason(tmp_path: Path) -> None:
    """Both are told; the rest is used."""
    folder = book(tmp_path, logbook='season_start = "spring"', event='deed = "put off"\njoint = "tip"')
    told = [problem_text(problem) for problem in check_logbook(folder, TODAY)]
    assert any("season_start" in one and "no day of the year" in one for one in told)
    assert any("text" in one and "why it is put off" in one for one in told)
    assert read_logbook(folder).logbook.season_start is None
