"""The hitch screen by keys alone: what is tried is shown and not stored, what is kept is written."""

import tomllib
from pathlib import Path

import pytest
from textual.pilot import Pilot

from fieldlog.store.files import throwaway_copy
from fieldlog.store.reader import check_logbook
from fieldlog.tui.screens.hitch import HitchScreen
from tests.tui.support import app_over, screen_text, see, today, until


def both_files(folder: Path) -> bytes:
    return (folder / "logbook.toml").read_bytes() + (folder / "hill-tractor" / "machine.toml").read_bytes()


def is_complete(pilot: Pilot[int]) -> bool:
    """Whether all machines are read, so that the rows stay where they are."""
    text = " ".join(screen_text(pilot).split())
    return "being read" not in text and "to be read" not in text


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_trying_a_hitch_stores_nothing(size: tuple[int, int]) -> None:
    """H on the machine, arrows, a typed length: the worked example's pitch at 800 mm, and the files as they were."""
    with throwaway_copy() as folder:
        before = both_files(folder)
        async with app_over(folder).run_test(size=size) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await until(pilot, lambda: is_complete(pilot))
            await pilot.press("down", "enter", "h")
            await see(pilot, "hitch with Power rake", "300 mm", "654 mm", "mast upright")
            await pilot.press("enter", *"800", "enter")
            await see(pilot, "800 mm", "-12.1")  # worked example: 654 at 800 mm
            await pilot.press("down", "enter", *"704", "enter")
            await see(pilot, "-4.4")
            await pilot.press("right", "r")
            await see(pilot, "mast upright")
            await pilot.press("i")
            await see(pilot, "hitch with Box blade")
        assert both_files(folder) == before


async def test_a_cylinder_on_offer_is_tried_in_the_links_place() -> None:
    """Its ends bound the link's length, and the worst is that of its whole range: 27 mm to the cab (worked example)."""
    with throwaway_copy() as folder:
        (folder / "offers").mkdir(exist_ok=True)
        text = 'format = 1\nname = "Zulu"\nclosed = "21 in"\nopen = "29 in"\n'
        (folder / "offers" / "zulu.toml").write_text(text, encoding="utf-8")
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await pilot.press("down", "enter", "h", "up", "left")
            await see(pilot, "cylinder      Zulu")
            await pilot.press("down", "enter", *"830", "enter", "down", "enter", *"500", "enter")
            await see(pilot, "533 mm", "cab only 27 mm")


async def test_all_numbers_and_the_way_back() -> None:
    """T shows the corners, escape comes back to the picture."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await pilot.press("down", "enter", "h", "t")
            await see(pilot, "Pitch (fore-aft)", "The four corners")
            await pilot.press("escape")
            await see(pilot, "what if")


async def test_holes_tried_are_kept_on_the_persons_word() -> None:
    """K writes the top link's, the mast's and the lift rod's hole, and in which one the heights were taped."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await until(pilot, lambda: is_complete(pilot))
            await pilot.press("down", "enter", "h")
            await see(pilot, "hitch with Power rake")
            await pilot.press("down", "down", "left", "down", "right", "down", "right", "k")
            await see(pilot, "Written down: top link in its top hole, lift rod in its rear hole", "tape both again")
        machine = tomllib.loads((folder / "hill-tractor" / "machine.toml").read_text(encoding="utf-8"))
        logbook = tomllib.loads((folder / "logbook.toml").read_text(encoding="utf-8"))
        assert machine["hitch"]["top_hole"] == "top"
        assert (machine["hitch"]["rod_hole"], machine["hitch"]["heights_hole"]) == ("rear", "middle")
        assert logbook["implements"][0]["mast_hole"] == "top"
        assert check_logbook(folder, today()) == ()


async def test_a_size_is_corrected_and_an_implement_added() -> None:
    """C lists what is measured; a wrong size is refused with what would do; a new implement gets its file entry."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await pilot.press("down", "enter", "h", "c")
            await see(pilot, "Pivots, links and lift", "10 of 10 measured")
            await pilot.press("enter")
            await see(pilot, "plumb line")
            await pilot.press("down", "down", *["backspace"] * 6, *"7900 mm", "enter")
            await see(pilot, "7900 mm cannot be right", "at most 2500 mm")
            await pilot.press(*["backspace"] * 7, *"31 in", "ctrl+s")
            await see(pilot, "10 of 10 measured")
            await pilot.press("a")
            await see(pilot, "Add to the hitch")
            await pilot.press("a", "a", "enter")
            await see(pilot, "New")
            text = screen_text(pilot)
        machine = tomllib.loads((folder / "hill-tractor" / "machine.toml").read_text(encoding="utf-8"))
        assert machine["hitch"]["lower_link"] == "31 in"
        assert "New" in text


async def test_a_machine_known_by_its_category_only_is_marked() -> None:
    """The other tractor: usual figures, said on the page."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            app = pilot.app
            app.push_screen(HitchScreen("yard-tractor"))
            await see(pilot, "Not measured, usual for category 1")
            app.push_screen(HitchScreen("small-loader"))
            await until(pilot, lambda: "No hitch is written down" in screen_text(pilot))


async def test_an_impossible_size_is_named_over_the_picture_and_the_rest_works() -> None:
    """A lower link of 79 m in the file: said with file and line; the usual figure stands in, marked."""
    with throwaway_copy() as folder:
        path = folder / "hill-tractor" / "machine.toml"
        text = path.read_text(encoding="utf-8").replace('lower_link = "790 mm"', 'lower_link = "79 m"')
        path.write_text(text, encoding="utf-8")
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            pilot.app.push_screen(HitchScreen("hill-tractor"))
            await see(pilot, "lower_link: 79 m cannot be right", "Not measured, usual for category 1: 1 figure")
            await pilot.press("right")
            await see(pilot, "325 mm")
