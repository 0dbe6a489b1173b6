"""The pages of opened numbers lead to readings, no word stands twice; seasons, work, grease, slack, sums of parts."""

import datetime
import math
from collections.abc import Sequence
from functools import lru_cache

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.records.entries import MachineLog
from fieldlog.records.machine import Joint
from fieldlog.records.seasons import GreaseEvery
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.history import index_of
from fieldlog.wear.numbers.page import (
    Ground,
    hole_page,
    joint_answers,
    joint_page,
    rates_page,
    season_page,
    seasons_of,
    trend_numbers,
)
from fieldlog.wear.numbers.rates import Behind
from fieldlog.wear.season import season_of
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trends.rates import Beside, rate_rows
from fieldlog.wear.trends.trend import rate_half_width
from tests.speaking import spoken
from tests.wear.build import Book, limit
from tests.wear.test_opened_numbers import by_word, of, value
from tests.wear.test_trend import day

TODAY = datetime.date(2026, 11, 25)


@lru_cache(maxsize=1)
def sample() -> tuple[tuple[MachineState, MachineLog], ...]:
    """Every machine of the sample fleet with its entries."""
    book = read_logbook(sample_folder())
    logs = [read_machine(sample_folder(), machine_id, book.logbook).log for machine_id in book.machine_ids]
    return tuple((assess_machine(log, book.logbook, TODAY), log) for log in logs)


def ground_of(state: MachineState, log: MachineLog, rows: Sequence[RateRow]) -> Ground:
    """Return what the pages of a machine rest on."""
    logbook = read_logbook(sample_folder()).logbook
    seasons = (season_of(logbook, TODAY), season_of(logbook, TODAY, 1))
    return Ground(state, log, index_of(log, logbook), Beside(state.machine.id, rows), seasons)


def test_slack_at_the_tool_is_clearance_times_the_lever_ratio() -> None:
    """180 mm to the pin, 650 to the edge: 3.61 times; a pitch is the movement over the radius, in degrees."""
    levers = {"lever_arm": parse_length("180 mm"), "tool_radius": parse_length("650 mm")}
    for way in ("turns", "top link"):
        joint = Joint("boom", kind="bushed", pin=parse_length("30 mm"), slack_way=way, **levers)  # type: ignore[arg-type]
        book = Book(joints=(joint,), limits=(limit("1.0", joint="boom"),))
        book.bore(day(0), 30.4)
        found = by_word(joint_answers(book.joint, ground_of(book.state, book.log, [])))
        moved = found["slack at the tool"].estimate
        assert isinstance(moved, Value)
        clearance = value(found["slack at the tool"], "clearance")[0]
        assert moved.value == pytest.approx(clearance * 650 / 180)
        assert value(found["slack at the tool"], "lever ratio")[0] == pytest.approx(650 / 180)
        if way == "top link":
            assert of(found["pitch"]).value == pytest.approx(math.degrees(moved.value / 650))
            assert of(found["pitch"]).expanded == pytest.approx(math.degrees(moved.plus_minus / 650))


def test_every_rate_of_the_sample_fleet_is_the_sum_of_its_parts() -> None:
    """The named parts' squares are the line's variance, and the half-width is the one that pages show."""
    seen = 0
    for state, _ in sample():
        for joint in state.joints:
            for trend in joint.trends:
                behind = Behind(trend, joint)
                if trend.line is None:
                    continue
                rate = of(by_word(trend_numbers(joint))[behind.rate_word])
                assert rate.value == pytest.approx(100 * trend.line.slope)
                assert rate.u**2 == pytest.approx(1e4 * trend.line.slope_variance, rel=1e-6)
                assert rate.expanded == pytest.approx(100 * rate_half_width(trend.line), rel=1e-6)
                seen += 1
    assert seen > 20


def test_every_step_leads_to_a_number_of_its_page_and_every_key_to_an_entry() -> None:
    """On the pages of joints, holes, rates and seasons no word is there twice and none leads nowhere."""
    rows = [row for state, _ in sample() for row in rate_rows(state)]
    for state, log in sample():
        ground, known = ground_of(state, log, rows), {entry.key for entry in log.entries}
        for joint in state.joints:
            whole = joint_page(joint, ground)
            assert {n.word for n in joint_answers(joint, ground)} <= {n.word for n in whole}
            pages = [whole, rates_page(joint, ground), season_page(joint.joint.id, ground)]
            pages += [hole_page(joint, hole, ground) for hole in joint.holes]
            for page in pages:
                words = [number.word for number in page]
                assert len(set(words)) == len(words), words
                for number in page:
                    assert set(number.keys) <= known
                    assert all(step.opens in words for step in number.steps if step.opens), number


def test_a_season_opens_to_its_wear_and_the_difference_to_the_one_before() -> None:
    """Last day less first; the rates' difference as the page compares it; the meter's two readings."""
    state, log = next((state, log) for state, log in sample() if state.machine.id == "mini-digger")
    ground = ground_of(state, log, [])
    season = next(one for one in seasons_of(ground) if one.wear is not None and one.before is not None)
    found = by_word(season_page(season.state.joint.id, ground))
    wear = found["wear, this season"]
    heights = [step.value.value for step in wear.steps if isinstance(step.value, Value)]
    assert isinstance(wear.estimate, Value)
    assert wear.estimate.value == pytest.approx(heights[-1] - heights[0], abs=1e-9)
    apart = of(found["difference of rates"])
    now, before = (of(found[f"rate, {when}"]) for when in ("this season", "season before"))
    assert apart.value == pytest.approx(now.value - before.value)
    assert (abs(apart.value) > apart.expanded) == season.is_other_rate
    assert apart.u >= math.hypot(now.u, before.u) * (1 - 1e-9)
    assert set(wear.keys)
    work = found["work, this season"]
    (first, _), (last, _) = (value(work, step.word) for step in work.steps)
    assert of(work).value == pytest.approx(last - first)


def test_the_readings_of_the_pin_are_behind_a_clearance() -> None:
    """A clearance of a day rests on the hole's readings of that day and on those of the pin it is reckoned with."""
    book = Book(limits=(limit("1.0", joint="boom"),))
    pin = book.pin_is(day(0), 29.98)
    holes = [book.bore(day(h), 30.3 + h / 1000) for h in (0, 200)]
    page = by_word(trend_numbers(book.joint))
    for h, entries in zip((0, 200), holes, strict=True):
        expected = {entry.key for entry in (*entries, *pin)}
        assert set(page[f"clearance, {day_text(day(h))}"].keys) == expected


def test_a_year_of_work_is_the_meters_last_three_years() -> None:
    """2,000 h on the meter four years back do not count; 600 h in the last three years are 200 a year."""
    book = Book(limits=(limit("1.0", joint="boom"),))
    last = datetime.date(2026, 3, 1)
    for days_back, hours in ((1500, 2000), (1090, 5000), (500, 5300), (0, 5597)):
        book.meter(last - datetime.timedelta(days=days_back), str(hours))
    book.bore(last, 30.3)
    work = by_word(joint_page(book.joint, ground_of(book.state, book.log, [])))["work a year"]
    assert of(work).value == pytest.approx(597 / 1090 * 365.25)
    assert [value(work, step.word)[0] for step in work.steps[:2]] == [5000, 5597]
    assert len(work.keys) == 2


@pytest.mark.parametrize(("asked", "said"), [("50 h", "Not kept."), ("150 h", "Kept."), ("", "not said")])
def test_grease_opens_to_its_longest_stretch_and_the_entries(asked: str, said: str) -> None:
    """Greased at 100 and 180 h of 300 in the season: 120 h at the longest; a quarter late still counts as kept."""
    joint = Joint(
        "boom", kind="bushed", pin=parse_length("30 mm"), grease_every=GreaseEvery.from_text(asked) if asked else None
    )
    book = Book(joints=(joint,), limits=(limit("1.0", joint="boom"),))
    start = datetime.date(2026, 3, 1)
    for days in range(0, 301, 20):
        book.meter(start + datetime.timedelta(days=days), str(1000 + days))
    greased = [book.did(start + datetime.timedelta(days=days), "greased", joint="boom") for days in (100, 180)]
    book.bore(start, 30.3)
    number = by_word(season_page("boom", ground_of(book.state, book.log, [])))["longest without grease"]
    assert of(number).value == pytest.approx(120)
    assert set(number.keys) == {entry.key for entry in greased}
    assert said in spoken(number.said)
    if asked:
        assert value(number, "kept up to")[0] == pytest.approx(1.25 * float(asked.split(maxsplit=1)[0]))
