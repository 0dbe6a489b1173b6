"""Three-point hitch categories against what public sources print.

Neither ISO 730 nor ASABE S217 was read; the sources are trade tables and implement manuals that cite them. A value
that is only from memory is tested for carrying that mark, not for being right.
"""

from decimal import Decimal

import pytest

from fieldlog.records.machine import HitchCategory
from fieldlog.standards.hitch import HITCH_CATEGORIES, category_pins
from fieldlog.standards.joints import NOMINAL_PINS

MM = {pin.name: pin.mm for pin in NOMINAL_PINS}

# An implement manual's table citing ISO 730-1: pin of the cross shaft and its length between the shoulders.
# It prints 960 for categories 3 and 4N where others print 965.
CROSS_SHAFTS = [("3N", "36.6", "825"), ("3", "36.6", "965"), ("2", "28", "825")]

# Trade table "three-point hitch specifications": upper pin, lower link hole.
TRADE = [("1", "19", "22.4"), ("2", "25.5", "28.7"), ("3", "31.75", "37.4"), ("4", "45", "51")]

# Trade tables in inches: upper pin, lower pin.
INCHES: list[tuple[HitchCategory, str, str]] = [
    ("0", "5/8 in", "5/8 in"),
    ("1", "3/4 in", "7/8 in"),
    ("2", "1 in", "1-1/8 in"),
    ("3", "1-1/4 in", "1-7/16 in"),
    ("4", "1-3/4 in", "2 in"),
]

# Spans that are printed as "distance between the lower links", ball centre to ball centre: 718 + 870 + 1010.
IDENTITIES: list[tuple[HitchCategory, int, int, int]] = [
    ("1", 683, 35, 718),
    ("2", 825, 45, 870),
    ("3", 965, 45, 1010),
]


@pytest.mark.parametrize(("category", "pin", "span"), CROSS_SHAFTS)
def test_cross_shaft_is_as_manuals_print_it(category: HitchCategory, pin: str, span: str) -> None:
    """Lower pin and shoulder span are those of implement manuals."""
    row = HITCH_CATEGORIES[category]
    assert (row.lower_pin.mm, row.shoulder_span.mm) == (Decimal(pin), Decimal(span))
    assert row.shoulder_span.standing == "published"


@pytest.mark.parametrize(("category", "upper", "hole"), TRADE)
def test_upper_pin_and_lower_hole_are_as_the_trade_prints_them(category: HitchCategory, upper: str, hole: str) -> None:
    """Trade tables often call the lower hole "the pin"; here it is the hole."""
    row = HITCH_CATEGORIES[category]
    assert row.upper_pin.mm == Decimal(upper)
    assert row.lower_hole is not None
    assert (row.lower_hole.mm, row.lower_hole.standing) == (Decimal(hole), "published")


@pytest.mark.parametrize(("category", "shoulders", "ball", "balls"), IDENTITIES)
def test_shoulder_span_and_one_ball_make_the_ball_span(
    category: HitchCategory, shoulders: int, ball: int, balls: int
) -> None:
    """683 + 35 = 718, 825 + 45 = 870, 965 + 45 = 1010: the two widths in circulation are one hitch."""
    row = HITCH_CATEGORIES[category]
    assert row.ball_width is not None
    assert row.ball_span is not None
    printed = [Decimal(shoulders), Decimal(ball), Decimal(balls)]
    assert [row.shoulder_span.mm, row.ball_width.mm, row.ball_span.mm] == printed
    assert row.shoulder_span.mm + row.ball_width.mm == row.ball_span.mm


def test_mast_heights_are_as_printed() -> None:
    """A public table prints 610.11 mm and 685.04 mm, 24 and 27 inches rounded, for categories 2 and 3."""
    for category, printed in (("2", 610.11), ("3", 685.04)):
        row = HITCH_CATEGORIES[category]  # type: ignore[index]
        assert float(row.mast_height.mm) == pytest.approx(printed, abs=0.5)
        assert row.mast_height.standing == "published"


@pytest.mark.parametrize(("category", "upper", "lower"), INCHES)
def test_inch_pins_are_those_of_the_trade(category: HitchCategory, upper: str, lower: str) -> None:
    """Each category's pins are known by their inch names, within the pins' own tolerance of the metric ones."""
    assert {upper, lower} <= set(category_pins(category))
    row = HITCH_CATEGORIES[category]
    assert abs(MM[upper] - row.upper_pin.mm) <= Decimal("0.55")  # 1-3/4 in is 44.45 for 45
    assert abs(MM[lower] - row.lower_pin.mm) <= Decimal("0.575")  # 1-1/8 in is 28.575 for 28


def test_inch_pins_enter_the_lower_holes() -> None:
    """7/8 in (22.225) is over the 22.0 pin but under the 22.4 hole, 1-1/8 in (28.575) over 28 but under 28.7."""
    for category, name in (("1", "7/8 in"), ("2", "1-1/8 in"), ("3", "1-7/16 in")):
        hole = HITCH_CATEGORIES[category].lower_hole  # type: ignore[index]
        assert hole is not None
        assert MM[name] < hole.mm


@pytest.mark.parametrize(("narrow", "wide", "smaller"), [("2N", "2", "1"), ("3N", "3", "2"), ("4N", "4", "3")])
def test_narrow_category_has_its_own_pins_and_the_smaller_span(
    narrow: HitchCategory, wide: HitchCategory, smaller: HitchCategory
) -> None:
    """The rule that trade encyclopedias print for the letter N."""
    row = HITCH_CATEGORIES[narrow]
    assert (row.upper_pin, row.lower_pin) == (HITCH_CATEGORIES[wide].upper_pin, HITCH_CATEGORIES[wide].lower_pin)
    assert row.shoulder_span.mm == HITCH_CATEGORIES[smaller].shoulder_span.mm
    assert category_pins(narrow) == category_pins(wide)


def test_figures_from_memory_say_so() -> None:
    """Upper holes, the narrow spans and the ball widths 35 and 57.5 were seen nowhere."""
    for category, row in HITCH_CATEGORIES.items():
        assert row.upper_hole is None or row.upper_hole.standing == "from memory", category
        if row.ball_width is not None and row.ball_width.mm != 45:
            assert row.ball_width.standing == "from memory"
    assert HITCH_CATEGORIES["1N"].shoulder_span.standing == "from memory"
    assert HITCH_CATEGORIES["1"].mast_height.standing == "from memory"
