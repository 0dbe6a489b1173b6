"""What things are called changes nothing: no number, no verdict and no order hangs on a name or a label."""

import datetime
import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from enum import Enum

import pytest

from fieldlog.measure.checks import jaws_on, standing_on
from fieldlog.measure.instruments import limit_term
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.source import Source
from fieldlog.quantity.value import Value
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.entries import AnyEntry, BoreReading, MachineLog, PinReading, WallReading
from fieldlog.records.machine import Hands, Hole, Instrument, Joint, Logbook
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear import history
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.due import due_list
from fieldlog.wear.history import index_of
from fieldlog.wear.numbers.page import Ground, hole_page, joint_page, rates_page, season_page
from fieldlog.wear.season import season_of
from fieldlog.wear.states import MachineState
from fieldlog.wear.summary import place_of
from fieldlog.wear.trends.rates import Beside, rate_rows
from tests.wear.build import Book

TODAY = datetime.date(2026, 11, 25)
YEARS = tuple(datetime.date(year, month, 3) for year in (2024, 2025, 2026) for month in (4, 10))
_IDS = frozenset({"id", "hole", "from_hole", "keys", "of", "axis"})  # fields that hold an id, or a word of the program

Told = list[object]
Rename = Callable[[int], str]
Fleet = tuple[list[MachineLog], Logbook]


def told(found: object, field: str = "") -> Iterator[object]:
    """Yield everything in a record that is no text: numbers, verdicts, days, ids, in their order."""
    if isinstance(found, Value):
        yield from (found.value, found.u, found.dof, found.k, found.plus_minus)
        yield from ((row.source.id, row.source.kind, row.u, row.cancels) for row in found.rows)
        yield from () if found.narrowed_most_by is None else found.narrowed_most_by[:2]
    elif isinstance(found, str) and not isinstance(found, Enum):
        yield from (found,) if field in _IDS else ()
    elif isinstance(found, Mapping):
        yield from ((key, *told(value, field)) for key, value in found.items())
    elif is_dataclass(found) and not isinstance(found, type):
        for one in fields(found):
            yield from told(getattr(found, one.name), one.name)
    elif isinstance(found, tuple | list | frozenset):
        for one in sorted(found) if isinstance(found, frozenset) else found:
            yield from told(one, field)
    else:
        yield found


def pages(state: MachineState, ground: Ground) -> Iterator[object]:
    """Yield what every page of a machine tells in numbers."""
    for joint in state.joints:
        for page in (joint_page(joint, ground), rates_page(joint, ground), season_page(joint.joint.id, ground)):
            yield from page
        for hole in joint.holes:
            yield from hole_page(joint, hole, ground)


def all_of(fleet: Fleet) -> Told:
    """Return everything that is worked out for a fleet: states, what is due, and the numbers of the pages."""
    logs, logbook = fleet
    states = [assess_machine(log, logbook, TODAY) for log in logs]
    rows = [row for state in states for row in rate_rows(state)]
    seasons = (season_of(logbook, TODAY), season_of(logbook, TODAY, 1))
    found: Told = [place_of(item) for item in due_list(states)]
    for state, log in zip(states, logs, strict=True):
        ground = Ground(state, log, index_of(log, logbook), Beside(state.machine.id, rows), seasons)
        found += told(replace(state, machine=replace(state.machine, name="")))
        found += [one for number in pages(state, ground) for one in told(number)]
    return found


def renamed(fleet: Fleet, name: Rename) -> Fleet:
    """Return a fleet with other names for its machines, people and instruments, and for the logbook."""
    logs, logbook = fleet
    return (
        [replace(log, machine=replace(log.machine, name=name(n))) for n, log in enumerate(logs)],
        replace(
            logbook,
            name=name(0),
            people=tuple(replace(person, name=name(n)) for n, person in enumerate(logbook.people)),
            instruments=tuple(replace(tool, name=name(n)) for n, tool in enumerate(logbook.instruments)),
        ),
    )


def sample() -> Fleet:
    """Return the sample fleet."""
    book = read_logbook(sample_folder())
    return [read_machine(sample_folder(), machine, book.logbook).log for machine in book.machine_ids], book.logbook


def check(tool: str, day: datetime.date, kind: str, shown: str, size: str = "") -> Check:
    known = parse_length(size) if size else None
    return Check(tool, day, kind, parse_shown_list(shown), known, parse_length("0.005 mm") if size else None)  # type: ignore[arg-type]


def drawn(seed: int) -> Fleet:
    """Return a machine measured by two people with two calipers, and now and then with one that nobody named."""
    dice = random.Random(seed)
    day = dice.choice(YEARS)
    checks = [check("blue", day, "zero", f"{dice.choice((0.0, 0.02, 0.05)):.2f}")]
    if dice.random() < 0.7:
        checks += [check("blue", day, "known bore", "7.96 7.97 7.96", "8.00"),
                   check("blue", day, "known bore", "24.96 24.97 24.97", "25.00")]  # fmt: skip
    hands = (Hands("ann", "blue", day, 0.012, 15, 0.02, 9),) if dice.random() < 0.5 else ()
    step = parse_length("0.01 mm")
    tools = (
        Instrument("blue", name="blue caliper", resolution=step, checks=tuple(checks), hands=hands),
        Instrument("steel", name="steel caliper", resolution=step, error_limit=parse_length("0.03 mm")),
    )
    joints = (Joint("boom", kind="bushed", pin=parse_length("30 mm")), Joint("arm", kind="pivot"))
    holes = (Hole("ear", joint="boom", kind="bushed", bush_wall=parse_length("4 mm")), Hole("eye", joint="arm"))
    book = Book(joints=joints, holes=holes)
    for number, on in enumerate(YEARS[dice.randint(0, 3) :]):
        start = len(book.entries)
        book.meter(on, f"{1000 + 150 * number}")
        grown = 0.1 * number + dice.gauss(0, 0.02)
        book.bore(on, 30.2 + grown, oval=dice.choice((0.0, 0.1, 0.3)))
        clocks = dice.choice((("12", "3"), ("12",), ("12", "1:30", "3", "4:30")))
        book.bore(on, 25.3 + grown, hole="eye", clocks=clocks)
        if dice.random() < 0.7:
            book.pin_is(on, 29.95 - grown / 3)
        if dice.random() < 0.5:
            book.pin_is(on, 25.4, "unworn", "arm")
        who = dice.choice(("ann", "ben"))
        with_tool = dice.choice(("blue", "blue", "steel", ""))
        book.entries[start:] = [_by(entry, who, with_tool) for entry in book.entries[start:]]
    return [book.log], Logbook("drawn", instruments=tools)


def _by(entry: AnyEntry, who: str, tool: str) -> AnyEntry:
    day = f"{entry.day.isoformat()}-{who}"
    if isinstance(entry, BoreReading | PinReading | WallReading):
        return replace(entry, who=who, round=day, instrument=tool)
    return replace(entry, who=who, round=day)


def _forget() -> None:
    for kept in (limit_term, standing_on, jaws_on, history._size):  # sizes kept hold their labels
        kept.cache_clear()


@pytest.fixture
def unlabelled(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[], None]]:
    """Return what gives every source an arbitrary label and reason from then on."""
    made = Source.__init__

    def relabel() -> None:
        def init(source: Source, *args: object, **facts: object) -> None:
            made(source, *args, **(facts | {"label": f"label {len(facts)}", "why": "because"}))  # type: ignore[arg-type]

        monkeypatch.setattr(Source, "__init__", init)
        _forget()

    yield relabel
    monkeypatch.undo()
    _forget()


@pytest.mark.parametrize("name", [lambda _: "x", lambda n: "scatter " * n, lambda n: f"zero drifted {9 - n}"])
def test_other_names_in_the_sample_change_no_number_no_verdict_and_no_order(name: Rename) -> None:
    """All alike, words that the program itself uses, and names that sort the other way round."""
    assert all_of(renamed(sample(), name)) == all_of(sample())


@pytest.mark.parametrize("seed", range(6))
def test_other_names_in_drawn_logs_change_nothing(seed: int) -> None:
    """Two calipers and people, checked, unchecked or unnamed, few and many lines, pins and none."""
    found = all_of(drawn(seed))
    assert len(found) > 1000
    assert all_of(renamed(drawn(seed), lambda _: "x")) == found


def test_other_labels_in_the_sample_change_nothing(unlabelled: Callable[[], None]) -> None:
    """A label and a reason are for people only: with arbitrary ones every number is the same."""
    found = all_of(sample())
    unlabelled()
    assert {row.source.why for row in _clearance(sample()).rows} == {"because"}
    assert all_of(sample()) == found


@pytest.mark.parametrize("seed", range(3))
def test_other_labels_in_drawn_logs_change_nothing(seed: int, unlabelled: Callable[[], None]) -> None:
    """The same for drawn ones."""
    found = all_of(drawn(seed))
    unlabelled()
    assert all_of(drawn(seed)) == found


def _clearance(fleet: Fleet) -> Value:
    logs, logbook = fleet
    joints = assess_machine(logs[0], logbook, TODAY).joints
    return next(joint.finding.clearance for joint in joints if joint.finding.clearance is not None)
