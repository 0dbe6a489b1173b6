"""What is said decides nothing: with any other words every verdict, number, order and place in a list is the same."""

import ast
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Protocol

import pytest

from fieldlog.app.overview import RatesAndRows, borrowed_texts, due_text
from fieldlog.cli import main
from fieldlog.quantity.said import codes_of
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Sign
from fieldlog.store.files import sample_folder
from fieldlog.wear.due import borrower_items, due_list, due_of, rates_of
from fieldlog.wear.order_list import order_list
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import Place, place_of, worst_first
from fieldlog.wear.verdicts import Verdict
from fieldlog.words import speak
from tests.wear.build import AUTUMN, SPRING, Book
from tests.wear.test_borrowing import loader, others

WEAR = Path(__file__).resolve().parents[2] / "fieldlog" / "wear"
CODES = frozenset({"verdict", "id", "machine", "joint", "link", "of", "axis", "settled", "part", "deed", "day"})


class Speaker(Protocol):
    """What makes a sentence."""

    def __call__(self, units: Units, **about: object) -> str:
        """Return it."""


def other_words(code: str) -> Speaker:
    """Say what looks like another verdict."""
    return lambda units, **about: f"default: {code[-1]} is over its limit; renew. It may not last, a bore can only grow"


def no_words(code: str) -> Speaker:
    """Say nothing."""
    return lambda units, **about: ""


WORDS = pytest.mark.parametrize("words", [other_words, no_words])


def fleet() -> list[MachineState]:
    """Machines with every verdict, joints put off, and one that borrows from its kind."""
    return [
        *others(0.2),
        loader("new", 0.0, (290,), start=0.5),
        *(joint(*mm) for mm in DAYS),
        joint(30.2, sign="crack"),
    ]


DAYS = [(), (30.2,), (30.58,), (30.75, 30.75), (31.3,), (31.2, 31.2), (31.9, 30.9)]


def joint(*days: float, sign: Sign | None = None) -> MachineState:
    """A machine of one joint, its hole measured on up to two days on a 30 mm pin."""
    book = Book()
    for day, mm in zip((SPRING, AUTUMN), days, strict=False):
        book.bore(day, mm)
    if sign is not None:
        book.saw(SPRING, sign, joint="boom")
    elif days:
        book.did(AUTUMN, "put off", joint="boom", text="harvest")
    return book.state


def found(states: list[MachineState]) -> list[object]:
    """Everything that a person may act on, as codes and numbers."""
    return [
        (
            (one.verdict, one.severity, one.share, one.caution, one.may_be_over, one.is_unproved, one.clearance),
            (codes_of(one.reasons), codes_of(one.next_steps)),
        )
        for state in states
        for one in state.findings
    ]


def fleet_page(states: list[MachineState]) -> list[tuple[Place, Verdict]]:
    """The rows of the fleet page from their texts, in order, and what each row is."""
    texts = {place_of(item).key: due_text(item, "mm") for state in states for item in due_of(state)}
    kept = []
    for state in states:
        rates = rates_of(state)
        kept.append(RatesAndRows(rates, tuple(due_text(item, "mm") for item in borrower_items(state, rates))))
    texts |= {place_of(text).key: text for text in borrowed_texts(kept, "mm")}
    places = worst_first(map(place_of, texts.values()))
    return [(place, texts[place.key].verdict) for place in places]


@WORDS
def test_verdicts_orders_and_the_due_list_do_not_hang_on_words(
    words: Callable[[str], Speaker],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """All of them are worked out again under other words; the page of texts has the order of the due list."""
    states = fleet()
    before = found(states), due_list(states), order_list(states), fleet_page(states)
    assert {one.verdict.value for state in states for one in state.findings} >= {"sound", "plan", "renew", "stop"}
    assert [place for place, _ in before[3]] == [place_of(item) for item in before[1]]
    monkeypatch.setattr(speak, "speaker_of", words)
    again = fleet()
    assert (found(again), due_list(again), order_list(again), fleet_page(again)) == before


def facts(data: object, key: str = "", where: str = "") -> Iterator[tuple[str, object]]:
    """Yield every number and code of a report, with its place."""
    if isinstance(data, dict):
        for name, value in data.items():
            yield from facts(value, name, f"{where}.{name}")
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from facts(value, key, f"{where}[{number}]")
    elif not isinstance(data, str) or key in CODES:
        yield where, data


def report_of_the_sample(capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """Return the report of the sample as data."""
    with pytest.raises(SystemExit) as left:
        main(["report", str(sample_folder()), "--json"])
    assert left.value.code == 0
    data: dict[str, object] = json.loads(capsys.readouterr().out)
    return data


@WORDS
def test_the_whole_report_as_data_does_not_hang_on_words(
    words: Callable[[str], Speaker],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Of the sample every number, every verdict and every place in a list is the same."""
    before = report_of_the_sample(capsys)
    monkeypatch.setattr(speak, "speaker_of", words)
    after = report_of_the_sample(capsys)
    assert dict(facts(after)) == dict(facts(before))
    assert after["due"] != before["due"]  # the words did change


def test_nothing_in_wear_writes_sizes_or_days() -> None:
    """Whoever writes a size or a date in words makes sentences; the numbers that pages open are still to follow."""
    writing = {"fieldlog.quantity.rounding", "fieldlog.words.speak"}
    files = [file for file in sorted(WEAR.rglob("*.py")) if "numbers" not in file.parts]
    assert len(files) > 25
    for file in files:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        taken = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        assert not taken & writing, file
