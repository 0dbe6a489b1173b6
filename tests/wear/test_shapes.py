"""What the shape of a hole often means: a hint where the pattern is proved, and nothing where it is not."""

import datetime
import math

import pytest

from fieldlog.measure.depth import Pattern
from fieldlog.measure.hole import hole_size
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import BoreReading, Keep, LigamentReading
from fieldlog.records.machine import Hole, Joint, Link, Machine
from fieldlog.wear.history import index_of
from fieldlog.wear.shapes import HoleShape, hole_doubts, hole_shape, marks_by_key
from fieldlog.words.speak import say_all
from tests.speaking import all_spoken, spoken
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book


def link_book() -> Book:
    """Return a book whose first hole, in a row of two, is at the end of a top link; 12 points outward."""
    holes = (Hole("ear", "top", number=1, in_row=2), Hole("spare", "top", number=2, in_row=2))
    joint = Joint("top", kind="hitch", pin=parse_length("19 mm"))
    machine = Machine("grey", joints=(joint,), holes=holes, links=(Link("bar", near_hole="ear", far_hole=""),))
    return Book(machine=machine, joints=(joint,), holes=holes)


def along_link(book: Book, day: datetime.date, mm: float, oval: float) -> None:
    """Measure the hole as worn along 12-6."""
    lacks = {"12": 0.0, "1:30": oval / 2, "3": oval, "4:30": oval / 2}
    for off in (-0.01, 0.0, 0.01):
        for clock, less in lacks.items():
            size = parse_length(f"{mm - less + off:.3f}")
            entry = BoreReading(hole="ear", size=size, clock=parse_clock(clock), instrument="fine", **book._head(day))  # type: ignore[arg-type]
            book._add(entry)


def wall(book: Book, day: datetime.date, clock: str, *sizes: str) -> None:
    for size in sizes:
        head = book._head(day)
        book._add(LigamentReading(hole="ear", size=parse_length(size), clock=parse_clock(clock), **head))  # type: ignore[arg-type]


def far(book: Book, day: datetime.date, face: str, clock: str, *sizes: str) -> None:
    for size in sizes:
        head = book._head(day)
        book._add(
            BoreReading(
                hole="ear", size=parse_length(size), clock=parse_clock(clock), face=face, instrument="fine", **head  # type: ignore[arg-type]
            )
        )  # fmt: skip


def shape(book: Book) -> HoleShape:
    holes = book.joint.holes
    return hole_shape(holes[0], index_of(book.log, book.logbook), holes)


@pytest.mark.parametrize(
    ("at_12", "at_6", "said"),
    [
        ("13.0", "14.0", "mostly pulled"),
        ("14.0", "13.0", "mostly pushed"),
        ("14.0", "14.0", "the thinner wall tells pulling from pushing"),
    ],
)
def test_the_thin_wall_of_a_links_end_tells_pulling_from_pushing(at_12: str, at_6: str, said: str) -> None:
    """The outer wall, at 12, thins under tension."""
    book = link_book()
    along_link(book, SPRING, 19.9, 0.5)
    wall(book, SPRING, "12", at_12, at_12)
    wall(book, SPRING, "6", at_6, at_6)
    assert any(said in spoken(hint) for hint in shape(book).hints)


def test_both_walls_thinner_than_at_first_is_load_that_reverses() -> None:
    """Seen only against the first measuring, since they are alike."""
    book = link_book()
    along_link(book, SPRING, 19.5, 0.1)
    for clock in ("12", "6"):
        wall(book, SPRING, clock, "14.0", "14.0")
    along_link(book, AUTUMN, 20.3, 0.9)
    for clock in ("12", "6"):
        wall(book, AUTUMN, clock, "13.6", "13.6")
    seen = shape(book)
    assert [gap.is_proved for gap in seen.since] == [True, True]
    assert any("load that reverses" in spoken(hint) for hint in seen.hints)


def test_an_oval_across_the_link_is_side_load_and_a_round_hole_tells_nothing() -> None:
    """Book's own holes are worn at 3-9."""
    book = link_book()
    book.bore(SPRING, 19.9, oval=0.5)
    assert any("side load" in spoken(hint) for hint in shape(book).hints)
    plain = link_book()
    plain.bore(SPRING, 19.4)
    assert shape(plain).hints == ()


def test_a_fixed_bore_is_told_nothing_of_pulling_and_pushing() -> None:
    """12 is straight up there, so the walls are compared and no load is named."""
    book = Book()
    book.bore(SPRING, 30.9, oval=0.5)
    wall(book, SPRING, "3", "13.0", "13.0")
    wall(book, SPRING, "9", "14.0", "14.0")
    seen = shape(book)
    assert [(gap.clock, gap.is_proved) for gap in seen.opposite] == [("3", True)]
    assert seen.hints == ()


def test_the_hole_of_habit_is_no_reference() -> None:
    """Much larger than the others of its row."""
    book = link_book()
    book.bore(SPRING, 20.4)
    book.bore(SPRING, 19.4, hole="spare")
    assert any("hole of habit" in spoken(hint) for hint in shape(book).hints)
    spare = book.joint.holes[1]
    assert hole_shape(spare, index_of(book.log, book.logbook), book.joint.holes).hints == ()


def test_depth_gives_its_hint() -> None:
    """Both faces wider than the middle."""
    book = Book()
    book.bore(SPRING, 30.6)
    far(book, SPRING, "middle", "3", "30.20", "30.21", "30.19")
    far(book, SPRING, "far", "3", "30.60", "30.61", "30.59")
    seen = shape(book)
    assert seen.depth is not None
    assert seen.depth.pattern is Pattern.BELL
    assert all_spoken(seen.hints) == [
        "bell-mouthed: a pin too loose or too short for its eye, or an implement that twists on it"
    ]


def test_walls_of_a_link_that_was_replaced_do_not_count() -> None:
    """New metal is not compared with the old."""
    book = link_book()
    along_link(book, SPRING, 19.5, 0.1)
    wall(book, SPRING, "12", "14.0", "14.0")
    book.did(SUMMER, "link replaced", link="bar")
    along_link(book, AUTUMN, 19.5, 0.1)
    wall(book, AUTUMN, "12", "16.0", "16.0")
    assert shape(book).since == ()


def test_a_kept_reading_is_silent_and_marked_again_when_the_keep_is_struck() -> None:
    """The mark stays known; it is said as kept."""
    book = Book()
    readings = book.bore(SPRING, 30.2)
    bad = BoreReading(
        hole="ear", size=parse_length("30.90"), clock=parse_clock("3"), instrument="fine", **book._head(SPRING)  # type: ignore[arg-type]
    )  # fmt: skip
    book._add(bad)
    hole = book.joint.holes[0].hole
    assert [mark.key for mark in hole_doubts(hole, index_of(book.log, book.logbook))[-1].marks] == [bad.key]
    keep = book._add(Keep(of=bad.key, why="a dent, seen", **book._head(SPRING)))  # type: ignore[arg-type]
    day = hole_doubts(hole, index_of(book.log, book.logbook))[-1]
    assert (day.marks, [mark.key for mark in day.kept]) == ((), [bad.key])
    assert index_of(book.log, book.logbook).keeps == {bad.key: keep}
    assert set(marks_by_key([hole], index_of(book.log, book.logbook))) == {bad.key}
    book.strike(keep)
    assert [mark.key for mark in hole_doubts(hole, index_of(book.log, book.logbook))[-1].marks] == [bad.key]
    book.strike(bad)
    assert hole_doubts(hole, index_of(book.log, book.logbook))[-1].marks == ()
    assert len(readings) == 12


def test_lines_that_fit_no_oval_are_said_with_their_numbers() -> None:
    """A square bore, repeats good to 0.01: F with 1 and 8 degrees of freedom."""
    book = Book()
    for off in (-0.01, 0.0, 0.01):
        for clock, mm in (("12", 30.2), ("1:30", 30.5), ("3", 30.2), ("4:30", 30.5)):
            far(book, SPRING, "near", clock, f"{mm + off:.2f}")
    text = say_all(hole_doubts(book.joint.holes[0].hole, index_of(book.log, book.logbook))[-1].misfit, "mm")
    assert "1 and 8 degrees of freedom" in text
    assert "miss one by up to 0.15 mm" in text


@pytest.mark.parametrize(("axis", "said"), [(20.0, "measure along 12:45 and 3:45 too"), (0.0, ""), (46.0, "")])
def test_an_oval_between_the_lines_names_the_lines_to_add(axis: float, said: str) -> None:
    """Four lines see a worn wall's narrowest place only where one of them crosses it."""
    book = link_book()
    for off in (-0.01, 0.0, 0.01):
        for clock in ("12", "1:30", "3", "4:30"):
            turn = math.radians(2 * (parse_clock(clock).angle_deg - axis))
            size = parse_length(f"{19.6 + 0.2 * math.cos(turn) + off:.3f}")
            entry = BoreReading(
                hole="ear", size=size, clock=parse_clock(clock), instrument="fine", **book._head(SPRING)  # type: ignore[arg-type]
            )  # fmt: skip
            book._add(entry)
    hints = [hint for hint in all_spoken(shape(book).hints) if "between the lines" in hint]
    assert [said in spoken(hint) for hint in hints] == ([True] if said else [])


def test_a_crossed_pair_of_lines_counts_the_oval_it_may_miss() -> None:
    """By hand: alike lines leave 0.075 mm, a rectangle on one side; 0.4 mm apart they leave hardly any."""
    alike, apart = (hole_size([bore("12", "19.40"), bore("3", other)], {}).largest for other in ("19.40", "19.80"))
    parts = [next(p for p in size.parts if p.name == "oval between the lines") for size in (alike, apart)]
    assert parts[0].u_mm == pytest.approx(0.075 / math.sqrt(3))
    assert parts[1].u_mm == pytest.approx((math.hypot(0.2, 0.075) - 0.2) / math.sqrt(3))
    three = hole_size([bore("12", "19.40"), bore("2", "19.40"), bore("4", "19.40")], {}).largest
    assert all(part.name != "oval between the lines" for part in three.parts)


def bore(clock: str, size: str) -> BoreReading:
    head = {"at": f"09:{clock.replace(':', '')}", "round": "r", "day": SPRING, "who": "sam"}
    return BoreReading(hole="ear", size=parse_length(f"{size} mm"), clock=parse_clock(clock), **head)  # type: ignore[arg-type]
