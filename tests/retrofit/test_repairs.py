"""What may be done about a worn hole, and what is refused whatever the numbers say."""

from dataclasses import replace

import pytest

from fieldlog.pages.hole import repair_lines
from fieldlog.retrofit.repair.records import Repair, RepairWord, WornHole
from fieldlog.retrofit.repair.ways import refusals, repairs
from fieldlog.standards.fits import STOCK_BUSHES, bushes_for
from fieldlog.words.speak import say, say_all

# the eye of the worked example: 45 wide, 12 thick, 24 to the end, made for 3/4 in
EYE = WornHole("hitch", "plain", "plain steel", "3/4 in", 19.05, 19.5, 20.0, 0.3, 45, 12, 24)


def way(hole: WornHole, start: str) -> Repair:
    """Return the way whose name begins like this."""
    return next(item for item in repairs(hole) if say(item.name, "mm").startswith(start))


@pytest.mark.parametrize(
    "bad",
    [
        replace(EYE, stops=("crack",)),
        replace(EYE, joint_kind="drawbar"),
        replace(EYE, joint_kind="pivot"),
        replace(EYE, hole_kind="ball"),
        replace(EYE, made_of="cast"),
        replace(EYE, made_of="hardened"),
    ],
)
def test_what_is_no_repair_is_refused_whatever_the_numbers_say(bad: WornHole) -> None:
    """Crack, drawbar, pivot, ball, cast, hardened: only renewal is left, with the reason."""
    ways = repairs(bad)
    assert refusals(bad)
    assert len(ways) == 1
    assert "renew" in say(ways[0].name, "mm")
    assert any(say(why, "mm").startswith("No repair") for why in ways[0].why)
    assert not ways[0].shop


def test_the_next_pin_is_the_worked_examples_seven_eighths_and_a_shop_is_asked() -> None:
    """20.0 worn: 20 mm would not clean it up far enough; 22 mm and 7/8 fail the thumb rule at 1.06 holes."""
    found = way(replace(EYE, largest_mm=21.6, oval_mm=0.4), "ream")
    assert found.word is RepairWord.ASK
    assert "22 mm" in say(found.name, "mm")
    assert "thumb rule" in say_all(found.why, "mm")
    assert "Every hole on this pin" in say_all(found.why, "mm")


def test_an_eye_nobody_measured_is_for_a_shop() -> None:
    """Without width, thickness and the way to the end there is no word on the metal left."""
    unknown = replace(EYE, eye_width_mm=None, largest_mm=21.6)
    assert way(unknown, "ream").word is RepairWord.ASK
    assert "was not measured" in say_all(way(unknown, "ream").why, "mm")


def test_an_oval_is_not_reamed() -> None:
    """A reamer follows it."""
    assert way(replace(EYE, oval_mm=0.7), "ream").word is RepairWord.NO


def test_a_sound_large_hole_takes_a_sleeve_for_the_smaller_pin() -> None:
    """Category 2 hole, 1 in, for a category 1 pin: 25.7 over 19.05 leaves 3.2 mm of wall."""
    found = way(
        replace(EYE, largest_mm=25.7, made_mm=25.7, oval_mm=0.1, eye_width_mm=70, centre_to_end_mm=40), "sleeve"
    )
    assert found.word is RepairWord.GOOD
    assert way(EYE, "sleeve").word is RepairWord.NO


def test_bush_and_pin_go_together() -> None:
    """A bushed hole gets both, with everything that is ordered with them."""
    first = repairs(replace(EYE, hole_kind="bushed", joint_kind="bushed"))[0]
    assert say(first.name, "mm") == "new bush and pin"
    assert "pin" in say_all(first.parts, "mm")
    assert "seals" in say_all(first.parts, "mm")


def test_a_bushed_pivot_gets_new_bush_and_pin_and_nothing_else() -> None:
    """Steering, axle and swing pivots are not welded and take no pin of one's own making."""
    pivot = replace(EYE, hole_kind="bushed", joint_kind="pivot")
    assert [say(item.name, "mm") for item in repairs(pivot)] == ["new bush and pin"]


def test_every_bush_has_a_wall_and_inch_sizes_are_the_trades() -> None:
    """3/4 x 7/8 and 1 x 1-1/8 are the usual inch ones; a 19 mm pin finds the 3/4 bush."""
    assert all(1 <= (bush.outside_mm - bush.bore_mm) / 2 <= 8 for bush in STOCK_BUSHES)
    assert [bush.name for bush in bushes_for(19.05)] == ["3/4 x 7/8 in"]
    assert bushes_for(19.0)
    assert {bush.outside_mm for bush in bushes_for(25)} == {28, 30, 32}


@pytest.mark.parametrize("width", [38, 58, 78])
def test_the_page_fits_its_width_and_ends_with_the_caution(width: int) -> None:
    """Nothing runs over; the standing word comes last."""
    lines = repair_lines(EYE, "in", width)
    assert all(len(row.text) <= width for row in lines)
    assert lines[-1].text.endswith("decide.")
