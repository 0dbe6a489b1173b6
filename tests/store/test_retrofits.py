"""Kept recommendations on disk: each in a file of its own, read back the same, wrong ones named."""

import datetime
from dataclasses import replace
from pathlib import Path

import pytest

from fieldlog.records.machine import Link, Logbook, Machine
from fieldlog.records.offer import Basis, Offer, Recommendation
from fieldlog.store.amend import add_machine, create_logbook
from fieldlog.store.offers import add_offers
from fieldlog.store.reader import check_logbook
from fieldlog.store.retrofits import keep, read_retrofits
from fieldlog.words.speak import problem_text
from tests.spoken import refused

KEPT = Recommendation(
    id="",
    link="top-link",
    day=datetime.date(2026, 11, 20),
    offer="short-one",
    verdict="fits",
    who="ada",
    words='the "short" one, painted',
    reasons=("closed, against the link: Closes 27.0 ± 1.4 mm shorter.", "pin: fits."),
    cautions=("No prop.",),
    basis=(
        Basis(what="link closed", value="560.00 mm", plus_minus="1.00 mm", entries=("2026-11-20-ada 09:00:00",)),
        Basis(what="offer, closed", value="533.00 mm", origin="as the seller states: 533 mm"),
    ),
)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A logbook with a machine, a link and an offer."""
    folder = tmp_path / "book"
    create_logbook(folder, Logbook("Test"))
    add_machine(folder, Machine("grey", "Grey", links=(Link("top-link"),)))
    add_offers(folder, [Offer(id="short-one", name="Short one")])
    return folder


def test_a_recommendation_reads_back_and_checks_clean(book: Path) -> None:
    """Sentences, quotes, lists and what it rests on."""
    kept = keep(book, "grey", KEPT)
    assert kept.id == "top-link-2026-11-20"
    assert read_retrofits(book, "grey").kept == (kept,)
    assert check_logbook(book, None) == ()


def test_a_second_one_on_the_same_day_gets_a_file_of_its_own(book: Path) -> None:
    """The first is not touched."""
    keep(book, "grey", KEPT)
    first = (book / "grey" / "retrofits" / "top-link-2026-11-20.toml").read_bytes()
    second = keep(book, "grey", replace(KEPT, verdict="no"))
    assert second.id == "top-link-2026-11-20-2"
    assert (book / "grey" / "retrofits" / "top-link-2026-11-20.toml").read_bytes() == first
    assert [item.verdict for item in read_retrofits(book, "grey").kept] == ["fits", "no"]


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ('link = "top-link"', 'link = "bottom-link"', "link", "known are: top-link"),
        ('offer = "short-one"', 'offer = "none"', "offer", "known are: short-one"),
        ("day = 2026-11-20", 'day = "today"', "day", "not a date"),
        ('verdict = "fits"', "", "verdict", "missing"),
        ("[[basis]]", "[[basics]]", "basics", "did you mean basis?"),
        ('value = "560.00 mm"', "value = 560", "value", "not text"),
    ],
)
def test_what_is_wrong_in_one_is_named(book: Path, old: str, new: str, key: str, words: str) -> None:
    """With file and key, and what would be accepted."""
    kept = keep(book, "grey", KEPT)
    path = book / "grey" / "retrofits" / f"{kept.id}.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    problems = check_logbook(book, None)
    assert {problem.file for problem in problems} == {f"grey/retrofits/{kept.id}.toml"}
    assert any(problem.key == key and words in problem_text(problem) for problem in problems)


def test_nothing_is_kept_for_a_machine_that_is_not_there(book: Path) -> None:
    """No folder comes out of nowhere."""
    with refused("not there"):
        keep(book, "blue", KEPT)
    assert not (book / "blue").exists()
