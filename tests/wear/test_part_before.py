"""The part before a cut stays in sight with its own rate; a joint in doubt of its watch line is planned for in time."""

import numpy as np
import pytest
from scipy import stats

from fieldlog.sheets.trend_data import trend_data
from fieldlog.wear.order_list import When, order_list
from fieldlog.wear.verdicts import Verdict
from tests.speaking import before_sentence, next_step_of, reason_of
from tests.wear.build import Book, limit
from tests.wear.test_trend import day, measured, trend

HOURS = (0, 120, 260, 410)
OLD = (0.21, 0.33, 0.45, 0.62)


def rebushed() -> Book:
    """Four days, a new bush, two days since."""
    book = measured(HOURS, OLD)
    book.did(day(420), "re-bushed", joint="boom")
    return measured((450, 600), (0.15, 0.21), book)


def test_the_part_before_a_new_bush_keeps_its_rate() -> None:
    """That of least squares through its four days; the line since has its own two days alone."""
    found = trend(rebushed())
    assert found.before is not None
    assert found.before.line.slope == pytest.approx(stats.linregress(HOURS, OLD).slope, rel=1e-3)
    assert (found.before.days, found.before.span) == (4, 410.0)
    assert found.line is not None
    assert found.line.slope == pytest.approx(0.0004, rel=1e-6)
    said = before_sentence(found, "mm")
    assert said.startswith("Before it was re-bushed: 0.099 ± 0.0")
    assert said.endswith("mm per 100 h (4 measuring days, 410 h).")
    data = trend_data(found)["part_before"]
    assert isinstance(data, dict)
    assert data["measuring_days"] == 4


def test_without_a_cut_or_with_two_days_before_it_nothing_is_said() -> None:
    """Two days before a new bush tell no rate worth keeping in sight."""
    assert before_sentence(trend(measured(HOURS, OLD)), "mm") == ""
    book = measured((0, 120), (0.2, 0.3))
    book.did(day(130), "re-bushed", joint="boom")
    assert before_sentence(trend(measured((150, 300), (0.1, 0.15), book)), "mm") == ""


def test_in_doubt_of_its_watch_line_but_over_its_limit_by_the_seasons_end_is_planned_for() -> None:
    """0.1 mm per 100 h, 0.79 now, watch 0.8, limit 1.0: 365 h a year is far more than the 210 h that are left."""
    hours = (0, 150, 300, 450)
    clearances = tuple(np.round(0.34 + 0.001 * np.array(hours), 3))
    book = measured(hours, clearances, Book(limits=(limit("1.0", "0.8", joint="boom"),)), later=350)
    finding = book.joint.finding
    assert finding.verdict is Verdict.PLAN
    assert "It may not last the season" in reason_of(finding)
    assert "Order before the season: pin, bush, 2 seals" in next_step_of(finding)
    assert [one.when for one in order_list([book.state])] == [When.BEFORE_THE_SEASON]


def test_a_hole_that_reads_smaller_than_before_is_not_planned_for_but_read_again() -> None:
    """What was read wrong is settled first, whatever the line says."""
    hours = (0, 150, 300, 450, 600)
    book = measured(hours, (0.34, 0.49, 0.64, 0.95, 0.79), Book(limits=(limit("1.0", "0.8", joint="boom"),)), later=200)
    finding = book.joint.finding
    assert finding.verdict is Verdict.REMEASURE
    assert "a bore can only grow" in reason_of(finding)
    assert next_step_of(finding).startswith("Clean the hole")
