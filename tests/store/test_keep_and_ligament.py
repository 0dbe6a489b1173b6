"""Readings kept with a reason and ligaments in a round file: written, read back, and reported when wrong."""

import datetime
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock, point_deg
from fieldlog.records.entries import Keep, LigamentReading, Strike, kept_keys, struck_keys
from fieldlog.store.reader import check_logbook
from fieldlog.store.rounds import append_entry
from fieldlog.words.speak import problem_text
from tests.store.test_append import DAY, bore, made_logbook, opened, read

HEAD = {"round": "", "day": DAY, "who": "ada"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook with one hole."""
    return made_logbook(tmp_path / "book")


def test_a_keep_stands_until_it_is_struck(folder: Path) -> None:
    """Both stay on file; the keep's own time names it."""
    file = opened(folder)
    reading = append_entry(file, bore())
    keep = append_entry(file, Keep(at="09:01:00", of=reading.at, why="a real lip", **HEAD))  # type: ignore[arg-type]
    log = read(folder).log
    assert kept_keys(log.entries, log.struck) == {reading.key}
    append_entry(file, Strike(at="09:02:00", of=keep.at, why="filed it off", **HEAD))  # type: ignore[arg-type]
    entries = read(folder).log.entries
    assert kept_keys(entries, struck_keys(entries)) == frozenset()
    assert {type(entry) for entry in entries} == {type(reading), Keep, Strike}
    assert reading.key not in struck_keys(entries)


def test_a_ligament_reads_back_with_the_caliper_of_the_round(folder: Path) -> None:
    """The instrument is the round's, and is not written again."""
    wall = LigamentReading(
        at="09:00:00", hole="h1", size=parse_length("14.2 mm"), clock=parse_clock("6"), instrument="blue", **HEAD  # type: ignore[arg-type]
    )  # fmt: skip
    stored = append_entry(opened(folder), wall)
    assert read(folder).log.entries == (stored,)
    text = next((folder / "grey" / "rounds").glob("*.toml")).read_text(encoding="utf-8")
    assert text.endswith('[[ligament]]\nhole = "h1"\nsize = "14.2 mm"\nclock = "6"\nat = "09:00:00"\n')


@pytest.mark.parametrize(
    ("block", "said"),
    [
        ('[[keep]]\nof = "07:00:00"\nwhy = "so"\nat = "09:01:00"', "of: there is no entry"),
        ('[[keep]]\nof = "09:00:00"\nat = "09:01:00"', "why: is missing"),
        ('[[ligament]]\nhole = "h1"\nsize = "0 mm"\nclock = "6"\nat = "09:01:00"', "above 0 and at most 300 mm"),
        ('[[ligament]]\nhole = "h9"\nsize = "9 mm"\nclock = "6"\nat = "09:01:00"', "hole: \"h9\" is not known"),
        ('[[ligament]]\nhole = "h1"\nsize = "9 mm"\nclock = "13"\nat = "09:01:00"', "is no clock position"),
        ('[[ligaments]]\nhole = "h1"\nsize = "9 mm"\nclock = "6"\nat = "09:01:00"', "did you mean ligament?"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_its_line(folder: Path, block: str, said: str) -> None:
    """The reading beside it is used all the same."""
    append_entry(opened(folder), bore())
    path = next((folder / "grey" / "rounds").glob("*.toml"))
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{block}\n", encoding="utf-8")
    problems = [problem_text(problem) for problem in check_logbook(folder, datetime.date(2026, 4, 1))]
    assert len(problems) == 1
    assert said in problems[0]
    assert len(read(folder).log.entries) >= 1


def test_a_point_on_the_rim_is_not_the_line_through_it() -> None:
    """12 and 6 are one line and two points."""
    assert [point_deg(parse_clock(text)) for text in ("12", "1:30", "3", "6", "9", "11:30")] == [
        0, 45, 90, 180, 270, 345,
    ]  # fmt: skip
