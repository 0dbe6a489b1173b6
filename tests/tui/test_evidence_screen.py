"""Other evidence on one key: typed in a line or by a form, on disk at once, struck by undo."""

import tomllib
from pathlib import Path

from tests.tui.support import app_over, round_text, see, type_in, until
from tests.tui.test_round import start_round


async def test_evidence_is_typed_in_the_round_and_undone_by_a_strike(logbook_folder: Path) -> None:
    """Two trials in a line are kept, u strikes the last, and back at the hole the readings go on."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press("e")
        await see(pilot, "Other evidence: Top link", "Tried in link end", "not known yet")
        await type_in(pilot, "19 goes, 20 no")
        await see(pilot, "19 mm pin goes, 20 mm pin no", "Kept.")
        await type_in(pilot, "19.4 maybe")
        await see(pilot, "does it go or not?", "> 19.4 maybe")
        await pilot.press(*["backspace"] * 10)
        await pilot.press("u")
        await see(pilot, "Strike 20 mm pin: no")
        await pilot.press("enter")
        await see(pilot, "its hole lets a 19 mm pin through")
        await pilot.press("escape")
        await see(pilot, "12, near face")
        await type_in(pilot, "19.42")
        await see(pilot, "1:30, near face")
    file = tomllib.loads(round_text(logbook_folder))
    assert [(t["size"], t["result"], t["hole"]) for t in file["trial"]] == [
        ("19 mm", "goes", "used"),
        ("20 mm", "no", "used"),
    ]
    assert [strike["of"] for strike in file["strike"]] == [file["trial"][1]["at"]]


async def test_a_form_asks_by_choices_and_facts_go_into_the_machine_s_file(logbook_folder: Path) -> None:
    """Enter on the empty line opens the form; tab takes the other hole; a fact is no entry."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("down", "enter")
        await see(pilot, "link end")
        await pilot.press("e")
        await see(pilot, "Tried in spare (2 of 2)")
        await pilot.press("tab", "enter")
        await see(pilot, "pin tried in the hole")
        await pilot.press("s", "enter", *"19.5", "enter", "right", "enter", "enter")
        await see(pilot, "19.5 mm shank no")
        await type_in(pilot, "keeper cotter")
        await see(pilot, "kept by a cotter")
    (trial,) = tomllib.loads(round_text(logbook_folder))["trial"]
    assert (trial["hole"], trial["by"], trial["result"]) == ("used", "shank", "no")
    machine = tomllib.loads((logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))
    assert machine["joints"][0]["keeper"] == "cotter"


async def test_a_contradiction_is_said_at_the_hole(logbook_folder: Path) -> None:
    """A 20 mm pin through a hole that reads 19.42: both sides, and what would settle it, when it is typed."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42", "19.43", "19.42", "19.44")
        await pilot.press("e")
        await see(pilot, "Tried in link end")
        await type_in(pilot, "20 goes")
        await see(pilot, "A 20 mm pin went through link end, which reads 19.4", "measure the hole again")
        await pilot.press("escape")
        await see(pilot, "! A 20 mm pin went through")


async def test_a_link_has_no_evidence_of_a_pin(logbook_folder: Path) -> None:
    """At a link the key says where to go."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press("shift+tab")
        await until(pilot, lambda: pilot.app.focused is not None)
        await see(pilot, "outside")
        await pilot.press("e")
        await see(pilot, "go to one of its holes or its pin")
