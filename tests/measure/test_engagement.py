"""Thread that is in, travel taped and turned: identities that hold whatever the link is."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.engagement import Engaged, engaged_at, longest_open, weak_end
from fieldlog.measure.lengths import (
    LinkLength,
    Screwing,
    link_length,
    screwing,
    taped_travel,
    turned_travel,
    turns_disagree,
)
from fieldlog.quantity.value import Value
from fieldlog.records.entries import LinkState, TapeWay
from fieldlog.records.machine import Hand, Link, parse_turns
from fieldlog.standards.threads import parse_thread
from tests.measure.test_lengths import edge_mm, taped
from tests.values import limit_of, sized

EXAMPLES = settings(max_examples=80, derandomize=True, deadline=None)
BOTH = Link("top", near_hand="right", far_hand="left")
M24 = parse_thread("M24x3")


def about(mm: float, half_mm: float = 1.0) -> Value:
    """Return a size that is right within a limit."""
    return sized(mm, (limit_of("x", half_mm, "x"),))


@EXAMPLES
@given(
    closed=st.floats(300, 800),
    travel=st.floats(1, 300),
    whole=st.floats(30, 300),
    exposed=st.floats(0, 25),
    least=st.floats(5, 60),
    is_two_ended=st.booleans(),
)
def test_at_the_longest_length_exactly_the_least_is_in(
    closed: float, travel: float, whole: float, exposed: float, least: float, is_two_ended: bool
) -> None:
    """Whatever was measured and whichever state it was measured in, opening to L leaves e_least in."""
    screw = Screwing(0.5, 0.5, 6) if is_two_ended else Screwing(1, 0, 3)
    lengths: dict[LinkState, Value] = {"closed": sized(closed), "open": sized(closed + travel)}
    engaged = engaged_at("near", sized(whole), {"closed": sized(exposed)}, lengths, screw)
    assert engaged is not None
    longest = longest_open(engaged, lengths, screw, least).value
    at_longest = engaged_at(
        "near", sized(whole), {"closed": sized(exposed)}, {**lengths, "open": sized(longest)}, screw
    )
    assert at_longest is not None
    opened = at_longest.at("open")
    assert opened is not None
    assert opened.value == pytest.approx(least, abs=1e-6)
    from_open = engaged_at("near", sized(whole), {"open": sized(exposed + travel * screw.near_share)}, lengths, screw)
    assert from_open is not None
    assert longest_open(from_open, lengths, screw, least).value == pytest.approx(longest, abs=1e-6)


def test_an_end_nobody_measured_is_not_known() -> None:
    """Thread length alone says nothing of what is in; a reading in one state tells only that one without lengths."""
    screw = Screwing(0.5, 0.5, 6)
    assert engaged_at("near", sized(120), {}, {"closed": sized(560)}, screw) is None
    one = engaged_at("near", sized(120), {"open": sized(90)}, {"closed": sized(560)}, screw)
    assert one is not None
    assert one.at("closed") is None
    assert one.at("open") == sized(30)


@pytest.mark.parametrize(
    ("near", "far", "per_turn_mm"),
    [("right", "left", 6), ("left", "right", 6), ("right", "none", 3), ("none", "left", 3)],
)
def test_two_leads_a_turn_with_two_threads_one_with_one(near: Hand, far: Hand, per_turn_mm: float) -> None:
    """Left and right hand threads screw at both ends at once."""
    found = screwing(M24, Link("top", near_hand=near, far_hand=far))
    assert isinstance(found, Screwing)
    assert found.per_turn_mm == per_turn_mm
    assert found.near_share + found.far_share == 1


def test_two_starts_move_two_pitches_a_turn() -> None:
    """A lead counts, not a pitch."""
    found = screwing(parse_thread("Tr 40x14 P7"), BOTH)
    assert isinstance(found, Screwing)
    assert found.per_turn_mm == 28


@pytest.mark.parametrize(
    ("near", "far", "said"),
    [
        (None, "left", "hand of the thread at one end is not written down"),
        (None, None, "at either end is not written down"),
        ("right", "right", "turning the body would not change the length"),
        ("none", "none", "look at both ends again"),
    ],
)
def test_hands_that_cannot_be_are_named(near: Hand | None, far: Hand | None, said: str) -> None:
    """Missing, equal or no thread at all: a sentence, nothing computed."""
    found = screwing(M24, Link("top", near_hand=near, far_hand=far))
    assert isinstance(found, str)
    assert said in found


def pair(centres_mm: float, state: LinkState, near: float = 19.4, far: float = 22.7) -> LinkLength:
    """Return a link taped outside and inside over holes of some size."""
    ways: tuple[TapeWay, TapeWay] = ("outside", "inside")
    read = [taped(way, f"{edge_mm(way, near, far, centres_mm):.3f}", k) for k, way in enumerate(ways)]
    length = link_length([replace(reading, state=state) for reading in read], None, None, {})
    assert length is not None
    return length


@EXAMPLES
@given(st.floats(12, 60), st.floats(12, 60), st.integers(300, 800), st.integers(1, 300))
def test_holes_drop_out_of_the_travel(near: float, far: float, closed_mm: int, travel_mm: int) -> None:
    """One edge way alone, its holes unknown, gives the travel, though it gives no length."""
    way: TapeWay = "outer to inner"
    states: tuple[tuple[LinkState, int], ...] = (("closed", closed_mm), ("open", closed_mm + travel_mm))
    lengths = [
        link_length([replace(taped(way, f"{edge_mm(way, near, far, mm):.3f}"), state=state)], None, None, {})
        for state, mm in states
    ]
    assert lengths[0] is not None
    assert lengths[0].centres is None
    travel = taped_travel(lengths[0], lengths[1])
    assert travel is not None
    assert travel.value == pytest.approx(travel_mm, abs=2e-3)


def test_travel_counts_the_tape_once() -> None:
    """Between two marks of one tape the class limit is there once, so travel is surer than two lengths apart."""
    closed, opened = pair(560, "closed"), pair(812, "open")
    travel = taped_travel(closed, opened)
    assert travel is not None
    assert closed.centres is not None
    assert opened.centres is not None
    assert travel.value == pytest.approx(252, abs=1e-3)
    assert travel.u_mm < math.hypot(closed.centres.u_mm, opened.centres.u_mm)
    assert taped_travel(closed, None) is None


@pytest.mark.parametrize("turns", ["42", "41.9", "42.25"])
def test_turns_that_agree_say_nothing(turns: str) -> None:
    """42 turns of M24 with two threads are 252 mm; a quarter of a turn is what counting is worth."""
    screw = Screwing(0.5, 0.5, 6)
    turned = turned_travel(parse_turns(turns), screw, "link")
    assert turned.value == pytest.approx(6 * float(parse_turns(turns)))
    assert turns_disagree(about(252), turned, parse_turns(turns), screw) == ""


@pytest.mark.parametrize(
    ("screw", "taped_mm", "said"),
    [
        (Screwing(0.5, 0.5, 6), 232, "Count the turns again"),
        (Screwing(0.5, 0.5, 6), 126, "as if one end alone had turned"),
        (Screwing(1, 0, 3), 252, "as if both ends had a thread"),
    ],
)
def test_turns_that_disagree_say_what_it_looks_like(screw: Screwing, taped_mm: float, said: str) -> None:
    """42 turns against the tape: half of it, twice of it, or neither."""
    turns = parse_turns("42")
    found = turns_disagree(about(taped_mm), turned_travel(turns, screw, "link"), turns, screw)
    assert said in found
    assert "42 turns" in found


def test_the_weak_end_is_named_beyond_doubt_only() -> None:
    """1 mm between two readings good to 1 mm is nothing; 12 mm is a weak end."""
    ends = [Engaged("near", "open", {"open": about(40)}), Engaged("far", "open", {"open": about(28)})]
    found = weak_end(ends, "open")
    assert found is not None
    assert found[0].end == "far"
    assert found[1].value == pytest.approx(12)
    assert weak_end([ends[0], replace(ends[1], by_state={"open": about(39)})], "open") is None
    assert weak_end(ends[:1], "open") is None
