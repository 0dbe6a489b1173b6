"""Correcting a link leaves alone what its form does not ask for; the gaps have a form of their own."""

from pathlib import Path

from fieldlog.quantity.lengths import parse_length
from fieldlog.store.amend import Value, change_record
from fieldlog.store.reader import read_logbook, read_machine
from tests.tui.support import app_over, see, type_in, until


async def test_correcting_a_link_keeps_its_stop_and_its_gaps(logbook_folder: Path) -> None:
    """A new name, and the maker's stop and the gap typed before are still there."""
    changes: dict[str, Value | None] = {"stop_length": parse_length("730 mm"), "open_stop": "groove"}
    change_record(logbook_folder, "grey/machine.toml", "links", "link", changes)
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("o")
        await see(pilot, "No offer yet")
        await pilot.press("g")
        await see(pilot, "Gaps: Top link bar")
        await type_in(pilot, "46", "")
        await see(pilot, "No offer yet")
        await pilot.press("escape", "end", "up", "c")
        await see(pilot, "Correct Top link bar")
        await pilot.press("s", "ctrl+s")
        await until(pilot, lambda: "bars" in (logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))
    (link,) = read_machine(logbook_folder, "grey", read_logbook(logbook_folder).logbook).log.machine.links
    assert link.name == "Top link bars"
    assert link.stop_length == parse_length("730 mm")
    assert link.open_stop == "groove"
    assert link.near_gap == parse_length("46 mm")
    assert link.far_gap is None
