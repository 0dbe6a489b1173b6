"""What is shown while a hole is measured."""

from fieldlog.records.entries import BoreReading
from fieldlog.report.round_view import bore_panel
from tests.wear.build import SPRING, SUMMER
from tests.wear.test_at_the_hole import arrive, season, sight


def test_renew_said_at_the_hole_brings_its_caution() -> None:
    """Who is told to pull a pin is told in the same breath to block the implement."""
    for last_mm, is_warned in ((31.33, True), (30.22, False)):
        book = season(31.3 if is_warned else 30.2, last_mm)
        round_id = f"{SUMMER}-ann"
        readings = [e for e in book.log.entries if isinstance(e, BoreReading) and e.day != SPRING]
        panel = bore_panel(sight(book, round_id), readings, arrive(book, round_id), "mm", 78)
        assert any("block the implement" in line.text for line in panel) is is_warned
