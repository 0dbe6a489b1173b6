"""The link page and the link's stop in the round, with real keys."""

import tomllib
from pathlib import Path
from typing import cast

import pytest
from textual.pilot import Pilot

from fieldlog.pages.machine import LinkRow
from fieldlog.store.files import throwaway_copy
from fieldlog.tui.app import LogbookApp
from fieldlog.tui.widgets.lines import LineList
from tests.tui.support import app_over, round_text, screen_text, see, type_in, until
from tests.tui.test_round import start_round


async def open_sample_link(pilot: Pilot[int], name: str) -> None:
    """Open one of the hill tractor's links from the machine's list."""
    await see(pilot, "Front axle pivot")
    await pilot.press("down", "enter")
    await see(pilot, "Hill tractor, compact tractor")
    links = [report.link for report in cast("LogbookApp", pilot.app).session.state("hill-tractor").links]
    wanted = next(link.id for link in links if link.name == name)
    pilot.app.screen.query_one(LineList).show(pilot.app.screen.query_one(LineList).lines, LinkRow(wanted))
    await until(pilot, lambda: any(row.startswith(">") and name in row for row in screen_text(pilot).splitlines()))
    await pilot.press("enter")


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_link_in_the_list_opens_its_page(size: tuple[int, int]) -> None:
    """What to do comes first, the caution stands there, the lengths follow; r shows the readings."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=size) as pilot:
            await open_sample_link(pilot, "Right lift rod")
            text = await see(pilot, "▄▄ plan", "Right lift rod", "Next: Keep it at", "manual wins", "Pin to pin")
            assert all(len(row) <= size[0] for row in text.splitlines())
            await pilot.press(*["down"] * 14)
            await see(pilot, "Open to", "at the upper end")
            await pilot.press("r")
            await see(pilot, "Entries: Right lift rod", "of thread out")


async def test_the_page_of_a_link_leads_to_its_holes() -> None:
    """Enter on a hole opens it, at the end of the text."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 60)) as pilot:
            await open_sample_link(pilot, "Top link")
            text = await see(pilot, "In at the implement end", "42 turns make 252", "degrees of pitch", "G groove")
            assert "#####" in text
            await pilot.press("home", "enter")
            await see(pilot, "Top link, tractor end, ball")


async def test_a_threads_form_writes_the_link_and_keeps_the_rest(logbook_folder: Path) -> None:
    """Size, hands and lengths; what is no thread is refused on the line; a correction of the link keeps them."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("end", "enter")
        await see(pilot, "Top link bar")
        await pilot.press("end", "up", "enter")
        await see(pilot, "Next: Tape it closed and open")
        await pilot.press("t")
        await see(pilot, "Thread: Top link bar")
        await type_in(pilot, "M23")
        await see(pilot, "no M23 is listed")
        await pilot.press(*["backspace"] * 3)
        await type_in(pilot, "M24x3")
        await pilot.press("r", "enter", "l", "enter")
        await type_in(pilot, "150", "150")
        await pilot.press("ctrl+s")
        await see(pilot, "M24x3: 24 mm, pitch 3 mm", "6 mm a turn")
        await pilot.press("c")
        await see(pilot, "Correct Top link bar")
        await type_in(pilot, "s")
        await pilot.press("ctrl+s")
        await see(pilot, "Top link bars")
        link = tomllib.loads((logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))["links"][0]
    assert link["name"] == "Top link bars"
    assert (link["thread"], link["near_hand"], link["far_hand"]) == ("M24x3", "right", "left")
    assert (link["near_thread"], link["far_thread"]) == ("150 mm", "150 mm")


async def test_at_a_link_every_way_is_an_arrow_away(logbook_folder: Path) -> None:
    """Turns with one press up, thread that stands out, a mark instead of the hook; all on disk as typed."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press("tab", "tab", "tab")
        await see(pilot, "closed, outside to outside", "nobody under or behind it")
        await type_in(pilot, "678 from 100", "538")
        await see(pilot, "Closed, pin to pin")
        await pilot.press("s", "s", "s", "s", "s")
        await see(pilot, "turns from closed to open", "such as 42 1/2", "h hole", "s screw")
        await type_in(pilot, "many")
        await see(pilot, "is no count of turns")
        await pilot.press(*["backspace"] * 4)
        await type_in(pilot, "42 1/2")
        await pilot.press("s")
        await see(pilot, "open, thread standing out, tractor or upper end")
        await type_in(pilot, "0")
        await until(pilot, lambda: "[[thread]]" in round_text(logbook_folder))
        data = tomllib.loads(round_text(logbook_folder))
    assert (data["length"][0]["size"], data["length"][0]["start"]) == ("678 mm", "100 mm")
    assert data["turns"][0]["turns"] == 42.5
    assert data["thread"][0]["exposed"] == "0 mm"


async def test_another_hole_of_the_row_is_one_key_away() -> None:
    """H names the hole in the heading by its number from the tractor end, and in the file by its id."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await open_sample_link(pilot, "Left lift rod")
            await see(pilot, "Left lift rod")
            await pilot.press("m")
            await see(pilot, "Who measures")
            await pilot.press("ctrl+s")
            await see(pilot, "Left lift rod, length, hole 2 of 3 from the tractor end")
            await pilot.press("h")
            await see(pilot, "hole 1 of 3 from the tractor end")
            await type_in(pilot, "16", "14 3/8")
            await see(pilot, "Closed, forged eye to hole 1 of 3 from the tractor end: 385.8")
            data = tomllib.loads(round_text(folder, "hill-tractor"))
    assert [length["far_hole"] for length in data["length"]] == ["rod-1", "rod-1"]
