"""Pin-to-pin lengths: every way of hooking a tape comes back to the true centre distance."""

import datetime
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.lengths import LinkLength, functional, functional_lengths, link_length
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.value import Value
from fieldlog.records.entries import LengthReading, TapeWay
from fieldlog.records.machine import Instrument
from tests.values import part, sized

DAY = datetime.date(2026, 3, 14)
EXAMPLES = settings(max_examples=100, derandomize=True, deadline=None)
NEAR = sized(19.42, (part("near hole", 0.03, math.inf, "x"),))
FAR = sized(22.75, (part("far hole", 0.03, math.inf, "x"),))
TRUE_MM = 650.0


def taped(way: TapeWay, text: str, at: int = 0) -> LengthReading:
    """Return a tape reading of the one link."""
    at_text = f"10:00:{at:02d}"
    return LengthReading(at=at_text, round="r", day=DAY, who="sam", link="top", size=parse_length(text), way=way)


def edge_mm(way: TapeWay, near_mm: float, far_mm: float, centres_mm: float = TRUE_MM) -> float:
    """Return what a tape reads between hole edges, from where the edges stand on a line.

    The near hole's centre is at 0 and the far one's at the centre distance; outer edges face away.
    """
    near_outer, near_inner = -near_mm / 2, near_mm / 2
    far_inner, far_outer = centres_mm - far_mm / 2, centres_mm + far_mm / 2
    ends = {
        "outer to inner": (near_outer, far_inner),
        "inner to outer": (near_inner, far_outer),
        "outside": (near_outer, far_outer),
        "inside": (near_inner, far_inner),
        "centres": (0.0, centres_mm),
    }
    start, end = ends[way]
    return end - start


def answer(readings: list[LengthReading], near: Value | None = NEAR, far: Value | None = FAR) -> LinkLength:
    """Return the length of the link, which must be there."""
    length = link_length(readings, near, far, {})
    assert length is not None
    return length


def centres(length: LinkLength) -> Value:
    """Return the centre distance, which must be known."""
    assert length.centres is not None
    return length.centres


WAYS: tuple[TapeWay, ...] = ("outer to inner", "inner to outer", "outside", "inside", "centres")


@EXAMPLES
@given(way=st.sampled_from(WAYS), near=st.floats(12, 60), far=st.floats(12, 60), distance=st.integers(200, 1200))
def test_every_way_comes_back_to_the_centres(way: TapeWay, near: float, far: float, distance: int) -> None:
    """With both diameters known, one reading any way gives the true centre distance."""
    text = f"{edge_mm(way, near, far, distance):.6f} mm"
    length = answer([taped(way, text)], sized(near, NEAR.terms), sized(far, FAR.terms))
    assert centres(length).value == pytest.approx(distance, abs=2e-6)
    assert len(length.ways) == 1


@pytest.mark.parametrize(("first", "second"), [("outer to inner", "inner to outer"), ("outside", "inside")])
def test_opposite_ways_need_no_diameters(first: TapeWay, second: TapeWay) -> None:
    """Both same-side ways, or outside with inside, are exact halved, whatever the holes are."""
    pair = [taped(way, f"{edge_mm(way, 19.42, 22.75):.3f}", k) for k, way in enumerate((first, second))]
    length = answer(pair, None, None)
    assert centres(length).value == pytest.approx(TRUE_MM, abs=1e-3)
    assert length.remarks == ()
    assert length.keys == ("r 10:00:00", "r 10:00:01")


def test_unequal_holes_matter_by_half_their_difference() -> None:
    """Trade knowledge, fact 5: 19.42 against 22.75 mm is a 1.67 mm mistake when the correction is left out."""
    reading = edge_mm("outer to inner", 19.42, 22.75)
    found = centres(answer([taped("outer to inner", f"{reading:.3f}")])).value
    assert found == pytest.approx(TRUE_MM, abs=1e-3)
    assert found - reading == pytest.approx(1.665, abs=1e-3)


@pytest.mark.parametrize("way", ["outer to inner", "inner to outer", "outside", "inside"])
def test_unknown_holes_ask_for_the_other_way(way: TapeWay) -> None:
    """Without diameters one way alone gives no number, but the way that would."""
    length = answer([taped(way, "650")], NEAR, None)
    partner = {
        "outer to inner": "inner to outer",
        "inner to outer": "outer to inner",
        "outside": "inside",
        "inside": "outside",
    }
    assert length.centres is None
    assert f"tape {partner[way]} too" in length.needs


def test_no_reading_is_no_length() -> None:
    """A link that was never taped has no length, which is not an error."""
    assert link_length([], NEAR, FAR, {}) is None


def test_pair_that_disagrees_with_the_holes_is_named() -> None:
    """Outside minus inside must be the sum of the diameters within 1.5 mm; else a wrong edge or hole is likely."""
    outside, inside = (edge_mm(way, 19.42, 22.75) for way in ("outside", "inside"))
    good = answer([taped("outside", f"{outside + 1.4:.2f}"), taped("inside", f"{inside:.2f}", 1)])
    bad = answer([taped("outside", f"{outside + 1.7:.2f}"), taped("inside", f"{inside:.2f}", 1)])
    assert good.remarks == ()
    assert len(bad.remarks) == 1
    assert "wrong edge, a wrong hole or a bad reading" in bad.remarks[0]
    assert "42.2 mm" in bad.remarks[0]


def test_outside_shorter_than_inside_is_named_without_diameters() -> None:
    """Outside is always the longer one; when it is not, the two were swapped."""
    length = answer([taped("outside", "620"), taped("inside", "660", 1)], None, None)
    assert "swapped" in length.remarks[0]


def test_repeats_of_one_way_far_apart_are_named() -> None:
    """Taped twice and 10 mm apart: said, not averaged in silence; 1 mm apart is what a tape does."""
    far_apart = answer([taped("centres", "650"), taped("centres", "660", 1)])
    near = answer([taped("centres", "650"), taped("centres", "651", 1)])
    assert "10.0 mm apart" in far_apart.remarks[0]
    assert near.remarks == ()
    assert centres(near).value == pytest.approx(650.5)


def test_ways_that_disagree_are_named() -> None:
    """Two ways further apart than their doubt together: an edge was mistaken."""
    good = edge_mm("outer to inner", 19.42, 22.75)
    length = answer([taped("outer to inner", f"{good:.2f}"), taped("centres", "672", 1)])
    assert len(length.ways) == 2
    assert any("an edge was mistaken" in remark for remark in length.remarks)
    agreeing = answer([taped("outer to inner", f"{good:.2f}"), taped("centres", "650.8", 1)])
    assert agreeing.remarks == ()


def test_ways_are_weighted_by_their_doubt() -> None:
    """The mean of several ways lies nearer the surer one, weights 1 / u^2."""
    edge = answer([taped("outer to inner", f"{edge_mm('outer to inner', 19.42, 22.75):.3f}")])
    by_eye = answer([taped("centres", "651")])
    both = answer(
        [taped("outer to inner", f"{edge_mm('outer to inner', 19.42, 22.75):.3f}"), taped("centres", "651", 1)]
    )
    w_edge, w_eye = (1 / centres(one).u_mm ** 2 for one in (edge, by_eye))
    expected = (w_edge * centres(edge).value + w_eye * 651) / (w_edge + w_eye)
    assert centres(both).value == pytest.approx(expected, abs=1e-9)
    assert centres(edge).u_mm < centres(by_eye).u_mm


def test_single_length_is_good_to_about_a_millimetre() -> None:
    """Common practice: one taped length is worth about 1.0 to 1.5 mm at 95 %, tape class, hook and eye together.

    Class II 0.5 mm and hook and eye 1.0 mm are two rectangles: 95 % of their trapezoid is 1.5 - 2 sqrt(0.05 x 0.5).
    """
    length = centres(answer([taped("centres", "650.0"), taped("outer to inner", "651.66", 1)]))
    single = centres(answer([taped("outer to inner", "651.66")], sized(19.42, ()), sized(22.75, ())))
    assert single.plus_minus == pytest.approx(1.5 - 2 * math.sqrt(0.05 * 0.5), abs=0.02)
    assert length.plus_minus <= single.plus_minus + 0.02


def test_two_setups_halve_no_tape_but_share_hook_and_eye() -> None:
    """The tape's class limit is common to repeats; hook and eye shrink with the root of their number."""
    two = centres(answer([taped("centres", "650.0"), taped("centres", "650.0", 1)]))
    one = centres(answer([taped("centres", "650.0")]))
    tape = one.parts[0].u_mm
    assert two.parts[0].u_mm == tape
    (hook_of_two,), (hook_of_one,) = (
        [p for p in size.parts if p.name.startswith("hook and eye")] for size in (two, one)
    )
    assert hook_of_two.u_mm == pytest.approx(hook_of_one.u_mm / math.sqrt(2))


def test_just_under_is_said() -> None:
    """A lean moved the value, and the remark says by what."""
    length = answer([taped("centres", "20 3/4-")])
    assert "quarter step under" in length.remarks[0]


def test_functional_lengths_without_clearance_are_the_centres() -> None:
    """Tight pins leave one length and no backlash."""
    assert functional_lengths(650, 0, 0) == (650, 650, 0)


PINS = (
    sized(19.0, (part("near pin", 0.02, math.inf, "x"),)),
    sized(22.0, (part("far pin", 0.02, math.inf, "x"),)),
)


def over_pins_mm(way: TapeWay, near_mm: float, far_mm: float, near_pin_mm: float, far_pin_mm: float) -> float:
    """Return what a tape reads over the pins, the pins against the outer edges pulled, the inner ones pushed."""
    side = 1 if way == "over pins, pulled" else -1
    near_centre = -side * (near_mm - near_pin_mm) / 2
    far_centre = TRUE_MM + side * (far_mm - far_pin_mm) / 2
    return (far_centre + far_pin_mm / 2) - (near_centre - near_pin_mm / 2)


OVER: tuple[TapeWay, TapeWay] = ("over pins, pulled", "over pins, pushed")


@EXAMPLES
@given(st.floats(12, 60), st.floats(12, 60), st.floats(0, 2), st.floats(0, 2), st.sampled_from(OVER))
def test_over_the_pins_comes_back_to_the_centres(
    near: float, far: float, near_slack: float, far_slack: float, way: TapeWay
) -> None:
    """Pulled or pushed tight, with holes and pins known, the true distance; both halved need no hole at all."""
    pins = (sized(near - near_slack), sized(far - far_slack))
    read = {w: over_pins_mm(w, near, far, pins[0].value, pins[1].value) for w in OVER}
    one = link_length([taped(way, f"{read[way]:.4f}")], sized(near), sized(far), {}, pins)
    assert one is not None
    assert centres(one).value == pytest.approx(TRUE_MM, abs=2e-4)
    both = [taped(w, f"{read[w]:.4f}", k) for k, w in enumerate(OVER)]
    pair = link_length(both, None, None, {}, pins)
    assert pair is not None
    assert centres(pair).value == pytest.approx(TRUE_MM, abs=2e-4)


def test_over_the_pins_without_holes_is_wide_but_there() -> None:
    """L less half of each pin, as trade practice has it, and where the pins lie is part of the doubt."""
    length = link_length([taped(OVER[0], "671.05")], None, None, {}, PINS)
    assert length is not None
    assert centres(length).value == pytest.approx(671.05 - (19.0 + 22.0) / 2, abs=1e-9)
    assert any("slack" in part.name for part in centres(length).parts)
    known = link_length([taped(OVER[0], "671.05")], NEAR, FAR, {}, PINS)
    assert known is not None
    assert centres(known).u_mm < centres(length).u_mm


def test_over_the_pins_without_pins_asks_for_them() -> None:
    """Pushed tight needs the pins even where the holes are known."""
    length = link_length([taped(OVER[1], "668")], NEAR, FAR, {})
    assert length is not None
    assert length.centres is None
    assert "pins" in length.needs


def test_slack_taped_over_the_pins_is_checked_against_holes_less_pins() -> None:
    """Pulled less pushed is the slack of both pins: 19.42 + 22.75 - 41 = 1.17; 6 mm is a misread."""
    read = [over_pins_mm(way, 19.42, 22.75, 19.0, 22.0) for way in OVER]
    good = link_length(
        [taped(w, f"{r:.2f}", k) for k, (w, r) in enumerate(zip(OVER, read, strict=True))], NEAR, FAR, {}, PINS
    )
    bad = link_length([taped(OVER[0], f"{read[0] + 5:.2f}"), taped(OVER[1], f"{read[1]:.2f}", 1)], NEAR, FAR, {}, PINS)
    swapped = link_length([taped(OVER[0], "660"), taped(OVER[1], "670", 1)], NEAR, FAR, {}, PINS)
    assert good is not None
    assert bad is not None
    assert swapped is not None
    assert any("pulled less pushed is 1.2 mm" in check for check in good.checks)
    assert any("not pulled tight" in remark for remark in bad.remarks)
    assert any("swapped" in remark for remark in swapped.remarks)


def test_a_tape_held_at_a_mark_gives_the_difference() -> None:
    """678 read from the 100 mm mark is 578, without the hook and so with less doubt."""
    reading = replace(taped("outer to inner", "678"), start=parse_length("100 mm"))
    from_mark, hooked = (link_length([r], NEAR, NEAR, {}) for r in (reading, taped("outer to inner", "578")))
    assert from_mark is not None
    assert hooked is not None
    assert centres(from_mark).value == centres(hooked).value == 578
    assert centres(from_mark).u_mm < centres(hooked).u_mm
    assert not any("hook" in part.name for part in centres(from_mark).parts)


def test_a_hook_known_to_be_loose_stays_however_often_it_is_used() -> None:
    """The slop of the instrument does not shrink with repeats; reading by eye does."""
    loose = Instrument("tape", "tape", tape_class="II", hook_slop=parse_length("2 mm"))

    def doubt(count: int, tape: Instrument) -> float:
        readings = [replace(taped("outer to inner", "578.0", k), instrument="tape") for k in range(count)]
        length = link_length(readings, NEAR, NEAR, {"tape": tape})
        assert length is not None
        return centres(length).u_mm

    assert doubt(1, loose) > doubt(1, replace(loose, hook_slop=None))
    assert doubt(25, loose) > 2 / math.sqrt(3)
    assert doubt(1, replace(loose, hook_slop=parse_length("0.1 mm"))) < doubt(1, replace(loose, hook_slop=None))


def test_taped_twice_says_how_far_apart() -> None:
    """Both set-ups are averaged and their agreement is said."""
    length = answer([taped("centres", "650.0"), taped("centres", "651.6", 1)])
    assert centres(length).value == pytest.approx(650.8)
    assert "centres taped twice, 1.6 mm apart: averaged" in length.checks


def test_working_lengths_carry_the_doubt_of_both_clearances() -> None:
    """Trade knowledge 1.5: C 650 with 0.6 and 1.1: 650.85 and 649.15, 1.7 of backlash (derived)."""
    near, far = (sized(mm, (part("clearance", 0.1, math.inf, "x"),)) for mm in (0.6, 1.1))
    found = functional(sized(650.0, (part("tape", 0.5, math.inf, "x"),)), near, far)
    assert (found.tight.value, found.slack.value) == pytest.approx((650.85, 649.15), abs=1e-9)
    assert found.backlash.value == pytest.approx(1.7, abs=1e-9)
    assert found.tight.u_mm == pytest.approx(math.sqrt(0.5**2 + 2 * 0.05**2))
    assert found.backlash.u_mm == pytest.approx(0.1 * math.sqrt(2))
    tight = functional(sized(650), sized(-0.3), sized(0.0))
    assert tight.backlash.value == 0


def test_the_jaws_that_read_both_holes_drop_out_of_outside_pulled_tight_and_double_in_the_backlash() -> None:
    """L - (D1 + D2)/2 + (D1 - d1 + D2 - d2)/2 = L - (d1 + d2)/2: the holes' error is gone, in D1 + D2 it is twice."""
    jaws = part("jaws", 0.02, source_id="jaws")
    near, far = sized(19.5, (jaws,)), sized(22.6, (jaws,))
    clearances = [hole - pin for hole, pin in ((near, 19.0), (far, 22.0))]
    works = functional(centres(answer([taped("outside", "671")], near, far)), clearances[0], clearances[1])
    tight, slack, backlash = (
        math.fsum(row.u for row in size.rows if row.source.id == "jaws")
        for size in (works.tight, works.slack, works.backlash)
    )
    assert (tight, slack, backlash) == pytest.approx((0.0, 0.04, 0.04))
    assert works.tight.value == pytest.approx(671 - (19 + 22) / 2)
