"""One hole on one day: how readings become lines, faces and the two sizes that count."""

import datetime
import math

import pytest

from fieldlog.errors import MeasureError
from fieldlog.measure.hole import HoleSize, hole_size, hole_sizes, line_groups, missing_lines
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument

DAY = datetime.date(2026, 3, 14)


def reading(
    size: str, clock: str, at: str, *, face: Face = "near", round_id: str = "r1", with_: str = ""
) -> BoreReading:
    """Return a reading of the one hole."""
    return BoreReading(
        at=at,
        round=round_id,
        day=DAY,
        who="sam",
        hole="eye",
        size=parse_length(size),
        clock=parse_clock(clock),
        face=face,
        instrument=with_,
    )


def readings(*sizes: tuple[str, str]) -> list[BoreReading]:
    """Return readings of the near face, typed one after another."""
    return [reading(size, clock, f"10:00:{k:02d}") for k, (size, clock) in enumerate(sizes)]


def size_of(*sizes: tuple[str, str]) -> HoleSize:
    """Return the hole's size from near-face readings without a named caliper."""
    return hole_size(readings(*sizes), {})


FOUR_LINES = (("19.42", "12"), ("19.71", "1:30"), ("19.95", "3"), ("19.64", "4:30"))


def test_four_lines_give_the_fitted_sizes() -> None:
    """The worked oval (trade knowledge 2.6): smallest 19.41, largest 19.95, along 3-9, from the fit."""
    size = size_of(*FOUR_LINES)
    assert size.sees_oval
    assert size.missing == ""
    assert size.smallest.value == pytest.approx(19.68 - 0.26731, abs=0.0005)
    assert size.largest.value == pytest.approx(19.68 + 0.26731, abs=0.0005)
    shape = size.faces[0].shape
    assert shape is not None
    assert shape.axis_deg == pytest.approx(86, abs=0.5)


def test_both_ends_of_a_line_are_one_group() -> None:
    """A caliper spans the hole: 7:30 repeats 1:30."""
    groups = line_groups(readings(("19.42", "1:30"), ("19.44", "7:30"), ("19.40", "12")), {})
    assert [(group.clock, group.sizes_mm) for group in groups] == [("12", (19.40,)), ("1:30", (19.42, 19.44))]
    assert groups[1].mean_mm == pytest.approx(19.43)
    assert groups[1].range_mm == pytest.approx(0.02)
    assert groups[1].keys == ("r1 10:00:00", "r1 10:00:01")


def test_two_crossed_lines_of_a_diagonal_oval_are_not_called_round() -> None:
    """A 45 degree oval reads the same at 12 and 3: no shape is claimed, and what to add is said."""
    amplitude = 0.5
    same = f"{20 + amplitude * math.cos(math.radians(2 * (0 - 45))):.2f}"
    size = size_of((same, "12"), (same, "3"))
    assert size.faces[0].shape is None
    assert not size.sees_oval
    assert size.missing == "two crossed lines can miss an oval completely; add 1:30 and 4:30"


@pytest.mark.parametrize(
    ("lines", "advice"),
    [
        ((0.0,), "only one line across the hole, an oval cannot show; add 1:30, 3 and 4:30"),
        ((45.0,), "only one line across the hole, an oval cannot show; add 12, 3 and 4:30"),
        ((0.0, 90.0), "two crossed lines can miss an oval completely; add 1:30 and 4:30"),
        ((45.0, 135.0), "two crossed lines can miss an oval completely; add 12 and 3"),
        ((0.0, 45.0), "the lines are too close together to tell an oval; add 3 and 4:30"),
        ((0.0, 15.0, 30.0), "the lines are too close together to tell an oval; add 3 and 4:30"),
    ],
)
def test_advice_names_lines_that_are_not_measured_yet(lines: tuple[float, ...], advice: str) -> None:
    """What to add depends on what was read: never a line that is there already."""
    assert missing_lines(lines) == advice


def test_lines_too_close_fall_back_to_the_lines_themselves() -> None:
    """Three lines within an hour give no oval; smallest and largest line stand in, and the advice says so."""
    size = size_of(("19.40", "12"), ("19.44", "12:30"), ("19.42", "1"))
    assert not size.sees_oval
    assert size.smallest.value == pytest.approx(19.40)
    assert size.largest.value == pytest.approx(19.44)
    assert "too close together" in size.missing


def test_two_lines_give_their_means_and_pool_their_scatter() -> None:
    """With two lines smallest and largest are the line means, their repeats pooled over both."""
    size = size_of(("19.40", "12"), ("19.44", "12"), ("19.60", "3"), ("19.62", "3"))
    assert size.smallest.value == pytest.approx(19.42)
    assert size.largest.value == pytest.approx(19.61)
    pooled = math.sqrt((2 * 0.02**2 + 2 * 0.01**2) / 2)
    assert size.smallest.parts[0].u_mm == pytest.approx(pooled / math.sqrt(2))
    assert size.smallest.parts[0].dof == 2


def test_smallest_and_largest_are_taken_over_all_faces() -> None:
    """A far face worn wider gives the largest, the near face the smallest."""
    near = readings(*FOUR_LINES)
    far = [reading("20.50", "12", "10:01:00", face="far"), reading("20.40", "3", "10:01:01", face="far")]
    size = hole_size([*near, *far], {})
    assert [face.face for face in size.faces] == ["near", "far"]
    assert size.largest.value == pytest.approx(20.50)
    assert size.smallest.value < 19.42
    assert size.n_readings == 6
    assert size.best_face.face == "near"


def test_rounds_come_in_time_order() -> None:
    """Each round is one size, whatever the order in which the readings arrive."""
    later = reading("19.50", "12", "09:00:00", round_id="r2")
    sizes = hole_sizes([later, *readings(("19.42", "12"))], {})
    assert [size.round for size in sizes] == ["r1", "r2"]
    assert sizes[1].keys == ("r2 09:00:00",)


def test_worst_of_two_instruments_counts() -> None:
    """A bore gauge and an unnamed caliper at one hole: the caliper's limit is the one that counts."""
    gauge = Instrument(id="gauge", kind="bore gauge")
    sharp = [reading(size, clock, f"10:00:{k:02d}", with_="gauge") for k, (size, clock) in enumerate(FOUR_LINES)]
    mixed = [*sharp[:3], reading("19.64", "4:30", "10:00:03")]
    known = {"gauge": gauge}
    assert hole_size(sharp, known).smallest.parts[1].u_mm == pytest.approx(0.01 / math.sqrt(3))
    assert hole_size(mixed, known).smallest.parts[1].u_mm == pytest.approx(0.05 / math.sqrt(3))


def test_a_better_gauge_at_another_face_keeps_its_worth() -> None:
    """A bore gauge in the middle is not made worse by the caliper that was used at the mouth."""
    gauge = Instrument(id="gauge", kind="bore gauge")
    near = readings(*((f"{float(size) - 1:.2f}", clock) for size, clock in FOUR_LINES))
    middle = [
        reading(size, clock, f"10:01:{k:02d}", face="middle", with_="gauge")
        for k, (size, clock) in enumerate(FOUR_LINES)
    ]
    size = hole_size([*near, *middle], {"gauge": gauge})
    assert size.largest.parts[1].u_mm == pytest.approx(0.01 / math.sqrt(3))
    assert size.smallest.parts[1].u_mm == pytest.approx(0.05 / math.sqrt(3))


def test_no_reading_is_no_size() -> None:
    """Without readings there are no sizes, and asking for one says so."""
    assert hole_sizes([], {}) == ()
    with pytest.raises(MeasureError, match="No reading"):
        hole_size([], {})


def test_zero_spread_of_a_full_set_is_round_within_error() -> None:
    """Twelve equal readings are round within error, and the caliper's limit is still in the doubt."""
    size = size_of(*(("19.42", clock) for clock in ("12", "1:30", "3", "4:30") for _ in range(3)))
    shape = size.faces[0].shape
    assert shape is not None
    assert shape.is_round_within_error
    assert size.smallest.u_mm > 0.05 / math.sqrt(3)
