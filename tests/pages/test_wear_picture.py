"""Wear as a picture: what stands where, in braille, in ASCII and as a list; the small line; the dial's first season."""

import datetime
import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from fieldlog.measure.depth import Wall
from fieldlog.pages.canvas import (
    DialShape,
    dial_lines,
    dial_note,
    dial_sentences,
    dial_shape,
    eye_lines,
    eye_sentences,
    next_lines,
)
from fieldlog.pages.lines import in_ascii, spark_of
from fieldlog.pages.wear_picture import picture_of, wear_sentences
from fieldlog.quantity.units import Units
from fieldlog.wear.trends.records import Trend
from tests.values import part, sized
from tests.wear.build import Book, limit
from tests.wear.test_trend import day, measured, trend


def straight() -> Trend:
    """0.1 mm every 100 h; 1.0 mm is reached 400 h on."""
    return trend(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6)))


def row_of(rows: list[str], word: str) -> int:
    """Return which row begins with a label."""
    return next(number for number, row in enumerate(rows) if row.strip().startswith(word))


def points_in(rows: list[str]) -> list[tuple[int, int]]:
    """Return column and row of every reading that is drawn; an o within a word is none."""
    places = (re.finditer(r"●|(?<![A-Za-np-z])o(?![A-Za-np-z])", row[12:]) for row in rows)
    return [(match.start(), number) for number, found in enumerate(places) for match in found]


@pytest.mark.parametrize("ascii_only", [True, False])
@pytest.mark.parametrize(("columns", "rows"), [(56, 11), (56, 16), (76, 20), (110, 30)])
def test_it_fits_and_shows_readings_limits_crossing_and_today(columns: int, rows: int, *, ascii_only: bool) -> None:
    """Five readings, both lines with their numbers, when the limit is reached, today at the foot; nothing wider."""
    drawn = [line.text for line in picture_of(straight(), "mm", columns, rows, ascii_only=ascii_only)]
    assert max(map(len, drawn)) <= columns
    picture = drawn[: rows - 3]
    assert len(points_in(picture)) == 5
    renew, watch = row_of(picture, "limit 1.00"), row_of(picture, "watch 0.65")
    assert watch > renew
    assert set(picture[renew][12:]) == {"=" if ascii_only else "━"}
    assert "today, " in drawn[rows - 1]
    assert "perhaps over already, by Jun 2026 at the latest" in " ".join(drawn)
    if ascii_only:
        assert "".join(drawn).isascii()


@pytest.mark.parametrize("hours", [(0, 100, 200, 300, 400), tuple(range(0, 1600, 20))])
def test_the_ascii_twin_says_the_same_cell_by_cell(hours: tuple[int, ...]) -> None:
    """Each sign has one of its own in plain ASCII, at the same place."""
    found = trend(measured(hours, tuple(0.2 + 0.0005 * h for h in hours)))
    wide, plain = (picture_of(found, "mm", 76, 16, ascii_only=ascii_only) for ascii_only in (False, True))
    assert [in_ascii(row.text) for row in wide] == [row.text for row in plain]


@pytest.mark.parametrize(("limit_mm", "hours"), [("1.0", 80), ("0.05", 80), ("50", 80), ("0.05", 5), ("50", 5)])
@pytest.mark.parametrize(("columns", "rows"), [(50, 7), (56, 16), (76, 20), (150, 50)])
def test_nothing_hides_a_reading(limit_mm: str, hours: int, columns: int, rows: int) -> None:
    """However many days and whatever the limit: where a reading is, its sign is, over line, band, limit and words."""
    at = tuple(range(0, 20 * hours, 20))
    book = Book(limits=(limit(limit_mm, joint="boom"),))
    found = trend(measured(at, tuple(0.05 + 0.0006 * h for h in at), book))
    drawn = [line.text for line in picture_of(found, "mm", columns, rows)]
    spots = points_in(drawn[: rows - 3])
    per_column = {column for column, _ in spots}
    most = min(hours, (columns - 12) * (rows - 3))
    assert len(spots) <= most
    wanted = {round(h / at[-1] * max(per_column) + (1 - h / at[-1]) * min(per_column)) for h in at}
    assert all(any(abs(column - want) <= 1 for column in per_column) for want in wanted)
    assert max(map(len, drawn)) <= columns


@pytest.mark.parametrize("units", ["mm", "in"])
def test_both_axes_carry_round_figures_to_scale(units: Units) -> None:
    """Figures up the side are equal steps apart, and so are the hours under it, within a row and a column."""
    drawn = [line.text for line in picture_of(straight(), units, 90, 30)]
    up = [
        (number, row[:11].split()[0])
        for number, row in enumerate(drawn[:27])
        if row[11] == "┤" and row.strip()[0].isdigit()
    ]
    values = [float(text) for _, text in up]
    steps = {round(high - low, 6) for high, low in pairwise(values)}
    assert len(up) >= 4
    assert min(steps) * 3 > max(steps)  # a figure gives way to the limit's own label
    slopes = [(b[0] - a[0]) / (x - y) for (a, x), (b, y) in pairwise(zip(up, values, strict=True))]
    assert max(slopes) - min(slopes) <= 2 / min(steps)
    ticks = [column for column, sign in enumerate(drawn[27]) if sign == "┬"]
    figures = [int(text) for text in drawn[28].removesuffix("h").split() if text.isdigit()]
    assert len(ticks) == len(figures) >= 4
    gaps = [right - left for left, right in pairwise(ticks)]
    assert max(gaps) - min(gaps) <= 1
    assert len({high - low for low, high in pairwise(figures)}) == 1
    assert any(figures[0] % step == 0 for step in (100, 200, 500))


def test_places_are_to_scale() -> None:
    """Equal hours are equally far apart, within a column; more wear stands higher."""
    drawn = [line.text for line in picture_of(straight(), "mm", 76, 20, ascii_only=True)]
    spots = sorted((column, -row) for column, row in points_in(drawn[:17]))
    columns = [column for column, _ in spots]
    steps = [later - earlier for earlier, later in pairwise(columns)]
    assert len(spots) == 5
    assert max(steps) - min(steps) <= 1
    assert [height for _, height in spots] == sorted(height for _, height in spots)


def test_the_picture_in_sentences() -> None:
    """What was read last, since when, the limit, and when it is reached, a fact a sentence of at most 20 words."""
    said = wear_sentences(straight(), "mm")
    assert said[0].startswith("Last measured 0.60 ± 0.0")
    assert said[1].startswith("Measured on 5 days since 10 Jan 2024, when it was 0.20 ± 0.0")
    assert said[2] == "Limit 1.00 mm, watch line 0.65 mm."
    assert said[3] == "Perhaps over already, by Jun 2026 at the latest."
    assert max(len(sentence.split()) for sentence in said) <= 20


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
    assert any("o 1 Mar 2026, + 1 Apr 2024" in text for text in note)
    assert max(map(len, note)) <= 33


def test_a_hole_measured_once_has_no_first_season() -> None:
    """One day is not laid over itself."""
    hole = measured((0,), (0.4,)).joint.holes[0]
    shape = dial_shape(hole)
    assert shape is not None
    assert shape.first is None
    assert "+" not in "".join(line.text for line in dial_lines(shape, 33, 13, ascii_only=True))
    assert isinstance(shape, DialShape)


FOUR = (0.0, 45.0, 90.0, 135.0)


@pytest.mark.parametrize(
    ("axis", "read", "wanted"),
    [
        (0.0, FOUR, {0.0, 90.0}),  # along and across
        (45.0, FOUR, {45.0, 135.0}),
        (80.0, FOUR, {90.0, 0.0}),
        (20.0, FOUR, {0.0, 90.0}),
        (0.0, (0.0, 90.0), {45.0, 135.0}),  # not read yet goes first
        (90.0, (0.0, 45.0, 90.0), {135.0, 90.0}),
        (None, FOUR, {45.0, 135.0}),  # round within its doubt: the way it leans
    ],
)
def test_the_lines_to_measure_next(axis: float | None, read: tuple[float, ...], wanted: set[float]) -> None:
    """Those of the usual four that were not read, else along and across; never one line twice."""
    lean = math.radians(2 * (axis if axis is not None else 45.0))
    shape = DialShape(20, 0.3 * math.cos(lean), 0.3 * math.sin(lean), 19, tuple((a, 20.0) for a in read), None, axis)
    assert set(next_lines(shape)) == wanted


@pytest.mark.parametrize("ascii_only", [True, False])
def test_the_dial_says_which_way_and_what_next(*, ascii_only: bool) -> None:
    """The hours of both slanting lines stand in the corners; the sentences say the sizes along and across."""
    shape = DialShape(20, 0.0, 0.3, 19, tuple((a, 20.0) for a in FOUR), None, 45.0)
    rows = [row.text for row in dial_lines(shape, 33, 13, ascii_only=ascii_only)]
    for hours in ("1:30", "4:30", "7:30", "10:30"):
        assert any(hours in row for row in rows)
    assert {len(row) for row in rows} == {33}
    assert dial_sentences(shape, "mm") == (
        "Worn towards 1:30 and 7:30.",
        "20.30 mm from 1:30 to 7:30, 19.70 mm from 4:30 to 10:30.",
        "Measure next from 1:30 to 7:30 and 4:30 to 10:30.",
    )
    hole = oval_book().joint.holes[0]
    worn = dial_shape(hole)
    assert worn is not None
    said = [row.text.strip() for row in dial_note(worn, hole, 33)]
    assert said[0] == "worn towards 3 and 9"
    assert set(said[1].removeprefix("next: ").split(", ")) == {"3-9", "12-6"}


def wall(clock: str, deg: float, mm: float) -> Wall:
    size = sized(mm, (part("wall", 0.05, math.inf, "a test's"),))
    return Wall(clock, deg, size, (), datetime.date(2026, 1, 1), "")


WALLS = (wall("12", 0, 10.0), wall("3", 90, 7.0), wall("6", 180, 10.0), wall("9", 270, 12.0))


@pytest.mark.parametrize("ascii_only", [True, False])
@pytest.mark.parametrize(("columns", "rows"), [(33, 11), (45, 13), (70, 25)])
def test_the_eye_shows_its_metal_to_scale_at_the_four_clocks(columns: int, rows: int, *, ascii_only: bool) -> None:
    """12 mm at 9 and 7 at 3 are drawn in proportion to the 25 mm hole, within a cell; the thinnest is marked."""
    drawn = [row.text for row in eye_lines(WALLS, 25.0, "mm", columns, rows, ascii_only=ascii_only)]
    assert len(drawn) == rows
    assert max(map(len, drawn)) <= columns
    assert "12: 10.0" in drawn[0]
    assert "6: 10.0" in drawn[-1]
    middle = next(row for row in drawn if "9: 12.0" in row)
    assert "3: *7.0*" in middle
    ring = [column for column in range(9, columns - 9) if middle[column] != " "]
    outer_left, outer_right = ring[0], ring[-1]
    inner = [column for column in ring if outer_left + 1 < column < outer_right - 1]
    per_mm = (outer_right - outer_left) / (12 + 25 + 7)
    assert (min(inner) - outer_left) == pytest.approx(12 * per_mm, abs=1.6)
    assert (outer_right - max(inner)) == pytest.approx(7 * per_mm, abs=1.6)
    assert eye_sentences(WALLS, "mm") == (
        "Metal left: 10.0 mm at 12, 7.0 mm at 3, 10.0 mm at 6, 12.0 mm at 9.",
        "Thinnest at 3: 7.00 ± 0.10 mm.",
    )


def test_an_eye_with_one_wall_or_no_room_is_not_drawn() -> None:
    """One point is no eye; its sentence stands all the same."""
    assert eye_lines(WALLS[:1], 25.0, "mm", 45, 13) == ()
    assert eye_lines(WALLS, 25.0, "mm", 20, 5) == ()
    assert eye_lines(WALLS, 0.0, "mm", 45, 13) == ()
    assert eye_sentences((), "mm") == ()
    assert eye_sentences(WALLS[:1], "mm")[0] == "Metal left: 10.0 mm at 12."
