"""History cut by what was done, and the hours of the machine."""

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from fieldlog.records.entries import BORE_RENEWING_DEEDS, Deed, MachineLog, Round
from fieldlog.records.machine import Hole, Joint, Link, Machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.states import HoleState
from fieldlog.wear.verdicts import Verdict
from tests.speaking import reason_of, spoken
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book

# A lift rod with a row of two holes at its lower end, in a joint with the bracket's ear; a top link elsewhere.
JOINTS = Joint("lower", kind="hitch"), Joint("upper", kind="hitch")
HOLES = (
    Hole("bracket", joint="lower"),
    Hole("rod1", joint="lower", number=1, in_row=2),
    Hole("rod2", joint="lower", number=2, in_row=2, use="never"),
    Hole("rodtop", joint="upper"),
)
LINKS = (Link("rod", near_hole="rodtop", far_hole="rod1"), Link("top"))
TRACTOR = Machine("tractor", joints=JOINTS, holes=HOLES, links=LINKS)


def tractor() -> Book:
    """Return the tractor, all holes measured in spring."""
    book = Book(joints=JOINTS, holes=HOLES, machine=TRACTOR)
    for hole in HOLES:
        book.bore(SPRING, 19.6, hole=hole.id)
    return book


def holes(book: Book) -> dict[str, HoleState]:
    """Return the assessed holes by id."""
    return {state.hole.id: state for joint in book.state.joints for state in joint.holes}


@pytest.mark.parametrize("deed", BORE_RENEWING_DEEDS)
def test_renewing_the_bore_starts_a_new_span(deed: Deed) -> None:
    """History before the deed stays visible; worn and identity size come from after it."""
    book = Book()
    book.bore(SPRING, 31.2)
    book.did(SUMMER, deed, joint="boom")
    book.bore(AUTUMN, 30.2)
    (hole,) = book.joint.holes
    assert [size.day for size in hole.history] == [SPRING, AUTUMN]
    assert hole.span_start == 1
    assert hole.worn is not None
    assert hole.worn.value == pytest.approx(30.2, abs=0.01)
    assert hole.change is None
    assert book.verdict() is Verdict.SOUND


@pytest.mark.parametrize("deed", ["greased", "pin turned", "new pin"])
def test_other_deeds_cut_no_bore(deed: Deed) -> None:
    """Greasing, turning the pin or a new one does not make a hole round again."""
    book = Book()
    book.bore(SPRING, 31.2)
    book.did(SUMMER, deed, joint="boom")
    (hole,) = book.joint.holes
    assert (hole.span_start, hole.latest) == (0, hole.history[0])


def test_measured_before_and_after_on_the_same_day() -> None:
    """A re-bush between two measurings of one round parts them."""
    book = Book()
    book.bore(SPRING, 31.2)
    book.did(SPRING, "re-bushed", joint="boom")
    book.bore(SPRING, 30.2)
    (hole,) = book.joint.holes
    assert [round(size.largest.value, 1) for size in hole.history] == [31.2, 30.2]
    assert hole.span_start == 1


def test_renewed_and_not_measured_since_is_to_be_measured() -> None:
    """After a re-bush nothing is known, and the old size is not taken for the new one."""
    book = Book()
    book.bore(SPRING, 31.2)
    book.did(SUMMER, "re-bushed", joint="boom")
    assert book.joint.holes[0].worn is None
    assert book.verdict() is Verdict.REMEASURE
    assert "since it was renewed" in reason_of(book.finding)


def test_struck_deed_cuts_nothing() -> None:
    """A re-bush written down by mistake and struck leaves the history whole."""
    book = Book()
    book.bore(SPRING, 31.2)
    book.strike(book.did(SUMMER, "re-bushed", joint="boom"))
    assert book.joint.holes[0].latest is not None


def test_deed_on_a_hole_cuts_that_hole_only() -> None:
    """Boring one hole leaves the others of its joint as they were."""
    book = tractor()
    book.did(SUMMER, "bored", hole="bracket", joint="lower")
    assert {name for name, state in holes(book).items() if state.latest is None} == {"bracket"}


def test_deed_on_a_joint_cuts_all_its_holes() -> None:
    """A joint re-bushed as a whole has all its holes renewed, and no other joint's."""
    book = tractor()
    book.did(SUMMER, "re-bushed", joint="lower")
    assert {name for name, state in holes(book).items() if state.latest is None} == {"bracket", "rod1", "rod2"}


def test_link_replaced_renews_the_links_own_holes() -> None:
    """A new rod brings both its ends and the whole row, but the bracket keeps its worn ear."""
    book = tractor()
    book.did(SUMMER, "link replaced", link="rod")
    assert {name for name, state in holes(book).items() if state.latest is None} == {"rod1", "rod2", "rodtop"}


def test_deed_without_a_place_cuts_nothing() -> None:
    """A hole bored, with no word of where, says nothing about any hole."""
    book = tractor()
    book.did(SUMMER, "bored")
    book.did(SUMMER, "link replaced", link="top")
    assert all(state.latest is not None for state in holes(book).values())


def test_new_pin_forgets_the_old_pins_readings() -> None:
    """The clearance after a new pin is reckoned from the new pin; the bore's history stays."""
    book = Book()
    book.pin_is(SPRING, 28.9)
    book.bore(SPRING, 30.3)
    assert book.joint.pin_size is not None
    assert book.joint.pin_size.value == pytest.approx(28.9)
    book.did(SUMMER, "new pin", joint="boom")
    assert book.joint.pin_size is not None
    assert book.joint.pin_size.value == pytest.approx(30.0)
    assert "not measured" in spoken(book.joint.pin_origin)
    book.pin_is(AUTUMN, 29.95)
    assert book.joint.pin_size is not None
    assert book.joint.pin_size.value == pytest.approx(29.95)


def test_new_link_keeps_the_pins_readings() -> None:
    """Only a new pin is a new pin; a new link on the old pin still has that pin's wear in its clearance."""
    book = tractor()
    book.pin_is(SPRING, 18.7, joint="lower")
    book.did(SUMMER, "link replaced", link="rod")
    (lower, _) = book.state.joints
    assert lower.pin_size is not None
    assert lower.pin_size.value == pytest.approx(18.7)


def test_reading_at_the_very_moment_of_a_deed_counts_as_before_it() -> None:
    """Two people, one second: what was measured then is not taken for the renewed bore."""
    book = Book()
    for entry in book.bore(SPRING, 31.2, clocks=("12",)):
        at_once = replace(entry, at="09:00:00")
        book.entries[book.entries.index(entry)] = at_once
    deed = book.did(SPRING, "re-bushed", joint="boom")
    book.entries[-1] = replace(deed, at="09:00:00", round="2025-04-01-bob")
    assert book.joint.holes[0].latest is None


def test_readings_count_on_their_day_however_they_come() -> None:
    """Spring entered after autumn is still spring."""
    book = Book()
    book.bore(AUTUMN, 30.4)
    book.bore(SPRING, 30.3)
    hole = book.joint.holes[0]
    assert [size.day for size in hole.history] == [SPRING, AUTUMN]
    assert hole.change is not None
    assert hole.change.value == pytest.approx(0.1, abs=0.005)


# --- hours ---


def test_hours_are_the_last_reading() -> None:
    """Without a new meter the machine's hours are what it showed last."""
    book = Book()
    assert book.state.meter_hours is None
    book.meter(AUTUMN, "812.4")
    book.meter(SPRING, "640")
    assert book.state.meter_hours == Decimal("812.4")


def test_replaced_meters_add_up() -> None:
    """1500 on the first, 5 to 300 on the second, 0 to 40 on the third: 1500 + 295 + 40."""
    book = Book()
    book.meter(SPRING, "1500")
    book.did(SPRING, "meter replaced", hours="5")
    book.meter(SUMMER, "300")
    book.did(SUMMER, "meter replaced")
    book.meter(AUTUMN, "40")
    assert book.state.meter_hours == Decimal(1835)
    assert book.state.remarks == ()


def test_meter_replaced_before_any_reading_starts_from_the_new_one() -> None:
    """Nothing is known of the old meter, so nothing is added for it."""
    book = Book()
    book.did(SPRING, "meter replaced", hours="20")
    book.meter(AUTUMN, "120")
    assert book.state.meter_hours == Decimal(120)


def test_struck_meter_reading_does_not_count() -> None:
    """A slip of 8124 struck leaves 812.4 standing."""
    book = Book()
    book.meter(SUMMER, "812.4")
    book.strike(book.meter(AUTUMN, "8124"))
    assert book.state.meter_hours == Decimal("812.4")


def test_meter_running_backwards_is_said() -> None:
    """Less than before without a new meter is odd, and stays as read."""
    book = Book()
    book.meter(SPRING, "900")
    book.meter(AUTUMN, "850")
    assert book.state.meter_hours == Decimal(850)
    assert "ran backwards on 1 Oct 2025: from 900 to 850 h" in spoken(book.state.remarks[0])


def test_joint_knows_the_hours_at_its_last_measuring() -> None:
    """The hours beside a joint are those of its own day, not of today."""
    book = Book()
    book.bore(SUMMER, 30.2)
    unread = book.joint.last_hours
    assert unread is None
    book.meter(SPRING, "600")
    book.meter(AUTUMN, "800")
    assert (book.joint.last_day, book.joint.last_hours) == (SUMMER, Decimal(600))


def test_round_dated_ahead_of_today_is_said() -> None:
    """A clock set wrong puts rounds into the future."""
    book = Book()
    ahead = MachineLog(TRACTOR, (Round("x", datetime.date(2026, 5, 1), "ann"),))
    assert "check the clock" in spoken(assess_machine(ahead, book.logbook, datetime.date(2026, 4, 1)).remarks[0])
    assert assess_machine(ahead, book.logbook, datetime.date(2026, 5, 1)).remarks == ()
