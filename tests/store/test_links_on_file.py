"""Links, threads and turns in the files: written and read back the same, and every fault with its line."""

from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import AnyEntry, LengthReading, Round, ThreadReading, TurnsReading
from fieldlog.records.machine import Hole, Joint, Link, Logbook, Machine, Person, parse_turns
from fieldlog.standards.threads import parse_thread
from fieldlog.store.amend import add_machine, change_record, create_logbook
from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.store.rounds import append_entry, open_round
from fieldlog.words.speak import problem_text
from tests.wear.build import SPRING

LINK = Link(
    "top",
    "Top link",
    near_hole="a",
    far_hole="b",
    thread=parse_thread("1 1/8-7 UNC"),
    near_hand="right",
    far_hand="left",
    near_thread=parse_length("5 1/4 in"),
    far_thread=parse_length("135 mm"),
    open_stop="groove",
    stop_length=parse_length("720 mm"),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook with one machine and one link."""
    book = tmp_path / "book"
    create_logbook(book, Logbook("Test", people=(Person("ada"),)))
    holes = (Hole("a", "j"), Hole("b", "j"), Hole("c", "j"))
    add_machine(book, Machine("m", joints=(Joint("j"),), holes=holes, links=(LINK,)))
    return book


def test_a_link_and_its_entries_come_back_as_they_were(folder: Path) -> None:
    """Every field of the link and of the three kinds of entry, with the defaults left out of the file."""
    head = Round("", SPRING, "ada", tape="long")
    common = {"round": "", "day": SPRING, "who": "ada", "link": "top"}
    entries: list[AnyEntry] = [
        LengthReading(at="09:00:00", size=parse_length("26 3/4- in"), way="over pins, pulled", state="closed",
                      start=parse_length("10 in"), far_hole="c", **common),  # type: ignore[arg-type]
        ThreadReading(at="09:00:01", exposed=parse_length("0 mm"), end="far", state="open", **common),  # type: ignore[arg-type]
        TurnsReading(at="09:00:02", turns=parse_turns("42 1/2"), **common),  # type: ignore[arg-type]
    ]  # fmt: skip
    file = open_round(folder, "m", head)
    stored = tuple(append_entry(file, entry) for entry in entries)
    log = read_machine(folder, "m", read_logbook(folder).logbook).log
    assert log.machine.links == (LINK,)
    assert log.entries == stored
    assert {entry.instrument for entry in stored if isinstance(entry, LengthReading | ThreadReading)} == {"long"}
    text = file.path.read_text(encoding="utf-8")
    assert "near_hole" not in text
    assert 'way = "over pins, pulled"' in text
    assert "turns = 42.5" in text


def test_a_thread_is_changed_and_taken_out_without_touching_the_rest(folder: Path) -> None:
    """As the form does it."""
    changes = {"thread": parse_thread("M30"), "stop_length": None}
    change_record(folder, "m/machine.toml", "links", "top", changes)
    link = read_machine(folder, "m", read_logbook(folder).logbook).log.machine.links[0]
    assert link.thread is not None
    assert link.thread.typed == "M30"
    assert link.stop_length is None
    assert link.far_thread == LINK.far_thread


@pytest.mark.parametrize(
    ("line", "key", "said"),
    [
        ('thread = "M23"', "thread", "no M23 is listed"),
        ('thread = "M24x2.5"', "thread", "pitch of 3, 2, 1.5 or 1 mm"),
        ("thread = 24", "thread", "is not text"),
        ('near_hand = "righty"', "near_hand", "write one of: right, left, none"),
        ('far_hand = "right"', "far_hand", "turning the body would not change the length"),
        ('open_stop = "pin"', "open_stop", "groove, stop pin, thread"),
        ('far_thread = "135"', "far_thread", "has no unit"),
    ],
)
def test_what_is_wrong_with_a_link_is_said_with_its_line(folder: Path, line: str, key: str, said: str) -> None:
    """File, line, key, what is wrong, what would be accepted."""
    path = folder / "m" / "machine.toml"
    rows = [row for row in path.read_text(encoding="utf-8").splitlines() if not row.startswith(f"{key} =")]
    at = rows.index("[[links]]") + 2
    path.write_text("\n".join([*rows[:at], line, *rows[at:], ""]), encoding="utf-8")
    found = [problem_text(problem) for problem in check_logbook(folder, None)]
    assert any(f"m/machine.toml:{at + 1}: {key}:" in sentence and said in sentence for sentence in found), found


@pytest.mark.parametrize(
    ("block", "key", "said"),
    [
        ('[[length]]\nlink = "top"\nsize = "578 mm"\nway = "over pins"', "way", "over pins, pulled"),
        ('[[length]]\nlink = "top"\nsize = "578 mm"\nway = "inside"\nstart = "600 mm"', "start", "is not below"),
        ('[[length]]\nlink = "top"\nsize = "578 mm"\nway = "inside"\nfar_hole = "z"', "far_hole", "is not known"),
        ('[[thread]]\nlink = "top"\nexposed = "12 mm"\nend = "left"', "end", "near, far"),
        ('[[thread]]\nlink = "top"\nexposed = "12000 mm"\nend = "far"', "exposed", "cannot be right"),
        ('[[thread]]\nlink = "top"\nend = "far"', "exposed", "is missing"),
        ('[[turns]]\nlink = "top"\nturns = 0', "turns", "is not a number of turns"),
        ('[[turns]]\nlink = "top"\nturns = "many"', "turns", "42 1/2"),
        ('[[turns]]\nlink = "bottom"\nturns = 42', "link", "is not known"),
    ],
)
def test_what_is_wrong_with_an_entry_is_said(folder: Path, block: str, key: str, said: str) -> None:
    """A bad one is named; the good one beside it stands."""
    rounds = folder / "m" / "rounds"
    rounds.mkdir()
    good = '[[turns]]\nlink = "top"\nturns = "12 1/2"\nat = "10:00:00"'
    head = f'format = 1\ndate = {SPRING.isoformat()}\nwho = "ada"\n'
    (rounds / f"{SPRING.isoformat()}-ada.toml").write_text(
        f'{head}\n{block}\nat = "09:00:00"\n\n{good}\n', encoding="utf-8"
    )
    found = [problem_text(problem) for problem in check_logbook(folder, None)]
    assert any(f" {key}:" in sentence and said in sentence for sentence in found), found
    entries = read_machine(folder, "m", read_logbook(folder).logbook).log.entries
    assert any(isinstance(entry, TurnsReading) and entry.turns == parse_turns("12.5") for entry in entries)
