"""What must hold of verdicts whatever was measured."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.records.entries import AnyEntry, BoreReading, PinReading
from fieldlog.records.machine import JointKind
from fieldlog.wear.due import due_list
from fieldlog.wear.verdicts import Verdict
from tests.speaking import caution_of, next_step_of, reason_of
from tests.wear.build import SPRING, Book

KINDS: st.SearchStrategy[JointKind] = st.sampled_from(["pivot", "bushed", "hitch"])
SIZES = st.lists(st.integers(3000, 3350), min_size=1, max_size=4)  # hundredths of a millimetre
SEEDED = settings(max_examples=60, deadline=None, derandomize=True)


def joint(kind: JointKind, sizes: list[int], pins: list[int]) -> Book:
    """Return a joint measured on a day each, a season apart."""
    book = Book(kind=kind)
    for number, size in enumerate(sizes):
        book.bore(SPRING + timedelta(days=90 * number), size / 100)
    for number, size in enumerate(pins):
        book.pin_is(SPRING + timedelta(days=90 * number), size / 100)
    return book


def smaller(entry: AnyEntry, mm: Decimal) -> AnyEntry:
    """Return a pin reading smaller by `mm`, any other entry as it is."""
    if not isinstance(entry, PinReading):
        return entry
    return replace(entry, size=replace(entry.size, mm=entry.size.mm - mm))


@SEEDED
@given(KINDS, SIZES, st.lists(st.integers(2930, 2999), min_size=1, max_size=4), st.integers(1, 60))
def test_smaller_pin_is_never_milder(kind: JointKind, sizes: list[int], pins: list[int], less: int) -> None:
    """All else equal, a larger clearance never gives a milder finding, on any history of bores and pins."""
    book = joint(kind, sizes, pins)
    here = book.finding
    book.entries = [smaller(entry, Decimal(less) / 100) for entry in book.entries]
    if here.verdict is Verdict.REMEASURE and "only grow" in reason_of(here):
        return  # a misread bore is measured again whatever the pin
    if "cannot be larger than its hole" in reason_of(here):
        return  # there the readings contradict each other, and a smaller pin puts that right
    assert book.finding.severity >= here.severity


@SEEDED
@given(KINDS, SIZES, st.integers(1, 100))
def test_larger_last_bore_is_never_milder(kind: JointKind, sizes: list[int], more: int) -> None:
    """A larger bore on the last day never gives a milder finding, as long as no bore shrank."""
    growing = sorted(sizes)
    here = joint(kind, growing, []).finding
    larger = joint(kind, [*growing[:-1], growing[-1] + more], []).finding
    assert larger.severity >= here.severity


@SEEDED
@given(KINDS, st.integers(3000, 3350), st.lists(st.integers(2800, 2999), max_size=1))
def test_one_day_is_never_renew_or_stop(kind: JointKind, size: int, pins: list[int]) -> None:
    """No joint is condemned on one day's readings."""
    assert joint(kind, [size], pins).finding.verdict not in {Verdict.RENEW, Verdict.STOP}


@SEEDED
@given(KINDS, SIZES, st.integers(3000, 3400), st.integers(2800, 2999), st.sampled_from(["crack", "pin bent", "dry"]))
def test_strike_takes_every_influence_back(
    kind: JointKind, sizes: list[int], wrong_bore: int, wrong_pin: int, sign: str
) -> None:
    """A struck reading, note or deed leaves the machine exactly as if it had never been entered."""
    book = joint(kind, sizes, [2990])
    day = SPRING + timedelta(days=500)
    book.meter(SPRING, "500")
    before = book.state
    wrong = [*book.bore(day, wrong_bore / 100), *book.pin_is(day, wrong_pin / 100), book.meter(day, "9999")]
    wrong += [book.saw(day, sign, joint="boom"), book.did(day, "re-bushed", joint="boom")]  # type: ignore[arg-type]
    assert book.state != before
    book.strike(*wrong)
    assert book.state == before


@SEEDED
@given(KINDS, SIZES, st.lists(st.integers(2900, 2999), max_size=3), st.randoms(use_true_random=False))
def test_order_of_entering_does_not_matter(kind: JointKind, sizes: list[int], pins: list[int], shuffle: object) -> None:
    """Two copies of a logbook that meet later give the same answer, whichever came first."""
    book = joint(kind, sizes, pins)
    before = book.finding
    shuffle.shuffle(book.entries)  # type: ignore[attr-defined]
    assert book.finding == before


@SEEDED
@given(KINDS, SIZES, st.lists(st.integers(2800, 2999), max_size=3))
def test_every_finding_can_be_shown(kind: JointKind, sizes: list[int], pins: list[int]) -> None:
    """Whatever was measured there is a reason and a next step, and it is on the due list unless it is sound."""
    state = joint(kind, sizes, pins).state
    finding = state.joints[0].finding
    assert reason_of(finding).endswith(".")
    assert next_step_of(finding).endswith(".")
    assert bool(caution_of(finding)) is (finding.verdict in {Verdict.RENEW, Verdict.STOP})
    assert bool(due_list([state])) is (finding.verdict is not Verdict.SOUND)
    assert state.worst is finding.verdict


def test_history_is_kept_whatever_is_struck() -> None:
    """A strike hides a reading from the sizes and leaves it in the log."""
    book = joint("bushed", [3020], [])
    wrong = book.bore(SPRING + timedelta(days=90), 31.0)
    book.strike(*wrong)
    assert set(wrong) <= set(book.log.entries)
    assert {entry.key for entry in wrong} == book.log.struck
    assert all(isinstance(entry, BoreReading) for entry in wrong)
