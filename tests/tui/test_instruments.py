"""Instruments on screen: what an unchecked one does, a check done and struck, jaws that correct readings."""

import tomllib
from pathlib import Path

from fieldlog.store.reader import check_logbook
from tests.tui.support import app_over, screen_text, see, today, type_in, until


async def test_a_check_is_done_and_struck_on_screen(logbook_folder: Path) -> None:
    """Setup says "not checked"; a zero check settles it; struck, it is unchecked again; all of it on disk."""
    async with app_over(logbook_folder).run_test(size=(80, 32)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("s")
        await see(pilot, "▇▄ not checked")
        await pilot.press("down", "enter")
        await see(pilot, "Checks, newest first", "not checked this season")
        await pilot.press("k")
        await see(pilot, "Check of blue caliper")
        await pilot.press("enter", *"0.00 -0.01", "ctrl+s")
        await see(pilot, "zero: 0.00 mm, -0.01 mm", "in order")
        await pilot.press("enter")
        await see(pilot, "Strike out")
        await pilot.press(*"dirt", "enter")
        await see(pilot, "struck: dirt", "not checked this season")
    data = tomllib.loads((logbook_folder / "logbook.toml").read_text(encoding="utf-8"))
    assert data["checks"][0]["readings"] == ["0.00 mm", "-0.01 mm"]
    assert data["checks"][0]["struck"] == "dirt"
    assert check_logbook(logbook_folder, today()) == ()


async def test_a_slip_of_the_unit_in_a_check_is_asked_about(logbook_folder: Path) -> None:
    """An inch reading of a bore in mm: said once, and Enter once more would keep it."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("s")
        await see(pilot, "▇▄ not checked")
        await pilot.press("down", "enter")
        await see(pilot, "Its checks say")
        await pilot.press("k")
        await see(pilot, "Check of blue caliper")
        await pilot.press("right", "enter", *"0.787", "enter", *"20.00", "ctrl+s")
        await see(pilot, "a slip of the unit or a finger?")


async def test_jaws_correct_what_is_typed_and_both_are_shown(logbook_folder: Path) -> None:
    """A jaw width of 1 mm: the round shows the mean as read and corrected, and that the caliper is not checked."""
    path = logbook_folder / "logbook.toml"
    text = path.read_text(encoding="utf-8").replace('id = "blue"', 'id = "blue"\njaw_width = "1.0 mm"', 1)
    path.write_text(text, encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(80, 30)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m")
        await see(pilot, "Who measures", "▇▄ not checked")
        await pilot.press("ctrl+s")
        await see(pilot, "12, near face")
        await type_in(pilot, "19.40")
        await until(pilot, lambda: "mean 19.426 mm, read 19.400 mm, jaws corrected" in screen_text(pilot))
        await see(pilot, "not checked this season")


async def test_a_zero_is_typed_on_the_way_into_a_round(logbook_folder: Path) -> None:
    """Closed, it shows 0.00: one field of the round's form, one check on disk, and nothing is widened."""
    async with app_over(logbook_folder).run_test(size=(80, 30)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m")
        await see(pilot, "Caliper closed shows")
        await pilot.press("up", *["down"] * 4, *"19.42", "ctrl+s")
        await see(pilot, "A closed caliper shows about 0")
        await pilot.press(*["backspace"] * 5, *"0.00", "ctrl+s")
        await see(pilot, "12, near face")
        await type_in(pilot, "19.40")
        await until(pilot, lambda: "Largest" in screen_text(pilot))
        assert "not checked" not in screen_text(pilot)
    data = tomllib.loads((logbook_folder / "logbook.toml").read_text(encoding="utf-8"))
    assert (data["checks"][0]["kind"], data["checks"][0]["readings"]) == ("zero", ["0.00 mm"])
