"""Readings of pins, walls, tapes and threads that stand apart from their repeats: marked, never left out."""

import datetime
import itertools

import pytest

from fieldlog.measure.apart import about_readings, repeat_marks
from fieldlog.measure.suspect import grubbs
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import Entry, LengthReading, LigamentReading, PinReading, ThreadReading
from fieldlog.records.machine import Instrument

DAY = datetime.date(2026, 3, 14)
_COUNT = itertools.count()
TOOLS = {
    "blue": Instrument("blue", resolution=parse_length("0.01 mm")),
    "tape": Instrument("tape", kind="tape", resolution=parse_length("1 mm"), tape_class="II"),
}


def head() -> dict[str, object]:
    return {"at": f"09:{next(_COUNT) % 3600:04d}", "round": f"{DAY}-sam", "day": DAY, "who": "sam"}


def pins(*sizes: str, clock: str = "12") -> list[Entry]:
    return [
        PinReading(
            joint="boom", place="worn", size=parse_length(size), clock=parse_clock(clock), instrument="blue", **head()  # type: ignore[arg-type]
        )
        for size in sizes
    ]  # fmt: skip


def tapes(way: str, *sizes: str, state: str = "closed") -> list[Entry]:
    return [
        LengthReading(link="bar", way=way, state=state, size=parse_length(size), instrument="tape", **head())  # type: ignore[arg-type]
        for size in sizes
    ]


def test_a_pin_reading_far_from_its_repeats_is_marked_and_agrees_with_grubbs() -> None:
    """Five repeats in one direction: the same statistic, per residual, as Grubbs's test of NIST 1.3.5.17.1."""
    sizes = (18.91, 18.92, 18.90, 18.91, 18.71)
    entries = pins(*(f"{size:.2f} mm" for size in sizes))
    (mark,) = repeat_marks(entries, TOOLS)
    step = grubbs(sizes)
    assert mark.key == entries[step.index].key
    assert (mark.statistic > mark.critical) == (step.statistic > step.critical)
    assert mark.statistic / mark.critical == pytest.approx(step.statistic / step.critical)
    assert mark.gap_mm == pytest.approx(-0.20)
    assert (mark.typed, mark.where) == ("18.71 mm", "at the pin's worn band at 12")


def test_three_readings_of_a_pin_condemn_none_whatever_they_are() -> None:
    """The ceiling (n - 1) / sqrt(n) is 1.1547; it is said instead."""
    entries = pins("18.91 mm", "18.91 mm", "12.00 mm")
    assert repeat_marks(entries, TOOLS) == ()
    (said,) = about_readings(entries, ())
    assert "of three readings none can ever lie farther than 1.15" in said


def test_two_directions_share_their_scatter_but_not_their_mean() -> None:
    """An oval pin is no outlier; a slip in one direction is found with the repeats of the other."""
    oval = [*pins("18.91 mm", "18.92 mm", "18.91 mm"), *pins("18.71 mm", "18.70 mm", "18.72 mm", clock="3")]
    assert repeat_marks(oval, TOOLS) == ()
    slipped = [*pins("18.91 mm", "18.92 mm", "18.91 mm"), *pins("18.71 mm", "18.70 mm", "18.96 mm", clock="3")]
    assert [mark.typed for mark in repeat_marks(slipped, TOOLS)] == ["18.96 mm"]


def test_a_tape_reading_far_from_its_repeats_is_marked() -> None:
    """Within two millimetres, twice what hands repeat to, no mark is worth making."""
    good = tapes("outside", "641 mm", "642 mm", "641 mm", "641 mm", "643 mm")
    assert repeat_marks(good, TOOLS) == ()
    bad = tapes("outside", "641 mm", "642 mm", "641 mm", "641 mm", "651 mm")
    (mark,) = repeat_marks(bad, TOOLS)
    assert (mark.typed, mark.where) == ("651 mm", "outside, closed")
    assert mark.gap_mm == pytest.approx(9.75)


def test_of_two_repeats_both_are_marked() -> None:
    """Closed and open share the scatter; which of the two that differ is wrong nobody can tell."""
    entries = [
        *tapes("outside", "641 mm", "641 mm"),
        *tapes("inside", "600 mm", "601 mm"),
        *tapes("outside", "741 mm", "742 mm", state="open"),
        *tapes("inside", "700 mm", "719 mm", state="open"),
    ]
    marks = repeat_marks(entries, TOOLS)
    assert {mark.typed for mark in marks} == {"700 mm", "719 mm"}
    assert {mark.against for mark in marks} == {"its one repeat"}


def test_walls_and_threads_are_looked_at_too_and_only_what_is_asked_for() -> None:
    """A wall at 12 has its repeats at 12; `behind` leaves out what is measured elsewhere."""
    walls: list[Entry] = [
        LigamentReading(hole="eye", size=parse_length(size), clock=parse_clock("12"), instrument="blue", **head())  # type: ignore[arg-type]
        for size in ("13.40 mm", "13.41 mm", "13.40 mm", "13.41 mm", "14.40 mm")
    ]
    threads: list[Entry] = [
        ThreadReading(link="bar", end="near", exposed=parse_length(size), instrument="tape", **head())  # type: ignore[arg-type]
        for size in ("41 mm", "42 mm", "41 mm", "42 mm", "61 mm")
    ]
    assert [mark.typed for mark in repeat_marks([*walls, *threads], TOOLS)] == ["61 mm", "14.40 mm"]
    assert [mark.typed for mark in repeat_marks([*walls, *threads], TOOLS, {walls[0].key})] == ["14.40 mm"]
