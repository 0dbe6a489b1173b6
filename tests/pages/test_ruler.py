"""The ruler: every bar from its closed to its open length, on one axis, in any width."""

import pytest

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.pages.rulers import Bar, Reach, Ruler, reach_sentences, ruler, thread_bars, thread_sentences
from fieldlog.quantity.units import Units

REACHES = (
    Reach(560, 812, "link"),
    Reach(590, 718, "need"),
    Reach(533, 737),
    Reach(508, 660),
    Reach(None, None, text="lengths not clear"),
)


def drawn(width: int, units: Units, *, ascii_only: bool) -> Ruler:
    """The ruler of the worked example's reaches, the link set to 654 mm."""
    found = ruler(REACHES, 654, units, width, ascii_only=ascii_only)
    assert found is not None
    return found


@pytest.mark.parametrize("width", [20, 26, 44, 64, 90])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_ruler_fits_and_keeps_the_order_of_the_ends(width: int, units: Units) -> None:
    """Every line is as wide as asked, and a bar that begins further right begins at a longer length."""
    found = drawn(width, units, ascii_only=True)
    assert {len(text) for text in (found.figures, found.ticks, *found.bars)} == {width}
    assert all(text.isascii() for text in found.bars)
    link, need, a, c, odd = found.bars
    assert c.index("|") < a.index("|") < link.index("[") < need.index("(")
    assert link.index("[") < link.index("o") < link.index("]")
    assert odd.startswith("lengths not")


def test_a_tick_stands_over_the_length_it_names() -> None:
    """A cylinder that closes at exactly 600 mm begins under the tick of 600."""
    found = ruler((Reach(600, 800), Reach(500, 900)), None, "mm", 60)
    assert found is not None
    start = found.bars[0].index("├")
    assert found.figures[start - 1 : start + 2] == "600"
    assert found.ticks[start] == "┴"


def test_nothing_is_drawn_without_two_lengths() -> None:
    """No link and no offer that is clear: no ruler."""
    assert ruler((Reach(None, None, text="?"),), None, "mm", 60) is None


@pytest.mark.parametrize("width", [26, 44, 64, 90])
@pytest.mark.parametrize("ascii_only", [True, False])
def test_what_is_needed_runs_through_every_bar(width: int, *, ascii_only: bool) -> None:
    """At the need's two edges every bar that reaches past them is crossed, and one that falls short is not."""
    found = drawn(width, "mm", ascii_only=ascii_only)
    link, need, first, second, odd = found.bars
    low = len(need) - len(need.lstrip())
    high = len(need.rstrip()) - 1
    across, beside = ("+", "!") if ascii_only else ("┼", "┊")
    for bar in (link, first):  # 560 to 812 and 533 to 737 hold 590 to 718
        assert bar[low] == bar[high] == across
    assert second[low] == across  # 508 to 660 holds the one
    assert second[high] == beside  # and not the other
    assert odd.startswith("lengths not")


def test_the_ruler_in_sentences() -> None:
    """What each lacks of 590 to 718 mm: 660 is 58 short of it."""
    named = list(zip(("Link", "Needed", "A", "C", "Odd"), REACHES, strict=True))
    assert reach_sentences(named, "mm") == (
        "Link: 560 to 812 mm, all that is needed.",
        "Needed: 590 to 718 mm.",
        "A: 533 to 737 mm, all that is needed.",
        "C: 508 to 660 mm, 58 mm too short open.",
        "Odd: lengths not clear.",
    )


@pytest.mark.parametrize("width", [30, 40, 60, 90])
@pytest.mark.parametrize("in_mm", [0.0, 10.0, 18.0, 19.9, 20.1, 26.0, 29.9, 31.0, 60.0])
@pytest.mark.parametrize("ascii_only", [True, False])
def test_thread_is_never_drawn_past_a_mark_that_it_does_not_reach(
    width: int, in_mm: float, *, ascii_only: bool
) -> None:
    """Floor and target run through the bar; solid is on the far side of one only when so much is in."""
    d_mm = 20.0
    rows = [row.text for row in thread_bars([Bar("end", 150, in_mm, 80, "")], d_mm, width, ascii_only=ascii_only)]
    solid, mark = ("#", "|") if ascii_only else ("█", "│")
    row = rows[1]
    floor, target = row.index(mark), row.rindex(mark)
    assert floor < target
    assert solid not in (row[floor:] if in_mm < FLOOR_D * d_mm else row[target:] if in_mm < TARGET_D * d_mm else "")
    assert rows[0].index("f") == floor
    assert rows[0].index("t") == target


def test_the_thread_in_sentences() -> None:
    """A 20 mm thread: one diameter at the least, one and a half wanted."""
    bars = [Bar("upper end", 150, 26, 80, ""), Bar("lower end", 150, 18, 80, ""), Bar("end", 150, None, None, "")]
    assert thread_sentences(bars, 20.0, "mm") == (
        "At least 20 mm of thread must be in, 30 mm is wanted.",
        "Upper end: 26 mm in when open, less than wanted.",
        "Lower end: 18 mm in when open, under the least.",
        "End: not known when open.",
    )
