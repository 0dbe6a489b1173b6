"""A study, an instrument and a pin's odds opened up: what the page says is there, and it follows as it says."""

import math

import pytest

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.measure.gauge_study import study_result
from fieldlog.measure.pin_weights import factors_of, weighed
from fieldlog.quantity.estimate import Interval
from fieldlog.quantity.value import Value
from fieldlog.records.checks import Study
from fieldlog.standards.joints import NOMINAL_PINS
from fieldlog.store.files import sample_folder
from fieldlog.wear.numbers.instruments import instrument_numbers, study_numbers
from fieldlog.wear.numbers.sizes import evidence_numbers


@pytest.fixture(scope="module")
def session() -> OpenLogbook:
    """The sample fleet."""
    return OpenLogbook(sample_folder())


def study_of(session: OpenLogbook) -> Study:
    (study,) = session.studies()
    return study


def test_every_number_of_a_study_opens(session: OpenLogbook) -> None:
    """Smallest changes, both tables, each person, the analysis of variance; every trial stands behind them."""
    numbers = {number.word: number for number in study_numbers(study_of(session))}
    assert {
        "change, 1 a day", "change, 4 a day, others", "one person repeats", "people differ", "hands and tool together",
        "the holes themselves", "sizes told apart", "one person repeats, by ranges", "nell", "mean square, repeats",
    } <= numbers.keys()  # fmt: skip
    assert len(numbers["people differ"].typed) == 10  # two people, five holes
    assert all(text.startswith("nell, ") for text in numbers["nell"].typed)
    for number in numbers.values():
        for step in number.steps:
            assert not step.opens or step.opens in numbers


def test_the_smallest_change_is_as_sure_as_the_repeatability(session: OpenLogbook) -> None:
    """Both ends are the repeatability's, times t and the root of two."""
    study = study_of(session)
    result = study_result(study)
    assert result is not None
    numbers = {number.word: number.estimate for number in study_numbers(study)}
    change, repeats = numbers["change, 1 a day"], numbers["one person repeats"]
    assert isinstance(change, Interval)
    assert isinstance(repeats, Interval)
    assert change.best == pytest.approx(result.smallest_change_mm())
    assert change.upper / change.best == pytest.approx(repeats.upper / repeats.best)
    assert repeats.lower < repeats.best < repeats.upper


def test_jaws_open_to_the_known_bores_they_were_learnt_from(session: OpenLogbook) -> None:
    """Offset and width with their parts, and each check as it was typed."""
    numbers = {number.word: number for number in instrument_numbers(session.instruments["blue"], session.today())}
    width, offset = numbers["jaw width"], numbers["jaw offset"]
    assert isinstance(width.estimate, Value)
    assert len(width.estimate.parts) > 1
    assert any("known bore 24.995 mm ± 0.005 mm" in text for text in width.typed)
    assert offset.typed == width.typed
    added = numbers["added at 19"].estimate
    assert isinstance(added, Value)
    assert math.fsum(part.u_mm**2 for part in added.parts) == pytest.approx(added.u_mm**2)
    assert len(numbers) == len(instrument_numbers(session.instruments["blue"], session.today()))


def test_every_instrument_opens(session: OpenLogbook) -> None:
    """A tape has its metre, a caliper its limits and its checks."""
    for instrument in session.instruments.values():
        numbers = instrument_numbers(instrument, session.today())
        assert numbers[0].word in {"a metre", "outside limit", "inside limit"}
        assert len({number.word for number in numbers}) == len(numbers)


def test_a_pins_share_is_the_product_of_its_factors(session: OpenLogbook) -> None:
    """For every pin of every joint of the sample that is weighed: the factors multiply to its weight."""
    seen = 0
    for machine in session.book.machine_ids:
        log = session.log(machine)
        for state in session.state(machine).joints:
            answer, known = state.pin_answer, state.evidence
            if known is None or len(answer.candidates) < 2:
                continue
            hole = next((hole.hole for hole in state.holes if hole.hole.id == answer.from_hole), None)
            pins = {pin.name: pin for pin in NOMINAL_PINS}
            products = {
                c.name: math.prod(f for _, f in factors_of(pins[c.name], hole, known)) for c in answer.candidates
            }
            for name, product in products.items():
                assert weighed(pins[name], hole, known).weight == pytest.approx(product, rel=1e-9)
            numbers = {number.word: number for number in evidence_numbers(state, log)}
            for candidate in answer.candidates:
                share, opened = products[candidate.name] / math.fsum(products.values()), numbers[candidate.name]
                assert isinstance(opened.estimate, Value)
                assert opened.estimate.value == pytest.approx(100 * share)
                assert opened.keys
                seen += 1
    assert seen > 4
