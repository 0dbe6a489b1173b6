"""A season once worked out is shown again as long as nothing it rests on has changed, and not a moment longer."""

import datetime
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from fieldlog.app.fleet import SeasonWork
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.store.files import sample_folder
from fieldlog.wear.season import MachineSeason

MACHINE = "mini-digger"


@dataclass(slots=True)
class DatedLogbook(OpenLogbook):
    """A session on a day of one's choice."""

    day: datetime.date = datetime.date(2026, 11, 25)

    def today(self) -> datetime.date:
        """Return that day."""
        return self.day


@pytest.fixture
def session(tmp_path: Path) -> OpenLogbook:
    """A copy of the sample."""
    folder = tmp_path / "fleet"
    shutil.copytree(sample_folder(), folder)
    return DatedLogbook(folder)


def _edit_a_round(session: OpenLogbook) -> None:
    file = sorted((session.folder / MACHINE / "rounds").glob("*.toml"))[-1]
    file.write_bytes(file.read_bytes().replace(b"30.", b"31."))


def _edit_the_logbook(session: OpenLogbook) -> None:
    file = session.folder / "logbook.toml"
    file.write_text(f'season_start = "1 Jun"\n{file.read_text()}')
    session.notice_edits()


def _next_day(session: OpenLogbook) -> None:
    session.day += datetime.timedelta(days=1)  # type: ignore[attr-defined] # it is a dated one


def test_nothing_is_worked_out_twice(session: OpenLogbook, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither this season nor the one before; a machine's entries are let go of again."""
    work = SeasonWork()
    found = [work.of(session, MACHINE, back) for back in (0, 1)]
    assert found[0] != found[1]
    assert not session.has_open(MACHINE)
    monkeypatch.setattr("fieldlog.app.fleet.machine_season", None)  # working it out would fail
    assert [work.of(session, MACHINE, back) for back in (0, 1)] == found


@pytest.mark.parametrize("change", [_edit_a_round, _edit_the_logbook, _next_day])
def test_whatever_it_rests_on_makes_it_be_worked_out_again(
    session: OpenLogbook, monkeypatch: pytest.MonkeyPatch, change: Callable[[OpenLogbook], None]
) -> None:
    """An edit of the machine's files, an edit of the logbook, another day."""
    work, worked_out = SeasonWork(), []
    work.of(session, MACHINE, 0)

    def machine_season(*given: object) -> MachineSeason:
        worked_out.append(given)
        return found

    found = work.of(session, MACHINE, 0)
    monkeypatch.setattr("fieldlog.app.fleet.machine_season", machine_season)
    change(session)
    work.of(session, MACHINE, 0)
    assert len(worked_out) == 1
