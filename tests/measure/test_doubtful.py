"""Readings that stand apart are marked, good ones are left in peace, and too few are never condemned."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.suspect import Mark, about_repeats, hole_marks, mark_text
from fieldlog.records.entries import BoreReading
from tests.measure.holes import along, oval, size_of, sweeps

EXAMPLES = settings(max_examples=60, derandomize=True, deadline=None)
SIZES = st.integers(1900, 2600).map(lambda hundredths: f"{hundredths / 100:.2f}")
GOOD = ("19.42", "19.44", "19.46", "19.44")


def marks(readings: list[BoreReading]) -> tuple[Mark, ...]:
    return hole_marks(size_of(readings), readings, {})


def marked(readings: list[BoreReading]) -> list[tuple[str, str]]:
    return [(mark.typed.removesuffix(" mm"), mark.against) for mark in marks(readings)]


def said(readings: list[BoreReading]) -> str:
    return about_repeats(size_of(readings).faces[0], marks(readings))


def test_a_bad_reading_among_two_sweeps_is_told_apart_by_the_oval() -> None:
    """The 19.90 at 3 stands apart from its repeat; which of the two is wrong is told by the other lines."""
    readings = sweeps(GOOD, ("19.43", "19.44", "19.90", "19.45"))
    (mark,) = marks(readings)
    assert (mark.typed, mark.clock, mark.against) == ("19.90 mm", "3", "its repeats")
    assert mark.key == readings[6].key
    text = mark_text(mark, "mm")
    assert text.startswith("the 19.90 mm at 3 stands 0.4")
    assert text.endswith("apart from its repeats: measure again, or strike it")
    assert " in apart" in mark_text(mark, "in")


@EXAMPLES
@given(sizes=st.lists(SIZES, min_size=1, max_size=3))
def test_three_readings_never_condemn_one(sizes: list[str]) -> None:
    """Whatever they are, statistics marks none of up to three readings along a line."""
    assert marks(along("3", *sizes)) == ()


@EXAMPLES
@given(sizes=st.tuples(SIZES, SIZES, SIZES, SIZES))
def test_one_reading_a_line_condemns_none(sizes: tuple[str, ...]) -> None:
    """Once round four lines leaves one spare reading: nothing to tell by."""
    assert marks(sweeps(sizes)) == ()


def test_four_repeats_along_one_line_can_tell() -> None:
    """Grubbs on four: 1.5 is possible and 1.4813 is the limit, so a lone far one is marked."""
    assert marked(along("3", "19.42", "19.43", "19.42", "19.90")) == [("19.90", "its repeats")]


def test_a_gap_within_what_hands_repeat_to_is_worth_no_mark() -> None:
    """Three equal readings and one a step or two off: far out by Grubbs, and nothing at all with a caliper."""
    assert marked(along("3", "19.42", "19.42", "19.42", "19.44")) == []


def test_two_repeats_on_each_of_three_lines_mark_both_of_a_pair() -> None:
    """Where the lines fit no oval nobody can tell which of two is wrong."""
    readings = [*along("12", "19.42", "19.43", "19.42", "19.43"), *along("3", "19.42", "19.90")]
    assert sorted(marked(readings)) == [("19.42", "its one repeat"), ("19.90", "its one repeat")]


def test_two_bad_readings_do_not_hide_each_other() -> None:
    """Three sweeps with the same burr met twice: both are marked (masking)."""
    readings = sweeps(GOOD, ("19.43", "19.44", "19.05", "19.45"), ("19.42", "19.43", "19.04", "19.44"))
    assert sorted(typed for typed, _ in marked(readings)) == ["19.04", "19.05"]


def test_good_readings_of_a_hole_that_is_no_oval_are_not_blamed() -> None:
    """A square bore misses the oval on every line; each reading agrees with its repeats."""
    square = ("19.40", "19.80", "19.41", "19.81")
    assert marks(sweeps(square, ("19.41", "19.80", "19.40", "19.80"), ("19.40", "19.81", "19.41", "19.81"))) == ()


def test_faces_are_not_compared_with_each_other() -> None:
    """A worn far face is wear, not a bad reading."""
    far = [*along("12", "20.40", "20.41", face="far"), *along("3", "20.42", "20.40", face="far")]
    assert marks([*sweeps(GOOD, GOOD), *far]) == ()


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (along("3", "19.42"), "nothing to compare it with"),
        (sweeps(GOOD), "go round once more"),
        (along("3", "19.42", "19.42", "19.42"), "all the same"),
        (along("3", "19.42", "19.44", "19.90"), "1.15 standard deviations"),
        (sweeps(GOOD, ("19.43", "19.44", "19.47", "19.45")), "None of the 8 readings stands apart"),
    ],
)
def test_what_repeats_can_tell_is_said(readings: list[BoreReading], words: str) -> None:
    """One reading, no repeats, no spread, too few, and a clean bill."""
    assert words in said(readings)


def test_good_sets_are_rarely_marked_and_bad_ones_nearly_always() -> None:
    """Of 500 seeded holes measured twice round, a few per cent; with one reading 0.3 mm off, nearly all."""
    alarms = sum(bool(marks(oval(seed, 2))) for seed in range(500))
    assert alarms <= 40
    found = 0
    for seed in range(300):
        readings = oval(seed, 2, bad_mm=0.3)
        found += readings[6].key in {mark.key for mark in marks(readings)}
    assert found >= 285
