"""What is unsafe on sight, and what cures it."""

from dataclasses import replace
from typing import get_args

import pytest

from fieldlog.records.entries import UNSAFE_SIGNS, Deed, Sign
from fieldlog.records.machine import Hole, Joint, Link, Machine
from fieldlog.wear.verdicts import Verdict
from tests.speaking import caution_of, reason_of
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book

CURES: dict[Sign, set[Deed]] = {
    "crack": {"welded and bored", "link replaced"},
    "bush turns in its bore": {"re-bushed", "welded and bored", "link replaced"},
    "keeper torn": {"new pin", "link replaced"},
    "pin bent": {"new pin", "link replaced"},
}


def sound() -> Book:
    """Return a joint that measures sound."""
    book = Book()
    book.bore(SPRING, 30.2)
    assert book.verdict() is Verdict.SOUND
    return book


@pytest.mark.parametrize("sign", UNSAFE_SIGNS)
@pytest.mark.parametrize("where", [{"hole": "ear"}, {"joint": "boom"}, {}])
def test_unsafe_sign_stops_whatever_it_measures(sign: Sign, where: dict[str, str]) -> None:
    """Seen on the hole, the joint, or the machine without a place: stop, with the caution that defers."""
    book = sound()
    book.saw(SUMMER, sign, **where)
    finding = book.finding
    assert finding.verdict is Verdict.STOP
    assert sign in reason_of(finding).lower()
    assert "1 Jul 2025" in reason_of(finding)
    assert "manual and a qualified person decide" in caution_of(finding)
    assert book.joint.signs == (sign,)


@pytest.mark.parametrize("sign", ["dry", "lip", "scored", "rounded out", "bell-mouthed"])
def test_other_signs_do_not_stop(sign: Sign) -> None:
    """Wear signs are shown and leave the verdict to the numbers."""
    book = sound()
    book.saw(SUMMER, sign, hole="ear")
    assert book.verdict() is Verdict.SOUND
    assert book.joint.holes[0].signs == (sign,)


@pytest.mark.parametrize("sign", UNSAFE_SIGNS)
@pytest.mark.parametrize("deed", get_args(Deed))
def test_only_the_right_deed_cures(sign: Sign, deed: Deed) -> None:
    """A crack is not cured by a bush, nor a torn keeper by boring."""
    book = sound()
    book.saw(SUMMER, sign, joint="boom")
    book.did(AUTUMN, deed, joint="boom")
    assert (book.verdict() is Verdict.STOP) is (deed not in CURES[sign])


@pytest.mark.parametrize("sign", UNSAFE_SIGNS)
def test_deed_before_the_sign_cures_nothing(sign: Sign) -> None:
    """A crack seen after the welding is a new crack, on the same day too."""
    book = sound()
    for deed in CURES[sign]:
        book.did(SUMMER, deed, joint="boom")
    book.saw(SUMMER, sign, joint="boom")
    assert book.verdict() is Verdict.STOP


def test_deed_at_the_very_moment_of_the_sign_cures_nothing() -> None:
    """Two people, one second: nothing says that the crack was seen before it was welded, so it stays a stop."""
    book = sound()
    seen = book.saw(SUMMER, "crack", joint="boom")
    done = book.did(SUMMER, "welded and bored", joint="boom")
    book.entries[-1] = replace(done, at=seen.at, round="2025-07-01-bob")
    assert book.verdict() is Verdict.STOP


def test_struck_note_stops_nothing_and_a_struck_deed_cures_nothing() -> None:
    """Strikes take back both ways."""
    book = sound()
    book.strike(book.saw(SUMMER, "crack", joint="boom"))
    assert book.joint.signs == ()
    book.saw(SUMMER, "pin bent", joint="boom")
    book.strike(book.did(AUTUMN, "new pin", joint="boom"))
    assert book.verdict() is Verdict.STOP


# --- where ---

JOINTS = Joint("lower", kind="hitch"), Joint("upper", kind="hitch")
HOLES = Hole("bracket", joint="lower"), Hole("eye", joint="lower"), Hole("eyetop", joint="upper")
MACHINE = Machine("t", joints=JOINTS, holes=HOLES, links=(Link("rod", near_hole="eyetop", far_hole="eye"),))


def stopped(book: Book) -> set[str]:
    """Return the joints that are stopped."""
    return {state.joint.id for state in book.state.joints if state.finding.verdict is Verdict.STOP}


def tractor() -> Book:
    """Return a tractor with a rod between two joints."""
    return Book(joints=JOINTS, holes=HOLES, machine=MACHINE)


@pytest.mark.parametrize(
    ("where", "joints"),
    [
        ({"hole": "eye"}, {"lower"}),
        ({"joint": "upper"}, {"upper"}),
        ({"link": "rod"}, {"lower", "upper"}),
        ({}, {"lower", "upper"}),
    ],
)
def test_sign_stops_the_joints_it_is_about(where: dict[str, str], joints: set[str]) -> None:
    """A hole's joint, the joint, both ends of a link, or the whole machine when no place was said."""
    book = tractor()
    book.saw(SPRING, "crack", **where)
    assert stopped(book) == joints


@pytest.mark.parametrize(
    ("seen", "done", "is_cured"),
    [
        ({"hole": "bracket"}, {"hole": "bracket"}, True),
        ({"hole": "bracket"}, {"hole": "eye"}, False),
        ({"hole": "bracket"}, {"joint": "lower"}, True),
        ({"hole": "bracket"}, {"link": "rod"}, False),  # the bracket is not the rod's
        ({"hole": "eye"}, {"link": "rod"}, True),
        ({"joint": "lower"}, {"hole": "eye"}, False),  # the crack may be at the other hole
        ({"joint": "lower"}, {"joint": "lower"}, True),
        ({"joint": "lower"}, {"joint": "upper"}, False),
        ({"joint": "lower"}, {"link": "rod"}, True),
        ({"joint": "upper"}, {"hole": "eyetop"}, True),  # its only hole
        ({"link": "rod"}, {"link": "rod"}, True),
        ({"link": "rod"}, {"joint": "lower"}, False),
        ({"joint": "lower"}, {}, False),
        ({}, {"joint": "lower"}, False),
        ({}, {}, True),
    ],
)
def test_crack_is_cured_where_it_was_seen(seen: dict[str, str], done: dict[str, str], is_cured: bool) -> None:
    """Replacing what was not cracked cures no crack."""
    book = tractor()
    book.saw(SPRING, "crack", **seen)
    book.did(SUMMER, "link replaced", **done)
    assert (stopped(book) == set()) is is_cured


def test_new_pin_serves_the_whole_joint() -> None:
    """A pin goes through all holes of its joint, so it does not matter at which one it was written down."""
    book = tractor()
    book.saw(SPRING, "pin bent", hole="bracket")
    book.did(SUMMER, "new pin", hole="eye")
    assert stopped(book) == set()
    book.saw(AUTUMN, "pin bent", joint="lower")
    book.did(AUTUMN, "new pin", joint="upper")
    assert stopped(book) == {"lower"}


def test_unsafe_signs_come_first() -> None:
    """Of several signs the unsafe ones are named first."""
    book = tractor()
    book.saw(SPRING, "dry", "lip", hole="eye")
    book.saw(SUMMER, "crack", hole="eye")
    assert book.state.joints[0].signs == ("crack", "dry", "lip")
