"""The ruler: every bar from its closed to its open length, on one axis, in any width."""

import pytest

from fieldlog.pages.rulers import Reach, Ruler, ruler
from fieldlog.quantity.lengths import Units

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
