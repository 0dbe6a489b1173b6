"""A season's wear, greasing and what was put off, from a machine's entries."""

import datetime
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.said import said
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.entries import AnyEntry, BoreReading, Event, MachineLog, in_time_order
from fieldlog.records.machine import Hands, Instrument, Logbook
from fieldlog.records.seasons import GreaseEvery, SeasonStart
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.due import due_list
from fieldlog.wear.history import index_of
from fieldlog.wear.season import JointSeason, Season, Wear, grown, is_other_rate, machine_season, season_of, season_wear
from fieldlog.wear.trends.rates import main_trend
from fieldlog.wear.trends.records import TrendPoint
from tests.speaking import all_spoken, spoken
from tests.values import part, sized
from tests.wear.build import FINE, Book, limit

BOOK = Logbook("test", instruments=(FINE,))
YEARS = (datetime.date(2024, 4, 1), datetime.date(2025, 4, 1), datetime.date(2026, 4, 1))


def season(book: Book, today: datetime.date = datetime.date(2026, 11, 25), every: str = "") -> JointSeason:
    """Return the first joint's season; with `every` it is asked to be greased that often."""
    assert book.machine is not None
    asked = GreaseEvery.from_text(every) if every else None
    log = replace(book.log, machine=replace(book.machine, grease_every=asked))
    return of_log(log, today)


def of_log(log: MachineLog, today: datetime.date) -> JointSeason:
    """Return the first joint's season."""
    state = assess_machine(log, BOOK, today)
    return machine_season(state, index_of(log, BOOK), season_of(BOOK, today), season_of(BOOK, today, 1)).joints[0]


def measured(*clearances: float) -> Book:
    """Return a joint measured every April from 2024 on, 200 h apart."""
    book = Book(limits=(limit("2.0", joint="boom"),))
    for number, (day, mm) in enumerate(zip(YEARS, clearances, strict=False)):
        book.meter(day, str(1000 + 200 * number))
        book.pin_is(day, 30.0)
        book.bore(day, 30.0 + mm)
    return book


def test_a_season_begins_on_the_owners_day_or_on_the_first_of_march() -> None:
    """The day before it the old one still runs."""
    day = datetime.date
    usual = season_of(BOOK, day(2026, 2, 28))
    assert (usual.start, usual.end) == (day(2025, 3, 1), day(2026, 2, 28))
    assert "usual" in spoken(usual.origin)
    own = replace(BOOK, season_start=SeasonStart.from_text("15 Oct"))
    assert season_of(own, day(2026, 10, 15)).start == day(2026, 10, 15)
    before = season_of(own, day(2026, 10, 14), 1)
    assert (before.start, before.end) == (day(2024, 10, 15), day(2025, 10, 14))
    assert spoken(before.origin) == "as set for the logbook"


def test_wear_is_the_last_in_the_season_less_the_last_before_it() -> None:
    """0.2, 0.3, 0.6 mm 200 h apart: 0.3 mm this season, 0.15 per 100 h, 0.05 the season before.

    Three days cannot tell a bend from scatter, so no difference is proved.
    """
    found = season(measured(0.2, 0.3, 0.6))
    assert found.wear is not None
    assert found.wear.rate is not None
    assert found.before is not None
    assert found.before.rate is not None
    assert found.wear.change.value == pytest.approx(0.3)
    assert found.wear.rate.value == pytest.approx(0.15)
    assert found.before.rate.value == pytest.approx(0.05)
    assert (found.wear.first, found.wear.last) == (YEARS[1], YEARS[2])
    assert not found.is_other_rate


def test_a_difference_of_rates_counts_the_shared_day_in_both() -> None:
    """Against the covariance of three days with NumPy: 200 h and 100 h, 0.02 mm a day."""
    u, dof = 0.02, math.inf
    rows = np.array([[0.0, -1 / 200, 1 / 200], [-1 / 100, 1 / 100, 0.0]]) * 100
    wanted = float(np.sqrt(np.ptp(rows, axis=0) @ (u**2 * np.eye(3)) @ np.ptp(rows, axis=0)))
    for gap in (0.97, 1.03):
        now_mm = 0.1 * 2 + gap * 1.95996 * wanted * 2
        days = [
            (TrendPoint(day, 0.0, sized(mm), 0), part("scatter", u, dof, source_id=f"{day}"))
            for day, mm in zip(YEARS, (0.0, 0.1, 0.1 + now_mm), strict=False)
        ]
        before = Wear(grown(days[0], days[1]), YEARS[0], YEARS[1], 100.0)
        now = Wear(grown(days[1], days[2]), YEARS[1], YEARS[2], 200.0)
        assert is_other_rate(now, before) is (gap > 1)
        assert is_other_rate(now, None) is False


def test_the_calipers_own_error_is_not_in_the_wear() -> None:
    """The same jaws on both days cancel: the doubt of the change is less than one day's."""
    found = season(measured(0.2, 0.3, 0.4))
    assert found.wear is not None
    assert found.trend is not None
    assert found.wear.change.plus_minus < found.trend.points[-1].value.plus_minus
    assert all(row.cancels for row in found.wear.change.rows if row.source.kind == "limit")


@pytest.mark.parametrize(("clearances", "said"), [((0.2, 0.3), "Not measured this season"), ((), "Not measured")])
def test_without_a_measuring_the_reason_is_said(clearances: tuple[float, ...], said: str) -> None:
    """Nothing is made up."""
    found = season(measured(*clearances))
    assert found.wear is None
    assert said in spoken(found.no_wear)


def test_a_new_bush_begins_anew() -> None:
    """Nothing is taken across a renewal: measured once since is no wear."""
    book = measured(0.2, 0.9)
    book.did(datetime.date(2025, 9, 1), "re-bushed", joint="boom")
    book.meter(YEARS[2], "1400")
    book.pin_is(YEARS[2], 30.0)
    book.bore(YEARS[2], 30.1)
    found = season(book)
    assert found.wear is None
    assert "since it was made new" in spoken(found.no_wear)


@given(
    own=st.tuples(st.floats(0.005, 0.1), st.floats(0.005, 0.1)),
    shared=st.tuples(st.floats(0.0, 0.1), st.floats(0.0, 0.1)),
)
@settings(max_examples=60, deadline=None)
def test_the_doubt_of_a_change_is_that_of_the_whole_covariance(
    own: tuple[float, float], shared: tuple[float, float]
) -> None:
    """Against c' V c with NumPy: one source that both days share fully, a scatter of each day's own (GUM F.1.2.3)."""
    first, last = (
        (TrendPoint(day, x, sized(mm, [part("jaws", both, source_id="jaws")]), 0), part("scatter", u))
        for day, x, mm, u, both in zip(YEARS, (0.0, 100.0), (0.2, 0.5), own, shared, strict=False)
    )
    matrix = np.diag(np.square(own)) + np.outer(shared, shared)
    wanted = float(np.sqrt(np.array([-1.0, 1.0]) @ matrix @ np.array([-1.0, 1.0])))
    assert grown(first, last).u == pytest.approx(wanted, rel=1e-9)


def test_grease_is_kept_by_its_longest_gap() -> None:
    """Every 50 h asked for: 60 h is a quarter late at most, 100 h is not kept; a greasing of the machine counts."""
    book = measured(0.2, 0.3, 0.4)
    start = datetime.date(2026, 2, 20)
    book.did(start, "greased", joint="boom")
    assert season(book, every="50 h").grease.is_kept
    book.meter(datetime.date(2026, 8, 1), "1500")
    late = season(book, every="50 h").grease
    assert late.is_kept is False
    assert late.longest == pytest.approx(1500 - (1200 + 200 * 325 / 365), abs=0.1)
    for day in ((2026, 4, 10), (2026, 6, 10)):
        book.did(datetime.date(*day), "greased")
    kept = season(book, every="50 h").grease
    assert kept.times == 2
    assert kept.is_kept
    assert season(book, every="30 h").grease.is_kept is False
    assert season(book).grease.is_kept is None


def test_a_habit_that_stands_alone_does_not_count_as_not_kept() -> None:
    """Who wrote down "every morning now" and no single greasing may well have greased."""
    book = measured(0.2, 0.3, 0.4)
    book.did(datetime.date(2025, 6, 1), "greasing changed", joint="boom", text="every morning")
    found = season(book, every="10 h").grease
    assert found.is_kept is None
    assert found.habit is not None
    assert found.habit.text == "every morning"


def test_what_was_put_off_stands_until_it_is_done() -> None:
    """It is in the season it was put off in, on the finding, and gone once the bush is new."""
    book = measured(0.2, 0.3, 2.5)
    book.did(datetime.date(2025, 5, 1), "put off", joint="boom", text="harvest first")
    found = season(book)
    assert [event.text for event in found.put_off] == ["harvest first"]
    assert "Put off on 1 May 2025 by ann: harvest first." in all_spoken(due_list([book.state])[0].outlook)
    book.did(datetime.date(2026, 5, 1), "re-bushed", joint="boom")
    done = season(book)
    assert done.put_off == ()
    assert [event.deed for event in done.done] == ["re-bushed"]
    assert all(isinstance(event, Event) for event in done.done)


TWO_TOOLS = (
    Instrument("blue", name="caliper", resolution=parse_length("0.01"), error_limit=parse_length("0.02")),
    Instrument("steel", name="caliper", resolution=parse_length("0.01"), error_limit=parse_length("0.05")),
)
_STUDIED = tuple(Hands(who, "blue", YEARS[0], 0.01, 15, between, 9) for who, between in (("ann", 0.01), ("ben", 0.03)))


@pytest.mark.parametrize(
    ("tools", "people"),
    [
        (("blue", "blue"), ("ann", "ann")),
        (("blue", "steel"), ("ann", "ann")),
        (("", ""), ("ann", "ann")),
        (("blue", "blue"), ("ann", "ben")),
    ],
)
def test_a_rate_of_two_days_is_as_doubtful_as_their_change(tools: tuple[str, str], people: tuple[str, str]) -> None:
    """One caliper, two of one name, one that nobody named, and two people of a study: the line and the difference.

    The zero was checked for the second day only, and is off by more on the first.
    """
    book = Book(pin="30 mm")
    entries: list[AnyEntry] = []
    for day, mm, hours, tool, who in zip(YEARS[1:], (30.2, 30.6), ("1000", "1200"), tools, people, strict=False):
        book.meter(day, hours)
        made = [one for one in book.bore(day, mm) if isinstance(one, BoreReading)]
        entries += [replace(one, instrument=tool, who=who, round=f"{day}-{who}") for one in made]
    entries += [entry for entry in book.entries if not isinstance(entry, BoreReading)]
    zero = Check("blue", YEARS[2], "zero", parse_shown_list("0.00"))
    blue = replace(TWO_TOOLS[0], checks=(zero,), hands=_STUDIED)
    log = replace(book.log, entries=in_time_order(tuple(entries)))
    state = assess_machine(log, Logbook("test", instruments=(blue, TWO_TOOLS[1])), datetime.date(2026, 11, 25)).joints[
        0
    ]
    trend = main_trend(state)
    assert trend is not None
    assert trend.line is not None
    wear, _ = season_wear(trend, Season(YEARS[1], YEARS[2], said("season.as_usual")))
    assert wear is not None
    assert wear.work == 200
    assert 200 * trend.line.slope == pytest.approx(wear.change.value)
    assert 200 * trend.line.slope_u == pytest.approx(wear.change.u, rel=1e-9)
    is_one = tools[0] == tools[1] != ""
    limits = [row for row in wear.change.rows if row.source.kind == "limit"]
    assert all(row.cancels for row in limits) is is_one
