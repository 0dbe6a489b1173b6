"""The fleet page from what was kept: never behind the files, the logbook, the program or the date."""

import datetime
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from fieldlog.app.ahead import Ahead, read_beside
from fieldlog.app.ahead import forked as forked_copy
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.overview import BookOverview, MachineOverview, borrowed_texts, due_text
from fieldlog.app.reading import read_ahead
from fieldlog.pages.fleet import FleetLines, JointTarget, Standing
from fieldlog.store import cache as cache_module
from fieldlog.store.files import sample_folder
from fieldlog.tui.screens.fleet import FleetScreen
from fieldlog.wear.due import due_list
from fieldlog.wear.states import MachineState
from tests.benchmarks.make_big_logbook import write_logbook
from tests.tui.support import app_over, see, until

MACHINE = "mini-digger"
ROOT = Path(__file__).parents[2]
TODAY = datetime.datetime.now().astimezone().date()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the sample with everything kept from a first sitting."""
    folder = tmp_path / "fleet"
    shutil.copytree(sample_folder(), folder)
    first_sitting(folder)
    return folder


def first_sitting(folder: Path) -> dict[str, MachineOverview]:
    """Work everything out and keep it."""
    session = OpenLogbook(folder, keeps=True)
    return {found.front.id: found for found in session.known.the_rest()}


def believed(folder: Path) -> dict[str, MachineOverview]:
    """What a second sitting takes from the first."""
    session = OpenLogbook(folder, keeps=True)
    return {found.front.id: found for found in session.known.from_last_time()}


def worked_out(folder: Path) -> dict[str, MachineOverview]:
    """What comes out without anything kept."""
    session = OpenLogbook(folder)
    return {found.front.id: found for found in session.known.the_rest()}


def without_look(found: dict[str, MachineOverview]) -> dict[str, object]:
    """What is shown, whatever the files looked like."""
    return {name: (item.back, item.rates, item.front.last_round) for name, item in found.items()}


@dataclass(slots=True)
class DatedLogbook(OpenLogbook):
    """A session on a day of one's choice."""

    day: datetime.date = TODAY

    def today(self) -> datetime.date:
        """Return that day."""
        return self.day


def on_day(folder: Path, day: datetime.date, *, keeps: bool = False) -> OpenLogbook:
    """Return a session on that day."""
    return DatedLogbook(folder, keeps=keeps, day=day)


def a_round(folder: Path) -> Path:
    """The newest round file of the machine."""
    return sorted((folder / MACHINE / "rounds").glob("*.toml"))[-1]


def test_a_second_sitting_needs_no_reading(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All machines are believed, and say what reading them again would say."""
    kept = believed(folder)
    assert without_look(kept) == without_look(worked_out(folder))
    assert len(kept) == 5
    monkeypatch.setattr(OpenLogbook, "read", None)  # any reading would fail
    session = OpenLogbook(folder, keeps=True)
    list(session.known.from_last_time())
    session.known.fill()
    assert session.known.waiting() == ()


def _append(folder: Path) -> None:
    with a_round(folder).open("a") as file:
        file.write('\n[[event]]\ndeed = "greased"\njoint = "swing"\nat = "23:10:01"\n')


def _same_size(folder: Path) -> None:
    file = a_round(folder)
    times = file.stat()
    file.write_bytes(file.read_bytes().replace(b"30.", b"31."))
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))


def _replace_folder(folder: Path) -> None:
    other = folder.parent / "other"
    shutil.copytree(folder / MACHINE, other)
    shutil.rmtree(folder / MACHINE)
    _same_size_in(other)
    other.rename(folder / MACHINE)


def _same_size_in(machine: Path) -> None:
    for file in (machine / "rounds").glob("*.toml"):
        file.write_bytes(file.read_bytes().replace(b"30.", b"31."))


def _limit(folder: Path) -> None:
    file = folder / MACHINE / "machine.toml"
    file.write_text(file.read_text().replace('renew = "1.0 mm"', 'renew = "0.1 mm"'))


@pytest.mark.parametrize(
    "edit", [_append, _same_size, lambda folder: a_round(folder).unlink(), _replace_folder, _limit]
)
def test_an_edited_machine_is_not_believed(folder: Path, edit: Callable[[Path], None]) -> None:
    """Only the edited one is read again, and what is shown is what its files say now."""
    before = believed(folder)
    edit(folder)
    kept = believed(folder)
    assert set(kept) == set(before) - {MACHINE}
    session = OpenLogbook(folder, keeps=True)
    list(session.known.from_last_time())
    session.known.fill()
    shown = {found.front.id: found for found in session.known.all()}
    assert without_look(shown) == without_look(worked_out(folder))
    assert set(believed(folder)) == set(before)


def test_an_edited_logbook_makes_everything_be_read_again(folder: Path) -> None:
    """Limits and instruments of the whole fleet stand there; the same bytes again make it believed again."""
    file = folder / "logbook.toml"
    old = file.read_bytes()
    file.write_bytes(old.replace(b'units = "mm"', b'units = "in"'))
    assert believed(folder) == {}
    file.write_bytes(old)
    assert len(believed(folder)) == 5


def test_a_renamed_or_copied_logbook_says_what_its_files_say(folder: Path) -> None:
    """What was kept of one folder is not shown for another with the same names in it."""
    other = folder.parent / "other"
    shutil.copytree(folder, other)
    _same_size(other)
    assert believed(other) == {}
    folder.rename(folder.parent / "old")
    other.rename(folder)
    assert set(believed(folder)) == set(believed(folder)) - {MACHINE}
    assert MACHINE not in believed(folder)


@pytest.mark.parametrize("kept_parts", [1, 2])
def test_a_later_part_that_is_none_is_worked_out(folder: Path, kept_parts: int) -> None:
    """The page's lines are there first; what they say is made from the files where what was kept says nothing."""
    session = OpenLogbook(folder, keeps=True)
    assert session.cache is not None
    for found in believed(folder).values():
        parts = found.as_text().split(b"\t")
        session.cache.put(found.front.id, b"\t".join([*parts[:kept_parts], b"[]", b"["][:3]))
    list(session.known.from_last_time())
    wanted = worked_out(folder).values()
    assert session.known.rates() == [found.rates for found in wanted]
    assert [session.known.back_of(found) for found in session.known.all()] == [found.back for found in wanted]


@pytest.fixture
def diggers(tmp_path: Path) -> Path:
    """Three diggers of a kind, the third of which was last measured years ago, on two days; read once."""
    folder = tmp_path / "diggers"
    write_logbook(folder, machines=3, years=4)
    for file in sorted((folder / "machine-003" / "rounds").iterdir())[2:]:
        file.unlink()
    first_sitting(folder)
    return folder


def test_what_is_borrowed_is_kept_for_as_long_as_all_rates_are_the_same(
    diggers: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One more reading anywhere may change what a joint elsewhere borrows; nothing else does."""
    folder = diggers
    session = OpenLogbook(folder, keeps=True)
    list(session.known.from_last_time())
    found = session.known.borrowings()
    assert [item for item in found.items if item.borrowed]
    assert found.items == borrowed_texts([machine.rates for machine in worked_out(folder).values()], "mm")
    monkeypatch.setattr("fieldlog.app.known.borrowed_texts", None)  # working it out would fail
    again = OpenLogbook(folder, keeps=True)
    assert again.known.borrowings().items == ()  # nothing is known of the machines yet
    list(again.known.from_last_time())
    assert again.known.borrowings() == found
    monkeypatch.undo()
    sorted((folder / "machine-001" / "rounds").iterdir())[-1].unlink()
    again.known.notice_all()
    assert again.known.borrowings().stamp != found.stamp
    assert again.known.borrowings().items == borrowed_texts(
        [machine.rates for machine in worked_out(folder).values()], "mm"
    )


@pytest.mark.parametrize("which", ["folder", "diggers"])
def test_the_page_says_what_the_due_list_says(which: str, request: pytest.FixtureRequest) -> None:
    """The same joints in the same order, also those that borrow their place; each row can be found by what it opens."""
    folder: Path = request.getfixturevalue(which)
    session = OpenLogbook(folder, keeps=True)
    list(session.known.from_last_time())
    fronts = [found.front for found in session.known.all()]
    standing = [Standing(front.id, front.severity, front.places) for front in fronts]
    backs = {found.front.id: found.back for found in session.known.all()}
    page = FleetLines(standing, session.known.borrowings().items, ("new",), backs.__getitem__, 78)
    due = [due_text(item, session.units) for item in due_list(session.states())]
    shown = [target for index in range(len(page)) if isinstance(target := page[index].target, JointTarget)]
    assert [page.due_item(target) for target in shown] == due
    assert any(row.borrowed for row in due) is (which == "diggers")
    for index in range(len(page)):
        if page[index].target is not None:
            assert page.index_of(page[index].target) == index
    assert page.index_of(JointTarget("new", "none")) is None
    assert page.index_of("anything") is None


def test_another_version_of_the_program_believes_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever it would say differently is said."""
    monkeypatch.setattr(cache_module, "program_stamp", lambda: "another")
    assert believed(folder) == {}


def test_it_may_be_thrown_away_at_any_time(folder: Path, tmp_path: Path) -> None:
    """Before it is read, and between being read and being written."""
    session = OpenLogbook(folder, keeps=True)
    kept = session.known.from_last_time()
    next(kept)
    shutil.rmtree(tmp_path / "cache")
    assert len(list(kept)) == 4
    assert believed(folder) == {}
    session.known.forget(MACHINE)
    session.known.fill()
    assert set(believed(folder)) == {MACHINE}
    assert without_look({f.front.id: f for f in session.known.all()}) == without_look(worked_out(folder))


def test_a_cache_that_cannot_be_written_changes_nothing(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A read-only place: everything is worked out each time."""
    monkeypatch.setenv("XDG_CACHE_HOME", "/proc/nowhere")
    assert without_look(first_sitting(folder)) == without_look(worked_out(folder))
    assert believed(folder) == {}


def test_what_was_edited_while_it_was_worked_out_is_not_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither an edit of the machine nor one of the logbook slips in under the old look."""
    shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]))
    session = OpenLogbook(folder, keeps=True)
    state = session.state(MACHINE)

    def edited_meanwhile(self: OpenLogbook, name: str) -> MachineState:
        _append(folder)
        return state

    monkeypatch.setattr(OpenLogbook, "state", edited_meanwhile)
    session.known.work_out(MACHINE)
    assert believed(folder) == {}
    monkeypatch.undo()
    session = OpenLogbook(folder, keeps=True)
    session.logbook  # noqa: B018 -- read before the edit
    (folder / "logbook.toml").write_bytes((folder / "logbook.toml").read_bytes() + b"\n")
    session.known.work_out(MACHINE)
    assert believed(folder) == {}


def test_no_date_is_frozen(folder: Path) -> None:
    """As long as an overview is said to hold, working it out on a later day gives the same; then it is not used."""
    for days in (1, 30, 200, 380, 420, 900):
        later = TODAY + datetime.timedelta(days=days)
        for name, kept in believed(folder).items():
            again = on_day(folder, later).known.work_out(name)
            if kept.holds_on(later):
                assert again.back == kept.back
            assert again.front.until >= later


def test_an_overview_of_another_day_is_shown_until_todays_is_there(folder: Path) -> None:
    """It counts as outdated meanwhile; and so does one from the future, made under a wrong clock."""
    assert on_day(folder, TODAY, keeps=True).known.outdated() == 0
    for days in (-1, 5000):
        session = on_day(folder, TODAY + datetime.timedelta(days=days), keeps=True)
        shown = list(session.known.from_last_time())
        assert len(shown) == 5
        assert session.known.outdated() == sum(not found.holds_on(session.today()) for found in shown)
        if days < 0:
            assert session.known.outdated() == 5
        session.known.fill()
        assert session.known.outdated() == 0


def _poisoned(folder: Path) -> None:
    """Keep a lie for every machine, as nothing but a mistake in the program could."""
    session = OpenLogbook(folder, keeps=True)
    assert session.cache is not None
    for name, found in believed(folder).items():
        summary = found.back.summary
        lie = replace(found.back, summary=replace(summary, machine=replace(summary.machine, name="LIE")))
        session.cache.put(name, MachineOverview(found.front, found.rates, lie).as_text())


def test_reports_and_checks_never_look_at_what_was_kept(folder: Path) -> None:
    """Even if it lied, they would not."""
    _poisoned(folder)
    assert {found.back.summary.machine.name for found in believed(folder).values()} == {"LIE"}
    for arguments in (["report"], ["report", "--json"], ["check"]):
        command = [sys.executable, "-m", "fieldlog", arguments[0], str(folder), *arguments[1:]]
        said = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False).stdout
        assert "LIE" not in said
        if arguments == ["report", "--json"]:
            assert len(json.loads(said)["due"]) > 5


def all_of(reader: Ahead | None) -> tuple[BookOverview | None, dict[str, MachineOverview]]:
    """Everything that a reading process sends."""
    assert reader is not None
    head = reader.take_head()
    found = {item.front.id: item for item in reader.take(20.0)}
    assert reader.is_done
    return head, found


def forked(folder: Path) -> Ahead | None:
    """The process that a start uses."""
    return read_ahead(folder, is_demo=False)


def beside(folder: Path) -> Ahead | None:
    """The process that is used later on."""
    return read_beside(folder, is_demo=False)


@pytest.mark.parametrize("start", [forked, beside])
def test_the_reading_process_says_what_reading_here_says(folder: Path, start: Callable[[Path], Ahead | None]) -> None:
    """From what was kept and without it."""
    wanted = without_look(worked_out(folder))
    for _ in range(2):
        head, found = all_of(start(folder))
        assert head == OpenLogbook(folder).head
        assert without_look(found) == wanted
        shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]))


@pytest.mark.parametrize("helpers", ["none, on one core", "one that dies", "none to be had"])
def test_the_reading_process_needs_no_help(folder: Path, monkeypatch: pytest.MonkeyPatch, helpers: str) -> None:
    """What its copy does not send it works out itself."""
    wanted = without_look(worked_out(folder))
    shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]))
    match helpers:
        case "none, on one core":
            monkeypatch.setattr("fieldlog.app.reading.cores", lambda: 1)
        case "one that dies":
            monkeypatch.setattr("fieldlog.app.reading._helper", lambda *_: forked_copy(lambda: iter((b"not a mach",))))
        case "none to be had":
            monkeypatch.setattr("fieldlog.app.reading._helper", lambda *_: None)
    head, found = all_of(forked(folder))
    assert head is not None
    assert without_look(found) == wanted
    assert len(believed(folder)) == 5


def test_a_copy_ends_when_nobody_listens_any_more() -> None:
    """Or it would wait for ever once the pipe is full, when the program was killed."""

    def endless() -> Iterator[bytes]:
        while True:
            yield b"x" * 100_000

    sender = forked_copy(endless)
    assert sender is not None
    assert sender.first_line(20.0) == b"x" * 100_000
    os.close(sender.pipe)
    assert os.waitpid(sender._process, 0)[0] == sender._process


def test_a_reading_process_that_fails_is_done_without(tmp_path: Path) -> None:
    """No logbook there: no head, and no waiting."""
    begun = time.monotonic()
    reader = read_beside(tmp_path / "none", is_demo=False)
    assert reader is not None
    assert reader.take_head() is None
    assert reader.is_done
    assert time.monotonic() - begun < 10


def test_what_was_written_meanwhile_is_not_taken_from_the_reading_process(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It may have read the machine before the entry was made."""
    monkeypatch.setattr("fieldlog.app.known._PATIENCE_S", 60.0)  # a busy machine may be slower than a person's patience
    reader = read_beside(folder, is_demo=False)
    assert reader is not None
    session = OpenLogbook(folder, ahead=reader, keeps=True)
    assert session.known.waiting() == ()
    session.known.reader = reader = read_beside(folder, is_demo=False)
    assert reader is not None
    _append(folder)
    session.known.forget(MACHINE)
    session.known.fill()
    mine = {found.front.id: found for found in session.known.all()}[MACHINE]
    while session.known.is_reading:
        session.known.take(5.0)
    assert {found.front.id: found for found in session.known.all()}[MACHINE] is mine


async def test_machines_come_in_while_the_page_is_shown(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A large logbook is drawn at once: what is still being read is named, can be chosen, and is then filled in."""
    shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]))
    monkeypatch.setattr("fieldlog.app.known._PATIENCE_S", 0.0)  # any reading takes too long
    monkeypatch.setattr("fieldlog.tui.screens.fleet._LISTEN_EVERY_S", 0.5)  # long enough to be seen
    app = app_over(folder)
    async with app.run_test(size=(80, 60)) as pilot:
        await see(pilot, "3 machines still to be read", ".. being read", "yard-tractor")
        text = await see(pilot, "▇▇ stop", "Yard tractor")
        assert "still to be read" not in text
        assert "being read" not in text


async def test_an_edit_from_outside_is_shown_on_coming_back(folder: Path) -> None:
    """Also one of the same size, in a machine that was not opened."""
    app = app_over(folder)
    async with app.run_test(size=(80, 60)) as pilot:
        await see(pilot, "Yard tractor")
        machine = folder / "yard-tractor" / "machine.toml"
        machine.write_text(machine.read_text().replace("Yard tractor", "Yard TRACTOR"))
        await pilot.press("question_mark", "escape")
        await see(pilot, "Yard TRACTOR")


async def test_the_page_is_drawn_once_for_each_size(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The start tells the same size three times over."""
    drawn, redraw = [], FleetScreen.redraw

    def counted(self: FleetScreen) -> None:
        drawn.append(self.size.width)
        redraw(self)

    monkeypatch.setattr(FleetScreen, "redraw", counted)
    async with app_over(folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "What needs doing")
        assert drawn == [80]
        await pilot.resize_terminal(60, 20)
        await until(pilot, lambda: drawn == [80, 60])
