"""The worked example of replacing a screwed top link: four cylinders, their ranges, corners and verdicts, as printed.

The example's tractor and implement are those of test_hitch_example.py: needed for 8 degrees both ways with the balls
at 300 mm, looked at 830 mm where it is printed so. The four cylinders are printed in whole millimetres; their pitch
angles are those of the whole inches that these are (533 is 21 in, 737 is 29 in, and so on), so inches stand here.
"""

import re
from dataclasses import replace

import pytest

from fieldlog.records.offer import Offer
from fieldlog.retrofit.hitch.clearances import ClearPoint, Surroundings, needed_range
from fieldlog.retrofit.hitch.plane import CannotReach, Offset, Point
from fieldlog.retrofit.offers.compare import Compared, compare, ranked
from fieldlog.retrofit.offers.corners import hitch_checks
from fieldlog.retrofit.offers.on_hitch import OnHitch, roll_checks, wanted_of
from fieldlog.retrofit.offers.sense import Check, Level, OfferVerdict, figures_of
from tests.published.test_hitch_example import HITCH
from tests.retrofit.offers import ENDS, offer, spoken, top_link, topic

NEED = needed_range(HITCH, (300.0,), -8.0, 8.0)
assert not isinstance(NEED, CannotReach)
OPEN_STATION = OnHitch(HITCH, (200.0, 830.0), (300.0, 300.0), NEED, need_words="8 degrees both ways at 300 mm")
A = offer("A", "21 in", "29 in", "8 in", **ENDS)
B = offer("B", "23 in", "31 in", "8 in", **ENDS)
C = offer("C", "20 in", "26 in", "6 in", **ENDS)
D = offer("D", "24 in", "32 in", "8 in", **ENDS)
HEADBOARD = ClearPoint("headboard corner", Offset(80, 900))
CAB_TRACTOR = replace(
    OPEN_STATION,
    points=(HEADBOARD,),
    around=Surroundings(cab_mm=300.0),
    stub=Point(330, 560),
    joint=Offset(330, 200),
)


def compared(one: Offer, hitch: OnHitch) -> Compared:
    """An offer against the example's link on a hitch."""
    return compare(one, top_link(), wanted_of(hitch), lambda figures: hitch_checks(hitch, figures))


def check(item: Compared, about: str) -> Check:
    """One of its points."""
    return next(found for found in item.points if topic(found) == about)


@pytest.mark.parametrize(
    ("one", "at_300", "at_830"),
    [
        (A, (-15.3, 10.3), (-31, 0)),
        (B, (-8.8, 16.8), (-24, 9)),
        (C, (-18.7, 0.8), (-35, -13)),
        (D, (-5.5, 20), (-20, 14)),
    ],
)
def test_pitch_closed_and_open(one: Offer, at_300: tuple[float, float], at_830: tuple[float, float]) -> None:
    """Degrees at the working height to a tenth, at full lift to a degree, as printed."""
    said = spoken(check(compared(one, OPEN_STATION), "pitch, fore-aft"))
    found = [float(number) for number in re.findall(r"[-+]\d+\.\d", said)]
    assert found[:2] == pytest.approx(at_300, abs=0.051 if one is not D else 0.51)
    assert found[2:] == pytest.approx(at_830, abs=0.51)


def test_needed_range_and_reserve() -> None:
    """590 to 718 mm, 580 to 728 with the reserve of 10 mm."""
    assert not isinstance(NEED, CannotReach)
    assert (NEED.shortest_mm, NEED.longest_mm) == pytest.approx((590, 718), abs=0.51)
    assert (NEED.closed_mm, NEED.open_mm) == pytest.approx((580, 728), abs=0.51)


@pytest.mark.parametrize(
    ("one", "verdict", "about", "in_hand_mm", "words"),
    [
        (A, OfferVerdict.FITS, "closed end, need", 57, "in hand"),
        (A, OfferVerdict.FITS, "open end, need", 19, "in hand"),
        (B, OfferVerdict.FITS, "closed end, need", 6, "10.0 mm is wanted"),
        (C, OfferVerdict.NO, "open end, need", 58, "short of the 718 mm needed: 7.2 degrees of nose-up lost"),
        (D, OfferVerdict.NO, "closed end, need", 20, "too long for the 590 mm needed: 2.5 degrees of nose-down lost"),
    ],
)
def test_verdicts_by_length(one: Offer, verdict: OfferVerdict, about: str, in_hand_mm: float, words: str) -> None:
    """A good with reserve at both ends, B met with 6 mm closed, C opens 58 mm short, D closes 20 mm too long."""
    item = compared(one, OPEN_STATION)
    assert item.verdict is verdict
    said = spoken(check(item, about))
    number = re.search(r"(\d+\.\d) ±", said)
    assert number is not None
    assert float(number[1]) == pytest.approx(in_hand_mm, abs=0.51)
    assert words in said


@pytest.mark.parametrize(("one", "room_mm", "steepest_deg"), [(A, 27, 47), (B, 131, 44)])
def test_the_corner_closed_and_highest(one: Offer, room_mm: float, steepest_deg: float) -> None:
    """The tall headboard 27 mm from the cab and the PTO joint at 47 degrees with A; 131 mm and 44 degrees with B."""
    item = compared(one, CAB_TRACTOR)
    room = re.search(r"stays (\d+) mm", spoken(check(item, "room to the cab")))
    steep = re.search(r"joint ([0-9.]+) degrees", spoken(check(item, "PTO shaft")))
    assert room is not None
    assert steep is not None
    assert float(room[1]) == pytest.approx(room_mm, abs=1)
    assert float(steep[1]) == pytest.approx(steepest_deg, abs=1)


def test_slip_of_the_shaft_with_a() -> None:
    """766 to 887 mm, 121 mm of slip over all corners."""
    said = spoken(check(compared(A, CAB_TRACTOR), "PTO shaft"))
    found = [float(number) for number in re.findall(r"(\d+) mm", said)]
    assert found == pytest.approx([766, 887, 121], abs=1)


def test_the_order_is_that_of_the_example() -> None:
    """On an open station A wins; on the cab tractor with the tall headboard B does, and A goes with a lift stop."""
    on_open = ranked([compared(one, OPEN_STATION) for one in (D, C, B, A)])
    assert [item.offer.name for item in on_open[:2]] == ["A", "B"]
    assert {item.verdict for item in on_open[2:]} == {OfferVerdict.NO}
    with_cab = ranked([compared(one, CAB_TRACTOR) for one in (D, C, B, A)])
    assert [item.offer.name for item in with_cab[:2]] == ["B", "A"]
    assert with_cab[1].verdict is OfferVerdict.LIMITS
    assert "lift stopped at" in spoken(check(with_cab[1], "room to the cab"))


def test_the_lift_stop_just_clears() -> None:
    """Below the stop there are 100 mm, 10 mm above it there are not."""
    from fieldlog.retrofit.hitch.clearances import Field, least_rooms
    from fieldlog.retrofit.offers.corners import lift_stop_mm

    figures = figures_of(A)
    field = Field(figures["closed"].mm, figures["open"].mm, 200.0, 830.0)
    stop_mm = lift_stop_mm(CAB_TRACTOR, field, "cab")
    assert stop_mm is not None

    def room_mm(highest_mm: float) -> float:
        worst = least_rooms(HITCH, replace(field, highest_mm=highest_mm), (HEADBOARD,), CAB_TRACTOR.around)
        return next(found.clearance.room_mm for found in worst if found.clearance.obstacle == "cab")

    assert room_mm(stop_mm) >= 100 > room_mm(stop_mm + 10)


def test_a_tilt_cylinder_of_82_mm_rolls_6_degrees_each_way() -> None:
    """Printed: 82 mm of stroke for 6 degrees each way at ratio 1.84; by the exact geometry at the example's height."""
    one = offer("tilt", f"{HITCH.rod_mm - 41:.1f} mm", f"{HITCH.rod_mm + 41:.1f} mm", "82 mm")
    (found,) = roll_checks(HITCH, 300.0, 5.5, dict(figures_of(one)))
    degrees = [abs(float(number)) for number in re.findall(r"[-+]\d+\.\d", spoken(found))]
    assert degrees == pytest.approx([6, 6], abs=0.5)
    assert found.level is Level.GOOD
    (short,) = roll_checks(HITCH, 300.0, 8.0, dict(figures_of(one)))
    assert short.level is Level.LIMIT
