"""From a doubtful reading to its reason, with real keys: marked in the round, opened with b, kept, struck."""

import tomllib
from pathlib import Path

import pytest
from textual.pilot import Pilot

from fieldlog.store.files import throwaway_copy
from fieldlog.tui.screens.opened import BudgetScreen
from tests.tui.support import app_over, round_text, screen_text, see, type_in, until
from tests.tui.test_round import start_round

GOOD = ("19.42", "19.44", "19.46", "19.44", "19.43", "19.44")


async def gone(pilot: Pilot[int], words: str) -> None:
    await until(pilot, lambda: words not in " ".join(screen_text(pilot).split()))


async def test_a_reading_that_stands_apart_is_opened_and_kept(logbook_folder: Path) -> None:
    """The round says it, b shows budget and readings, Enter keeps it with a reason, and the round is silent."""
    async with app_over(logbook_folder).run_test(size=(80, 40)) as pilot:
        await start_round(pilot)
        await type_in(pilot, *GOOD, "19.90", "19.45")
        await see(pilot, "The 19.90 mm at 3 stands", "apart from its repeats")
        await pilot.press("b")
        await see(pilot, "What its doubt is made of", "Readings behind it", "coverage factor", "! stands")
        await pilot.press(*["down"] * 6)
        await see(pilot, ">   19.90 mm at 3")
        await pilot.press("enter")
        await see(pilot, "Strike or keep")
        await pilot.press("right")
        await see(pilot, "keep it, and mark it no more")
        await pilot.press("enter")
        await type_in(pilot, "a real dent")
        await see(pilot, "kept by ada", "a real dent")
        await pilot.press("escape")
        await see(pilot, "12, far face")
        await gone(pilot, "stands 0.4")
        keep = tomllib.loads(round_text(logbook_folder))["keep"]
    assert [entry["why"] for entry in keep] == ["a real dent"]


async def test_three_readings_that_disagree_blame_none(logbook_folder: Path) -> None:
    """The ceiling is said where a person meets it."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42")
        for size in ("19.44", "19.90"):
            await pilot.press("up")
            await see(pilot, "12, near face, reading")
            await type_in(pilot, size)
        await until(
            pilot, lambda: "three readings cannot tell which one is wrong" in " ".join(screen_text(pilot).split())
        )


async def test_walls_are_measured_behind_the_lines(logbook_folder: Path) -> None:
    """Up from the first line comes to the walls at once; they follow each other, then the plan goes on."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press(*["up"] * 4)
        await see(pilot, "metal at 12, hole edge to outer edge")
        await type_in(pilot, "0")
        await see(pilot, "above 0 and at most 300 mm")
        await pilot.press("backspace")
        await type_in(pilot, "13.2")
        await see(pilot, "metal at 6")
        await type_in(pilot, "14.1", "14.0", "14.0")
        await see(pilot, "12: 13.2   6: 14.1   3: 14.0   9: 14.0", "12, near face")
        data = tomllib.loads(round_text(logbook_folder))
    assert [(wall["clock"], wall["size"]) for wall in data["ligament"]] == [
        ("12", "13.2 mm"), ("6", "14.1 mm"), ("3", "14.0 mm"), ("9", "14.0 mm"),
    ]  # fmt: skip


@pytest.mark.parametrize("size", [(80, 24), (40, 20)])
async def test_b_opens_the_numbers_of_every_page(size: tuple[int, int]) -> None:
    """Machine, finding, hole, readings, link: one key, and left and right go through the page's numbers."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=size) as pilot:
            await see(pilot, "What needs doing")
            await pilot.press("enter")
            await see(pilot, "Next:")
            for opening in ([], ["enter"], ["r"]):
                await pilot.press(*opening, "b")
                await until(pilot, lambda: isinstance(pilot.app.screen, BudgetScreen))
                first = await see(pilot, "1 of", "What its doubt")
                await pilot.press("right")
                await see(pilot, "2 of")
                await pilot.press("left")
                assert (await see(pilot, "1 of")).splitlines()[2:5] == first.splitlines()[2:5]
                await pilot.press("escape")
                await until(pilot, lambda: not isinstance(pilot.app.screen, BudgetScreen))
