"""The program as a library: an open logbook answers for machines, joints, sizes, findings, forecasts, offers, seasons.

Its answers are those of the report; the examples in its documentation run.
"""

import datetime
import doctest
import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import pytest

import fieldlog
from fieldlog.app import library
from fieldlog.app.library import Library
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.errors import FieldlogError
from fieldlog.store.files import sample_folder
from tests.benchmarks.make_big_logbook import write_logbook

ROOT = Path(__file__).parents[2]
QUESTIONS = ("machines", "joints", "sizes", "findings", "due", "forecasts", "compared", "seasons", "wrong")


@pytest.fixture(scope="module")
def book() -> Library:
    """The sample."""
    return fieldlog.open_logbook(sample_folder())


def test_importing_it_loads_nothing_of_the_program() -> None:
    """Neither a module of its own nor a library; opening a logbook does."""
    code = (
        "import sys; import fieldlog; assert not [name for name in sys.modules if name.startswith('fieldlog.')]; "
        "assert not {'datetime', 'dataclasses', 'pathlib', 'textual', 'rich', 'pint'} & set(sys.modules); "
        f"fieldlog.open_logbook({str(sample_folder())!r}); assert 'fieldlog.app.library' in sys.modules; "
        "assert not {'textual', 'rich', 'pint'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_the_examples_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """As they stand in the documentation, from where the sample lies."""
    monkeypatch.chdir(sample_folder().parent)
    found = doctest.testmod(fieldlog)
    assert (found.failed, found.attempted > 2) == (0, True)


def test_every_question_is_documented_and_typed() -> None:
    """What comes back is said in words and in types; records say their units in names or words."""
    for name in QUESTIONS:
        question = getattr(Library, name)
        assert question.__doc__, name
        assert "return" in question.__annotations__, name
    records = [item for item in vars(library).values() if hasattr(item, "__dataclass_fields__")]
    own = [record for record in records if record.__module__ == library.__name__ and record is not Library]
    assert len(own) == 7
    for record in own:
        assert record.__doc__, record
        assert get_type_hints(record), record


def test_machines_come_with_their_joints_and_one_is_found_by_name_or_id(book: Library) -> None:
    """A name nobody has is answered with those there are."""
    machines = {machine.id: machine for machine in book.machines()}
    assert len(machines) == 5
    joints = book.joints("Mini digger")
    assert [joint.id for joint in joints] == [joint.id for joint in machines["mini-digger"].joints]
    assert book.joints("mini-digger") == joints
    assert {joint.machine for joint in book.joints()} == set(machines)
    with pytest.raises(FieldlogError, match="mini-digger"):
        book.joints("nobody")


def test_what_it_says_is_what_the_state_says(book: Library) -> None:
    """Sizes with their half-widths, verdicts with their limits, rates with their forecasts."""
    state = OpenLogbook(sample_folder()).state("small-loader")
    joint = next(joint for joint in state.joints if joint.joint.id == "bucket-right")
    found = next(one for one in book.findings("small-loader") if one.part == "bucket-right")
    assert joint.finding.clearance is not None
    assert joint.finding.limit is not None
    assert found.judged is not None
    assert (found.judged.mm, found.judged.plus_minus_mm) == (
        joint.finding.clearance.value,
        joint.finding.clearance.plus_minus,
    )
    assert (found.verdict, found.limit_mm) == (joint.finding.verdict.value, joint.finding.limit.renew_mm)
    (ahead,) = [one for one in book.forecasts("small-loader") if (one.joint, one.of) == ("bucket-right", "clearance")]
    trend = next(trend for trend in joint.trends if trend.of == "clearance")
    assert trend.line is not None
    assert trend.renew is not None
    assert ahead.mm_per_100 == 100 * trend.line.slope
    assert ahead.earliest_at == trend.renew.earliest
    assert (ahead.unit, ahead.why_none) == ("hours", "")
    sizes = [size for size in book.sizes("small-loader") if size.joint == "bucket-right"]
    assert [size.day for size in sizes] == sorted(size.day for size in sizes)
    assert sizes[-1].day == datetime.date(2026, 10, 31)
    assert all(size.largest.mm >= size.smallest.mm > 0 and size.largest.plus_minus_mm > 0 for size in sizes)


def test_what_is_not_known_is_none_with_a_reason(book: Library) -> None:
    """Of every trend either a rate or why there is none; of every season either wear or why it is not known."""
    assert all((one.mm_per_100 is None or one.reached_at is None) <= bool(one.why_none) for one in book.forecasts())
    assert all((one.grown is None) == bool(one.why_none) for one in book.seasons())
    assert book.seasons() != book.seasons(back=1)
    assert {one.machine for one in book.seasons("yard-tractor")} <= {"yard-tractor"}


def test_due_and_offers_come_as_the_report_lists_them(book: Library) -> None:
    """Worst first; the best cylinder for a link first, the ones that cannot be after it."""
    assert book.due()[0].verdict.value == "stop"
    offers = [one for one in book.compared() if one.link == "top-link"]
    assert {"c-152-kit", "d-203-long"} <= {one.offer for one in offers if one.verdict == "no"}
    assert offers[0].verdict != "no"
    assert all(one.decides for one in offers)
    assert book.wrong() == ()


def test_a_folder_without_a_logbook_is_said_at_once(tmp_path: Path) -> None:
    """In a sentence, when it is opened."""
    with pytest.raises(FieldlogError, match=r"holds no logbook\.toml"):
        fieldlog.open_logbook(tmp_path)


def test_machines_put_aside_come_back_as_they_were(tmp_path: Path) -> None:
    """A logbook with more entries than stay in memory answers the same, question after question."""
    write_logbook(tmp_path / "book", machines=4, years=10)
    still, live = fieldlog.open_logbook(tmp_path / "book"), OpenLogbook(tmp_path / "book")
    ids = still.book.machine_ids
    assert [state.machine.id for state in still.each(ids)] == list(ids)
    assert not all(still.has_open(machine_id) for machine_id in ids)
    again = list(still.each(ids))
    assert again == [live.state(machine_id) for machine_id in ids]
    assert [still.log(machine_id).entries for machine_id in ids] == [live.log(name).entries for name in ids]
