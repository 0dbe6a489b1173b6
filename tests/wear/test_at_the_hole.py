"""What is said while the person still stands at the hole."""

import pytest

from fieldlog.records.entries import BoreReading
from fieldlog.wear.at_the_hole import Before, Sight, before_this_round, judging_of, look
from fieldlog.wear.verdicts import Verdict
from tests.speaking import next_step_of, reason_of
from tests.wear.build import AUTUMN, FINE, SPRING, SUMMER, TODAY, Book


def arrive(book: Book, round_id: str) -> Before:
    """Come to the first hole in a round."""
    joint = book.joint
    judging = judging_of(joint.holes[0].hole, round_id, book.log, book.logbook, book.state, TODAY)
    return before_this_round(joint.holes[0], joint, round_id, judging)


def sight(book: Book, round_id: str) -> Sight:
    """See what the readings of one round say, after all the others."""
    readings = [e for e in book.log.entries if isinstance(e, BoreReading) and e.round == round_id]
    return look(readings, arrive(book, round_id), {"fine": FINE}, "mm")


def season(*sizes: float) -> Book:
    """Return a joint measured on up to three days."""
    book = Book()
    for day, mm in zip((SPRING, SUMMER, AUTUMN), sizes, strict=False):
        book.bore(day, mm)
    return book


def test_verdict_at_the_hole_is_the_one_on_the_machine_page() -> None:
    """What is said at the hole holds afterwards, for each of the verdicts."""
    for sizes in ((30.2,), (30.2, 30.58), (30.7, 30.75), (31.3,), (31.3, 31.33), (30.5, 30.2)):
        book = season(*sizes)
        last = (SPRING, SUMMER)[len(sizes) - 1]
        at_hole = sight(book, f"{last}-ann").finding
        assert at_hole is not None
        assert (at_hole.verdict, reason_of(at_hole)) == (book.finding.verdict, reason_of(book.finding))


def test_the_order_at_the_hole_names_the_joints_parts() -> None:
    """What is to be ordered is said there too."""
    at_hole = sight(season(31.3, 31.33), f"{SUMMER}-ann").finding
    assert at_hole is not None
    assert "order pin, bush" in next_step_of(at_hole)


def test_readings_of_this_round_are_not_counted_as_before() -> None:
    """Measuring the same hole on in one round is one day, and no change since last time."""
    book = season(31.3)
    seen = sight(book, f"{SPRING}-ann")
    assert seen.change is None
    assert seen.finding is not None
    assert seen.finding.verdict is Verdict.REMEASURE


def test_change_is_since_last_time() -> None:
    """0.05 more than in spring."""
    seen = sight(season(30.20, 30.25), f"{SUMMER}-ann")
    assert seen.change is not None
    assert seen.change.value == pytest.approx(0.05, abs=0.005)


def test_pin_is_the_one_measured_before() -> None:
    """Who measured the pin in spring is not asked for it again in summer."""
    book = Book(pin="")
    book.pin_is(SPRING, 29.98, "unworn")
    book.bore(SUMMER, 30.4)
    seen = sight(book, f"{SUMMER}-ann")
    assert seen.pin is not None
    assert seen.pin.settled == "30 mm"
    assert "the pin reads 29.98" in seen.pin.sentence


def test_hole_without_a_joint_is_measured_without_a_verdict() -> None:
    """A hole that belongs to nothing has a size, and neither pin nor verdict."""
    book = season(30.2)
    hole = book.joint.holes[0]
    before = before_this_round(hole, None, "other", None)
    readings = [e for e in book.log.entries if isinstance(e, BoreReading)]
    seen = look(readings, before, {"fine": FINE}, "mm")
    assert (seen.pin, seen.finding) == (None, None)
    assert seen.now.largest.value == pytest.approx(30.2, abs=0.01)
