"""A machine's verdicts from its entries: clearance, pins, limits, remarks."""

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import LengthReading
from fieldlog.records.machine import Hole, Joint, Link, Machine
from fieldlog.wear.assess import assess_hole, assess_machine
from fieldlog.wear.verdicts import Severity, Verdict
from tests.speaking import all_spoken, caution_of, next_step_of, reason_of, spoken
from tests.wear.build import AUTUMN, SPRING, SUMMER, TODAY, Book, limit

# --- clearance: the largest of the hole less the pin ---


def test_clearance_is_largest_less_worn_band() -> None:
    """30.6 at its largest less 29.9 in the worn band is 0.7, whatever the smallest of the hole is."""
    book = Book()
    book.pin_is(SPRING, 29.98, "unworn")
    book.pin_is(SPRING, 29.90)
    book.bore(SPRING, 30.6, oval=0.4)
    clearance = book.finding.clearance
    assert clearance is not None
    assert clearance.value == pytest.approx(0.7, abs=0.005)
    assert {part.name for part in clearance.parts} >= {"fine, inside jaws", "fine, outside jaws"}


def test_pin_is_taken_from_the_best_that_is_known() -> None:
    """Worn band before unworn end before stated before assumed; anything not measured says so."""
    book = Book(pin="")
    book.bore(SPRING, 30.25)
    assert spoken(book.joint.pin_origin) == "pin assumed 30 mm; not measured"
    assert "Pin assumed 30 mm; not measured." in reason_of(book.finding)
    stated = Book(pin="30 mm")
    stated.bore(SPRING, 30.25)
    assert spoken(stated.joint.pin_origin) == "pin taken as 30 mm, not measured"
    stated.pin_is(SPRING, 29.97, "unworn")
    assert spoken(stated.joint.pin_origin) == "unworn end of the pin"
    stated.pin_is(SPRING, 29.90)
    assert spoken(stated.joint.pin_origin) == "worn band of the pin"
    assert "not measured" not in reason_of(stated.finding)


def test_smaller_of_two_pins_is_assumed() -> None:
    """7/8 in or 22 mm: the smaller gives the larger clearance, and the reason says which was taken."""
    book = Book(kind="hitch", pin="")
    book.bore(SPRING, 22.75)
    finding = book.finding
    assert finding.clearance is not None
    assert finding.clearance.value == pytest.approx(0.75, abs=0.005)
    assert "Pin assumed 22 mm, the smaller that fits; not measured." in reason_of(finding)


def test_unmeasured_pin_widens_the_doubt() -> None:
    """A hitch pin may be 0.2 mm under its name (0.2 / sqrt(3) = 0.1155 standard uncertainty)."""
    book = Book(kind="hitch", pin="22 mm")
    book.bore(SPRING, 22.75)
    clearance = book.finding.clearance
    assert clearance is not None
    assert {round(part.u_mm, 4) for part in clearance.parts if part.name == "pin not measured"} == {0.1155}


def test_wear_on_an_assumed_pin_asks_for_the_pin_first() -> None:
    """Before parts are ordered on a guess, the pin is measured."""
    book = Book(kind="hitch", pin="")
    book.bore(SPRING, 22.75, oval=0.0)
    book.bore(AUTUMN, 24.45, oval=1.7)
    assert book.verdict() is not Verdict.SOUND
    assert next_step_of(book.finding).startswith("Measure the pin at its unworn end")


def test_unknown_pin_is_said() -> None:
    """A 7 mm hole fits no listed pin, so there is no clearance."""
    book = Book(pin="")
    book.bore(SPRING, 7.0)
    assert book.verdict() is Verdict.REMEASURE
    assert book.finding.clearance is None
    assert "pin's size is not known" in reason_of(book.finding)


# --- verdicts through the whole ---


def test_renew_needs_two_days() -> None:
    """One day over: measure again before ordering. Two: renew, with the caution."""
    book = Book()
    book.bore(SPRING, 31.3)
    assert book.verdict() is Verdict.REMEASURE
    assert "one day's reading only" in reason_of(book.finding)
    assert "before ordering" in next_step_of(book.finding)
    book.bore(AUTUMN, 31.32)
    assert book.verdict() is Verdict.RENEW
    assert "block" in caution_of(book.finding)


def test_striking_one_of_the_two_days_takes_renew_back() -> None:
    """A day struck out counts for nothing."""
    book = Book()
    book.bore(SPRING, 31.3)
    book.strike(*book.bore(AUTUMN, 31.32))
    assert book.verdict() is Verdict.REMEASURE


def test_days_before_a_rebush_do_not_count() -> None:
    """Over in spring, re-bushed, over in autumn is over on one day."""
    book = Book()
    book.bore(SPRING, 31.3)
    book.did(SUMMER, "re-bushed", joint="boom")
    book.bore(AUTUMN, 31.3)
    assert book.verdict() is Verdict.REMEASURE


def test_new_pin_takes_the_old_pins_wear_out_of_the_clearance() -> None:
    """Two days over with a worn pin; with a new one the same bores are sound."""
    book = Book()
    for day, other in ((SPRING, 30.3), (SUMMER, 30.31)):
        book.bore(day, other)
        book.pin_is(day, 29.0)
    assert book.verdict() is Verdict.RENEW
    book.did(AUTUMN, "new pin", joint="boom")
    book.pin_is(AUTUMN, 29.97)
    assert book.verdict() is Verdict.SOUND


def test_pivot_in_doubt_twice_is_renewed() -> None:
    """A pivot's limit is 0.3 on 30 mm: 0.29 on two days is treated as over, on a bushed joint not."""
    for kind, expected in (("pivot", Verdict.RENEW), ("bushed", Verdict.SOUND)):
        book = Book(kind=kind)  # type: ignore[arg-type]
        book.pin_is(SPRING, 29.99)
        book.bore(SPRING, 30.28)
        book.bore(AUTUMN, 30.28)
        assert book.verdict() is expected


def test_owners_limit_counts_and_is_named() -> None:
    """With the manual's 0.5 mm the same reading is over that with the default is sound."""
    book = Book(limits=(limit("0.5", "0.3", joint="boom", origin="manual p. 88"),))
    book.bore(SPRING, 30.7)
    book.bore(AUTUMN, 30.7)
    assert book.verdict() is Verdict.RENEW
    assert "the limit 0.50 mm, manual p. 88" in reason_of(book.finding)


def test_bore_and_ovality_limits_are_judged() -> None:
    """A limit on bore or ovality is held against just that."""
    bore = Book(limits=(limit("30.5", of="bore"),))
    bore.bore(SPRING, 30.8)
    bore.bore(AUTUMN, 30.8)
    assert bore.verdict() is Verdict.RENEW
    assert reason_of(bore.finding).startswith("Bore 30.80")
    assert bore.finding.clearance is not None
    assert bore.finding.clearance.value == pytest.approx(0.8, abs=0.005)
    oval = Book(limits=(limit("0.2", of="ovality"),))
    oval.bore(SPRING, 30.4, oval=0.3)
    oval.bore(AUTUMN, 30.4, oval=0.3)
    assert reason_of(oval.finding).startswith("Ovality 0.30")


def test_bush_wall_limit_is_not_passed_over_in_silence() -> None:
    """What cannot be entered yet is said not to be judged."""
    book = Book(limits=(limit("2.0", joint="boom", of="bush wall"),))
    book.bore(SPRING, 30.2)
    assert book.verdict() is Verdict.SOUND
    assert "bush wall limit of boom is not judged" in spoken(book.state.remarks[0])


def test_drawbar_is_judged_by_its_hole_along_the_pull() -> None:
    """33 mm across, 35.2 along on a 31.5 pin: over 34.98 on two days; 33.3 is sound although 1.8 over its pin."""
    book = Book(kind="drawbar", pin="31.5 mm")
    book.bore(SPRING, 35.2, oval=2.2)
    book.bore(AUTUMN, 35.2, oval=2.2)
    assert book.verdict() is Verdict.RENEW
    fresh = Book(kind="drawbar", pin="31.5 mm")
    fresh.bore(SPRING, 33.3, oval=0.3)
    assert fresh.verdict() is Verdict.SOUND


# --- pins ---


def test_pin_at_its_limit_on_two_days_stops() -> None:
    """28.4 of 30 mm is 1.6 off, over 5 % (1.5): measured once wait, twice stop."""
    book = Book(limits=(limit("5.0", joint="boom"),))
    book.bore(SPRING, 30.2)
    book.pin_is(SPRING, 28.40)
    assert book.verdict() is Verdict.REMEASURE
    assert next_step_of(book.finding).startswith("Do not work with it until it is measured again")
    book.pin_is(AUTUMN, 28.40)
    assert book.verdict() is Verdict.STOP
    assert "5 % of the pin" in reason_of(book.finding)


def test_owners_pin_limit_counts() -> None:
    """A manual that allows 25 down to 24 stops at 23.9 on two days, not at 24.3."""
    for worn_mm, expected in ((24.3, Verdict.SOUND), (23.85, Verdict.STOP)):
        book = Book(pin="25 mm", limits=(limit("24.0", of="pin"), limit("5.0", joint="boom")))
        for day in (SPRING, AUTUMN):
            book.bore(day, 25.2)
            book.pin_is(day, worn_mm)
        assert book.verdict() is expected


def test_pin_that_nobody_named_is_not_judged_against_a_guess() -> None:
    """Without a stated size or an unworn end, nobody knows what is worn off."""
    book = Book(pin="", limits=(limit("9.0", joint="boom"),))
    book.bore(SPRING, 30.2)
    book.pin_is(SPRING, 28.4)
    book.pin_is(AUTUMN, 28.4)
    assert book.verdict() is Verdict.SOUND


# --- what is missing or odd ---


def test_never_measured_is_to_be_measured() -> None:
    """A joint without a reading says so, and ranks behind every other re-measure."""
    finding = Book().finding
    assert (finding.verdict, finding.severity) == (Verdict.REMEASURE, Severity.UNKNOWN)
    assert reason_of(finding) == "Never measured."
    empty = Book(machine=Machine("m", joints=(Joint("boom"),)))
    assert "No hole is entered" in reason_of(empty.finding)


@pytest.mark.parametrize(("clocks", "can_hide"), [(("12",), True), (("12", "3"), True), (("12", "1:30", "3"), False)])
def test_few_lines_give_a_verdict_that_says_an_oval_can_hide(clocks: tuple[str, ...], can_hide: bool) -> None:
    """Sound from one or two lines is still said to be sound, with what it cannot see."""
    book = Book()
    book.bore(SPRING, 30.2, clocks=clocks)
    assert book.verdict() is Verdict.SOUND
    assert ("oval" in reason_of(book.finding)) is can_hide
    assert ("oval" in " ".join(all_spoken(book.joint.holes[0].remarks))) is can_hide


def test_bore_that_shrank_is_measured_again() -> None:
    """A bore can only grow, so a smaller one was misread, now or last time."""
    book = Book()
    book.bore(SPRING, 30.5)
    book.bore(AUTUMN, 30.2)
    assert book.verdict() is Verdict.REMEASURE
    assert "a bore can only grow" in reason_of(book.finding)
    assert "a bore can only grow" in spoken(book.joint.holes[0].remarks[0])


def test_bore_within_its_doubt_has_not_shrunk() -> None:
    """0.03 less with a caliper of 0.05 is nothing."""
    book = Book()
    book.bore(SPRING, 30.23)
    book.bore(AUTUMN, 30.20)
    assert book.verdict() is Verdict.SOUND


def test_bore_that_shrank_after_a_rebush_has_not() -> None:
    """Smaller after a new bush is what a new bush is for."""
    book = Book()
    book.bore(SPRING, 30.5)
    book.did(SUMMER, "re-bushed", joint="boom")
    book.bore(AUTUMN, 30.2)
    assert book.verdict() is Verdict.SOUND


def test_fewer_lines_that_miss_the_oval_do_not_look_like_shrinking() -> None:
    """The long axis was not measured this time, so nothing shrank."""
    book = Book()
    book.bore(SPRING, 30.5, oval=0.3)
    book.bore(AUTUMN, 30.5, oval=0.3, clocks=("12",))
    assert "only grow" not in reason_of(book.finding)


def test_shrinking_does_not_unsay_renew() -> None:
    """Proved on two days, a third reading far smaller changes nothing until something is struck."""
    book = Book()
    book.bore(SPRING, 31.3)
    book.bore(SUMMER, 31.32)
    book.bore(AUTUMN, 30.3)
    assert book.verdict() is Verdict.RENEW
    assert "strike what was read wrong or renew" in reason_of(book.finding)


def test_pin_larger_than_its_hole_is_not_sound() -> None:
    """A clearance below zero is no clearance; one of the two is wrong."""
    book = Book(pin="35 mm")
    book.bore(SPRING, 30.9)
    assert book.verdict() is Verdict.REMEASURE
    assert "a pin cannot be larger than its hole" in reason_of(book.finding)


def test_old_soundness_asks_for_a_new_look() -> None:
    """Sound, but measured more than a season ago."""
    book = Book()
    book.bore(SPRING.replace(year=2024), 30.2)
    assert book.verdict() is Verdict.SOUND
    assert next_step_of(book.finding) == "Measure again now: once a season; last measured 1 Apr 2024."


# --- several holes ---

TWO = Hole("left", joint="boom", kind="bushed"), Hole("right", joint="boom", kind="bushed")


def test_worst_hole_speaks_for_the_joint_and_is_named() -> None:
    """0.3 left and 0.8 right: the right one, by name."""
    book = Book(holes=TWO)
    book.bore(SPRING, 30.3, hole="left")
    book.bore(SPRING, 30.8, hole="right")
    assert book.verdict() is Verdict.PLAN
    assert reason_of(book.finding).startswith("right: clearance 0.80")


def test_doubt_about_the_limit_outweighs_a_plan() -> None:
    """One hole to plan for, another perhaps over its limit: the second is what matters."""
    book = Book(holes=TWO)
    book.bore(SPRING, 30.8, hole="left")
    book.bore(SPRING, 31.0, hole="right")
    assert book.verdict() is Verdict.REMEASURE
    assert reason_of(book.finding).startswith("right: clearance 1.00")
    assert book.state.worst is Verdict.REMEASURE


@pytest.mark.parametrize(("use", "expected"), [("daily", Verdict.REMEASURE), ("never", Verdict.SOUND)])
def test_unmeasured_hole_counts_when_it_is_in_daily_use(use: str, expected: Verdict) -> None:
    """One hole of two measured is half a joint, unless the other is never used."""
    other = Hole("right", joint="boom", kind="bushed", use=use)  # type: ignore[arg-type]
    book = Book(holes=(TWO[0], other))
    book.bore(SPRING, 30.2, hole="left")
    assert book.verdict() is expected
    assert ("right: never measured" in reason_of(book.finding)) is (use == "daily")


def test_hole_limit_is_for_that_hole_only() -> None:
    """The left ear has a limit of its own; the right one has the default."""
    book = Book(holes=TWO, limits=(limit("0.2", "0.1", hole="left"),))
    book.bore(SPRING, 30.4, hole="left")
    book.bore(SPRING, 30.4, hole="right")
    assert reason_of(book.finding).startswith("left: clearance 0.40")
    assert book.finding.limit is not None
    assert book.finding.limit.renew_mm == 0.2


def test_one_hole_alone_is_the_same_as_in_the_whole() -> None:
    """The state that the round asks for is the one that the machine page shows."""
    book = Book(holes=TWO)
    book.bore(SPRING, 30.3, hole="left")
    book.bore(SPRING, 30.8, hole="right")
    book.saw(SUMMER, "lip", hole="right")
    assert assess_hole(TWO[1], book.log, book.logbook) == book.joint.holes[1]


# --- the machine ---


def test_machine_without_joints_is_sound() -> None:
    """Nothing on it, nothing to do."""
    state = assess_machine(Book(machine=Machine("m")).log, Book().logbook, TODAY)
    assert (state.worst, state.joints, state.links, state.last_day) == (Verdict.SOUND, (), (), None)


def test_link_is_reported_from_its_newest_taping_and_its_holes() -> None:
    """Outside less the half sum of the holes: 560 + 19.4 taped gives 560 pin to pin, from the newest round only."""
    holes = Hole("a", joint="boom"), Hole("b", joint="boom")
    link = Link("top", near_hole="a", far_hole="b")
    book = Book(kind="hitch", machine=Machine("t", joints=(Joint("boom"),), holes=holes, links=(link,)))
    book.bore(SPRING, 19.4, hole="a")
    book.bore(SPRING, 19.4, hole="b")
    for day, mm in ((SPRING, "700"), (AUTUMN, "579.4")):
        head = {"at": "07:00", "round": f"{day}-ann", "day": day, "who": "ann"}
        book.entries.append(
            LengthReading(link="top", size=parse_length(mm), way="outside", state="closed", **head)  # type: ignore[arg-type]
        )
    (report,) = book.state.links
    assert report.closed is not None
    assert report.closed.centres is not None
    assert report.closed.centres.value == pytest.approx(560.0, abs=0.02)
    assert (report.open, report.as_set) == (None, None)
