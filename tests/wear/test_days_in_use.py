"""A machine without a meter that says when it works: its wear is reckoned over the days in use."""

import datetime
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import Event
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.records.seasons import GreaseEvery, InUse
from fieldlog.wear.history import index_of
from fieldlog.wear.season import greasing
from fieldlog.wear.trends.hours import machine_hours, usage_of
from fieldlog.wear.trends.rates import rate_rows
from tests.speaking import forecast_sentence, rate_sentence, season_sentence, spoken
from tests.wear.build import TODAY, Book, limit
from tests.wear.test_trend import trend

MARCH_ON = "March to October"
# in each year the day the season begins and the day it ends: 245 days in use lie between, none over the winter
DAYS = tuple(datetime.date(year, month, 1) for year in (2022, 2023, 2024) for month in (3, 11))
X = np.array([0, 245, 245, 490, 490, 735])
CLEARANCES = (0.20, 0.32, 0.32, 0.44, 0.45, 0.56)


def mower(in_use: str, days: tuple[datetime.date, ...] = DAYS, clearances: tuple[float, ...] = CLEARANCES) -> Book:
    """A mower without a meter, its spindle arm measured on the given days."""
    machine = Machine(
        "mower",
        kind="mower",
        meter="none",
        joints=(Joint("boom", kind="bushed", pin=parse_length("30")),),
        holes=(Hole("ear", joint="boom", kind="bushed"),),
        limits=(limit("1.0", "0.8", joint="boom"),),
        in_use=InUse.from_text(in_use) if in_use else None,
    )
    book = Book(machine=machine)
    for day, clearance in zip(days, clearances, strict=True):
        book.pin_is(day, 30.0)
        book.bore(day, 30.0 + clearance)
    return book


def test_the_rate_is_that_of_a_line_over_days_in_use() -> None:
    """Six days of one scatter: the slope is that of ordinary least squares."""
    found = trend(mower(MARCH_ON))
    assert found.line is not None
    assert found.axis == "days in use"
    assert found.span == 735
    assert found.line.slope == pytest.approx(stats.linregress(X, CLEARANCES).slope, rel=1e-6)
    said = rate_sentence(found, "mm")
    assert "per 100 days in use (6 measuring days, 735 days in use, March to October)" in said


def test_the_date_of_a_forecast_comes_through_the_same_calendar() -> None:
    """So many days in use on, none of them in winter, whatever day that is."""
    found = trend(mower(MARCH_ON))
    assert found.renew is not None
    left = found.renew.at - found.usage.today
    day = TODAY.replace(day=1)
    while left > 0:
        left -= 3 <= day.month <= 10
        day += datetime.timedelta(days=1)
    assert found.usage.date_at(found.renew.at) == day
    said = forecast_sentence(found, "mm")
    assert "days in use" in said
    assert f"a season of {round(245, -1)} days in use (March to October)" in season_sentence(found)


def test_without_a_word_about_it_the_calendar_counts_and_it_is_said() -> None:
    """The same readings over calendar days have another rate."""
    found = trend(mower(""))
    assert found.axis == "days"
    assert "per 100 calendar days" in rate_sentence(found, "mm")
    assert "nothing says when it works, so every day of the calendar counts" in spoken(found.usage.why_days)
    assert spoken(trend(mower(MARCH_ON)).usage.why_days) == "No hour meter: days in use count (March to October)."


def test_what_stands_for_100_hours_follows_the_days_of_a_week() -> None:
    """Two days a week: 29 days in use, which are 100 days of its months; 90 days are too few."""
    spring = datetime.date(2025, 3, 1)
    short = tuple(spring + datetime.timedelta(days=n) for n in (0, 40, 90))
    long = tuple(spring + datetime.timedelta(days=n) for n in (0, 40, 110))
    clearances = (0.2, 0.4, 0.7)
    refused = trend(mower(f"{MARCH_ON}, 2 days a week", short, clearances))
    assert spoken(refused.no_forecast) == "Only 26 days in use lie between its first and last day; a forecast needs 29."
    assert spoken(trend(mower(f"{MARCH_ON}, 2 days a week", long, clearances)).no_forecast) == ""
    assert "a forecast needs 100." in spoken(trend(mower(MARCH_ON, short, clearances)).no_forecast)


def test_all_days_in_one_winter_tell_no_rate() -> None:
    """Measured in November, December and February: no day in use lies between."""
    winter = tuple(datetime.date(2024, 11, 10) + datetime.timedelta(days=n) for n in (0, 30, 90))
    found = trend(mower(MARCH_ON, winter, (0.2, 0.21, 0.2)))
    assert found.line is None
    assert spoken(found.no_forecast) == "All its days lie at the same place; nothing tells a rate."


def test_a_first_look_after_a_new_bush_waits_for_the_season() -> None:
    """Re-bushed in December: 50 days in use later is the 20th of April."""
    book = mower(MARCH_ON)
    book.did(datetime.date(2025, 12, 10), "re-bushed", joint="boom")
    due = book.joint.measuring
    assert due is not None
    assert due.day == datetime.date(2026, 4, 20)
    assert spoken(due.why) == "a first look within 50 days in use after it was re-bushed"


def test_machines_over_calendar_days_lend_nothing_to_days_in_use() -> None:
    """Their rates are of another kind."""
    assert {row.axis for row in rate_rows(mower(MARCH_ON).state)} == {"days in use"}
    assert {row.axis for row in rate_rows(mower("").state)} == {"days"}


def test_grease_is_not_missed_while_the_machine_stands_in_its_shed() -> None:
    """Greased on 25 October and 5 March: 12 days of its months lie between, 131 of the calendar."""
    for in_use, longest in ((MARCH_ON, 11.0), ("", 131.0)):
        book = mower(in_use)
        machine = replace(book.log.machine, grease_every=GreaseEvery.from_text("14 days"))
        for day in (datetime.date(2024, 10, 25), datetime.date(2025, 3, 5)):
            book.did(day, "greased")
        log = replace(book.log, machine=machine)
        index = index_of(log, book.logbook)
        season = (datetime.date(2025, 3, 1), datetime.date(2025, 3, 5))
        found = greasing(machine.joints[0], index, machine_hours(index), season)
        assert found.longest == longest
        assert found.is_kept is (in_use == MARCH_ON)
        assert isinstance(log.entries[-1], Event)


def test_hours_of_a_meter_come_to_a_date_in_the_months_of_work() -> None:
    """245 h a year, all in March to October: 100 h after the 1st of November is the 9th of June."""
    book = mower(MARCH_ON)
    assert book.machine is not None
    book.machine = replace(book.machine, meter="hours")
    book.meter(datetime.date(2023, 11, 1), "1000")
    book.meter(datetime.date(2025, 11, 1), "1490")
    usage = usage_of(book.machine, machine_hours(index_of(book.log, book.logbook)), datetime.date(2025, 11, 20))
    assert usage.axis == "hours"
    assert usage.per_year == pytest.approx(245, abs=0.3)
    assert usage.date_at(1590) == datetime.date(2026, 6, 9)


def test_a_day_without_a_meter_reading_lies_where_its_months_put_it() -> None:
    """1000 h on 1 March, 1245 h on 1 November a year later: 490 days in use, half an hour each; none in winter."""
    book = mower(MARCH_ON)
    assert book.machine is not None
    book.machine = replace(book.machine, meter="hours")
    book.meter(datetime.date(2024, 3, 1), "1000")
    book.meter(datetime.date(2025, 11, 1), "1245")
    hours = machine_hours(index_of(book.log, book.logbook))
    assert hours.between(datetime.date(2024, 11, 1), book.machine.in_use) == pytest.approx(1122.5)
    assert hours.between(datetime.date(2025, 3, 1), book.machine.in_use) == pytest.approx(1122.5)
    assert hours.between(datetime.date(2024, 11, 1)) == pytest.approx(1000 + 245 * 245 / 610)
