"""Opened numbers as data: whole enough to reckon with, and plain JSON."""

import json
import math
from collections.abc import Mapping, Sequence
from typing import cast

import pytest

from fieldlog.sheets.data import pieces
from fieldlog.sheets.trend_data import numbers_data, opened_data
from fieldlog.wear.numbers.page import trend_numbers
from tests.wear.test_opened_pages import ground_of
from tests.wear.test_trend import measured

Row = Mapping[str, object]


def rows(value: object) -> Sequence[Row]:
    """Return a list of rows."""
    return cast("Sequence[Row]", value)


def test_a_rate_an_interval_and_a_length_are_whole_as_data() -> None:
    """The parts' squares are u squared; an interval has its ends; a step is a number, not a text."""
    book = measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6))
    found = {str(row["word"]): row for row in numbers_data(trend_numbers(book.joint))}
    rate = found["rate, clearance"]
    assert rate["unit"] == "mm per 100 h"
    assert rate["value"] == pytest.approx(0.1, abs=1e-6)
    squares = math.fsum(cast("float", part["u"]) ** 2 for part in rows(rate["parts"]))
    assert squares == pytest.approx(cast("float", rate["u"]) ** 2, rel=1e-4)
    reached = found["clearance, limit reached"]
    low, best, high = (cast("float", reached[name]) for name in ("lower", "value", "upper"))
    assert low < best < high
    level = next(row for row in rows(reached["steps"]) if str(row["word"]).startswith("level"))
    assert (level["unit"], cast("float", level["u"]) > 0) == ("mm", True)
    room = found["clearance, room to limit"]
    assert cast("float", room["plus_minus"]) == pytest.approx(
        cast("float", room["coverage"]) * cast("float", room["u"])
    )
    assert set(cast("Sequence[str]", room["readings"])) <= {entry.key for entry in book.log.entries}


def test_every_joint_has_its_numbers_and_its_season_and_all_of_it_is_json() -> None:
    """Nothing infinite is left in it."""
    book = measured((0, 100, 200), (0.2, 0.3, 0.4))
    joint = json.loads(json.dumps(opened_data(ground_of(book.state, book.log, []), book.joint), allow_nan=False))
    assert joint["joint"] == "boom"
    assert {"clearance, limit", "work a year", "measure next"} <= {str(row["word"]) for row in rows(joint["numbers"])}
    assert {"wear, this season", "work, this season"} & {str(row["word"]) for row in rows(joint["season"])}


def test_readings_of_several_numbers_are_listed_once() -> None:
    """Limit, watch line and rate rest on the same days: the first has the keys, the others its word."""
    book = measured((0, 100, 200, 300), (0.2, 0.3, 0.4, 0.5))
    found = {str(row["word"]): row for row in numbers_data(trend_numbers(book.joint))}
    assert found["clearance, limit reached"]["readings"]
    assert "readings_of" not in found["clearance, limit reached"]
    assert (found["rate, clearance"]["readings"], found["rate, clearance"]["readings_of"]) == (
        [],
        "clearance, limit reached",
    )


def test_the_text_is_json_whether_lists_come_at_once_or_one_by_one() -> None:
    """Empty ones too, and nothing that JSON does not know gets into it."""
    entries = {"shape": 2, "due": [], "machines": [{"id": "a"}, {"id": "b"}], "none": []}
    text = "".join(pieces((key, iter(value) if isinstance(value, list) else value) for key, value in entries.items()))
    assert json.loads(text) == entries
    with pytest.raises(ValueError, match="not JSON compliant"):
        "".join(pieces([("rates", iter([math.inf]))]))
