"""What is said at once at the hole: each doubt appears when it should and stays silent when it should not."""

import datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.flags import bore_flags, meter_flag, refused_hole_size, repeats_agree_mm, typed_with_unit
from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading

TODAY = datetime.date(2026, 3, 14)
BEFORE = datetime.date(2025, 10, 2)
FULL = (("19.42", "12"), ("19.44", "1:30"), ("19.46", "3"), ("19.44", "4:30"))
EXAMPLES = settings(max_examples=200, derandomize=True, deadline=None)


def measured(*sizes: tuple[str, str], day: datetime.date = TODAY) -> HoleSize:
    """Return the hole's size from near-face readings on a day."""
    entries = [
        BoreReading(
            at=f"10:00:{k:02d}",
            round=f"{day.isoformat()}-sam",
            day=day,
            who="sam",
            hole="eye",
            size=parse_length(size),
            clock=parse_clock(clock),
        )
        for k, (size, clock) in enumerate(sizes)
    ]
    return hole_size(entries, {})


def kinds(size_mm: float, now: HoleSize, *before: HoleSize, step_mm: float = 0.01) -> list[str]:
    """Return the kinds of the flags, in the order in which they are said."""
    return [flag.kind for flag in bore_flags(size_mm, now, before, repeats_agree_mm("caliper", step_mm), "mm")]


def test_sound_full_set_is_left_in_peace() -> None:
    """A full set like last time's, a little larger, raises no doubt at all."""
    last = measured(*FULL, day=BEFORE)
    now = measured(("19.45", "12"), ("19.47", "1:30"), ("19.50", "3"), ("19.47", "4:30"))
    assert kinds(19.47, now, last) == []


def test_first_measuring_of_a_hole_has_nothing_to_be_smaller_than() -> None:
    """Without a past no size is too small."""
    assert kinds(19.42, measured(*FULL)) == []


def test_smaller_than_ever_beyond_the_doubt_asks_to_try_again() -> None:
    """0.4 mm under the smallest ever: a bore can only grow, so clean and measure again."""
    now = measured(("19.00", "12"))
    flags = bore_flags(19.0, now, [measured(*FULL, day=BEFORE)], 0.06, "mm")
    shrunk = next(flag for flag in flags if flag.kind == "shrunk")
    assert "A bore can only grow" in shrunk.text
    assert "19.00 mm is 0.420 mm under the smallest" in shrunk.text


def test_smaller_than_ever_within_the_doubt_is_worded_milder() -> None:
    """0.03 mm under the smallest ever is within a caliper's doubt and said as that."""
    now = measured(("19.39", "12"))
    flags = bore_flags(19.39, now, [measured(*FULL, day=BEFORE)], 0.06, "mm")
    assert [flag.kind for flag in flags] == ["small"]
    assert "within the doubt" in flags[0].text


def test_line_smaller_than_last_time_is_named_by_its_clock() -> None:
    """The largest line shrank beyond the doubt although the hole's smallest did not: the line is named."""
    last = measured(("19.42", "12"), ("19.80", "3"), day=BEFORE)
    now = measured(("19.43", "12"), ("19.50", "3"))
    flags = bore_flags(19.50, now, [last], 0.06, "mm")
    line = next(flag for flag in flags if flag.kind == "line shrunk")
    assert line.text.startswith("3-9 reads 0.300 mm less than last time")


def test_line_is_compared_with_the_last_time_it_was_measured() -> None:
    """A line skipped last time is compared with the time before that; its other end is the same line."""
    long_ago = measured(("19.80", "3"), day=datetime.date(2024, 5, 1))
    last = measured(("19.42", "12"), day=BEFORE)
    now = measured(("19.43", "12"), ("19.50", "9"))
    assert "line shrunk" in kinds(19.50, now, long_ago, last)


@pytest.mark.parametrize(
    ("second", "step_mm", "said"),
    [("19.48", 0.01, False), ("19.49", 0.01, True), ("19.52", 0.0254, False), ("19.53", 0.0254, True)],
)
def test_repeats_too_far_apart(second: str, step_mm: float, said: bool) -> None:
    """Common practice: 0.06 mm is the most three repeats differ; with a coarse step, four steps are."""
    now = measured(("19.42", "12"), (second, "12"), ("19.45", "1:30"), ("19.45", "3"))
    assert ("spread" in kinds(19.45, now, step_mm=step_mm)) == said


def test_two_crossed_lines_are_pointed_out_until_a_third_comes() -> None:
    """After 12 and 3 an oval can still hide completely; a third line ends the flag, one line is no cross."""
    assert kinds(19.42, measured(("19.42", "12"))) == []
    crossed = bore_flags(19.42, measured(("19.42", "12"), ("19.42", "3")), [], 0.06, "mm")
    assert [flag.kind for flag in crossed] == ["crossed"]
    assert "an oval completely; add 1:30 and 4:30" in crossed[0].text
    assert kinds(19.42, measured(("19.42", "12"), ("19.42", "3"), ("19.43", "1:30"))) == []


def test_readings_that_fit_no_oval_are_pointed_out() -> None:
    """A flat or burr at one line, well repeated, is no oval."""
    clocks = ("12", "1", "2", "3", "4", "5")
    sizes = [("20.40" if clock == "2" else "20.00", clock) for clock in clocks for _ in range(3)]
    assert "misfit" in kinds(20.0, measured(*sizes))


@pytest.mark.parametrize("bad", ["0.764 mm", "7.64 in"])
def test_unit_slip_that_was_insisted_on_is_flagged(bad: str) -> None:
    """A size with its unit is taken, but off by 25.4 from last time it is the first thing said."""
    last = measured(*FULL, day=BEFORE) if bad.endswith("mm") else measured(("7.64", "12"), day=BEFORE)
    now = measured((bad, "12"))
    flags = bore_flags(float(parse_length(bad).mm), now, [last], 0.06, "mm")
    assert flags[0].kind == "unit"
    assert "mm and inches" in flags[0].text


def test_unit_slip_is_seen_within_one_round() -> None:
    """With no past the other readings of the round tell that one is in the wrong unit."""
    now = measured(("19.42", "12"), ("19.44", "3"), ("0.765 mm", "1:30"))
    assert kinds(0.765, now)[0] == "unit"


@pytest.mark.parametrize(
    ("text", "units", "expected_mm", "needle"),
    [
        ("0.755", "mm", 19.2, "did you mean 0.755 in (19.18 mm)?"),
        ("0.755", "mm", None, "did you mean 0.755 in (19.18 mm)?"),
        ("19.42", "in", 19.4, "did you mean 19.42 mm?"),
        ("19.42", "in", None, "did you mean 19.42 mm?"),
        ("9", "in", None, "did you mean 9 mm?"),
    ],
)
def test_number_off_by_an_inch_is_refused_with_a_question(
    text: str, units: Units, expected_mm: float | None, needle: str
) -> None:
    """A number typed without a unit and off by about 25.4 is asked about, and the way to insist is said."""
    refusal = refused_hole_size(text, parse_length(text, units), expected_mm, units)
    assert needle in refusal
    assert "Type the unit too" in refusal


@pytest.mark.parametrize("text", ["0.755 mm", "0.755mm", "0.755 MM"])
def test_unit_typed_is_insisting(text: str) -> None:
    """With the unit typed, spaced or not, the same number is taken."""
    assert refused_hole_size(text, parse_length(text), 19.2, "mm") == ""


@pytest.mark.parametrize(("text", "units"), [("0", "mm"), ("0 mm", "mm"), ("0.00", "in"), ("0/8", "mm")])
def test_hole_of_nothing_is_refused(text: str, units: Units) -> None:
    """A hole of 0 is refused, unit or not."""
    assert "a hole has a size" in refused_hole_size(text, parse_length(text, units), None, units)


@pytest.mark.parametrize(("text", "refused"), [("200", False), ("200.1", True), ("250 mm", True), ("8 in", True)])
def test_hole_over_200_mm_is_refused(text: str, refused: bool) -> None:
    """200 mm is the most a pin hole has here, unit or not."""
    assert bool(refused_hole_size(text, parse_length(text), None, "mm")) == refused


def test_large_slip_with_its_unit_is_refused_with_the_question() -> None:
    """19.42 in is no hole; the refusal also asks for what was likely meant."""
    refusal = refused_hole_size("19.42in", parse_length("19.42in"), 19.4, "in")
    assert "at most 200 mm" in refusal
    assert "did you mean 19.42 mm?" in refusal


@EXAMPLES
@given(expected=st.floats(8, 120), factor=st.floats(0.93, 1.5))
def test_worn_or_misread_sizes_are_never_a_slip(expected: float, factor: float) -> None:
    """A size anywhere near what the hole was is taken."""
    text = f"{expected * factor:.2f}"
    assert refused_hole_size(text, parse_length(text), expected, "mm") == ""


@EXAMPLES
@given(expected=st.floats(8, 120), off=st.floats(-0.07, 0.07))
def test_every_slip_within_eight_percent_is_asked_about(expected: float, off: float) -> None:
    """Inches typed into a mm logbook are caught over the whole range of holes."""
    text = f"{expected * (1 + off) / 25.4:.4f}"
    assert "did you mean" in refused_hole_size(text, parse_length(text), expected, "mm")


@pytest.mark.parametrize(
    ("text", "unit"),
    [("19.42", False), ("19,42", False), ("3/4", True), ("0.755 in", True), ('0.755"', True), ("20½", True)],
)
def test_unit_is_seen_in_what_was_typed(text: str, unit: bool) -> None:
    """Words, inch marks and fractions name their unit; bare decimals do not."""
    assert typed_with_unit(text) == unit


@pytest.mark.parametrize(
    ("hours", "last", "days", "kind"),
    [
        ("1240", "1240", 0, None),
        ("1239.9", "1240", 3, "hours back"),
        ("1264", "1240", 0, None),
        ("1264.1", "1240", 0, "hours fast"),
        ("1288", "1240", 1, None),
        ("1290", "1240", 1, "hours fast"),
        ("1300", "1240", 30, None),
    ],
)
def test_meter_hours(hours: str, last: str, days: int, kind: str | None) -> None:
    """A meter never runs backwards, nor faster than 24 h a day counting both days whole."""
    flag = meter_flag(Decimal(hours), Decimal(last), TODAY - datetime.timedelta(days), TODAY)
    assert (flag.kind if flag else None) == kind


def test_meter_that_runs_backwards_says_how_to_record_a_new_one() -> None:
    """The sentence names both readings and the way out when the meter was replaced."""
    flag = meter_flag(Decimal(12), Decimal(1240), BEFORE, TODAY)
    assert flag is not None
    assert "12 h is under the 1240 h of 2 Oct 2025" in flag.text
    assert "replaced" in flag.text


def test_first_meter_reading_is_taken() -> None:
    """There is nothing to compare the first reading with."""
    assert meter_flag(Decimal(12), None, None, TODAY) is None


@pytest.mark.parametrize(("kind", "is_wide"), [("caliper", False), ("telescoping gauge", True)])
def test_tries_with_a_telescoping_gauge_agree_more_closely(kind: str, is_wide: bool) -> None:
    """Three tries within 0.02 mm with such a gauge, within 0.06 with a caliper (trade knowledge 2.4)."""
    now = measured(("19.42", "12"), ("19.45", "12"), ("19.43", "12"))
    found = [flag.kind for flag in bore_flags(19.43, now, [], repeats_agree_mm(kind, 0.01), "mm")]
    assert ("spread" in found) is is_wide
