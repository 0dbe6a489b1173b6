"""What like joints lend to one with few readings: its place in the due list, a day to measure it, never a verdict."""

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.due import due_list, is_due
from fieldlog.wear.states import MachineState
from fieldlog.wear.trends.rates import borrowed, main_trend, rate_rows
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.speak import say_all
from tests.speaking import next_step_of, spoken
from tests.wear.build import Book, limit
from tests.wear.test_trend import day

LATE = 500  # so that today, 812 days after the first, lies soon after the last measuring


def loader(
    name: str, rate: float, hours: tuple[int, ...], start: float = 0.2, watch: str = "0.65", kind: str = "loader"
) -> MachineState:
    """A machine with one bushed joint that wears by `rate` mm per 100 h; its meter goes on to 300 h."""
    joint = Joint("boom", kind="bushed", pin=parse_length("30"))
    machine = Machine(
        name, kind=kind, joints=(joint,), holes=(Hole("ear", joint="boom", kind="bushed"),),
        limits=(limit("1.0", watch, joint="boom"),),
    )  # fmt: skip
    book = Book(machine=machine)
    for h in dict.fromkeys((0, *hours, 300)):
        book.meter(day(h + LATE), str(h))
    for h in hours:
        book.pin_is(day(h + LATE), 30.0)
        book.bore(day(h + LATE), 30.0 + start + rate * h / 100)
    return book.state


def others(rate: float) -> list[MachineState]:
    """Four loaders that wear alike, known well and far from their limit."""
    return [loader(f"m{n}", rate * (0.9 + n / 15), (0, 75, 150, 225, 300), start=0.05) for n in range(4)]


def test_a_sound_joint_that_may_not_last_by_its_kind_is_listed_as_what_it_is() -> None:
    """0.5 mm on its one day, 0.2 mm per 100 h by its kind: 250 h on it is at its limit of 1.0, a season is 365 h."""
    new = loader("new", 0.0, (290,), start=0.5)
    assert new.joints[0].finding.verdict is Verdict.SOUND
    assert not is_due(new.joints[0])
    assert "new" not in {item.machine.id for item in due_list([new])}
    item = next(item for item in due_list([*others(0.2), new]) if item.machine.id == "new")
    assert item.verdict is Verdict.SOUND
    assert spoken(item.borrowed) == "from 4 like joints on machines of the kind loader"
    assert spoken(item.brief).startswith("borrowed: by ")
    assert next_step_of(item).startswith("Measure again by ")
    assert "ask where pin, bush, 2 seals, shims, grease fitting and keeper can be had" in next_step_of(item)
    assert "Order nothing on a borrowed rate" in next_step_of(item)
    assert "since it has one measuring day of its own: it may reach its limit in " in say_all(item.outlook, "mm")


def test_a_slow_kind_puts_nothing_on_the_list() -> None:
    """0.01 mm per 100 h: half a millimetre is 5000 h away."""
    new = loader("new", 0.0, (290,), start=0.5)
    assert "new" not in {item.machine.id for item in due_list([*others(0.01), new])}


def test_what_is_due_anyway_takes_the_place_that_its_kind_gives_it() -> None:
    """Both in doubt of the watch line on one day; the loader's kind is fast, the mower's slow."""
    fast = loader("fast", 0.0, (290,), start=0.62)
    slow = loader("slow", 0.0, (290,), start=0.64, kind="mower")
    slow_kind = [loader(f"w{n}", 0.02, (0, 75, 150, 225, 300), start=0.05, kind="mower") for n in range(4)]
    alone = [item.machine.id for item in due_list([slow, fast])]
    assert alone == ["slow", "fast"]  # by their share of the limit
    found = [item for item in due_list([slow, fast, *others(0.2), *slow_kind]) if item.borrowed]
    assert [item.machine.id for item in found] == ["fast", "slow"]
    assert {item.verdict for item in found} == {Verdict.REMEASURE}


def test_measure_by_is_half_of_the_borrowed_lower_bound_to_the_watch_line() -> None:
    """From its last day on, and never under 50 h."""
    new = loader("new", 0.0, (290,), start=0.3)
    trend = main_trend(new.joints[0])
    rows = [row for state in [new, *others(0.2)] for row in rate_rows(state)]
    assert trend is not None
    found = borrowed(trend, rows[0], rows)
    assert found is not None
    assert found.watch is not None
    assert found.measure_at == pytest.approx(290 + max((found.watch.earliest - 290) / 2, 50))


@settings(max_examples=40, deadline=None)
@given(st.floats(0.0, 1.6), st.floats(0.001, 3.0))
def test_no_kind_however_fast_makes_a_verdict(start: float, rate: float) -> None:
    """Whatever one day measured and whatever its kind does, the row says what the joint's own readings say."""
    new = loader("new", 0.0, (290,), start=start)
    own = new.joints[0].finding.verdict
    for item in due_list([*others(rate), new]):
        if item.machine.id == "new":
            assert item.verdict is own
            assert item.verdict is not Verdict.RENEW


def test_the_date_is_that_of_the_machine_itself() -> None:
    """The month named is the one in which its meter will be there, had it gone on working as usual."""
    new = loader("new", 0.0, (290,), start=0.5)
    fleet = [new, *others(0.2)]
    item = next(item for item in due_list(fleet) if item.machine.id == "new")
    trend = main_trend(new.joints[0])
    rows = [row for state in fleet for row in rate_rows(state)]
    assert trend is not None
    found = borrowed(trend, rows[0], rows)
    assert found is not None
    assert found.measure_at is not None
    date = trend.usage.date_at(found.measure_at)
    assert date is not None
    assert f"by {date:%b %Y}" in next_step_of(item)
    assert date > datetime.date(2026, 4, 1)
