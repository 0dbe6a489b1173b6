"""What a cylinder does on a tractor: the worked example through the points, and what is asked for when missing."""

from dataclasses import replace

import pytest

from fieldlog.errors import QuantityError
from fieldlog.quantity.units import Flow
from fieldlog.retrofit.offers.sense import Check, Level
from fieldlog.retrofit.offers.work import Demand, OfferedCylinder, Supply, work_points
from tests.spoken import refused

# the trade's worked example: bore 2 in, rod 1-1/8 in, stroke 203, open 737, rated 20.7 MPa at 17.2 MPa and 5 gpm
OFFER = OfferedCylinder(50.8, 28.575, 203, 737, 20.7, "double")
SUPPLY = Supply(17.2, 18.9, 2, 9.525)
DEMAND = Demand(8.0, 1.1, 3.93, "box blade")


def point(topic: str, offer: OfferedCylinder = OFFER, supply: Supply = SUPPLY, demand: Demand | None = DEMAND) -> Check:
    """Return one point by its topic."""
    return next(item for item in work_points(offer, supply, demand, "top link") if item.topic == topic)


def test_the_worked_example_stands_in_the_points() -> None:
    """34.9 and 23.8 kN, 250 bar raised, 1.3 and 0.9 s, 122 kN (rod 28.6), 4.4 m/s, 0.49 and 0.72 mm, 275 bar."""
    text = " ".join(f"{item.sentence} {item.why}" for item in work_points(OFFER, SUPPLY, DEMAND, "top link"))
    for number in ("pulls 23.8 kN", "pushes 34.9 kN", "252 bar", "0.411 L", "0.281 L", "1.3 s", "0.9 s", "4.4 m/s"):
        assert number in text
    for number in ("0.49 mm", "0.72 mm", "275 bar", "bends at 121.", "safety 3.5"):
        assert number in text


def test_a_bounce_is_counted_of_what_is_carried_and_the_ring_pulls() -> None:
    """3.93 kN carried bounces to 11.8 kN, 8.5 MPa on the ring of 1386 mm2; the ground's push does not bounce."""
    assert point("force").level is Level.GOOD
    assert "85 bar" in point("force").sentence
    assert point("force", demand=Demand(8.0, 0.0, 8.0, "roller")).level is Level.LIMIT
    assert point("force", demand=Demand(30.0, 0.0, 3.0, "plough")).level is Level.NO


def test_a_load_that_reverses_needs_a_double_check_valve() -> None:
    """A single one holds one way; what must be ordered is named."""
    found = point("holding", replace(OFFER, check_valve="single"))
    assert found.level is Level.WORK
    assert "double pilot-operated" in found.part
    assert point("holding").level is Level.NOTE


def test_a_cylinder_rated_under_the_relief_is_refused() -> None:
    """It can be overloaded by the tractor itself."""
    assert point("rated pressure", replace(OFFER, rated_mpa=14.0)).level is Level.NO


@pytest.mark.parametrize(
    ("offer", "supply", "demand", "topic", "word"),
    [
        (replace(OFFER, bore_mm=None), SUPPLY, DEMAND, "force", "bore"),
        (replace(OFFER, stroke_mm=None), SUPPLY, DEMAND, "force", "stroke"),
        (replace(OFFER, open_mm=None), SUPPLY, DEMAND, "buckling", "open length"),
        (OFFER, replace(SUPPLY, relief_mpa=None), DEMAND, "relief pressure", "not written down"),
        (OFFER, replace(SUPPLY, flow_l_per_min=None), DEMAND, "speed", "not written down"),
        (OFFER, SUPPLY, None, "force", "pulls"),
    ],
)
def test_what_is_missing_is_asked_for(
    offer: OfferedCylinder, supply: Supply, demand: Demand | None, topic: str, word: str
) -> None:
    """Nothing is worked out from a figure that is not there; the rest still is."""
    found = point(topic, offer, supply, demand)
    assert found.level is Level.ASK
    assert word in found.sentence


def test_a_rod_thicker_than_its_bore_is_named_and_nothing_computed() -> None:
    """One point, unclear."""
    found = work_points(replace(OFFER, rod_mm=60), SUPPLY, DEMAND, "top link")
    assert [item.level for item in found] == [Level.UNCLEAR]
    assert "does not go into" in found[0].sentence


def test_flows_are_read_with_their_unit_only() -> None:
    """5 US gallons a minute are 18.93 L/min; a bare number or a pressure is refused."""
    assert Flow.from_text("5 gpm").l_per_min == pytest.approx(18.927, abs=1e-3)
    assert Flow.from_text("18.9 L/min").l_per_min == pytest.approx(18.9)
    for text in ("5", "5 bar", "0 gpm", "9999 L/min", "many"):
        with refused("flow", QuantityError):
            Flow.from_text(text)
