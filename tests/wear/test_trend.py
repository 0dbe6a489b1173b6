"""Trends from a machine's entries: what cuts them, what they rest on, when they refuse, what they foretell."""

import datetime
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.rounding import mm_text
from fieldlog.records.entries import WallReading
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.judge import settling
from fieldlog.wear.trends.records import Trend
from fieldlog.wear.verdicts import Verdict
from tests.speaking import (
    change_sentence,
    forecast_sentence,
    rate_sentence,
    reason_of,
    season_sentence,
    spoken,
    stale_sentence,
)
from tests.wear.build import Book, limit

FIRST = datetime.date(2024, 1, 10)


def day(hours: float) -> datetime.date:
    """One hour of work a day."""
    return FIRST + datetime.timedelta(days=round(hours))


def measured(
    hours: Sequence[float],
    clearances: Sequence[float],
    book: Book | None = None,
    *,
    with_meter: bool = True,
    later: int = 0,
) -> Book:
    """Return a joint with a 30 mm pin, its hole measured at the given hours, so many days later than the others."""
    book = book or Book(limits=(limit("1.0", "0.65", joint="boom"),))
    for h, mm in zip(hours, clearances, strict=True):
        if with_meter:
            book.meter(day(h + later), str(1000 + h))
        book.pin_is(day(h + later), 30.0)
        book.bore(day(h + later), 30.0 + mm)
    return book


def trend(book: Book, of: str = "clearance") -> Trend:
    """Return one trend of the first joint."""
    return next(trend for trend in book.joint.trends if trend.of == of)


def test_rate_and_forecast_of_a_straight_joint() -> None:
    """0.2 mm and 0.1 mm more every 100 h: 1.0 mm is reached at 800 h on from the start, 400 from now."""
    found = trend(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6), later=412))
    assert found.line is not None
    assert found.renew is not None
    assert 100 * found.line.slope == pytest.approx(0.1, abs=1e-6)
    assert (found.days, found.span, found.axis) == (5, 400.0, "hours")
    assert found.renew.at == pytest.approx(1800, abs=0.1)
    assert 1600 < found.renew.earliest < 1800 < found.renew.latest < 2100
    assert found.watch is not None
    assert found.watch.at == pytest.approx(1450, abs=0.1)
    assert rate_sentence(found, "mm").startswith("Wears 0.100 ± 0.0")
    assert "5 measuring days, 400 h" in rate_sentence(found, "mm")
    said = forecast_sentence(found, "mm")
    assert said.startswith("Reaches its limit 1.00 mm (manual p. 12) in ")
    assert "most likely 400" in said
    assert mm_text(1.0, "mm") in said


def test_the_calipers_own_error_is_in_the_level_and_not_in_the_rate() -> None:
    """The same jaws on all days: the level keeps the whole doubt that they bring, the rate has none of it."""
    found = trend(measured((0, 200, 400), (0.2, 0.4, 0.6)))
    assert found.line is not None
    scatter_only = found.line.slope_u * (2 * 200**2) ** 0.5  # what one day is worth, back from the slope
    parts = found.points[-1].value.parts
    jaws = sum(part.u_mm**2 for part in parts if "jaws" in part.name or "zero" in part.name)
    assert jaws > 0.0009
    assert scatter_only < 0.02
    assert found.line.level_variance == pytest.approx(scatter_only**2 / 3 + jaws, rel=1e-6)


@pytest.mark.parametrize(
    ("hours", "clearances", "reason"),
    [
        ((0,), (0.2,), "one day only"),
        ((0, 300), (0.2, 0.5), "Two measuring days"),
        ((0, 40, 90), (0.2, 0.3, 0.4), "Only 90 h"),
        ((0, 100, 200, 300), (0.3, 0.3, 0.3, 0.3), "No measurable wear"),
        ((0, 100, 200, 300), (0.30, 0.31, 0.30, 0.31), "smaller than its doubt"),
        ((0, 100, 200, 300), (0.30, 0.28, 0.29, 0.27), "No measurable wear"),
        ((0, 100, 200, 300), (0.6, 0.5, 0.4, 0.3), "wear does not heal"),
    ],
)
def test_no_forecast_is_given_with_its_reason(
    hours: tuple[int, ...], clearances: tuple[float, ...], reason: str
) -> None:
    """One day, two days, under 100 h, flat, not significant, negative: each says why."""
    found = trend(measured(hours, clearances))
    assert found.renew is None
    assert found.watch is None
    assert found.chance_later is None
    assert reason in spoken(found.no_forecast)
    assert "Reaches" not in forecast_sentence(found, "mm")
    assert rate_sentence(found, "mm").endswith(".")


def test_readings_of_one_day_by_two_people_are_one_day() -> None:
    """Three rounds on two days are two measuring days."""
    book = measured((0, 300), (0.2, 0.5))
    book.bore(day(300), 30.51)
    assert trend(book).days == 2


def test_one_wild_day_widens_the_forecast() -> None:
    """Four days on a line and one 0.3 mm off it: sigma grows from the caliper's to the residuals'."""
    calm = trend(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6)))
    wild = trend(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.7, 0.5, 0.6)))
    assert calm.line is not None
    assert wild.line is not None
    assert wild.line.slope_u > 5 * calm.line.slope_u
    assert wild.fit is not None
    assert wild.fit.scale > 20


def test_a_new_bush_begins_a_new_part_and_the_old_one_stays_visible() -> None:
    """Days before the cut are points of part 0; only the days since are fitted."""
    book = measured((0, 200, 400), (0.3, 0.6, 0.9))
    book.did(day(400), "re-bushed", joint="boom")
    measured((500, 600, 700), (0.15, 0.2, 0.25), book)
    found = trend(book)
    assert [point.part for point in found.points] == [0, 0, 0, 1, 1, 1]
    assert len(found.fitted) == 3
    assert [(mark.deed, mark.is_cut, mark.x) for mark in found.marks] == [("re-bushed", True, 1400.0)]
    assert found.line is not None
    assert 100 * found.line.slope == pytest.approx(0.05, abs=1e-6)


def test_a_new_pin_cuts_the_clearance_and_not_the_bore() -> None:
    """The hole keeps what it has worn."""
    book = measured((0, 200, 400), (0.3, 0.4, 0.5))
    book.did(day(400), "new pin", joint="boom")
    measured((500, 600), (0.3, 0.3), book)
    assert [point.part for point in trend(book).points] == [0, 0, 0, 1, 1]
    assert {point.part for point in trend(book, "bore").points} == {0}
    assert [point.part for point in trend(book, "pin").points] == [0, 0, 0, 1, 1]
    assert "Two measuring days" in spoken(trend(book).no_forecast)


def test_marks_do_not_cut() -> None:
    """A turned pin, a changed habit and a replaced meter stay in one part; the meter's offset is counted."""
    book = measured((0, 100, 200), (0.2, 0.3, 0.4))
    book.did(day(200), "pin turned", joint="boom")
    book.did(day(200), "greasing changed", joint="boom")
    book.did(day(200), "meter replaced", hours="0")
    for h, mm in ((300, 0.5), (400, 0.6)):
        book.meter(day(h), str(h - 200))
        book.pin_is(day(h), 30.0)
        book.bore(day(h), 30.0 + mm)
    found = trend(book)
    assert [mark.is_cut for mark in found.marks] == [False, False, False]
    assert [point.x for point in found.fitted] == [1000.0, 1100.0, 1200.0, 1300.0, 1400.0]
    assert found.line is not None
    assert 100 * found.line.slope == pytest.approx(0.1, abs=1e-6)


def test_without_a_meter_days_count() -> None:
    """A trailer: 0.1 mm every 100 days."""
    machine = Machine(
        "trailer",
        meter="none",
        joints=(Joint("boom", kind="bushed", pin=parse_length("30")),),
        holes=(Hole("ear", joint="boom", kind="bushed"),),
        limits=(limit("1.0", joint="boom"),),
    )
    found = trend(measured((0, 100, 200, 300), (0.2, 0.3, 0.4, 0.5), Book(machine=machine), with_meter=False))
    assert found.axis == "days"
    assert found.line is not None
    assert 100 * found.line.slope == pytest.approx(0.1, abs=1e-6)
    assert "per 100 calendar days" in rate_sentence(found, "mm")
    assert " days" in forecast_sentence(found, "mm")


def test_a_day_without_a_meter_reading_lies_between_those_that_have_one() -> None:
    """Half-way between two readings of the meter; after the last one nothing tells, and the point is left out."""
    book = Book()
    for h, mm in ((0, 0.2), (100, 0.3), (200, 0.4), (300, 0.5)):
        if h in {0, 200}:
            book.meter(day(h), str(h))
        book.pin_is(day(h), 30.0)
        book.bore(day(h), 30.0 + mm)
    found = trend(book)
    assert [point.x for point in found.points] == [0.0, 100.0, 200.0, None]
    assert len(found.fitted) == 3
    assert "meter" in spoken(found.points[-1].left_out)


def test_wear_that_speeds_up_shortens_the_forecast_and_says_so() -> None:
    """A parabola is proved; its crossing comes before the straight line's."""
    hours = (0, 100, 200, 300, 400, 500)
    found = trend(measured(hours, [0.2 + 0.5 * (h / 500) ** 3 for h in hours]))
    assert found.curve is not None
    assert found.renew is not None
    assert found.fit is not None
    straight = found.fit.straight(1250.0)
    assert found.renew.at < straight.centre + (1.0 - straight.level_mm) / straight.slope
    assert "faster and faster" in forecast_sentence(found, "mm")


def test_a_change_of_greasing_is_compared_and_counts_when_proved() -> None:
    """0.12 per 100 h before, 0.03 after: the forecast goes by the rate since."""
    book = measured((0, 100, 200), (0.2, 0.32, 0.44))
    book.did(day(200), "greasing changed", joint="boom", text="every day")
    measured((300, 400, 500), (0.47, 0.50, 0.53), book)
    found = trend(book)
    change = found.rate_change
    assert change is not None
    assert change.is_proved
    assert 100 * change.before == pytest.approx(0.12, abs=1e-6)
    assert 100 * change.after == pytest.approx(0.03, abs=1e-6)
    assert found.line is not None
    assert found.line.slope == change.after
    said = change_sentence(found)
    assert said.startswith("Greasing changed: every day, 28 Jul 2024: 0.12")
    assert "slower now" in said
    same = measured((0, 100, 200), (0.2, 0.3, 0.4))
    same.did(day(200), "greasing changed", joint="boom")
    measured((300, 400), (0.5, 0.6), same)
    kept = trend(same)
    assert kept.rate_change is not None
    assert not kept.rate_change.is_proved
    assert "not proved" in change_sentence(kept)
    assert kept.line is not None
    assert 100 * kept.line.slope == pytest.approx(0.1, abs=1e-6)


def test_a_sound_joint_that_may_not_last_the_season_is_planned_for() -> None:
    """0.5 mm of 1.0 is under the watch line; at 0.1 per 100 h it does not last the 600 h that are planned."""
    book = measured((0, 100, 200, 300), (0.2, 0.3, 0.4, 0.5), later=512)
    assert book.machine is not None
    book.machine = replace(book.machine, planned_hours=Decimal(600))
    assert book.verdict() is Verdict.PLAN
    assert "It may not last the season." in reason_of(book.finding)
    assert "After a season of 600 h (as planned for the machine): " in reason_of(book.finding)
    assert "over its limit" in reason_of(book.finding)
    book.machine = replace(book.machine, planned_hours=Decimal(100))
    assert book.verdict() is Verdict.SOUND
    assert "more than 99 % chance that it is still under" in season_sentence(trend(book))


def test_planned_hours_are_those_of_its_last_years_unless_typed() -> None:
    """One hour a day makes 365 a year."""
    usage = trend(measured((0, 100, 200), (0.2, 0.3, 0.4))).usage
    assert usage.per_year == pytest.approx(365.25, abs=0.5)
    assert usage.planned == usage.per_year
    assert spoken(usage.origin) == "as it worked in its last years"
    assert usage.date_at(1300.0) == day(300)


def wall(book: Book, hours: float, mm: str) -> None:
    """Measure the bush's wall."""
    head = book._head(day(hours))
    book.entries.append(WallReading(hole="ear", size=parse_length(mm), instrument="fine", **head))  # type: ignore[arg-type]


def test_bush_wall_is_judged_by_its_own_readings() -> None:
    """A wall of 3 mm is done at half: 1.4 left on two days is over, with the part to be renewed."""
    hole = Hole("ear", joint="boom", kind="bushed", bush_wall=parse_length("3"))
    book = measured((0, 200), (0.2, 0.25), Book(holes=(hole,)))
    wall(book, 0, "2.6")
    wall(book, 200, "2.5")
    found = trend(book, "bush wall")
    assert found.limit is not None
    assert (found.limit.watch_mm, found.limit.renew_mm) == (1.0, 1.5)
    assert [round(point.value.value, 3) for point in found.points] == [0.4, 0.5]
    assert book.verdict() is Verdict.SOUND
    for h in (300, 400):
        wall(book, h, "1.4")
    assert book.verdict() is Verdict.RENEW
    assert "wear of the bush's wall" in reason_of(book.finding)
    assert "half of its wall of 3.00 mm" in reason_of(book.finding)


def test_bush_wall_is_reckoned_from_its_outside_without_readings() -> None:
    """Outside 36.2, made 30.2: a wall of 3 mm; the hole has grown 1.2 on one side."""
    hole = Hole("ear", joint="boom", kind="bushed", bush_outside=parse_length("36.2"))
    book = Book(holes=(hole,), limits=(limit("1.5", joint="boom", of="bush wall"), limit("9", joint="boom")))
    book.bore(day(0), 30.2)
    book.bore(day(200), 31.4, oval=1.2)
    found = trend(book, "bush wall")
    assert found.limit is not None
    assert found.limit.renew_mm == pytest.approx(1.5, abs=0.02)
    assert found.limit.origin == "manual p. 12"
    assert found.points[-1].value.value == pytest.approx(1.2, abs=0.02)


def test_how_much_more_measuring_would_settle_it() -> None:
    """A gap of 0.2 is settled already, one of 0.05 takes more; one under the jaws' own error is never settled."""
    book = measured((0,), (0.95,))
    clearance = book.finding.clearance
    assert clearance is not None
    near, far = settling(clearance, 1.0), settling(clearance, 1.2)
    assert far.times == 1
    assert near.gap_mm == pytest.approx(0.05, abs=0.001)
    assert near.times is None or near.times > 1
    assert settling(clearance, 0.951).times is None
    assert 0 < near.best_mm < clearance.plus_minus


def test_hours_since_a_meter_reading_of_long_ago_are_reckoned_on() -> None:
    """412 days after the last reading, at an hour a day: 412 h nearer to the limit, and it says so."""
    fresh = trend(measured((0, 100, 200, 300, 400), (0.2, 0.25, 0.3, 0.35, 0.4), later=412))
    old = trend(measured((0, 100, 200, 300, 400), (0.2, 0.25, 0.3, 0.35, 0.4)))
    assert fresh.renew is not None
    assert old.renew is not None
    assert old.renew.at == pytest.approx(fresh.renew.at)
    assert fresh.least_left is not None
    assert old.least_left is not None
    assert fresh.least_left - old.least_left == pytest.approx(412, abs=1)
    assert not fresh.usage.is_stale
    assert "The meter was last read 13 Feb 2025, 1400 h; about 410 h since" in stale_sentence(old)
    assert " h on the meter, in " in forecast_sentence(old, "mm")


def test_a_rate_of_two_days_is_as_doubtful_as_the_change_it_is() -> None:
    """Nobody checked the caliper: its zero may have moved by 0.03 mm, which two days cannot show; three can."""
    book = measured((0, 100), (0.2, 0.3))
    change, line = book.joint.holes[0].change, trend(book, "bore").line
    assert change is not None
    assert line is not None
    assert 100 * line.slope == pytest.approx(change.value)
    assert 100 * line.slope_u == pytest.approx(change.u_mm, rel=0.05)
    assert 100 * line.slope_u > 0.03 / 3**0.5
    three = trend(measured((0, 50, 100), (0.2, 0.25, 0.3)), "bore").line
    assert three is not None
    assert 100 * three.slope_u < 0.03 / 3**0.5
