"""Columns are terminal cells: they hold whatever script a name is written in."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from fieldlog.pages.lines import (
    SIGNS,
    Line,
    Span,
    cells,
    cropped,
    fit,
    heading,
    in_ascii,
    in_rows,
    line,
    packed,
    short,
    verdict_span,
    wrapped,
)
from fieldlog.pages.offers import VERDICT_LOOKS
from fieldlog.wear.verdicts import Verdict

EXAMPLES = settings(max_examples=100, derandomize=True, deadline=None)
NAMES = st.text(st.sampled_from("abc -.éß上連結ピンｶﾅ한국e\u0301\u200bд"), max_size=40)


@EXAMPLES
@given(name=NAMES, width=st.integers(1, 40))
def test_a_fitted_name_takes_exactly_its_columns(name: str, width: int) -> None:
    """Padded or cut, the next column starts where it should."""
    assert cell_len(fit(name, width)) == width
    assert cell_len(short(name, width)) <= width


@EXAMPLES
@given(name=NAMES, width=st.integers(8, 40))
def test_wrapped_lines_stay_in_their_columns(name: str, width: int) -> None:
    """No line is wider than asked for, and no character is lost."""
    rows = wrapped(name, width)
    assert all(cell_len(row.text) <= width for row in rows)
    together = "".join(row.text for row in rows)
    for char in "ac上連結ピンд":
        assert together.count(char) == name.count(char)


@pytest.mark.parametrize(
    ("name", "width", "expected"),
    [
        ("上リンク", 10, "上リンク  "),
        ("上リンク", 8, "上リンク"),
        ("上リンク", 7, "上リ.. "),
        ("Top link", 10, "Top link  "),
        ("Top link", 5, "Top.."),
    ],
)
def test_wide_names_are_cut_and_padded_by_cells(name: str, width: int, expected: str) -> None:
    """A wide character never straddles the edge."""
    assert fit(name, width) == expected


def test_a_plain_name_is_measured_without_a_table() -> None:
    """One column a character, as Rich would say."""
    assert cells("Top link, hole 2 of 3") == 21
    assert cells("上") == 2


@pytest.mark.parametrize("evil", ["\u001b[31m", "\u202e", "\u0007", "a\nb", "\u0085"])
def test_no_text_in_a_line_can_steer_a_terminal(evil: str) -> None:
    """Escapes, bells and turned writing from a file are shown, never obeyed, however the line was put together."""
    for made in (line(evil), line(Span(evil, "strong")), heading(evil), Line((Span(evil),)), *wrapped(evil, 20)):
        assert made.text.isprintable()


@EXAMPLES
@given(items=st.lists(NAMES.filter(str.strip), max_size=6), width=st.integers(20, 60))
def test_packed_texts_are_broken_only_where_one_is_wider_than_the_line(items: list[str], width: int) -> None:
    """Every text that fits on a line stands whole on one."""
    rows = [row.text for row in packed(items, width)]
    assert all(cells(row) <= width for row in rows)
    for item in items:
        if item.isprintable() and cells(item) <= width and "  " not in item:
            assert any(item.strip() in row for row in rows)


def test_a_crop_shows_that_it_is_one() -> None:
    """What does not fit ends in two dots; what fits is left as it is."""
    rows = wrapped("one two three four five six seven", 10)
    assert [row.text for row in cropped(rows, 2, 10)] == ["one two", "three fo.."]
    assert cropped(rows, 9, 10) == rows


@pytest.mark.parametrize("rows", [2, 3, 5, 9])
def test_what_is_to_be_done_is_the_last_to_go(rows: int) -> None:
    """A long reason gives way to the next step, which stands there however few lines there are."""
    said, todo = wrapped("a long reason " * 5, 20), wrapped("Next: renew.", 20)
    shown = [row.text for row in in_rows(said, todo, wrapped("rest of it " * 5, 20), rows, 20)]
    assert any(row.startswith("Next: renew.") for row in shown)
    assert len(shown) == min(rows, 8)


INK = {" ": 0, "_": 1, ".": 1, ":": 2, "=": 2, "X": 4, "▁": 1, "░": 2, "▄": 4, "▒": 4, "▇": 7}  # eighths of a cell


@pytest.mark.parametrize("ascii_only", [True, False])
def test_marks_fill_with_severity_and_are_told_apart(*, ascii_only: bool) -> None:
    """Two cells each, no two alike, in both; from sound to stop there is more and more ink in them."""
    shown = {verdict: in_ascii(sign) if ascii_only else sign for verdict, sign in SIGNS.items()}
    assert {cells(sign) for sign in shown.values()} == {2}
    assert len(set(shown.values())) == len(Verdict)
    ladder = [shown[verdict] for verdict in (Verdict.SOUND, Verdict.PLAN, Verdict.RENEW, Verdict.STOP)]
    inks = [sum(INK[cell] for cell in sign) for sign in ladder]
    assert inks == sorted(set(inks))
    offers = [in_ascii(sign) if ascii_only else sign for sign, _ in VERDICT_LOOKS.values()]
    assert len(set(offers)) == len(offers)


def test_no_mark_uses_the_sign_of_the_chosen_line() -> None:
    """`>` points at what is chosen and, in a bar, off its end; no verdict is spelt with it."""
    signs = [*SIGNS.values(), *(sign for sign, _ in VERDICT_LOOKS.values())]
    assert not any(set(in_ascii(sign)) & set("<>!?#-") for sign in signs)


@pytest.mark.parametrize("verdict", list(Verdict))
def test_a_mark_stands_beside_its_word(verdict: Verdict) -> None:
    """Nobody has to learn the marks: the word is there, in columns of one width."""
    span = verdict_span(verdict)
    assert span.text.split() == [SIGNS[verdict], verdict.value]
    assert cells(span.text) == 14
