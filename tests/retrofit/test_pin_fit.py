"""Eyes on pins: fits, loose, ream, drill, sleeve, cannot; inch and metric."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.measure.estimate import exactly
from fieldlog.records.offer import EndKind
from fieldlog.retrofit.figures import OfferFigure, Source
from fieldlog.retrofit.pin_fit import SLEEVE_WALL_LEAST_MM, Eye, Fit, PinThere, pin_fit
from fieldlog.retrofit.tools import tool_for
from fieldlog.standards.pins import NOMINAL_PINS
from tests.retrofit.offers import taped

SIZES = {pin.name: float(pin.mm) for pin in NOMINAL_PINS}


def eye(mm: float, source: Source = "measured", kind: EndKind | None = None) -> Eye:
    """An eye with a hole known within a tenth."""
    return Eye("rod end", OfferFigure("rod_end_hole", taped(mm, 0.1), source, f"{mm:g} mm", "test"), kind)


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
    assert pin_fit(eye(hole_mm), PinThere(pin, SIZES[pin], "stated"), "mm").fit is fit


def test_a_hardened_ball_is_never_drilled() -> None:
    """Too small is out; too loose without room for a sleeve is out; a sleeve in a ball is sold ready-made."""
    pin = PinThere("7/8 in", 22.225, "stated")
    assert pin_fit(eye(19.4, kind="ball"), pin, "mm").fit is Fit.CANNOT
    assert pin_fit(eye(24.4, kind="swivel"), pin, "mm").fit is Fit.CANNOT
    assert pin_fit(eye(28.7, kind="ball"), pin, "mm").fit is Fit.SLEEVE


@pytest.mark.parametrize(("name", "other"), [("3/4 in", "19 mm"), ("19 mm", "3/4 in"), ("25.5 mm", "25.5 mm")])
def test_a_seller_names_a_hole_by_its_pin(name: str, other: str) -> None:
    """A stated hole of a pin's nominal size is for that pin, and for the pin that is one size with it."""
    found = pin_fit(eye(SIZES[name], "stated"), PinThere(other, SIZES[other], "stated"), "mm")
    assert found.fit is Fit.FITS


def test_a_stated_size_that_may_be_pin_or_hole_is_asked_about() -> None:
    """20 mm as the hole fits a 19 mm pin; as the pin it would be loose."""
    found = pin_fit(eye(20.0, "stated"), PinThere("19 mm", 19.0, "stated"), "mm")
    assert found.fit is Fit.UNKNOWN
    assert "Ask which is meant" in found.sentence


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
    hole = Eye("rod end", OfferFigure("rod_end_hole", exactly(hole_mm), "measured", "", ""))
    found = pin_fit(hole, PinThere("pin", pin_mm, ""), "mm")
    if found.fit is Fit.SLEEVE:
        assert found.wall_mm is not None
        assert found.wall_mm >= SLEEVE_WALL_LEAST_MM
    if found.fit in {Fit.FITS, Fit.LOOSE}:
        assert hole_mm >= pin_mm
    if found.tool is not None:
        assert 0.3 - 1e-6 <= found.tool.mm - pin_mm <= 0.8 + 1e-6
    if pin_mm > hole_mm:
        assert found.fit in {Fit.REAM, Fit.DRILL, Fit.CANNOT}
