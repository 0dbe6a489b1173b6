"""Pictures in print: a joint asked for, and the report of one machine."""

import subprocess
import sys
from pathlib import Path

import pytest

from fieldlog.store.files import sample_folder


def report(*words: str) -> "subprocess.CompletedProcess[str]":
    """Run the report on the sample fleet as a person would pipe it."""
    command = [sys.executable, "-m", "fieldlog", "report", str(sample_folder()), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, encoding="utf-8")


def test_a_joint_asked_for_is_printed_with_its_picture_and_dial() -> None:
    """Limit, when it is reached and today in words, the dial over its first day; nothing of other joints."""
    done = report("--joint", "bucket pin, right")
    assert done.returncode == 0
    assert done.stdout.startswith("Small loader: Bucket pin, right\n")
    for part in (
        "limit 0.88",
        "in 330 to 700 h, Nov 2027 - Jan 2029",
        "today, ",
        "wear drawn 10 x",
        "o 31 Oct 2026, + 28 Oct 2023",
        "History, newest",
    ):
        assert part in done.stdout
    assert "Arm pivot" not in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_the_report_of_one_machine_has_pictures_in_ascii_where_asked_for() -> None:
    """Every character prints anywhere; the fleet's report has none."""
    done = report("--machine", "small loader", "--ascii")
    assert done.returncode == 0
    assert done.stdout.count("today, ") >= 4
    assert done.stdout.count("wear drawn") >= 4
    drawn = [row for row in done.stdout.splitlines() if "limit " in row and "===" in row]
    assert drawn
    assert all(row.isascii() for row in drawn)
    assert "today, " not in report().stdout


@pytest.mark.parametrize("name", ["no such joint", ""])
def test_an_unknown_joint_is_answered_with_those_there_are(name: str, tmp_path: Path) -> None:
    """Or, with nothing asked for, the whole report is printed."""
    done = report("--joint", name)
    if name:
        assert done.returncode == 2
        assert 'No joint is called "no such joint". There are: Roller arm, left;' in done.stderr
    else:
        assert "What needs doing" in done.stdout
    assert not list(tmp_path.iterdir())
