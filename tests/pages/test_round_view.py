"""What is shown while a hole is measured."""

from fieldlog.pages.round import bore_panel
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Hole
from fieldlog.wear.at_the_hole import look
from tests.wear.build import FINE, SPRING, SUMMER, Book
from tests.wear.test_at_the_hole import arrive, season, sight


def test_renew_said_at_the_hole_brings_its_caution() -> None:
    """Who is told to pull a pin is told in the same breath to block the implement."""
    for last_mm, is_warned in ((31.33, True), (30.22, False)):
        book = season(31.3 if is_warned else 30.2, last_mm)
        round_id = f"{SUMMER}-ann"
        readings = [e for e in book.log.entries if isinstance(e, BoreReading) and e.day != SPRING]
        panel = bore_panel(sight(book, round_id), readings, arrive(book, round_id), "mm", 78)
        assert any("block the implement" in line.text for line in panel) is is_warned


def panel_text(book: Book) -> str:
    """Return the panel after summer's readings of the first hole, in one line."""
    readings = [e for e in book.log.entries if isinstance(e, BoreReading) and (e.day, e.hole) == (SUMMER, "ear")]
    before = arrive(book, f"{SUMMER}-ann")
    seen = look(readings, before, {"fine": FINE}, "mm")
    return " ".join(" ".join(line.text for line in bore_panel(seen, readings, before, "mm", 78)).split())


def test_a_crack_is_said_beside_a_reading_like_new() -> None:
    """The verdict names what stops the joint, not a clearance that is fine."""
    book = season(30.2, 30.21)
    assert "▁▁ sound 0.21, limit 1.00 mm." in panel_text(book)
    book.saw(SPRING, "crack", joint="boom")
    assert "▇▇ stop Crack (seen 1 Apr 2025); nothing done since cures it." in panel_text(book)


def test_a_verdict_that_is_about_the_other_hole_names_it() -> None:
    """A number of the other hole is never shown as if it were this one's."""
    holes = Hole("ear", joint="boom", kind="bushed"), Hole("right", joint="boom", kind="bushed")
    book = Book(holes=holes)
    book.bore(SPRING, 30.8, hole="right")
    book.bore(SUMMER, 30.2, hole="ear")
    assert "▄▄ plan right: clearance 0.80" in panel_text(book)
