"""A rate opens to its days and to their readings."""

import datetime

import numpy as np
import pytest

from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.numbers.page import trend_numbers


def test_a_rate_is_the_line_through_its_days_and_each_day_has_its_readings() -> None:
    """The slope lies within its own doubt of NumPy's unweighted line through the same days; each has readings."""
    logbook = read_logbook(sample_folder()).logbook
    log = read_machine(sample_folder(), "mini-digger", logbook).log
    state = assess_machine(log, logbook, datetime.date(2026, 11, 25))
    joint = next(joint for joint in state.joints if joint.joint.id == "bucket-pin")
    trend = joint.trends[0]
    numbers = {number.word: number for number in trend_numbers(joint)}
    rate, days = numbers["rate, clearance"], [numbers[f"clearance, {day_text(point.day)}"] for point in trend.fitted]
    assert isinstance(rate.estimate, Value)
    assert rate.estimate.unit == "mm per 100 h"
    heights = [day.estimate.value for day in days if isinstance(day.estimate, Value)]
    slope = np.polyfit([point.x or 0.0 for point in trend.fitted], heights, 1)[0]
    assert rate.estimate.value == pytest.approx(100 * slope, abs=rate.estimate.expanded)
    assert rate.estimate.value > 0
    assert all(day.keys for day in days)
    assert set(rate.keys) == {key for day in days for key in day.keys}
