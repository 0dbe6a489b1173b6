"""What a cylinder does on a tractor: the worked example through the points, and what is asked for when missing."""

from dataclasses import dataclass, replace

import pytest

from fieldlog.errors import QuantityError
from fieldlog.quantity.units import Flow
from fieldlog.records.offer import CheckValve
from fieldlog.retrofit.carried import Measure
from fieldlog.retrofit.offers.cylinder import DISCHARGE, DROP_SHARE
from fieldlog.retrofit.offers.demand import work_numbers
from fieldlog.retrofit.offers.sense import Check, Level
from fieldlog.retrofit.offers.work import SUN_DEGC, Circumstances, Demand, work_points
from fieldlog.words.speak import say
from tests.retrofit.offers import spoken, topic
from tests.spoken import refused

# the trade's worked example: bore 2 in, rod 1-1/8 in, stroke 203, open 737, rated 20.7 MPa at 17.2 MPa and 5 gpm


@dataclass(frozen=True, slots=True)
class OfferedCylinder:
    """What an offer states, in mm and MPa."""

    bore_mm: float | None
    rod_mm: float | None
    stroke_mm: float | None
    open_mm: float | None
    rated_mpa: float | None
    check_valve: CheckValve | None


@dataclass(frozen=True, slots=True)
class Supply:
    """What a tractor gives: MPa, L/min, count, mm."""

    relief_mpa: float | None
    flow_l_per_min: float | None
    remotes: int | None
    hose_mm: float | None


OFFER = OfferedCylinder(50.8, 28.575, 203, 737, 20.7, "double")
SUPPLY = Supply(17.2, 18.9, 2, 9.525)
DEMAND = Demand(8.0, 1.1, 3.93, "box blade")


def points(offer: OfferedCylinder, supply: Supply, demand: Demand | None) -> tuple[Check, ...]:
    """Every point, of figures without doubt."""
    relief, rated = (10 * mpa if mpa is not None else None for mpa in (supply.relief_mpa, offer.rated_mpa))
    plain = {
        "bore": offer.bore_mm,
        "rod": offer.rod_mm,
        "stroke": offer.stroke_mm,
        "open": offer.open_mm,
        "relief": relief,
        "rated": rated,
        "working": min((bar for bar in (relief, rated) if bar is not None), default=None),
        "full": relief or rated,
        "flow": supply.flow_l_per_min,
        "hose": supply.hose_mm,
        "drop": DROP_SHARE,
        "discharge": DISCHARGE,
        "warming": SUN_DEGC,
        "tension": demand.tension_kn if demand is not None else None,
        "compression": demand.compression_kn if demand is not None else None,
        "carried": demand.carried_kn if demand is not None else None,
    }
    units = dict.fromkeys(("relief", "rated", "working", "full"), "bar")
    units |= dict.fromkeys(("tension", "compression", "carried"), "kN")
    figures = {
        key: Measure(value, (), key, unit=units.get(key, "mm")) for key, value in plain.items() if value is not None
    }
    there = Circumstances(offer.check_valve, "top link", supply.remotes, demand)
    return work_points(work_numbers(figures), there)


def point(about: str, offer: OfferedCylinder = OFFER, supply: Supply = SUPPLY, demand: Demand | None = DEMAND) -> Check:
    """Return one point by its topic."""
    return next(item for item in points(offer, supply, demand) if topic(item) == about)


def test_the_worked_example_stands_in_the_points() -> None:
    """34.9 and 23.8 kN, 250 bar raised, 1.3 and 0.9 s, 122 kN (rod 28.6), 4.4 m/s, 0.49 and 0.72 mm, 275 bar."""
    text = " ".join(
        f"{spoken(item)} {say(item.why, 'mm') if item.why is not None else ''}"
        for item in points(OFFER, SUPPLY, DEMAND)
    )
    for number in ("pulls 23.8 kN", "pushes 34.9 kN", "252 bar", "0.411 L", "0.281 L", "1.3 s", "0.9 s", "4.4 m/s"):
        assert number in text
    for number in ("0.49 mm", "0.72 mm", "275 bar", "bends at 121.", "safety 3.5"):
        assert number in text


def test_a_bounce_is_counted_of_what_is_carried_and_the_ring_pulls() -> None:
    """3.93 kN carried bounces to 11.8 kN, 8.5 MPa on the ring of 1386 mm2; the ground's push does not bounce."""
    assert point("force").level is Level.GOOD
    assert "85 bar" in spoken(point("force"))
    assert point("force", demand=Demand(8.0, 0.0, 8.0, "roller")).level is Level.LIMIT
    assert point("force", demand=Demand(30.0, 0.0, 3.0, "plough")).level is Level.NO


def test_a_load_that_reverses_needs_a_double_check_valve() -> None:
    """A single one holds one way; what must be ordered is named."""
    found = point("holding", replace(OFFER, check_valve="single"))
    assert found.level is Level.WORK
    assert found.part is not None
    assert "double pilot-operated" in say(found.part, "mm")
    assert point("holding").level is Level.NOTE


def test_a_cylinder_rated_under_the_relief_is_refused() -> None:
    """It can be overloaded by the tractor itself."""
    assert point("rated pressure", replace(OFFER, rated_mpa=14.0)).level is Level.NO


@pytest.mark.parametrize(
    ("offer", "supply", "demand", "about", "word"),
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
    offer: OfferedCylinder, supply: Supply, demand: Demand | None, about: str, word: str
) -> None:
    """Nothing is worked out from a figure that is not there; the rest still is."""
    found = point(about, offer, supply, demand)
    assert found.level is Level.ASK
    assert word in spoken(found)


def test_a_rod_thicker_than_its_bore_is_named_and_nothing_computed() -> None:
    """One point, unclear."""
    found = points(replace(OFFER, rod_mm=60), SUPPLY, DEMAND)
    assert [item.level for item in found] == [Level.UNCLEAR]
    assert "does not go into" in spoken(found[0])


def test_flows_are_read_with_their_unit_only() -> None:
    """5 US gallons a minute are 18.93 L/min; a bare number or a pressure is refused."""
    assert Flow.from_text("5 gpm").l_per_min == pytest.approx(18.927, abs=1e-3)
    assert Flow.from_text("18.9 L/min").l_per_min == pytest.approx(18.9)
    for text in ("5", "5 bar", "0 gpm", "9999 L/min", "many"):
        with refused("flow", QuantityError):
            Flow.from_text(text)
