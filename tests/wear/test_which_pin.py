"""A verdict with a pin that nobody stated or measured: what all pins of weight agree on, else which pin it is."""

from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, JointKind, Machine
from fieldlog.wear.due import against_limit, due_list
from fieldlog.wear.order_list import order_list
from fieldlog.wear.pin_size import PIN_OF_WEIGHT
from fieldlog.wear.verdicts import Severity, Verdict
from tests.speaking import next_step_of, reason_of, spoken
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book

ROD = Joint("rod-left", "Left lift rod, lower end")
TWIN = Joint("rod-right", "Right lift rod, lower end", pin=parse_length("19 mm"))


def lift_rod(mm: float) -> Book:
    """A lift rod whose pin nobody stated; that of the other side is stated as 19 mm."""
    machine = Machine("tractor", joints=(ROD, TWIN), holes=(Hole("ear", joint=ROD.id),))
    book = Book(machine=machine)
    book.bore(SPRING, mm)
    return book


def test_a_likelier_pin_that_would_be_over_leaves_nothing_sound() -> None:
    """20.42 mm is 0.42 over a 20 mm pin (1 in 10) and 1.42 over one of 19 mm, whose limit is 8 % of it, 1.52."""
    book = lift_rod(20.42)
    shares = {pin.name: pin.share for pin in book.joint.pin_answer.candidates}
    assert shares["3/4 in"] + shares["19 mm"] > 0.85
    assert shares["20 mm"] > PIN_OF_WEIGHT
    finding = book.finding
    assert (finding.verdict, finding.may_be_over) == (Verdict.REMEASURE, True)
    assert reason_of(finding).startswith(
        "Which pin it is decides: sound at 0.42 ± 0.21 mm with a pin of 20 mm, perhaps over at 1.42 ± 0.21 mm "
        "with a pin of 19 mm; limit 1.52 mm"
    )
    assert next_step_of(finding).rstrip(".").casefold() == book.joint.pin_answer.next_action.casefold()
    assert spoken(against_limit(finding)) == "0.42 or 1.42 by its pin, limit 1.52 mm"
    assert next(item.joint.id for item in due_list([book.state])) == ROD.id


def test_the_pin_once_known_gives_the_verdict_back() -> None:
    """Measured at its unworn end it is 20 mm, so 0.44 of clearance, and sound."""
    book = lift_rod(20.42)
    book.pin_is(SUMMER, 19.98, "unworn", joint=ROD.id)
    assert book.verdict() is Verdict.SOUND


def test_renew_is_not_said_for_one_of_the_pins_only() -> None:
    """Over its limit on two days with one pin, and sound with another: the pin comes before any order."""
    book = Book(kind="hitch", pin="")
    book.bore(SPRING, 20.95)
    book.bore(AUTUMN, 20.95)
    assert book.verdict() is Verdict.REMEASURE
    assert "with a pin of 20 mm" in reason_of(book.finding)
    assert book.finding.severity == Severity.MAY_BE_OVER
    assert all(line.when.name == "PIN_FIRST" for line in order_list([book.state]))


def test_pins_that_agree_leave_the_verdict_as_it_is() -> None:
    """22 mm or 7/8 in, 0.75 or 0.52 over them: sound with both, and the larger clearance is the one shown."""
    book = Book(kind="hitch", pin="")
    book.bore(SPRING, 22.75)
    assert book.verdict() is Verdict.SOUND
    assert "Pin assumed 22 mm, the smaller that fits; not measured." in reason_of(book.finding)


def test_a_crack_stops_whatever_the_pin_is() -> None:
    """What is unsafe on sight does not wait for the pin."""
    book = lift_rod(20.42)
    book.saw(SUMMER, "crack", joint=ROD.id)
    assert book.verdict() is Verdict.STOP


def test_the_hole_is_named_where_there_are_two() -> None:
    """Both hang on one pin; the looser one is named."""
    holes = Hole("left", joint="boom"), Hole("right", joint="boom")
    book = Book(kind="hitch", pin="", holes=holes)
    book.bore(SPRING, 20.42, hole="left")
    book.bore(SPRING, 20.62, hole="right")
    assert reason_of(book.finding).startswith("right: which pin it is decides: sound at 0.62")


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(get_args(JointKind)),
    st.floats(12.5, 52.0),
    st.lists(st.floats(0.0, 0.6), min_size=1, max_size=3) | st.floats(0.02, 0.3).map(lambda mm: [0.0, mm, 2 * mm]),
)
def test_sound_and_renew_hold_with_every_pin_of_weight(kind: JointKind, mm: float, grown: list[float]) -> None:
    """A verdict with an unknown pin is what stating any pin of weight gives, forecast included, or "re-measure"."""
    sizes = [mm + step for step in sorted(grown)]
    finding = _measured(kind, "", sizes).finding
    pins = _measured(kind, "", sizes).joint.pin_answer.candidates
    stated = [_measured(kind, pin.name, sizes).finding for pin in pins if pin.share >= PIN_OF_WEIGHT]
    if not stated or finding.verdict is Verdict.REMEASURE:
        assert stated == [] or finding.may_be_over == any(one.severity >= Severity.MAY_BE_OVER for one in stated)
        return
    assert {one.verdict for one in stated} == {finding.verdict}


def _measured(kind: JointKind, pin: str, sizes: list[float]) -> Book:
    book = Book(kind=kind, pin=pin)
    for number, (day, mm) in enumerate(zip((SPRING, SUMMER, AUTUMN), sizes, strict=False)):
        book.meter(day, str(100 + 150 * number))
        book.bore(day, mm)
    return book
