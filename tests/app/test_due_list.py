"""The due list that a program, the report and the fleet page have is the one that the states give."""

from pathlib import Path

from fieldlog.app.fleet import fleet_of
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.overview import RatesAndRows, borrowed_texts, due_text
from fieldlog.store.files import sample_folder
from fieldlog.wear.due import borrower_items, due_list, due_of, rates_of
from fieldlog.wear.summary import place_of, worst_first
from tests.benchmarks.make_big_logbook import write_logbook
from tests.words.test_any_words import fleet


def test_what_is_due_is_the_same_from_states_and_from_facts(tmp_path: Path) -> None:
    """Machine by machine, as the report and a program have it, for the sample and four machines over five years."""
    write_logbook(tmp_path / "drawn", 4, years=5)
    for folder in (sample_folder(), tmp_path / "drawn"):
        book = OpenLogbook(folder)
        whole = [due_text(item, book.units) for item in due_list(book.states())]
        assert len(whole) > 3
        assert list(fleet_of(book, book.book.machine_ids).due()) == whole


def test_what_is_borrowed_reads_the_same_before_and_after_it_is_words() -> None:
    """The rows that the fleet page keeps as text take what their kind lends as those of the states do."""
    states = fleet()
    own = {place_of(text).key: text for state in states for text in (due_text(item, "mm") for item in due_of(state))}
    kept = [
        RatesAndRows(rates, tuple(due_text(item, "mm") for item in borrower_items(state, rates)))
        for state, rates in ((state, rates_of(state)) for state in states)
    ]
    own |= {place_of(text).key: text for text in borrowed_texts(kept, "mm")}
    texts = [own[place.key] for place in worst_first(map(place_of, own.values()))]
    assert texts == [due_text(item, "mm") for item in due_list(states)]
    assert any(text.borrowed for text in texts)
