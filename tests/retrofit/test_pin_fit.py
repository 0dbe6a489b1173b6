"""Eyes on pins: fits, loose, ream, drill, sleeve, cannot; inch and metric."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.estimate import Figure
from fieldlog.records.offer import EndKind
from fieldlog.retrofit.offers.link_facts import PinThere
from fieldlog.retrofit.offers.pins import SLEEVE_WALL_LEAST_MM, Eye, Fit, pin_fit
from fieldlog.retrofit.offers.sense import CylinderEnd, OfferFigure, Source
from fieldlog.retrofit.repair.metal import opening_numbers
from fieldlog.retrofit.repair.records import tool_for
from fieldlog.standards.joints import NOMINAL_PINS
from fieldlog.words.speak import say
from tests.retrofit.offers import taped
from tests.values import sized

SIZES = {pin.name: float(pin.mm) for pin in NOMINAL_PINS}


def eye(mm: float, source: Source = "measured", kind: EndKind | None = None) -> Eye:
    """An eye with a hole known within a tenth."""
    return Eye(CylinderEnd.ROD, OfferFigure("rod_end_hole", taped(mm, 0.1), source, f"{mm:g} mm"), kind)


@pytest.mark.parametrize(
    ("hole_mm", "pin", "fit"),
    [
        (19.5, "3/4 in", Fit.FITS),  # a plain hole 0.45 over its pin
        (28.7, "1-1/8 in", Fit.FITS),  # 0.13 over: tight but it goes
        (20.3, "3/4 in", Fit.LOOSE),
        (25.7, "3/4 in", Fit.SLEEVE),  # category 2 on category 1: wall 3.2, as the trade's 25.4/19 bush
        (22.4, "3/4 in", Fit.SLEEVE),  # wall 1.6: thin
        (21.0, "3/4 in", Fit.DRILL),  # too loose, and no wall for a sleeve
        (19.05, "3/4 in", Fit.REAM),
        (19.3, "7/8 in", Fit.DRILL),  # up one size: 17 % more hole
        (19.3, "1 in", Fit.CANNOT),  # up two sizes
        (22.05, "22 mm", Fit.REAM),
        (21.9, "22 mm", Fit.REAM),
    ],
)
def test_a_measured_hole_on_a_pin(hole_mm: float, pin: str, fit: Fit) -> None:
    """The rules of the trade at their turning points."""
    assert pin_fit(eye(hole_mm), PinThere(pin, SIZES[pin], "stated")).fit is fit


def test_a_hardened_ball_is_never_drilled() -> None:
    """Too small is out; too loose without room for a sleeve is out; a sleeve in a ball is sold ready-made."""
    pin = PinThere("7/8 in", 22.225, "stated")
    assert pin_fit(eye(19.4, kind="ball"), pin).fit is Fit.CANNOT
    assert pin_fit(eye(24.4, kind="swivel"), pin).fit is Fit.CANNOT
    assert pin_fit(eye(28.7, kind="ball"), pin).fit is Fit.SLEEVE


@pytest.mark.parametrize(("name", "other"), [("3/4 in", "19 mm"), ("19 mm", "3/4 in"), ("25.5 mm", "25.5 mm")])
def test_a_seller_names_a_hole_by_its_pin(name: str, other: str) -> None:
    """A stated hole of a pin's nominal size is for that pin, and for the pin that is one size with it."""
    found = pin_fit(eye(SIZES[name], "stated"), PinThere(other, SIZES[other], "stated"))
    assert found.fit is Fit.FITS


def test_a_stated_size_that_may_be_pin_or_hole_is_asked_about() -> None:
    """20 mm as the hole fits a 19 mm pin; as the pin it would be loose."""
    found = pin_fit(eye(20.0, "stated"), PinThere("19 mm", 19.0, "stated"))
    assert found.fit is Fit.UNKNOWN
    assert "Ask which is meant" in say(found.said, "mm")


@pytest.mark.parametrize(
    ("pin", "tool", "tool_mm"),
    [
        ("3/4 in", "49/64 in", 19.446875),
        ("7/8 in", "57/64 in", 22.621875),
        ("1 in", "1-1/64 in", 25.796875),
        ("19 mm", "19.5 mm", 19.5),
        ("25.5 mm", "26 mm", 26.0),
    ],
)
def test_the_drill_for_a_pin(pin: str, tool: str, tool_mm: float) -> None:
    """An inch pin takes a 64th over, a metric one a half millimetre."""
    found = tool_for(pin, SIZES[pin])
    assert found.name == tool
    assert found.mm == pytest.approx(tool_mm)


@given(hole_mm=st.floats(10, 60), pin_mm=st.floats(10, 60))
def test_every_hole_and_pin_have_an_answer_that_can_be_done(hole_mm: float, pin_mm: float) -> None:
    """No sleeve thinner than 1.5 mm, no pin driven into a smaller hole, no drill smaller than its pin."""
    hole = Eye(CylinderEnd.ROD, OfferFigure("rod_end_hole", sized(hole_mm), "measured", ""))
    found = pin_fit(hole, PinThere("pin", pin_mm, ""))
    if found.fit is Fit.SLEEVE:
        assert found.wall_mm is not None
        assert found.wall_mm >= SLEEVE_WALL_LEAST_MM
    if found.fit in {Fit.FITS, Fit.LOOSE}:
        assert hole_mm >= pin_mm
    if found.tool is not None:
        assert 0.3 - 1e-6 <= found.tool.mm - pin_mm <= 0.8 + 1e-6
    if pin_mm > hole_mm:
        assert found.fit in {Fit.REAM, Fit.DRILL, Fit.CANNOT}


def known_eye(hole_mm: float, outside_mm: float, width_mm: float = 44.0) -> Eye:
    """A rod end whose eye is known: hole, outside across it, width along the pin."""
    figures = {
        what: OfferFigure(f"rod_end_{what}", taped(mm, 0.1), "measured", f"{mm:g} mm")
        for what, mm in (("hole", hole_mm), ("outside", outside_mm), ("width", width_mm))
    }
    return Eye(CylinderEnd.ROD, figures["hole"], None, figures["width"], figures["outside"])


def test_an_eye_to_be_drilled_asks_for_its_outside() -> None:
    """Without it the metal left cannot be worked out; with the width known too, only the outside is asked for."""
    pin = PinThere("7/8 in", 22.225, "stated")
    assert "ask for the eye's outside across the hole and width along the pin" in say(
        pin_fit(eye(19.3), pin).said, "mm"
    )
    width = OfferFigure("rod_end_width", taped(44, 0.1), "measured", "44 mm")
    partly = Eye(CylinderEnd.ROD, eye(19.3).hole, None, width)
    assert "ask for the eye's outside across the hole." in say(pin_fit(partly, pin).said, "mm")


@pytest.mark.parametrize(
    ("outside_mm", "fit", "words"),
    [
        (80, Fit.DRILL, "walls of 28.69 ± 0.06 mm, 94.5 ± 0.2 % of as made: enough is left"),
        (50, Fit.DRILL, "ask a shop"),  # 1.1 holes from centre to end: under the thumb rule
        (40, Fit.CANNOT, "too little is left"),  # (40 - 22.62) / (40 - 19.3) = 84 % of the wall
        (22, Fit.CANNOT, "breaks out of an eye"),
    ],
)
def test_metal_left_decides_once_the_eye_is_known(outside_mm: float, fit: Fit, words: str) -> None:
    """19.3 opened to 57/64 in = 22.62 for a 7/8 in pin: the walls by hand, (outside - hole) / 2."""
    found = pin_fit(known_eye(19.3, outside_mm), PinThere("7/8 in", 22.225, "stated"))
    assert found.fit is fit
    assert words in say(found.said, "mm")


def test_two_sizes_up_may_go_where_the_eye_is_known_to_be_large() -> None:
    """The rule of a fifth more hole stands in for an eye nobody knows; 34 % more of a 120 mm eye keeps 93 % of it."""
    pin = PinThere("1 in", 25.4, "stated")
    assert pin_fit(eye(19.3), pin).fit is Fit.CANNOT
    found = pin_fit(known_eye(19.3, 120), pin)
    assert found.fit is Fit.DRILL
    assert "93.5 ± 0.1 % of as made" in say(found.said, "mm")  # (120 - 25.80) / (120 - 19.3)


def test_the_metal_left_opens_with_its_parts() -> None:
    """Wall = (outside - hole) / 2: half of the outside's doubt and half of the cutter's."""
    found = pin_fit(known_eye(19.3, 80), PinThere("7/8 in", 22.225, "stated"))
    assert found.opening is not None
    numbers = {number.word: number.estimate for number in opening_numbers(found.opening, "rod end")}
    wall = numbers["wall left, rod end"]
    assert isinstance(wall, Figure)
    assert wall.value == pytest.approx((80 - 22.621875) / 2)
    assert wall.u == pytest.approx(math.hypot(taped(80, 0.1).u_mm, 0.05 / math.sqrt(3)) / 2, rel=1e-4)
    assert {"wall kept, rod end", "strength kept, rod end"} <= numbers.keys()
