"""Clock positions, harmless text, short names."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import QuantityError
from fieldlog.quantity.text import harmless, slug, unused_slug
from fieldlog.records.clock import clock_text, parse_clock
from tests.spoken import refused


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("12", 0),
        ("1:30", 45),
        ("3", 90),
        ("4:30", 135),
        ("6", 0),
        ("7:30", 45),
        ("9", 90),
        ("10:30", 135),
        ("2:00", 60),
    ],
)
def test_both_ends_of_a_line_are_one_line(typed: str, degrees: float) -> None:
    """A caliper spans the hole."""
    assert parse_clock(typed).angle_deg == degrees


@pytest.mark.parametrize("typed", ["13", "0", "1:60", "1:3", "noon", "", "-1", "12:30:00"])
def test_what_is_no_clock_position_is_refused(typed: str) -> None:
    """The message gives the four usual ones."""
    with refused("4:30", QuantityError):
        parse_clock(typed)


def test_an_axis_is_named_by_both_its_ends() -> None:
    """0 degrees is 12-6, 45 is 1:30-7:30, 90 is 3-9."""
    assert [clock_text(angle) for angle in (0, 45, 86, 135, 179)] == ["12-6", "1:30-7:30", "3-9", "4:30-10:30", "12-6"]


@settings(derandomize=True, max_examples=300)
@given(st.text(max_size=80))
def test_harmless_text_holds_nothing_that_a_terminal_obeys(text: str) -> None:
    """No control, no direction mark, no line break is left."""
    shown = harmless(text)
    assert all(char.isprintable() or char.isspace() for char in shown)
    assert not set(shown) & set("\x1b\n\r\t\x07\x9b\u202e\u2028")


@settings(derandomize=True, max_examples=200)
@given(st.text(max_size=80))
def test_a_slug_is_fit_for_a_file_name(text: str) -> None:
    """Letters, digits and dashes, never long, never led by a dash."""
    made = slug(text)
    assert len(made) <= 40
    assert not made.startswith("-")
    assert set(made) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")


def test_a_taken_name_gets_a_number() -> None:
    """The second Old loader is old-loader-2."""
    assert unused_slug("Old loader", frozenset({"old-loader"})) == "old-loader-2"
    assert unused_slug("???", frozenset(), "machine") == "machine"
