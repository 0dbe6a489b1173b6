"""Offers from a CSV table: every problem with file, line and column; all or nothing; nothing overwritten unasked."""

import subprocess
import sys
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Logbook
from fieldlog.store.amend import create_logbook
from fieldlog.store.offer_import import import_offers, offers_in
from fieldlog.store.offers import read_offers
from fieldlog.store.reader import check_logbook
from fieldlog.words.speak import problem_text

TABLE = """Name,Closed (mm),open_mm,stroke,Rod end hole,rated pressure psi,Check valve,sku
Short one,533,737,8 in,3/4 in,3000,Double,A-17
"Long, heavy",610,32 in,203 mm,,,none,
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """An empty logbook."""
    create_logbook(tmp_path / "book", Logbook("Test"))
    return tmp_path / "book"


def table(tmp_path: Path, text: str) -> Path:
    """A CSV file."""
    path = tmp_path / "offers.csv"
    path.write_bytes(text.encode("utf-8"))
    return path


def test_a_table_becomes_offers(book: Path, tmp_path: Path) -> None:
    """Units from the heading or the cell, any case, quotes; a column that is not used is said."""
    done = import_offers(book, table(tmp_path, TABLE), is_update=False)
    assert done.added == ("Short one", "Long, heavy")
    assert done.unused == ("sku",)
    long, short = read_offers(book).offers
    assert (short.closed, short.stroke) == (parse_length("533 mm"), parse_length("8 in"))
    assert short.rated_pressure is not None
    assert short.rated_pressure.bar == pytest.approx(206.84, abs=0.01)
    assert long.open == parse_length("32 in")
    assert long.check_valve == "none"
    assert check_logbook(book, None) == ()


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_and_decimal_commas(separator: str) -> None:
    """As a spreadsheet of another country writes it, with a byte order mark and CRLF."""
    text = separator.join(["name", "closed mm"]) + "\r\n" + separator.join(["X", "533,5"]) + "\r\n"
    (item,) = offers_in("x.csv", text).offers
    assert item.offer.closed is not None
    assert float(item.offer.closed.mm) == 533.5


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("name,closed\nX,533\n", 2, "closed", "has no unit"),
        ("name,closed mm\nX,533\nY,long\n", 3, "closed mm", "write 533 mm, 21 in"),
        ("name,stroke mm\nX,-203\n", 2, "stroke mm", "below zero"),
        ("name,rated pressure\nX,3000\n", 2, "rated pressure", "3000 psi"),
        ("name,rated pressure bar\nX,210 kg\n", 2, "rated pressure bar", "is no pressure"),
        ("name,closed mm,open mm\nX,737,533\n", 2, "open mm", "not longer than closed"),
        ("name,bore in,rod in\nX,1,2\n", 2, "rod in", "does not go into a bore"),
        ("name,rod end\nX,hook\n", 2, "rod end", "cross tube, clevis, ball"),
        ("name,clsoed mm\nX,533\n", 1, "clsoed mm", "did you mean closed?"),
        ("closed mm\n533\n", 1, "name", "no such column"),
        ("name,name\nX,Y\n", 1, "name", "twice"),
        ("name,price\nX,185,00\n", 2, "", "3 cells under 2 headings"),
        ("name,price\nX,1\nx,2\n", 3, "name", "line 2 already"),
        ("name,price\n ,1\n", 2, "name", "without a name"),
        ('name,notes\nX,"two\nlines"\nY,"open\n', 4, "", "cannot be read"),
        ("", 0, "", "empty"),
        ("name\n", 0, "", "no offer"),
    ],
)
def test_a_fault_is_named_by_line_and_column_and_nothing_is_written(
    book: Path, tmp_path: Path, text: str, line: int, column: str, words: str
) -> None:
    """The file's name, the line in the file (not the row), the heading as written, what would be accepted."""
    done = import_offers(book, table(tmp_path, text), is_update=True)
    (problem,) = done.problems
    assert (problem.file, problem.line, problem.key) == ("offers.csv", line, column)
    assert words in problem_text(problem)
    assert read_offers(book).offers == ()


def test_every_fault_is_listed_at_once(book: Path, tmp_path: Path) -> None:
    """Three lines, three faults, in the order of the lines; the good line is not written either."""
    done = import_offers(book, table(tmp_path, "name,closed mm\nA,x\nB,533\nC,0\nD,-5\n"), is_update=False)
    assert [problem.line for problem in done.problems] == [2, 4, 5]
    assert not (book / "offers").exists()


def test_an_offer_that_is_there_is_changed_only_on_word(book: Path, tmp_path: Path) -> None:
    """The same again is no fault; another figure is, until it is asked for; what somebody measured stays."""
    import_offers(book, table(tmp_path, TABLE), is_update=False)
    path = book / "offers" / "short-one.toml"
    path.write_text(path.read_text(encoding="utf-8") + '\n[[measured]]\nday = 2026-11-20\nclosed = "534 mm"\n')
    before = path.read_bytes()
    assert import_offers(book, table(tmp_path, TABLE), is_update=False).same == ("Short one", "Long, heavy")
    other = table(tmp_path, "name,closed mm\nNew,500\nShort one,540\n")
    (problem,) = import_offers(book, other, is_update=False).problems
    assert problem.line == 3
    assert "533 mm" in problem_text(problem)
    assert path.read_bytes() == before
    assert not (book / "offers" / "new.toml").exists()
    done = import_offers(book, other, is_update=True)
    assert (done.added, done.changed) == (("New",), ("Short one",))
    offer = next(offer for offer in read_offers(book).offers if offer.id == "short-one")
    assert offer.closed == parse_length("540 mm")
    assert offer.open == parse_length("737 mm")
    assert len(offer.measured) == 1


def test_the_command_says_what_it_did(book: Path, tmp_path: Path) -> None:
    """Exit status 0 with the names; 1 with `file:line: column:` and nothing written; 2 without the file."""

    def run(*arguments: str) -> tuple[int, str]:
        command = [sys.executable, "-m", "fieldlog", "offers", *arguments, str(book)]
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
        return done.returncode, done.stdout + done.stderr

    assert run(str(table(tmp_path, TABLE))) == (0, 'The column "sku" is not used.\nAdded: Short one, Long, heavy.\n')
    status, said = run(str(table(tmp_path, "name,closed mm\nX,x\n")))
    assert status == 1
    assert said.startswith("offers.csv:2: closed mm: ")
    assert said.endswith("Nothing was written.\n")
    assert run(str(tmp_path / "none.csv"))[0] == 2
