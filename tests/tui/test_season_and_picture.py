"""The picture, the season page, levers and putting off, on screen, over the sample fleet."""

import shutil
import tomllib
from pathlib import Path

import pytest

from fieldlog.quantity.text import day_text
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import check_logbook
from tests.tui.support import app_over, see, today


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    """A copy of the sample fleet."""
    return Path(shutil.copytree(sample_folder(), tmp_path / "sample"))


async def test_from_the_fleet_to_the_season_and_a_joints_picture(sample: Path) -> None:
    """Y is the season; Enter on a joint opens its finding, p its picture."""
    async with app_over(sample).run_test(size=(80, 24)) as pilot:
        await see(pilot, "What needs doing")
        await pilot.press("y")
        await see(pilot, "Put off, and why", "bushes and pin are on order")
        await pilot.press("left")
        await see(pilot, "Season 2025")
        await pilot.press("enter")
        await see(pilot, "Next:")
        await pilot.press("p")
        await see(pilot, "o measured, | its doubt", "limit", "today, ", "1 of ")


async def test_levers_are_written_down_and_used(sample: Path) -> None:
    """L asks for them; the finding then says what the slack is worth at the edge; the file says so too."""
    async with app_over(sample).run_test(size=(80, 40)) as pilot:
        await see(pilot, "What needs doing", "Bucket pin, left")
        await pilot.press("enter", "enter")
        await see(pilot, "Limit in force")
        await pilot.press("l")
        await see(pilot, "Levers of Bucket pin, left")
        await pilot.press("t", "enter", *"180", "enter", *"650", "ctrl+s")
        await see(pilot, "At the tool", "lever arm 180 mm, edge at 650 mm")
    data = tomllib.loads((sample / "small-loader" / "machine.toml").read_text(encoding="utf-8"))
    joint = next(joint for joint in data["joints"] if joint["id"] == "bucket-left")
    assert (joint["slack_way"], joint["lever_arm"], joint["tool_radius"]) == ("turns", "180 mm", "650 mm")


async def test_putting_off_wants_a_reason_and_stands_on_the_finding(sample: Path) -> None:
    """Without words it is asked for once."""
    async with app_over(sample).run_test(size=(80, 40)) as pilot:
        await see(pilot, "What needs doing", "Bucket pin, left")
        await pilot.press("enter", "enter")
        await see(pilot, "Limit in force")
        await pilot.press("d")
        await see(pilot, "Work done")
        await pilot.press("p", "p", "ctrl+s")
        await see(pilot, "Say why it is put off.")
        await pilot.press("down", "down", "down", *"no press", "ctrl+s")
        await see(pilot, f"Put off on {day_text(today())} by nell: no press.")
    assert not [problem for problem in check_logbook(sample, today()) if problem.key == "text"]


async def test_the_seasons_start_is_set_on_its_page(sample: Path) -> None:
    """C asks for the day; the page follows it."""
    async with app_over(sample).run_test(size=(60, 20)) as pilot:
        await see(pilot, "What needs doing")
        await pilot.press("y")
        await see(pilot, "1 Mar")
        await pilot.press("c")
        await see(pilot, "When your season begins")
        await pilot.press(*["backspace"] * 5, *"1 Nov", "enter")
        await see(pilot, "1 Nov 20")
    assert 'season_start = "1 Nov"' in (sample / "logbook.toml").read_text(encoding="utf-8")
