"""Wear over the seasons on screen: rates side by side, the bush question, a bush's wall."""

import tomllib
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.store.amend import add_machine
from fieldlog.store.files import throwaway_copy
from fieldlog.store.reader import check_logbook
from tests.tui.support import app_over, screen_text, see, today, type_in


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_rates_are_a_key_away_and_lead_to_the_joint(size: tuple[int, int]) -> None:
    """r, Enter: the finding of the fastest of its kind, with its trend."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=size) as pilot:
            await see(pilot, "What needs doing", "▇▇ stop")
            await pilot.press("r")
            await see(pilot, "Rates of wear, side by side", "Bushed joints on machines of the kind")
            await pilot.press("enter")
            await see(pilot, "Tilt cylinder, rod end", "Next:")
            await pilot.press("escape", "escape")
            await see(pilot, "What needs doing")


async def test_the_bush_question_and_the_wall_on_the_walk(logbook_folder: Path) -> None:
    """On a bushed hole: m is kept as a sign that stops the joint, the wall as a reading of its own."""
    hole = Hole("ear", "boom", "left ear", "bushed", bush_wall=parse_length("3 mm"))
    joint = Joint("boom", "Boom foot", "bushed", parse_length("30 mm"))
    add_machine(logbook_folder, Machine("a-loader", "A loader", "loader", meter="none", joints=(joint,), holes=(hole,)))
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "A loader")
        await pilot.press("m")
        await see(pilot, "Who measures")
        await pilot.press("ctrl+s")
        await see(pilot, "12, near face")
        await type_in(pilot, *["30.20"] * 10)
        await see(pilot, "Does the bush move in its bore?")
        await pilot.press("t")
        await see(pilot, "The bush sits tight: kept.")
        await pilot.press("m")
        await see(pilot, "The bush moves: kept. Stop using this joint.")
        await see(pilot, "▇▇ stop       Bush turns in its bore")
        for _ in range(9):
            if "wall of the bush" not in screen_text(pilot):
                await pilot.press("down")
        await see(pilot, "wall of the bush, thinnest")
        await type_in(pilot, "2.75")
        text = next((logbook_folder / "a-loader" / "rounds").glob("*.toml")).read_text(encoding="utf-8")
    data = tomllib.loads(text)
    assert [note["signs"] for note in data["note"]] == [["bush sits tight"], ["bush turns in its bore"]]
    assert [wall["size"] for wall in data["wall"]] == ["2.75 mm"]
    assert check_logbook(logbook_folder, today()) == ()
