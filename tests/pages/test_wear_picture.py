"""Wear as a picture: what stands where, in braille, in ASCII and as a list; the small line; the dial's first season."""

import datetime
from dataclasses import replace
from itertools import pairwise

import pytest

from fieldlog.pages.canvas import DialShape, dial_lines, dial_note, dial_shape, spark_of
from fieldlog.pages.wear_picture import picture_of
from fieldlog.wear.trends.records import Trend
from tests.wear.build import Book, limit
from tests.wear.test_trend import day, measured, trend


def straight() -> Trend:
    """0.1 mm every 100 h; 1.0 mm is reached 400 h on."""
    return trend(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6)))


def row_of(rows: list[str], word: str) -> int:
    """Return which row begins with a label."""
    return next(number for number, row in enumerate(rows) if row.strip().startswith(word))


@pytest.mark.parametrize("ascii_only", [True, False])
@pytest.mark.parametrize(("columns", "rows"), [(56, 11), (76, 16), (110, 30)])
def test_it_fits_and_shows_readings_limits_and_crossing(columns: int, rows: int, *, ascii_only: bool) -> None:
    """Five readings, both limits, the interval on the limit's row, now at the foot; nothing wider than the page."""
    drawn = [line.text for line in picture_of(straight(), "mm", columns, rows, ascii_only=ascii_only)]
    assert max(map(len, drawn)) <= columns
    picture = drawn[: rows - 2]
    assert sum(row[12:].count("o") for row in picture) == 5
    renew = picture[row_of(picture, "renew 1.00")]
    assert "[" in renew
    assert "+" in renew
    assert row_of(picture, "watch 0.65") > row_of(picture, "renew 1.00")
    assert drawn[rows - 2].count("^") == 1
    if ascii_only:
        assert "".join(picture).isascii()
    assert "95 % bar" in " ".join(drawn[rows:])


def test_places_are_to_scale() -> None:
    """Equal hours are equally far apart, within a column; more wear stands higher."""
    drawn = [line.text[12:] for line in picture_of(straight(), "mm", 76, 20, ascii_only=True)][:18]
    spots = sorted((row.index("o"), -number) for number, row in enumerate(drawn) if "o" in row)
    columns = [column for column, _ in spots]
    steps = [later - earlier for earlier, later in pairwise(columns)]
    assert len(spots) == 5
    assert max(steps) - min(steps) <= 1
    assert [height for _, height in spots] == sorted(height for _, height in spots)


def test_cuts_are_marked_with_what_was_done() -> None:
    """A re-bush begins a part: a dotted line with 1 on top; a greasing change is a letter at the foot."""
    book = measured((0, 200, 400), (0.3, 0.6, 0.9))
    book.did(day(400), "re-bushed", joint="boom")
    book.did(day(600), "greasing changed", joint="boom")
    found = trend(measured((500, 700), (0.15, 0.2), book))
    drawn = [line.text for line in picture_of(found, "mm", 70, 16, ascii_only=True)]
    assert "1" in drawn[0][12:]
    assert "a" in drawn[13][12:]
    assert "1 re-bushed 13 Feb 2025" in " ".join(drawn)
    assert "a greasing changed" in " ".join(drawn)


def test_below_fifty_columns_the_days_are_listed() -> None:
    """Text instead, in time order, cuts between."""
    book = measured((0, 200), (0.3, 0.6))
    book.did(day(300), "new pin", joint="boom")
    found = trend(measured((400,), (0.2,), book))
    drawn = [line.text for line in picture_of(found, "mm", 40, 16)]
    assert [row.split(": ")[0] for row in drawn] == ["10 Jan 2024", "28 Jul 2024", "5 Nov 2024", "13 Feb 2025"]
    assert "new pin" in drawn[2]
    assert max(map(len, drawn)) <= 40


def test_a_trend_without_hours_is_listed() -> None:
    """No meter reading places no point."""
    found = trend(measured((0, 300), (0.3, 0.6)))
    bare = replace(found, points=tuple(replace(point, x=None) for point in found.points))
    assert "0.60" in " ".join(line.text for line in picture_of(bare, "mm", 80, 20))


def test_the_small_line_has_the_limit_as_full_scale() -> None:
    """0.2, 0.5 and 1.2 mm of 1.0: second eighth, fifth eighth, over."""
    state = measured((0, 200, 400), (0.2, 0.55, 1.2)).joint
    assert spark_of(state, ascii_only=True) == ".+!"
    assert spark_of(state) == "▂▅!"
    assert spark_of(measured((0,), (0.2,)).joint) == ""
    many = measured(tuple(range(0, 1200, 100)), tuple(0.05 * n for n in range(12))).joint
    assert len(spark_of(many)) == 8


def oval_book() -> Book:
    """A hole that wore towards 3 o'clock from one spring to the next."""
    book = Book(limits=(limit("2.0", joint="boom"),))
    for date, size, oval in ((datetime.date(2024, 4, 1), 30.2, 0.1), (datetime.date(2026, 3, 1), 31.0, 0.8)):
        book.pin_is(date, 30.0)
        book.bore(date, size, oval=oval)
    return book


def test_the_dial_lays_this_season_over_the_first() -> None:
    """`+` stands where the hole was on its first day: inside the shape of today at 3, and named in the legend."""
    hole = oval_book().joint.holes[0]
    shape = dial_shape(hole)
    assert shape is not None
    assert shape.first is not None
    assert shape.first.diameter_mm(90) == pytest.approx(30.2, abs=0.02)
    assert shape.diameter_mm(90) == pytest.approx(31.0, abs=0.02)
    rows = [line.text for line in dial_lines(shape, 33, 13, ascii_only=True)]
    middle = rows[1 + 11 // 2]
    assert middle.rindex("+") < middle.rindex("o")
    note = [line.text for line in dial_note(shape, hole, 33)]
    assert "o 1 Mar 2026, + 1 Apr 2024" in note[1]
    assert max(map(len, note)) <= 33


def test_a_hole_measured_once_has_no_first_season() -> None:
    """One day is not laid over itself."""
    hole = measured((0,), (0.4,)).joint.holes[0]
    shape = dial_shape(hole)
    assert shape is not None
    assert shape.first is None
    assert "+" not in "".join(line.text for line in dial_lines(shape, 33, 13, ascii_only=True))
    assert isinstance(shape, DialShape)
