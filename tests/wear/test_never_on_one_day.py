"""No joint is called "renew" on one day's readings, whatever they are; what is unsafe on sight stops it, no more.

One day may be read by several people, several times, with any values, on any kind of joint, under any limit, with or
without a pin, a bush's wall, other evidence, a meter, a plan for the season or a fast kind to borrow from.
"""

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.records.entries import Play, Trial, WallReading
from fieldlog.records.machine import Hole, HoleKind, Joint, JointKind, Limit, LimitOf, Machine, Share
from fieldlog.records.seasons import InUse
from fieldlog.wear.due import due_list
from fieldlog.wear.order_list import When, order_list
from fieldlog.wear.verdicts import Verdict
from tests.speaking import next_step_of, reason_of
from tests.wear.build import Book
from tests.wear.test_borrowing import others

DAY = datetime.date(2026, 3, 3)
SIZES = st.floats(15.0, 60.0)


@st.composite
def limits(draw: st.DrawFn) -> tuple[Limit, ...]:
    """Any limits on anything, as a size or a share."""
    found: list[Limit] = []
    for of in draw(st.sets(st.sampled_from(get_args(LimitOf)))):
        mm = parse_length(f"{draw(st.floats(0.01, 40.0)):.2f}")
        renew: Length | Share = mm if draw(st.booleans()) else Share("5 %", Decimal("5"))
        found.append(Limit(renew, "manual", of=of, joint="boom"))
    return tuple(found)


@st.composite
def one_day(draw: st.DrawFn) -> Book:
    """A joint measured on one single day, by up to three people."""
    kind = draw(st.sampled_from(get_args(JointKind)))
    pin = draw(st.none() | st.sampled_from(("25 mm", "3/4 in", "30 mm", "50 mm")))
    hole_kind = draw(st.sampled_from(get_args(HoleKind)))
    wall = parse_length("2.5") if draw(st.booleans()) else None
    names = ("ear", "other")[: draw(st.integers(1, 2))]
    machine = Machine(
        "digger",
        kind="loader",
        meter=draw(st.sampled_from(("hours", "none"))),
        joints=(Joint("boom", kind=kind, pin=parse_length(pin) if pin else None),),
        holes=tuple(Hole(name, joint="boom", kind=hole_kind, bush_wall=wall) for name in names),
        limits=draw(limits()),
        planned_hours=draw(st.none() | st.just(Decimal(5000))),
        in_use=draw(st.none() | st.just(InUse.from_text("March to October"))),
    )
    book = Book(machine=machine)
    book.meter(DAY - datetime.timedelta(days=400), "100")
    for _ in range(draw(st.integers(1, 3))):
        for name in names:
            book.bore(DAY, draw(SIZES), oval=draw(st.floats(0.0, 3.0)), hole=name)
        if draw(st.booleans()):
            book.pin_is(DAY, draw(SIZES), draw(st.sampled_from(("worn", "unworn"))))
    book.meter(DAY, "900")
    if draw(st.booleans()):
        size = parse_length(f"{draw(st.floats(0.0, 4.0)):.2f}")
        book._add(Play(joint="boom", size=size, by="dial", **book._head(DAY)))  # type: ignore[arg-type]
    if draw(st.booleans()):
        size = parse_length(f"{draw(SIZES):.2f}")
        book._add(Trial(hole="ear", size=size, result="goes", **book._head(DAY)))  # type: ignore[arg-type]
    if draw(st.booleans()):
        size = parse_length(f"{draw(st.floats(0.1, 4.0)):.2f}")
        book._add(WallReading(hole="ear", size=size, **book._head(DAY)))  # type: ignore[arg-type]
    book.entries[:] = [
        replace(entry, round=f"{DAY.isoformat()}-{'ab'[number % 2]}") if entry.day == DAY else entry
        for number, entry in enumerate(book.entries)
    ]
    return book


@settings(max_examples=100, deadline=None)
@given(one_day())
def test_one_day_never_renews_stops_or_orders(book: Book) -> None:
    """Neither by itself nor with a kind that wears a millimetre in ten hours to borrow from."""
    state = book.state
    assert book.joint.finding.verdict not in {Verdict.RENEW, Verdict.STOP}
    fleet = [state, *others(10.0)]
    for item in due_list(fleet):
        if item.machine.id == "digger":
            assert item.verdict not in {Verdict.RENEW, Verdict.STOP}
            assert "renew" not in next_step_of(item).casefold()
            assert "order before" not in next_step_of(item).casefold()
    assert not [line for line in order_list([state]) if line.when < When.AFTER_MEASURING]


@settings(max_examples=20, deadline=None)
@given(one_day(), st.sampled_from(("crack", "bush turns in its bore", "keeper torn", "pin bent")))
def test_what_is_seen_by_eye_stops_it_on_one_day(book: Book, sign: str) -> None:
    """The one exception: it is unsafe whatever it measures, and it says so."""
    book.saw(DAY, sign, joint="boom")  # type: ignore[arg-type]
    finding = book.joint.finding
    assert finding.verdict is Verdict.STOP
    assert "Unsafe on sight" in reason_of(finding)
