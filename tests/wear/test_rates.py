"""Rates side by side: who counts as a kind, what is borrowed, and that it is said."""

import math

import pytest

from fieldlog.measure.crossing import LEAST_SPREAD
from fieldlog.pages.joint import borrowed_sentence
from fieldlog.pages.season import rates_lines, used_text
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trends.rates import Beside, Lenders, borrowed, is_evidence, main_trend, rate_rows
from tests.speaking import spoken
from tests.wear.build import Book, limit
from tests.wear.test_trend import day


def loader(name: str, kind: str, rate: float, hours: tuple[int, ...] = (0, 150, 300)) -> MachineState:
    """A machine with one bushed joint that wears by `rate` mm per 100 h."""
    joint = Joint("boom", kind="bushed", pin=parse_length("30"))
    machine = Machine(
        name, kind=kind, joints=(joint,), holes=(Hole("ear", joint="boom", kind="bushed"),),
        limits=(limit("1.0", joint="boom"),),
    )  # fmt: skip
    book = Book(machine=machine)
    for h in hours:
        book.meter(day(h), str(h))
        book.pin_is(day(h), 30.0)
        book.bore(day(h), 30.2 + rate * h / 100)
    if len(hours) < 2:
        book.meter(day(300), "300")
    return book.state


def fleet(*states: MachineState) -> tuple[RateRow, ...]:
    """The rates of several machines."""
    return tuple(row for state in states for row in rate_rows(state))


OTHERS = tuple(loader(f"m{n}", "compact loader, 1 t", rate) for n, rate in enumerate((0.04, 0.05, 0.06)))


def test_a_joint_with_one_day_takes_the_rate_of_its_kind_and_says_so() -> None:
    """Kind 0.05 from three joints on like machines; the forecast is the joint's own height at that rate."""
    new = loader("new", "Compact loader", 0.0, hours=(0,))
    rows = fleet(new, *OTHERS)
    own = rows[0]
    assert own.rate is None
    assert not is_evidence(own)
    trend = main_trend(new.joints[0])
    assert trend is not None
    assert trend.renew is None
    found = borrowed(trend, own, rows)
    assert found is not None
    assert 100 * found.kind.mean == pytest.approx(0.05, abs=1e-4)
    assert found.kind.count == 3
    assert found.renew is not None
    assert found.renew.at == pytest.approx(1600, rel=0.01)
    said = borrowed_sentence(found, trend, "mm")
    assert "no rate of its own, kind 0.050 from 3 joints on machines of the kind compact loader" in said
    assert "By that it reaches its limit in " in said


def test_few_readings_are_drawn_towards_the_kind_by_their_own_doubt() -> None:
    """Between its own 0.09 and the kind's 0.05, nearer to whichever is surer."""
    few = loader("few", "compact loader", 0.09, hours=(0, 60))
    rows = fleet(few, *OTHERS)
    trend = main_trend(few.joints[0])
    assert trend is not None
    found = borrowed(trend, rows[0], rows)
    assert found is not None
    own_u, room = rows[0].rate_u, found.kind.spread
    assert own_u is not None
    share = room**2 / (room**2 + own_u**2)
    assert 100 * found.line.slope == pytest.approx(0.05 + share * 0.04, abs=1e-3)
    assert 0.05 < 100 * found.line.slope < 0.09
    text = used_text(rows[0], Lenders(rows), "mm")
    assert text.startswith("own 0.090, kind 0.050 from 3 joints")
    assert text.endswith(f"used {100 * found.line.slope:.3f}")


def test_a_joint_with_days_enough_speaks_for_itself() -> None:
    """Five days and a forecast: nothing is borrowed."""
    own = loader("own", "compact loader", 0.12, hours=(0, 100, 200, 300, 400))
    rows = fleet(own, *OTHERS)
    trend = main_trend(own.joints[0])
    assert trend is not None
    assert borrowed(trend, rows[0], rows) is None
    assert used_text(rows[0], Lenders(rows), "mm") == ""


def test_like_machines_come_first_and_a_joint_never_counts_itself() -> None:
    """Two like ones are too few, so all machines count; with none at all nothing is borrowed."""
    tractor = loader("t", "tractor", 0.5)
    rows = fleet(tractor, *OTHERS)
    found = Lenders(rows).kind_for(rows[1])
    assert found is not None
    assert (found[0].count, spoken(found[1])) == (3, "on all machines")
    alone = fleet(tractor)
    assert Lenders(alone).kind_for(alone[0]) is None


def test_the_kind_is_never_taken_to_be_surer_than_a_quarter_of_its_mean() -> None:
    """Three joints that happen to wear alike do not make a fourth certain."""
    rows = fleet(
        loader("new", "compact loader", 0.05, hours=(0,)), *(loader(f"s{n}", "compact loader", 0.05) for n in range(3))
    )
    found = Lenders(rows).kind_for(rows[0])
    assert found is not None
    assert found[0].between_sd == pytest.approx(LEAST_SPREAD * found[0].mean, rel=1e-3)
    assert math.isfinite(found[0].mean_u)


def test_rates_page_lists_the_fastest_first_under_its_kind() -> None:
    """At both widths, nothing is wider than the page."""
    rows = fleet(*OTHERS, loader("new", "compact loader", 0.0, hours=(0,)))
    for width in (58, 78):
        lines = [line.text for line in rates_lines(rows, "mm", width)]
        text = " ".join(" ".join(lines).split())
        assert "Bushed joints on machines of the kind compact loader, mm per 100 h" in text
        assert max(len(one) for one in lines) <= width
        assert [one.split()[0] for one in lines if one.startswith("m") and "boom" in one] == ["m2", "m1", "m0"]
        assert "none of its own, kind 0.050 from 3 joints" in text
    assert Beside("m0", rows).machine == "m0"
