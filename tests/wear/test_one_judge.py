"""The panel beside the readings and the joint's page are one judge: after each reading they say the same."""

import datetime
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import BoreReading, Deed, Sign, WallReading
from fieldlog.records.machine import Hole, HoleKind, Joint, JointKind, Machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.at_the_hole import before_this_round, judging_of, look
from fieldlog.wear.states import Finding, JointState
from tests.wear.build import FINE, TODAY, Book
from tests.wear.test_never_on_one_day import limits

FIRST = datetime.date(2023, 3, 3)
NOW = datetime.date(2025, 11, 3)
ROUND = f"{NOW}-ann"
SIGNS: tuple[Sign, ...] = ("crack", "bush turns in its bore", "keeper torn", "dry", "lip")
OFFSETS = st.lists(st.floats(-0.02, 0.06) | st.floats(-0.5, 2.0), min_size=1, max_size=4)
DEEDS: tuple[Deed, ...] = ("re-bushed", "new pin", "greased", "greasing changed")


@st.composite
def seasons(draw: st.DrawFn) -> tuple[Book, float]:
    """A joint of one or two holes over some seasons: wear, signs, deeds, pins, walls, hours; and its size now."""
    kind = draw(st.sampled_from(get_args(JointKind)))
    pin = draw(st.sampled_from((None, None, "19 mm", "20 mm", "3/4 in")))
    hole_kind = draw(st.sampled_from(get_args(HoleKind)))
    names = ("ear", "other")[: draw(st.integers(1, 2))]
    wall = parse_length("2.5") if draw(st.booleans()) else None
    joint = Joint("boom", kind=kind, pin=parse_length(pin) if pin else None)
    holes = tuple(Hole(name, joint="boom", kind=hole_kind, bush_wall=wall) for name in names)
    book = Book(
        machine=Machine(
            "digger", joints=(joint,), holes=holes, limits=draw(limits()) if draw(st.integers(0, 2)) == 0 else ()
        )
    )
    made, rate = draw(st.floats(19.1, 20.6)), draw(st.sampled_from((0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5)))
    for number in range(draw(st.integers(0, 5))):
        day = FIRST + datetime.timedelta(days=200 * number)
        book.meter(day, str(100 + 200 * number))
        _season(draw, book, day, names, made + rate * number)
    book.meter(NOW, "1000")
    if len(names) > 1 and draw(st.integers(0, 3)):
        book.bore(NOW, made + 5 * rate, hole="other", clocks=("12", "3"))
    if draw(st.integers(0, 9)) == 0:
        book.saw(NOW, draw(st.sampled_from(SIGNS)), joint="boom")
    return book, made + 5 * rate


def _season(draw: st.DrawFn, book: Book, day: datetime.date, names: tuple[str, ...], mm: float) -> None:
    if draw(st.integers(0, 9)) == 0:
        book.did(day, draw(st.sampled_from(DEEDS)), joint="boom")
    for name in names:
        if draw(st.integers(0, 4)):
            book.bore(day, mm + draw(st.floats(0.0, 0.03)), hole=name, clocks=("12", "3"))
    if draw(st.integers(0, 3)) == 0:
        book.pin_is(day, draw(st.floats(18.6, 20.0)), draw(st.sampled_from(("worn", "unworn"))))
    if draw(st.integers(0, 14)) == 0:
        book.saw(day, draw(st.sampled_from(SIGNS)), hole=draw(st.sampled_from(names)))
    if draw(st.integers(0, 3)) == 0:
        size = parse_length(f"{draw(st.floats(0.9, 2.5)):.2f}")
        book._add(WallReading(hole="ear", size=size, instrument="fine", **book._head(day)))  # type: ignore[arg-type]


def measured_on(book: Book, sizes: list[float]) -> list[tuple[Finding | None, JointState]]:
    """Measure the first hole in today's round; return after each reading what the panel says, and the page."""
    hole = book.joint.holes[0]
    judging = judging_of(hole.hole, ROUND, book.log, book.logbook, book.state, TODAY)
    before = before_this_round(hole, book.joint, ROUND, judging)
    here: list[BoreReading] = []
    found = []
    for number, mm in enumerate(sizes):
        (reading,) = book.bore(NOW, mm, clocks=(("12", "3")[number % 2],))[1:2]
        assert isinstance(reading, BoreReading)
        book.entries[-3:] = [reading]
        here.append(reading)
        page = assess_machine(book.log, book.logbook, TODAY).joints[0]
        found.append((look(here, before, {"fine": FINE}, "mm").finding, page))
    return found


@settings(max_examples=200, deadline=None)
@given(seasons(), OFFSETS)
def test_the_panel_says_what_the_page_says_after_every_reading(drawn: tuple[Book, float], offsets: list[float]) -> None:
    """Verdict, reason, next step, limit and clearance, whatever was seen, done and measured before.

    Not drawn is a kind of which three joints together are proved to wear faster and faster: the panel takes the other
    joints as they stood when the round was begun.
    """
    book, mm = drawn
    for panel, page in measured_on(book, [mm + offset for offset in offsets]):
        assert panel == page.finding


@settings(max_examples=20, deadline=None)
@given(seasons(), st.sampled_from(("crack", "bush turns in its bore")))
def test_a_stopped_joint_is_stopped_beside_its_readings(drawn: tuple[Book, float], sign: Sign) -> None:
    """A reading like new says nothing against a crack."""
    book, _ = drawn
    book.saw(NOW, sign, joint="boom")
    for panel, _ in measured_on(book, [20.05, 20.05]):
        assert panel is not None
        assert panel.verdict == "stop"


def test_a_round_of_an_earlier_day_is_judged_in_its_place() -> None:
    """What is typed in later from paper lies before what was measured since."""
    book = Book(pin="20 mm")
    book.bore(NOW, 20.2)
    book.bore(NOW + datetime.timedelta(days=30), 21.6)
    panel, page = measured_on(book, [20.25])[0]
    assert panel == page.finding
    assert page.finding.verdict == "re-measure"
