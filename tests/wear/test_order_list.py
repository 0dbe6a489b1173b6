"""What to order: pin size by pin size, both sides together, nothing for a pin that is not settled."""

from fieldlog.pages.machine import order_data, order_lines
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.order_list import ForNote, When, order_list
from fieldlog.wear.parts import parts_on
from fieldlog.words.step import part_text, parts_text
from tests.wear.build import AUTUMN, SPRING, Book


def loader() -> Book:
    """A loader with both bucket pins, a boom foot in two bushes, and a hitch pin nobody named."""
    pin = parse_length("25 mm")
    joints = (
        Joint("left", "Bucket pin, left", kind="bushed", pin=pin, keeper="bolted flag"),
        Joint("right", "Bucket pin, right", kind="bushed", pin=pin, keeper="bolted flag"),
        Joint("foot", "Boom foot", kind="bushed", pin=pin),
        Joint("hook", "Hook", kind="hitch"),
    )
    holes = (
        Hole("l", joint="left", kind="bushed"), Hole("r", joint="right", kind="bushed"),
        Hole("f1", joint="foot", kind="bushed"), Hole("f2", joint="foot", kind="bushed"), Hole("h", joint="hook"),
    )  # fmt: skip
    return Book(machine=Machine("loader", "Loader", joints=joints, holes=holes))


def measured(book: Book, hole: str, joint: str, *bores: float) -> Book:
    """Measure a hole and its pin on up to two days."""
    for day, mm in zip((SPRING, AUTUMN), bores, strict=False):
        book.pin_is(day, 25.0, joint=joint)
        book.bore(day, mm, hole=hole)
    return book


def test_both_sides_of_a_bucket_are_ordered_at_once_and_one_size_is_one_line() -> None:
    """Left over on two days, right sound; the boom foot over its watch line waits for the season's start."""
    book = measured(loader(), "l", "left", 26.2, 26.2)
    measured(book, "r", "right", 25.2, 25.2)
    measured(book, "f1", "foot", 25.7, 25.7)
    measured(book, "f2", "foot", 25.2, 25.2)
    now, season = order_list([book.state])
    assert (now.when, now.size) == (When.NOW, "25 mm")
    assert [part_text(part) for part in now.parts] == [
        "2 pins", "2 bushes", "4 seals", "shims", "2 grease fittings", "2 bolted flags",
    ]  # fmt: skip
    assert [(one.joint, one.notes) for one in now.joints] == [
        ("Bucket pin, left", ()), ("Bucket pin, right", (ForNote.OTHER_SIDE,)),
    ]  # fmt: skip
    assert season.when is When.BEFORE_THE_SEASON
    assert [part_text(part) for part in season.parts][:3] == ["pin", "2 bushes", "4 seals"]
    text = " ".join(" ".join(line.text for line in order_lines((now, season), 60)).split())
    assert "25 mm: 2 pins, 2 bushes, 4 seals, shims, 2 grease fittings and 2 bolted flags, for Loader: " in text
    assert "Bucket pin, left; Bucket pin, right (other side)" in text
    assert max(len(line.text) for line in order_lines((now, season), 60)) <= 60


def test_over_on_one_day_only_orders_nothing() -> None:
    """One day's reading never orders; two do."""
    book = measured(loader(), "l", "left", 27.0)
    assert order_list([book.state]) == ()
    assert [line.text for line in order_lines((), 60)] == ["Nothing is to be ordered."]


def test_what_belongs_to_a_pin_that_is_not_settled_stands_apart() -> None:
    """A hole of 22.9 may be for several pins; over its limit by any of them."""
    book = loader()
    for day in (SPRING, AUTUMN):
        book.bore(day, 25.6, oval=2.9, hole="h")
    found = [one for one in order_list([book.state]) if one.joints[0].joint == "Hook"]
    assert found
    assert {(one.when, one.size) for one in found} == {(When.PIN_FIRST, "")}


def test_a_crack_is_no_matter_of_pins_and_bushes() -> None:
    """The part itself is replaced, or judged by a qualified person."""
    book = measured(loader(), "l", "left", 25.2, 25.2)
    book.saw(AUTUMN, "crack", joint="left")
    assert order_list([book.state]) == ()


def test_what_was_put_off_is_not_ordered_twice_unawares() -> None:
    """It stays on the list with a word."""
    book = measured(loader(), "l", "left", 26.2, 26.2)
    book.did(AUTUMN, "put off", joint="left", text="on order")
    (line,) = order_list([book.state])
    assert line.joints[0].notes == (ForNote.PUT_OFF,)
    (data,) = order_data([line])
    assert data["when"] == "Now"
    assert data["pin"] == "25 mm"


def test_the_order_line_follows_the_holes() -> None:
    """Bushes by count, a ball by its name, the maker's part for a drawbar, the keeper as it is called."""
    machine = loader().log.machine
    bucket = parts_text(parts_on(machine.joints[2], machine))
    assert bucket == "pin, 2 bushes, 4 seals, shims, grease fitting and keeper"
    assert parts_text(parts_on(machine.joints[3], machine)) == "pin and keeper"
    tow = Machine("t", joints=(Joint("d", kind="drawbar"),), holes=(Hole("x", joint="d"),))
    assert parts_text(parts_on(tow.joints[0], tow)) == "pin, drawbar or clevis of its maker and keeper"
    link = Machine("t", joints=(Joint("d", keeper="linch pin"),), holes=(Hole("x", joint="d", kind="ball"),))
    assert parts_text(parts_on(link.joints[0], link)) == "pin, ball and linch pin"
