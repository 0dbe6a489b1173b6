"""Every number leads to the readings it really comes from."""

from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.records.entries import BoreReading, PinReading
from fieldlog.records.machine import Hole
from fieldlog.wear.history import index_of
from fieldlog.wear.numbers.sizes import hole_numbers, joint_numbers, shape_numbers
from fieldlog.wear.shapes import hole_shape
from tests.speaking import spoken
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book


def keys(entries: list[object]) -> set[str]:
    return {entry.key for entry in entries if isinstance(entry, BoreReading | PinReading)}


def test_identity_and_worn_size_come_from_their_own_days() -> None:
    """The smallest was seen in spring, the largest in autumn; the change rests on summer and autumn."""
    book = Book()
    spring, summer, autumn = (
        book.bore(day, mm, oval=0.1) for day, mm in ((SPRING, 30.2), (SUMMER, 30.5), (AUTUMN, 30.6))
    )
    found = {number.word: number for number in hole_numbers(book.joint.holes[0])}
    assert set(found) == {"largest", "identity", "ovality", "change"}
    assert set(found["largest"].keys) == keys(list(autumn))
    assert set(found["identity"].keys) == keys(list(spring))
    assert set(found["change"].keys) == keys([*summer, *autumn])
    grown = found["change"].estimate
    assert isinstance(grown, Value)
    rows = grown.rows
    names = [row.source.label for row in rows]
    assert len(set(names)) == len(names)
    days = (f", {day_text(SUMMER)}", f", {day_text(AUTUMN)}")
    alone = [row.source.label for row in rows if row.source.kind == "scatter"]
    assert alone
    assert all(name.endswith(days) for name in alone)
    (limit,) = [row for row in rows if row.source.kind == "limit"]
    assert limit.u == 0
    assert limit.cancels
    (zero,) = [row for row in rows if row.source.kind == "zero"]
    assert zero.is_once
    change = book.joint.holes[0].change
    assert change is not None
    assert grown.plus_minus == change.plus_minus
    assert found["largest"].estimate == book.joint.holes[0].worn
    assert found["identity"].estimate == book.joint.holes[0].identity


def test_clearance_comes_from_the_worst_hole_and_the_pin_as_last_measured() -> None:
    """Two holes read once each, with the same doubt to the last digit: the value tells which one it is."""
    holes = (Hole("ear", "boom"), Hole("fork", "boom"))
    book = Book(holes=holes)
    book.pin_is(SPRING, 29.98)
    pin = book.pin_is(AUTUMN, 29.95)
    book.bore(AUTUMN, 30.2, clocks=("3",))
    fork = book.bore(AUTUMN, 30.4, hole="fork", clocks=("3",))
    found = {number.word: number for number in joint_numbers(book.joint, book.log)}
    assert set(found["clearance"].keys) == keys([*fork, *pin])
    assert "fork" in spoken(found["clearance"].about)
    assert set(found["pin, worn band"].keys) == keys(list(pin))
    assert {"ear", "fork"} <= set(found)


def test_a_pin_nobody_measured_has_no_reading_behind_it() -> None:
    """It is taken as stated, and says so."""
    book = Book()
    book.bore(SPRING, 30.2)
    found = {number.word: number for number in joint_numbers(book.joint, book.log)}
    assert found["pin"].keys == ()
    assert "not measured" in spoken(found["pin"].about)


def test_struck_readings_are_behind_nothing() -> None:
    """What is struck does not count and is not shown as if it did."""
    book = Book()
    readings = book.bore(SPRING, 30.2)
    book.strike(readings[0])
    (hole,) = book.joint.holes
    assert readings[0].key not in hole_numbers(hole)[0].keys
    assert shape_numbers(hole_shape(hole, index_of(book.log, book.logbook))) == []
