"""Offers as files: read with every fault named, added all or none, measured, corrected; unknown keys survive."""

import datetime
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Mass, Pressure
from fieldlog.records.machine import Logbook
from fieldlog.records.offer import InHand, Offer
from fieldlog.store.amend import create_logbook
from fieldlog.store.offers import add_measured, add_offers, change_offer, read_offers
from fieldlog.store.reader import check_logbook, read_logbook
from fieldlog.words.speak import problem_text
from tests.spoken import refused

FULL = Offer(
    id="short-one",
    name="Short one",
    supplier="market stall",
    price="185 crowns",
    closed=parse_length("533 mm"),
    open=parse_length("29 in"),
    stroke=parse_length("8 in"),
    bore=parse_length("2 in"),
    rod=parse_length("1-1/8 in"),
    rod_end_hole=parse_length("3/4 in"),
    rod_end="ball",
    rated_pressure=Pressure.from_text("3000 psi"),
    check_valve="double",
    weight=Mass.from_text("12.5 kg"),
    measured=(InHand(day=datetime.date(2026, 11, 20), who="ada", closed=parse_length("534 mm")),),
)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """An empty logbook."""
    create_logbook(tmp_path / "book", Logbook("Test"))
    return tmp_path / "book"


def put(book: Path, name: str, text: str) -> None:
    """Write an offer by hand."""
    (book / "offers").mkdir(exist_ok=True)
    (book / "offers" / f"{name}.toml").write_text(text, encoding="utf-8")


def test_an_offer_comes_back_as_it_was_written(book: Path) -> None:
    """All kinds of figures, digits and units as typed; and the logbook checks clean and has no machine more."""
    add_offers(book, [FULL])
    assert read_offers(book).offers == (FULL,)
    assert check_logbook(book, None) == ()
    assert read_logbook(book).machine_ids == ()
    assert 'rated_pressure = "3000 psi"' in (book / "offers" / "short-one.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("line", "key", "words"),
    [
        ('closed = "533"', "closed", "has no unit"),
        ("closed = 533", "closed", "has no unit"),
        ('stroke = "-203 mm"', "stroke", "below zero"),
        ('rated_pressure = "3000"', "rated_pressure", "psi"),
        ("rated_pressure = 210", "rated_pressure", "210 bar"),
        ('rated_pressure = "210 mm"', "rated_pressure", "20.7 MPa"),
        ('weight = "14 psi"', "weight", "14 kg"),
        ('check_valve = "triple"', "check_valve", "none, single, double"),
        ('closed = "900 mm"', "open", "not longer than closed"),
        ('rod = "2-1/2 in"', "rod", "does not go into a bore"),
        ('rod_end_hole = "300 mm"', "rod_end_hole", "cannot be right"),
        ('clossed = "533 mm"', "clossed", "did you mean closed?"),
    ],
)
def test_what_is_wrong_is_named_with_its_line_and_the_rest_is_used(book: Path, line: str, key: str, words: str) -> None:
    """File, line and key; the other figures still count."""
    put(book, "x", f'format = 1\nname = "X"\n{line}\nopen = "737 mm"\nbore = "2 in"\n')
    (problem,) = check_logbook(book, None)
    assert problem.file == "offers/x.toml"
    assert problem.key == key
    assert words in problem_text(problem)
    assert problem.line == (4 if key == "open" else 3)
    (offer,) = read_offers(book).offers
    assert offer.bore == parse_length("2 in")
    assert offer.name == "X"


def test_a_bad_measuring_is_named_at_its_own_line(book: Path) -> None:
    """The offer and the other measuring stay."""
    bad, good = (f'\n[[measured]]\nday = 2026-11-2{n}\nclosed = "{size}"\n' for n, size in ((0, "53"), (1, "534 mm")))
    put(book, "x", f"format = 1\n{bad}{good}")
    (problem,) = read_offers(book).problems
    assert (problem.line, problem.key) == (5, "closed")
    assert [m.closed for m in read_offers(book).offers[0].measured] == [parse_length("534 mm")]


@pytest.mark.parametrize("text", ["", "name = 'X'\n", "format = 1\nname = \n"])
def test_a_file_that_is_no_offer_hides_no_other(book: Path, text: str) -> None:
    """Empty, without a format, half written."""
    add_offers(book, [FULL])
    put(book, "y", text)
    read = read_offers(book)
    assert "short-one" in [offer.id for offer in read.offers]
    assert read.problems[0].file == "offers/y.toml"


def test_several_offers_are_added_all_or_none(book: Path) -> None:
    """When the second is there already, the first is not left behind and the second is untouched."""
    add_offers(book, [FULL])
    before = (book / "offers" / "short-one.toml").read_bytes()
    with refused("already"):
        add_offers(book, [Offer(id="new", name="New"), Offer(id="short-one", name="Other")])
    assert [path.name for path in (book / "offers").iterdir()] == ["short-one.toml"]
    assert (book / "offers" / "short-one.toml").read_bytes() == before


def test_measuring_and_correcting_keep_what_somebody_else_wrote(book: Path) -> None:
    """Comments, unknown keys and digits stay; the measuring is added at the end; a corrected key changes alone."""
    text = '# from the fair\nformat = 1\nname = "X"\nclosed = "533.0 mm" # said twice\ncolour = "red"\n'
    put(book, "x", text)
    add_measured(book, "x", InHand(day=datetime.date(2026, 11, 20), who="ada", open=parse_length("737 mm")))
    changed = (book / "offers" / "x.toml").read_text(encoding="utf-8")
    assert changed.startswith(text)
    change_offer(book, "x", {"closed": parse_length("534 mm"), "set_aside": "sold"})
    changed = (book / "offers" / "x.toml").read_text(encoding="utf-8")
    assert "# from the fair" in changed
    assert 'colour = "red"' in changed
    (offer,) = read_offers(book).offers
    assert offer.closed == parse_length("534 mm")
    assert offer.set_aside == "sold"
    assert offer.measured[0].open == parse_length("737 mm")


def test_nothing_outside_the_offers_can_be_written(book: Path) -> None:
    """A name that leads elsewhere is refused."""
    with refused("cannot be the name"):
        add_offers(book, [Offer(id="../x", name="X")])
    with refused("cannot be the name"):
        change_offer(book, "../logbook", {"name": "X"})
