"""What the screens ask of a round while somebody measures."""

import datetime
import shutil
from pathlib import Path

import pytest

from fieldlog.app import round_work
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.records.entries import Round
from fieldlog.store.files import sample_folder
from fieldlog.wear.at_the_hole import Sight
from fieldlog.wear.at_the_hole import look as whole


def test_a_hole_is_judged_once_a_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The panel and the line below it ask for the same look; the next reading is looked at anew."""
    folder = shutil.copytree(sample_folder(), tmp_path / "sample")
    day = datetime.date(2026, 11, 28)
    work = round_work.RoundWork(OpenLogbook(folder), "hill-tractor", Round("2026-11-28-nell", day, "nell"), 1)
    work.go_to(next(index for index, stop in enumerate(work.stops) if stop.kind == "hole"))
    looked = []

    def look(*given: object) -> Sight:
        looked.append(given)
        return whole(*given)  # type: ignore[arg-type] # handed on as it came

    monkeypatch.setattr(round_work, "look", look)
    for reading, count in (("22.80", 1), ("22.81", 2)):
        work.keep(work.accepted(reading))
        first = work.sight()
        assert first is not None
        assert work.sight() is first
        assert len(looked) == count
