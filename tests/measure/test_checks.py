"""What the checks of an instrument do to the sizes measured with it."""

import datetime
import math

import pytest

from fieldlog.measure.checks import common_terms, jaws_on, standing_on
from fieldlog.measure.hole import HoleSize, hole_size
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Check, CheckKind, parse_shown_list
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Instrument

DAY = datetime.date(2026, 5, 1)


def check(kind: CheckKind, readings: str, size: str = "", *, days_before: int = 30, **more: str) -> Check:
    """Return a check so many days before the day of the readings."""
    tolerance = parse_length(more.pop("tolerance")) if "tolerance" in more else None
    known = parse_length(size) if size else None
    date = DAY - datetime.timedelta(days=days_before)
    return Check("blue", date, kind, parse_shown_list(readings), known, tolerance, **more)


def caliper(*checks: Check, jaw_width: str = "") -> Instrument:
    """Return a caliper with limits of 0.03 mm outside and 0.05 mm inside."""
    return Instrument(
        "blue",
        name="blue caliper",
        resolution=parse_length("0.01"),
        error_limit=parse_length("0.03"),
        inside_error_limit=parse_length("0.05"),
        jaw_width=parse_length(jaw_width) if jaw_width else None,
        jaw_width_error=parse_length("0.1") if jaw_width else None,
        checks=checks,
    )


def hole(instrument: Instrument, *sizes: str) -> HoleSize:
    """Return a hole read along four lines in turn."""
    readings = [
        BoreReading(
            at=f"10:00:{k:02d}", round="r", day=DAY, who="sam", hole="eye", size=parse_length(size),
            clock=parse_clock(("12", "1:30", "3", "4:30")[k % 4]), instrument="blue",
        )
        for k, size in enumerate(sizes)
    ]  # fmt: skip
    return hole_size(readings, {"blue": instrument})


SIZES = ("19.40", "19.41", "19.42", "19.41", "19.41", "19.40", "19.42", "19.40")


def test_unchecked_caliper_widens_and_says_so() -> None:
    """No check: 0.03 mm more, as a rectangle of its own in the budget, and a sentence."""
    size = hole(caliper(), *SIZES)
    part = next(part for part in size.largest.parts if "not checked" in part.name)
    assert part.half_width_mm == pytest.approx(0.03)
    assert part.is_limit
    assert "blue caliper not checked this season" in size.remarks[0]
    assert size.largest.plus_minus > hole(caliper(check("zero", "0.00 0.00")), *SIZES).largest.plus_minus


@pytest.mark.parametrize(
    ("days_before", "is_checked"), [(0, True), (365, True), (366, False), (-365, True), (-366, False)]
)
def test_a_season_is_a_year_from_the_reading(days_before: int, is_checked: bool) -> None:
    """A check counts up to 365 days from the reading, before it or after it."""
    standing = standing_on(caliper(check("zero", "0.00", days_before=days_before)), DAY, "inside")
    assert (not standing.remark) is is_checked


@pytest.mark.parametrize(("readings", "half_mm", "drifted"), [
    ("0.00 0.00", 0.005, False), ("0.02 0.02", 0.02, False), ("0.03", 0.03, False), ("0.04", 0.04, True),
    ("-0.06 -0.04", 0.05, True),
])  # fmt: skip
def test_zero_widens_by_what_it_read(readings: str, half_mm: float, drifted: bool) -> None:
    """The zero counts as a limit of what it was off by; over 0.03 mm it is said."""
    standing = standing_on(caliper(check("zero", readings)), DAY, "inside")
    assert standing.zero is not None
    assert standing.zero.half_width == pytest.approx(half_mm)
    assert ("over 0.03 mm" in standing.remark) is drifted


def test_drift_found_later_reaches_back() -> None:
    """Good in April, off by 0.05 mm in June: a reading in May may have either."""
    found = caliper(check("zero", "0.00"), check("zero", "0.05", days_before=-30))
    standing = standing_on(found, DAY, "inside")
    assert standing.zero is not None
    assert standing.zero.half_width == pytest.approx(0.05)
    older = caliper(check("zero", "0.05", days_before=60), check("zero", "0.00"))
    assert not standing_on(older, DAY, "inside").remark


def test_struck_and_slipped_checks_count_for_nothing() -> None:
    """A struck check, and one in the wrong unit, leave the caliper unchecked."""
    struck = caliper(check("zero", "0.00", struck="dirt"))
    slipped = caliper(check("known bore", "0.787", "20.00 mm"))
    for instrument in (struck, slipped):
        assert "not checked" in standing_on(instrument, DAY, "inside").remark
    assert jaws_on(slipped, DAY) is None


def test_known_outside_size_is_a_check_of_the_outside_jaws() -> None:
    """A gauge pin of 20.00 read 20.04: outside sizes widen by 0.04 and say so; inside ones stay unchecked."""
    instrument = caliper(check("known outside", "20.04", "20.00"))
    outside = standing_on(instrument, DAY, "outside")
    assert outside.zero is not None
    assert outside.zero.half_width == pytest.approx(0.04)
    assert "over 0.03" in outside.remark
    assert "not checked" in standing_on(instrument, DAY, "inside").remark


def test_jaw_width_corrects_every_reading_and_keeps_what_was_read() -> None:
    """W = 1.0 mm at 19.4: corrected by 1 / (2 x 19.4) = 0.026 mm, raw beside it, the jaws in the budget."""
    size = hole(caliper(check("zero", "0.00"), jaw_width="1.0 mm"), *SIZES)
    group = size.faces[0].groups[0]
    assert group.read_mm == (19.40, 19.41)
    assert group.sizes_mm == pytest.approx([math.hypot(read, 1.0) for read in group.read_mm])
    assert all(corrected > read for corrected, read in zip(group.sizes_mm, group.read_mm, strict=True))
    part = next(part for part in size.largest.parts if "width of the inside jaws" in part.name)
    assert part.half_width_mm == pytest.approx(1.0 * 0.1 / 19.41, rel=1e-3)


def test_known_bore_takes_the_offset_off_and_narrows_the_limit() -> None:
    """A bore of 20 mm reads 19.95: the 0.05 comes off at 20 mm; the scale's limit, 0.03, is what remains of 0.05."""
    instrument = caliper(check("zero", "0.00"), check("known bore", "19.95 19.95 19.95", "20.000", tolerance="0.005"))
    size = hole(instrument, *(["19.95"] * 8))
    assert size.smallest.value == pytest.approx(20.0, abs=0.001)
    limits = [part for part in size.smallest.parts if "jaws" in part.name and "limit" in part.source]
    assert [round(part.half_width_mm, 3) for part in limits] == [0.03]


def test_two_known_bores_are_learnt_from_typed_readings() -> None:
    """Bores of 8 and 25 mm read with w = 1.5 mm and an offset of 0.02 mm, typed to 0.01 mm."""
    typed = {size: f"{math.sqrt(size**2 - 1.5**2) - 0.02:.2f}" for size in (8.0, 25.0)}
    checks = [check("known bore", " ".join([text] * 5), f"{size:g}", tolerance="0.003") for size, text in typed.items()]
    jaws = jaws_on(caliper(*checks), DAY)
    assert jaws is not None
    assert jaws.offset_mm == pytest.approx(0.02, abs=2 * jaws.offset.u_mm)
    assert jaws.width is not None
    assert jaws.width_mm == pytest.approx(1.5, abs=2 * jaws.width.u_mm)
    assert jaws.offset.u_mm < 0.02


def test_jaws_wider_than_the_hole_are_said_and_not_applied() -> None:
    """Jaws of 4 mm in a hole that reads 3.5: nothing is corrected, the sentence says what to mend."""
    size = hole(caliper(check("zero", "0.00"), jaw_width="4.0 mm"), "3.50", "3.51", "3.50", "3.51")
    assert "do not go into a hole" in size.remarks[0]
    assert size.faces[0].groups[0].sizes_mm == (3.50,)


def test_tapes_need_no_check() -> None:
    """A tape has its class; nothing is added for a check that it cannot have."""
    tape = Instrument("tape", kind="tape", tape_class="II")
    assert standing_on(tape, DAY, "length").zero is None
    assert len(common_terms(tape, "length", DAY, 650)) == 1


@pytest.mark.parametrize("typed", ["0", "0 in", "0 mm 0.01 mm 0"])
def test_a_bare_zero_is_as_fine_as_the_display_not_a_whole_inch(typed: str) -> None:
    """Who types 0 for 0.0000 in has not read the caliper to an inch."""
    inch = Instrument("i", resolution=parse_length("0.0005 in"), checks=caliper(check("zero", typed)).checks)
    for instrument in (caliper(check("zero", typed)), inch):
        zero = standing_on(instrument, DAY, "outside").zero
        assert zero is not None
        assert zero.u < 0.01
