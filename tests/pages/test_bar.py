"""The bar of a limit: never surer than the number, one scale a width, the same in plain ASCII cell by cell."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.pages.lines import (
    ARROW,
    EMPTY,
    FUZZY,
    LEAST_CELLS,
    SOLID,
    TICK,
    UPRIGHT,
    cells,
    in_ascii,
    limit_bar,
    limit_cell,
    share_words,
)

EXAMPLES = settings(max_examples=300, derandomize=True, deadline=None)
CELLS = st.integers(8, 90)
LIMITS = st.floats(0.05, 50)
SHARES = st.floats(-0.5, 3)
DOUBTS = st.floats(0, 1.5)
TWINS = {SOLID: "#", FUZZY: ":", UPRIGHT: "|", ARROW: ">", TICK: "'", EMPTY: " "}


def scale_of(text: str) -> str:
    """Return the bar's cells without the upright, which takes no room on the scale."""
    return text.replace(UPRIGHT, "", 1)


@EXAMPLES
@given(share=SHARES, doubt=DOUBTS, limit=LIMITS, cells_wide=CELLS)
def test_nothing_is_solid_past_what_is_sure(share: float, doubt: float, limit: float, cells_wide: int) -> None:
    """Every solid cell lies wholly under the value less its doubt; every cell under the value is drawn."""
    value, plus_minus, step = share * limit, doubt * limit, limit / limit_cell(cells_wide)
    row = scale_of(limit_bar(value, plus_minus, limit, None, cells_wide).text)
    for number, cell in enumerate(row):
        if cell == SOLID:
            assert (number + 1) * step <= value - plus_minus + 1e-6 * limit
        if (number + 1) * step <= value - 1e-6 * limit:
            assert cell != EMPTY
        if number * step >= value + plus_minus + 1e-6 * limit:
            assert cell == EMPTY


@EXAMPLES
@given(first=SHARES, second=SHARES, doubt=DOUBTS, limit=LIMITS, cells_wide=CELLS)
def test_more_wear_never_makes_a_shorter_bar(
    first: float, second: float, doubt: float, limit: float, cells_wide: int
) -> None:
    """With the same doubt a larger value has at least as many solid and at least as many filled cells."""
    less, more = (
        scale_of(limit_bar(share * limit, doubt * limit, limit, None, cells_wide).text)
        for share in sorted((first, second))
    )
    assert less.rstrip(ARROW).count(SOLID) <= more.rstrip(ARROW).count(SOLID) + more.count(ARROW)
    assert len(less.rstrip()) <= len(more.rstrip())
    assert more.count(ARROW) >= less.count(ARROW)


@EXAMPLES
@given(share=SHARES, doubt=DOUBTS, limit=LIMITS, new=st.none() | st.floats(0.01, 1), cells_wide=st.integers(-3, 90))
def test_the_upright_stands_still_and_ascii_says_the_same(
    share: float, doubt: float, limit: float, new: float | None, cells_wide: int
) -> None:
    """One width, one place for the limit, as wide as asked from 8 on; each cell has its own sign in plain ASCII."""
    made = limit_bar(share * limit, doubt * limit, limit, new * limit if new is not None else None, cells_wide)
    wide = max(cells_wide, LEAST_CELLS)
    assert cells(made.text) == wide
    assert made.text.index(UPRIGHT) == limit_cell(wide)
    assert made.text.count(UPRIGHT) == 1
    assert 0 < limit_cell(wide) < wide - 1
    assert made.text.count(TICK) == (new is not None)
    assert in_ascii(made.text) == "".join(TWINS[cell] for cell in made.text)


def test_every_cell_has_its_own_sign_in_ascii() -> None:
    """Told apart without blocks: no two kinds of cell come out alike."""
    assert len(set(TWINS.values())) == len(TWINS)


@pytest.mark.parametrize(
    ("value", "doubt", "limit", "new", "expected"),
    [
        (0.0, 0.0, 1.0, None, "          |  "),
        (0.5, 0.0, 1.0, None, "#####     |  "),
        (0.5, 0.1, 1.0, None, "####::    |  "),
        (1.0, 0.0, 1.0, None, "##########|  "),
        (1.0, 0.05, 1.0, None, "#########:|: "),
        (0.33, 0.07, 0.30, None, "########::|:>"),  # the most it may be, 0.40, is over the end at 0.36
        (1.41, 0.07, 1.00, None, "##########|#>"),
        (0.05, 0.2, 1.0, None, ":::       |  "),
        (0.05, 0.0, 0.05, None, "##########|  "),
        (12.0, 3.0, 50.0, None, "#::       |  "),
        (0.5, 0.0, 1.0, 0.3, "##'##     |  "),
        (0.2, 0.0, 1.0, 0.5, "##  '     |  "),
    ],
)
def test_bars_by_hand(value: float, doubt: float, limit: float, new: float | None, expected: str) -> None:
    """Counted out on squared paper: ten cells to the limit, two over it."""
    assert in_ascii(limit_bar(value, doubt, limit, new, 13).text) == expected


@pytest.mark.parametrize(
    ("value", "doubt", "limit", "expected"),
    [
        (math.nan, 0.1, 1.0, "      | "),
        (0.5, math.nan, 1.0, "::::::|>"),
        (0.5, math.inf, 1.0, "::::::|>"),
        (0.5, 0.1, 0.0, "      | "),
        (0.5, 0.1, -1.0, "      | "),
        (1e300, 0.0, 1e-300, "######|>"),
        (-0.1, 0.02, 1.0, "      | "),
    ],
)
def test_what_is_no_number_is_never_drawn_as_sure(value: float, doubt: float, limit: float, expected: str) -> None:
    """No value or no limit: the empty scale; an unknown doubt: fuzzy from end to end."""
    assert in_ascii(limit_bar(value, doubt, limit, None, 8).text) == expected


@pytest.mark.parametrize(
    ("value", "doubt", "words"),
    [
        (0.5, 0.1, "50 % of its limit used up, surely under 60 %"),
        (0.97, 0.1, "at its limit within its doubt"),
        (1.3, 0.1, "surely over its limit"),
        (0.0, 0.0, "0 % of its limit used up, surely under 1 %"),
    ],
)
def test_the_bar_in_words(value: float, doubt: float, words: str) -> None:
    """The sentence for who does not see the bar."""
    assert share_words(value, doubt, 1.0) == words
