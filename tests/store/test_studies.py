"""Gauge studies on disk: every trial is there at once, a torn end costs one, wrong lines are named."""

import datetime
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Study, StudyReading, counted, next_slot, plan, readings_mm
from fieldlog.records.machine import Logbook
from fieldlog.store.amend import create_logbook
from fieldlog.store.reader import check_logbook, read_logbook
from fieldlog.store.studies import append_trial, create_study, read_studies
from fieldlog.words.speak import problem_text
from tests.spoken import refused

DAY = datetime.date(2026, 3, 4)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook."""
    create_logbook(tmp_path / "book", Logbook("shop"))
    return tmp_path / "book"


def started(folder: Path) -> Study:
    """A study of two people, two holes, two trials."""
    return create_study(folder, Study("", DAY, "blue", "ada, ben", "ring 20, ring 25", 2))


def typed(study: Study, folder: Path, size: str, at: str = "09:00:00") -> Study:
    """Type the next trial and read the study back."""
    slot = next_slot(study)
    assert slot is not None
    append_trial(folder, study.id, StudyReading(slot.person, slot.hole, slot.number, parse_length(size), at))
    return read_studies(folder)[0][0]


def test_a_study_is_filled_trial_by_trial_and_reads_back(folder: Path) -> None:
    """Eight trials, each person all holes before the next; the old bytes stay where they were."""
    study = started(folder)
    path = folder / "studies" / "2026-03-04-blue.toml"
    before = path.read_bytes()
    for _ in range(8):
        study = typed(study, folder, "20.02 mm")
        assert path.read_bytes().startswith(before)
        before = path.read_bytes()
    assert next_slot(study) is None
    assert readings_mm(study) == [[[20.02, 20.02]] * 2] * 2
    assert check_logbook(folder, DAY) == ()
    assert read_logbook(folder).machine_ids == ()


def test_the_order_lets_nobody_read_a_hole_twice_in_a_row() -> None:
    """Everybody measures every hole once before anybody begins again."""
    study = Study("x", DAY, "blue", "ada, ben", "a, b, c", 3)
    slots = plan(study)
    assert len(set(slots)) == len(slots) == 18
    assert [slot.number for slot in slots] == [1] * 6 + [2] * 6 + [3] * 6
    assert {slot.person for slot in slots[:3]} == {"ada"}


def test_a_trial_typed_again_counts_instead(folder: Path) -> None:
    """Both stay on file."""
    study = typed(started(folder), folder, "20.5 mm")
    first = study.readings[0]
    append_trial(folder, study.id, StudyReading(first.person, first.hole, 1, parse_length("20.05 mm"), "09:01:00"))
    study = read_studies(folder)[0][0]
    assert [trial.size.typed for trial in study.readings] == ["20.5 mm", "20.05 mm"]
    assert [trial.size.typed for trial in counted(study).values()] == ["20.05 mm"]


@pytest.mark.parametrize("cut", range(1, 40, 6))
def test_a_torn_end_costs_one_trial_and_the_next_one_still_goes_in(folder: Path, cut: int) -> None:
    """The plug is pulled in the middle of a block."""
    study = typed(typed(started(folder), folder, "20.01 mm"), folder, "25.02 mm", "09:00:20")
    path = folder / "studies" / f"{study.id}.toml"
    path.write_bytes(path.read_bytes()[:-cut])
    left, problems = read_studies(folder)
    assert len(left[0].readings) in {1, 2}
    assert len(left[0].readings) == 2 or problems
    done = typed(left[0], folder, "25.03 mm", "09:01:00")
    assert done.readings[-1].size.typed == "25.03 mm"
    assert read_studies(folder)[1] == ()


def test_wrong_lines_are_named_and_do_not_hide_the_others(folder: Path) -> None:
    """file:line: key: what; accepted."""
    study = typed(started(folder), folder, "20.01 mm")
    path = folder / "studies" / f"{study.id}.toml"
    with path.open("a", encoding="utf-8") as file:
        file.write('\n[[reading]]\nperson = "eve"\nhole = "ring 20"\nnumber = 1\nsize = "20.0"\nat = "09:30"\n')
        file.write('\n[[reading]]\nperson = "eve"\nhole = "ring 20"\nnumber = 9\nsize = "20.0 mm"\nat = "09:31"\n')
    studies, problems = read_studies(folder)
    assert len(studies[0].readings) == 1
    said = [problem_text(problem) for problem in problems]
    assert any("size" in text and "no unit" in text for text in said)
    assert any('"eve" is not in the study' in text and "ada, ben" in text for text in said)
    assert any("9 is not in the study" in text for text in said)
    assert all(problem.line > 6 for problem in problems)


def test_a_second_study_of_the_day_and_a_newer_format_are_refused(folder: Path) -> None:
    """In a sentence; nothing is written."""
    study = started(folder)
    with refused("there"):
        started(folder)
    path = folder / "studies" / f"{study.id}.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("format = 1", "format = 2"), encoding="utf-8")
    with refused("newer"):
        append_trial(folder, study.id, StudyReading("ada", "ring 20", 1, parse_length("20 mm"), "09:00:00"))


def test_a_torn_study_with_windows_line_ends_keeps_them(folder: Path) -> None:
    """What is turned into a remark ends as the other lines do."""
    study = typed(typed(started(folder), folder, "20.01 mm"), folder, "25.02 mm", "09:00:20")
    path = folder / "studies" / f"{study.id}.toml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n")[:-12])
    typed(read_studies(folder)[0][0], folder, "25.03 mm", "09:01:00")
    data = path.read_bytes()
    assert b"# cut off" in data
    assert data.count(b"\n") == data.count(b"\r\n")
