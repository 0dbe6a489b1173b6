"""The ruler: every bar from its closed to its open length, on one axis, in any width."""

import pytest

from fieldlog.records.quantities import Units
from fieldlog.report.ruler import RulerRow, ruler_lines

ROWS = (
    RulerRow("link now", 560, 812, "link"),
    RulerRow("needed", 590, 718, "need"),
    RulerRow("A", 533, 737),
    RulerRow("C", 508, 660),
    RulerRow("odd", None, None, text="lengths not clear"),
)


@pytest.mark.parametrize("width", [30, 38, 56, 76, 110])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_ruler_fits_and_keeps_the_order_of_the_ends(width: int, units: Units) -> None:
    """No line is wider than asked, and a bar that begins further right begins at a longer length."""
    lines = [row.text for row in ruler_lines(ROWS, 654, units, width, ascii_only=True)]
    assert all(len(text) <= width for text in lines)
    assert all(text.isascii() for text in lines)
    starts = {row.name: text.index(mark) for row, text, mark in zip(ROWS, lines[2:], "[(||", strict=False)}
    assert starts["C"] < starts["A"] < starts["link now"] < starts["needed"]
    assert lines[2].index("[") < lines[2].index("o", 9) < lines[2].index("]")
    assert "lengths not" in lines[6]


def test_a_tick_stands_over_the_length_it_names() -> None:
    """A link that closes at exactly 600 mm begins under the tick of 600."""
    lines = [row.text for row in ruler_lines((RulerRow("x", 600, 800), RulerRow("y", 500, 900)), None, "mm", 60)]
    assert lines[2].index("├") == lines[0].index("600") + 1
    assert lines[1][lines[2].index("├")] == "┴"


def test_nothing_is_drawn_without_two_lengths() -> None:
    """No link and no offer that is clear: no ruler."""
    assert ruler_lines((RulerRow("x", None, None, text="?"),), None, "mm", 60) == ()
