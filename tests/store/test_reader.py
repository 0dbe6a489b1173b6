"""Bad files and records are named with line, key and what would be accepted, and hide nothing."""

import datetime
import os
from pathlib import Path

import pytest

from fieldlog.records.entries import BoreReading
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.words.speak import problem_text
from tests.spoken import refused

TODAY = datetime.date(2026, 11, 25)
LOGBOOK = 'format = 1\nname = "Book"\nunits = "mm"\n\n[[people]]\nid = "ada"\n'
MACHINE = 'format = 1\nname = "Grey"\n\n[[joints]]\nid = "j1"\npin = "3/4 in"\n\n[[holes]]\nid = "h1"\njoint = "j1"\n'
HEAD = 'format = 1\ndate = 2026-03-04\nwho = "ada"\n'
GOOD = '\n[[bore]]\nhole = "h1"\nsize = "19.42 mm"\nclock = "12"\nat = "09:00:00"\n'
ROUND = "grey/rounds/2026-03-04-ada.toml"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small logbook, written by hand."""
    (tmp_path / "grey" / "rounds").mkdir(parents=True)
    (tmp_path / "logbook.toml").write_text(LOGBOOK, encoding="utf-8")
    (tmp_path / "grey" / "machine.toml").write_text(MACHINE, encoding="utf-8")
    (tmp_path / ROUND).write_text(HEAD + GOOD, encoding="utf-8")
    return tmp_path


def problems(book: Path) -> list[str]:
    return [problem_text(problem) for problem in check_logbook(book, TODAY)]


def good_readings(book: Path) -> int:
    read = read_machine(book, "grey", read_logbook(book).logbook)
    return len(read.log.standing(BoreReading))


def test_the_sample_fleet_checks_clean() -> None:
    """What ships with the program has nothing wrong in it."""
    assert check_logbook(sample_folder(), TODAY) == ()


def test_a_good_logbook_has_no_problem(book: Path) -> None:
    """The fixture is clean, so that what the other tests find is what they put in."""
    assert problems(book) == []


@pytest.mark.parametrize(
    ("block", "line", "key", "word"),
    [
        ('\n[[bore]]\nhole = "h1"\nsize = "19.42"\nclock = "12"\nat = "09:01:00"\n', 13, "size", "unit"),
        ('\n[[bore]]\nhole = "h1"\nsize = 19.42\nclock = "12"\nat = "09:01:00"\n', 13, "size", "unit"),
        ('\n[[bore]]\nhole = "h1"\nsize = "0.76.0 mm"\nclock = "12"\nat = "09:01:00"\n', 13, "size", "19.42 mm"),
        ('\n[[bore]]\nhole = "h1"\nsize = "0 mm"\nclock = "12"\nat = "09:01:00"\n', 13, "size", "200 mm"),
        ('\n[[bore]]\nhole = "h1"\nsize = "201 mm"\nclock = "12"\nat = "09:01:00"\n', 13, "size", "200 mm"),
        ('\n[[bore]]\nhole = "h1"\nsize = "19.42 mm"\nclock = "13"\nat = "09:01:00"\n', 14, "clock", "4:30"),
        ('\n[[bore]]\nhole = "hx"\nsize = "19.42 mm"\nclock = "12"\nat = "09:01:00"\n', 12, "hole", "known are"),
        ('\n[[note]]\nsigns = ["rusty"]\nat = "09:01:00"\n', 12, "signs", "crack"),
        ('\n[[strike]]\nof = "08:00:00"\nwhy = "x"\nat = "09:01:00"\n', 12, "of", "entry"),
        ('\n[[meter]]\nhours = nan\nat = "09:01:00"\n', 12, "hours", "hours"),
        ('\n[[meter]]\nhours = 1e400\nat = "09:01:00"\n', 12, "hours", "hours"),
    ],
)
def test_each_fault_is_named_with_line_key_and_what_is_accepted(
    book: Path, block: str, line: int, key: str, word: str
) -> None:
    """file:line: key: what is wrong; what would be accepted; the good reading above still counts."""
    (book / ROUND).write_text(HEAD + GOOD + block, encoding="utf-8")
    found = problems(book)
    assert len(found) == 1
    assert found[0].startswith(f"{ROUND}:{line}: {key}: ")
    assert word in found[0]
    assert ";" in found[0]
    assert good_readings(book) >= 1


def test_hours_that_run_backwards_are_a_problem_unless_the_meter_was_replaced(book: Path) -> None:
    """A replaced meter explains them."""
    first = '\n[[meter]]\nhours = 500\nat = "08:00:00"\n'
    second = '\n[[meter]]\nhours = 20\nat = "08:30:00"\n'
    (book / ROUND).write_text(HEAD + first + second, encoding="utf-8")
    assert any("500" in sentence for sentence in problems(book))
    replaced = '\n[[event]]\ndeed = "meter replaced"\nhours = 0\nat = "08:10:00"\n'
    (book / ROUND).write_text(HEAD + first + replaced + second, encoding="utf-8")
    assert problems(book) == []


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\0\0\0\0",
        b"\xff\xfe\x00 not text",
        b"[" * 5000,
        b"a = " + b"[" * 3000,
        b'name = "' + b"x" * 100_000,
        b"x = 1\nx = 2\n",
        b"[[bore]]\n[bore]\n",
        b"a = " + b"9" * 20_000 + b"\n",
        b"\n".join(b"k%d = %d" % (n, n) for n in range(5000)),
    ],
)
def test_hostile_files_are_problems_and_never_tracebacks(book: Path, data: bytes) -> None:
    """Beside a good round file, a bad one costs only itself."""
    (book / "grey" / "rounds" / "2026-03-05-ada.toml").write_bytes(data)
    assert problems(book)
    assert good_readings(book) == 1


def test_a_machine_file_that_is_broken_still_shows_its_good_records(book: Path) -> None:
    """An unclosed quote in one hole costs that hole only."""
    text = MACHINE + '\n[[holes]]\nid = "h2"\njoint = "j1\n\n[[holes]]\nid = "h3"\njoint = "j1"\n'
    (book / "grey" / "machine.toml").write_text(text, encoding="utf-8")
    machine = read_machine(book, "grey", read_logbook(book).logbook).log.machine
    assert [hole.id for hole in machine.holes] == ["h1", "h3"]
    assert any("grey/machine.toml:" in sentence for sentence in problems(book))


def test_an_empty_machine_file_is_no_empty_machine(book: Path) -> None:
    """A zero-length file after a power cut is said, not shown as a machine without joints."""
    (book / "grey" / "machine.toml").write_bytes(b"")
    assert any("empty" in sentence for sentence in problems(book))


def test_pipes_links_to_themselves_and_folders_are_never_opened(book: Path) -> None:
    """None of them blocks or raises."""
    rounds = book / "grey" / "rounds"
    os.mkfifo(rounds / "2026-03-06-ada.toml")
    (rounds / "2026-03-07-ada.toml").symlink_to(rounds / "2026-03-07-ada.toml")
    (rounds / "2026-03-08-ada.toml").mkdir()
    assert len(problems(book)) == 3
    assert good_readings(book) == 1


def test_no_logbook_is_said_in_a_sentence(tmp_path: Path) -> None:
    """A folder without logbook.toml is not a logbook."""
    with refused(r"holds no logbook\.toml"):
        read_logbook(tmp_path)


def test_byte_order_mark_and_crlf_are_accepted(book: Path) -> None:
    """Files saved by other systems' editors read as they should."""
    text = (HEAD + GOOD).replace("\n", "\r\n")
    (book / ROUND).write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert problems(book) == []
    assert good_readings(book) == 1


def test_control_characters_in_problems_are_spelled_out(book: Path) -> None:
    """Nothing in a file can reach the terminal as a command."""
    (book / ROUND).write_text(HEAD + GOOD.replace("h1", "\\u001b[2J"), encoding="utf-8")
    found = "".join(problems(book))
    assert found
    assert "\x1b" not in found


def test_a_machine_that_vanishes_is_a_problem(book: Path) -> None:
    """Reading a machine that is gone gives an empty one and says so."""
    logbook = read_logbook(book).logbook
    (book / "grey").rename(book.parent / "gone-grey")
    read = read_machine(book, "grey", logbook)
    assert read.log.entries == ()
    assert read.problems


def test_only_rounds_with_other_bytes_are_read_again(book: Path) -> None:
    """An earlier reading spares the work for the others, and what comes out is what reading everything gives."""
    second = book / "grey/rounds/2026-05-06-ada.toml"
    second.write_text((HEAD + GOOD).replace("2026-03-04", "2026-05-06"), encoding="utf-8")
    logbook = read_logbook(book).logbook
    before = read_machine(book, "grey", logbook)
    assert [entry for read in before.rounds for entry in read.entries]
    (book / ROUND).write_text(HEAD + GOOD.replace("19.42", "19.43"), encoding="utf-8")
    again = read_machine(book, "grey", logbook, before=before)
    assert again.rounds[1] is before.rounds[1]
    assert again.rounds[0] is not before.rounds[0]
    assert again.log == read_machine(book, "grey", logbook).log
    assert [str(reading.size.mm) for reading in again.log.standing(BoreReading)] == ["19.43", "19.42"]
    second.unlink()
    (book / ROUND).write_bytes(b"\xff" + (HEAD + GOOD).encode())
    last = read_machine(book, "grey", logbook, before=again)
    fresh = read_machine(book, "grey", logbook)
    assert (last.log, last.problems) == (fresh.log, fresh.problems)
    assert last.problems
    assert read_machine(book, "grey", logbook, before=last).problems == fresh.problems
