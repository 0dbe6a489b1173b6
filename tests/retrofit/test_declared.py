"""Numbers of an offer are asked for by id: a slip of an id is an error at once, never a number without its doubt."""

from collections.abc import Iterable
from dataclasses import replace

import pytest

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.retrofits import Look, RetrofitWork
from fieldlog.pages.offers import opened_offer, opened_work
from fieldlog.quantity.number import Number, Numbers
from fieldlog.quantity.rounding import plus_minus_text
from fieldlog.quantity.said import Said
from fieldlog.quantity.source import Unsound
from fieldlog.quantity.value import Value
from fieldlog.retrofit.offers.cylinder import WORK_INPUTS, WORK_NUMBERS
from fieldlog.retrofit.offers.demand import Work, as_value
from fieldlog.retrofit.offers.reach import link_points
from fieldlog.retrofit.offers.sense import Check
from fieldlog.retrofit.offers.work import Circumstances, work_points
from fieldlog.store.files import sample_folder
from fieldlog.words import oil
from fieldlog.words.number import OF_AN_OFFER
from fieldlog.words.speak import say
from tests.retrofit.offers import figure_of


@pytest.fixture(scope="module")
def look() -> Look:
    """The sample's top link with its offers."""
    found = RetrofitWork(OpenLogbook(sample_folder()), "hill-tractor", "top-link").look()
    assert found is not None
    return found


@pytest.fixture(scope="module")
def work(look: Look) -> Work:
    """What one offer does on that tractor; the sample knows relief, flow, hose, weight and centre."""
    item = look.of("a-203-short")
    assert item is not None
    assert item.work is not None
    return item.work


def numbers_of(work: Work, declared: Iterable[Number]) -> Numbers:
    """The same figures with other numbers declared."""
    known = {key: as_value(key, figure) for key, figure in work.figures.items()}
    return Numbers(declared, known)


@pytest.mark.parametrize("number_id", [number.id for number in WORK_NUMBERS])
def test_a_number_under_another_id_is_missed_at_once(work: Work, number_id: str) -> None:
    """Renamed or taken out, whoever asks for it gets an error; its doubt is never lost silently."""
    others = [number for number in WORK_NUMBERS if number.id != number_id]
    renamed = [*others, replace(next(one for one in WORK_NUMBERS if one.id == number_id), id="another")]
    there = Circumstances(None, "top link", 1, work.demand)
    for declared in (others, renamed):
        with pytest.raises(Unsound, match=f"no number is called {number_id}"):
            work_points(numbers_of(work, declared), there)


def test_an_input_under_another_id_is_missed_at_once(work: Work) -> None:
    """Already where the numbers are declared."""
    for key in WORK_INPUTS:
        known = {name: as_value(name, figure) for name, figure in work.figures.items() if name != key}
        if any(key in number.inputs for number in WORK_NUMBERS):
            with pytest.raises(Unsound, match=f"worked out from {key}, which nobody declared"):
                Numbers(WORK_NUMBERS, known)


def test_a_range_asks_by_id_too(look: Look) -> None:
    """The points against the link take their numbers from where the page takes them."""
    with pytest.raises(Unsound, match="no number is called"):
        link_points(Numbers([], {}), look.job.facts, is_second=False, has_need=False)


def test_every_number_has_its_words_and_no_words_lack_a_number(look: Look) -> None:
    """By id, both ways round."""
    assert set(oil.NUMBERS) == {number.id for number in WORK_NUMBERS}
    assert set(oil.ASKED) <= set(WORK_INPUTS)
    assert set(OF_AN_OFFER) <= set(look.order[0].numbers)


def values_in(check: Check) -> Iterable[Value]:
    """Every value that a point is about, those of what it holds too."""
    things: list[object] = [check.said, check.why]
    while things:
        thing = things.pop()
        if isinstance(thing, Said):
            things += [value for _, value in thing.about]
        elif isinstance(thing, Value):
            yield thing


def test_points_say_the_values_that_the_page_opens(look: Look) -> None:
    """Value and doubt of a sentence are those of a number, not worked out beside it."""
    said = 0
    for item in look.order:
        assert item.work is not None
        numbers = {found for found in item.work.numbers.values() if isinstance(found, Value)}
        for check in item.work.points:
            for value in values_in(check):
                assert value in numbers or -value in numbers
                said += 1
    assert said > 50


def test_a_pressure_reads_the_same_in_the_sentence_and_on_its_page(look: Look, work: Work) -> None:
    """One number in bar in both, and in psi by the table of units beside it."""
    text = " ".join(say(check.said, "mm") for check in work.points)
    opened = {number.word: figure_of(number) for number in opened_work(work, "mm")}
    for word in ("raised pressure", "pressure to hold", "pressure, bouncing", "warmed oil"):
        figure = opened[word]
        assert figure.unit == "bar"
        assert f"{plus_minus_text(figure.value, figure.expanded, 0)} bar" in text


def test_what_was_typed_stands_behind_every_number_of_the_page(look: Look, work: Work) -> None:
    """Those of the offer against the link, and those of force and oil."""
    item = look.order[0]
    for number in (*opened_offer(item, look.job, "mm"), *opened_work(work, "mm")):
        assert number.typed or number.keys or number.word == "must hold, push"
    assert "relief pressure: 172 bar" in work.numbers.behind("pull").typed
