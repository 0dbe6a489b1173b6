"""The key b on the pages about wear over time, over the sample fleet: from a number to its days and readings."""

import shutil
from pathlib import Path

import pytest

from fieldlog.store.files import sample_folder
from tests.tui.support import app_over, see


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    """A copy of the sample fleet."""
    return Path(shutil.copytree(sample_folder(), tmp_path / "sample"))


async def test_from_the_rates_page_down_to_the_readings_of_a_day(sample: Path) -> None:
    """R, b: the rate with what is borrowed; the own rate one to the right, and under Enter on its step."""
    async with app_over(sample).run_test(size=(80, 40)) as pilot:
        await see(pilot, "What needs doing")
        await pilot.press("r")
        await see(pilot, "side by side")
        await pilot.press("b")
        await see(pilot, "Behind the number", "own and borrowed", "weight of its own rate", "joints of the kind differ")
        await pilot.press("right")
        await see(pilot, "scatter of the days' readings", "The parts' squares add up")
        await pilot.press("left", "enter")
        await see(pilot, "scatter of the days' readings")


async def test_from_the_season_page_and_the_fleet_page(sample: Path) -> None:
    """Y, b: wear of the season; on the fleet page b opens what is due, and a step leads to its own page."""
    async with app_over(sample).run_test(size=(60, 40)) as pilot:
        await see(pilot, "What needs doing")
        await pilot.press("y")
        await see(pilot, "Put off, and why", "To order")
        await pilot.press("b")
        await see(pilot, "Behind the number", "what it grew")
        await pilot.press("escape", "escape")
        await see(pilot, "What needs doing")
        await pilot.press("b")
        await see(pilot, "Behind the number", "largest size less the pin")
        await pilot.press("end")
        await see(pilot, "clearance, limit reached:", "rate, clearance:")
