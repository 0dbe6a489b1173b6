"""When a joint is to be measured next, and a bad day among good ones."""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from fieldlog.pages.joint import odd_day_sentence
from fieldlog.records.machine import Hole
from fieldlog.wear.due import due_list
from fieldlog.wear.trends.trend import median_check
from fieldlog.wear.verdicts import Verdict
from tests.speaking import next_step_of, reason_of, spoken
from tests.wear.build import TODAY, Book, limit
from tests.wear.test_trend import measured, trend

STEADY = (0.2, 0.22, 0.24)
LATELY = (tuple(range(600, 780, 60)), STEADY)


def test_every_250_hours_at_the_longest_unless_the_machine_says_otherwise() -> None:
    """The last day was at 1400 h on the meter; 365 h a year."""
    book = measured((0, 200, 400), (0.2, 0.2, 0.2))
    due = book.joint.measuring
    assert due is not None
    assert (due.hours, spoken(due.why)) == (1650.0, "every 250 h at the longest")
    assert due.is_overdue
    assert book.finding.verdict is Verdict.SOUND
    assert next_step_of(book.finding) == "Measure again now: every 250 h at the longest."
    assert book.machine is not None
    book.machine = replace(book.machine, measure_every_hours=Decimal(100))
    due = book.joint.measuring
    assert due is not None
    assert due.hours == 1500.0


def test_a_sound_joint_that_is_overdue_is_on_the_due_list() -> None:
    """As re-measure, behind all that is doubtful, and it says that it was sound."""
    item = due_list([measured((0, 200, 400), (0.2, 0.2, 0.2)).state])[0]
    assert item.verdict is Verdict.REMEASURE
    assert reason_of(item).startswith("Sound when last measured, and due again.")
    assert spoken(item.brief) == "due to be measured"


def test_half_of_the_lower_bound_to_the_watch_line() -> None:
    """0.05 per 100 h and 0.65 to watch: half of the least that is left, and never under 50 h."""
    book = measured((400, 600, 700), (0.2, 0.3, 0.35))
    found, due = trend(book), book.joint.measuring
    assert found.watch is not None
    assert due is not None
    half = (found.watch.earliest - 1700) / 2
    assert 50 < half < 250
    assert due.hours == pytest.approx(1700 + half)
    assert spoken(due.why).startswith("half-way to the earliest that its watch line is reached")


def test_a_first_look_within_fifty_hours_of_a_new_bush() -> None:
    """The bush was fitted at 1400 h."""
    book = measured((0, 200, 400), (0.2, 0.4, 0.6))
    book.did(TODAY - datetime.timedelta(days=400), "re-bushed", joint="boom")
    book.did(trend(book).points[-1].day, "re-bushed", joint="boom")
    book = measured((0, 200, 400), (0.2, 0.4, 0.6))
    book.did(trend(book).points[-1].day, "re-bushed", joint="boom")
    due = book.joint.measuring
    assert due is not None
    assert due.hours == 1450.0
    assert spoken(due.why) == "a first look within 50 h after it was re-bushed"


def test_one_wild_day_is_named_and_the_rate_without_it_told() -> None:
    """0.3 mm above the others on the third of six days."""
    book = measured((0, 100, 200, 300, 400, 500), (0.2, 0.3, 0.7, 0.5, 0.6, 0.7))
    found = trend(book)
    check = median_check(found)
    assert check is not None
    assert check.day == found.points[2].day
    assert check.off_mm == pytest.approx(0.3, abs=0.01)
    assert check.slope_without == pytest.approx(0.001, abs=1e-6)
    assert 100 * check.slope == pytest.approx(0.1, abs=1e-6)
    said = odd_day_sentence(check, found, "mm")
    assert "lies 0.30 mm above the other days; without it the rate is 0.100 mm per 100 h" in said


def test_calm_days_and_few_days_raise_no_alarm() -> None:
    """Nothing is said of a straight joint, nor of three days, of which any may be the bad one."""
    calm = trend(measured((0, 100, 200, 300, 400), (0.2, 0.31, 0.39, 0.51, 0.6)))
    check = median_check(calm)
    assert check is not None
    assert check.day is None
    assert odd_day_sentence(check, calm, "mm") == ""
    assert median_check(trend(measured((0, 100, 200), (0.2, 0.7, 0.4)))) is None


def test_whether_the_bush_moves_is_asked_at_every_measuring() -> None:
    """Tight, then measured again without a word, then tight again; turning stops the joint."""
    hole = Hole("ear", joint="boom", kind="bushed")
    book = measured((0, 200), (0.2, 0.22), Book(holes=(hole,), limits=(limit("1.0", joint="boom"),)))
    seat = book.joint.holes[0].bush
    assert seat is not None
    assert seat.moves is None
    last = book.joint.holes[0].history[-1].day
    book.saw(last, "bush sits tight", hole="ear")
    seat = book.joint.holes[0].bush
    assert seat is not None
    assert (seat.moves, seat.day) == (False, last)
    assert book.joint.signs == ()
    assert book.verdict() is Verdict.SOUND
    book.saw(last, "bush turns in its bore", hole="ear")
    assert book.verdict() is Verdict.STOP
    book.saw(last, "bush sits tight", hole="ear")
    assert book.verdict() is Verdict.STOP
    plain = Book(kind="hitch", pin="30 mm")
    plain.bore(last, 30.5)
    assert plain.joint.holes[0].bush is None
