"""The other screens: first run, fleet, machine, hole, entries, problems, setup, help; by keys alone."""

import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldlog.app.ahead import Sender, spawned
from fieldlog.store.files import sample_folder, throwaway_copy
from fieldlog.store.reader import check_logbook
from tests.tui.support import app_over, round_text, screen_text, see, today, type_in, until

SIZES = [(80, 24), (60, 20)]


@pytest.mark.parametrize("size", SIZES)
async def test_starting_a_logbook_leads_to_the_first_hole(tmp_path: Path, size: tuple[int, int]) -> None:
    """From nothing to a reading on disk with keys alone, and the files check clean."""
    home = tmp_path / "shop"
    async with app_over(None, home).run_test(size=size) as pilot:
        await see(pilot, "There is no logbook here yet", "Start one in")
        await pilot.press("enter")
        await see(pilot, "Who measures")
        await pilot.press("enter", "enter", *"Ada", "enter", "enter", "enter")
        await see(pilot, "New machine")
        await type_in(pilot, "Old loader", "loader", "", "", "")
        await see(pilot, "New joint")
        await type_in(pilot, "Bucket pin", "", "1 in", "", "left ear", "")
        await see(pilot, "Hour meter", "chocked")
        await pilot.press(*["enter"] * 6)
        await see(pilot, "12, near face")
        await type_in(pilot, "25.90")
        await see(pilot, "25.90", "1:30, near face")
    assert 'size = "25.90 mm"' in round_text(home, "old-loader")
    assert check_logbook(home, today()) == ()


@pytest.mark.parametrize("size", SIZES)
async def test_the_sample_can_be_walked_from_what_is_due_to_the_single_reading(size: tuple[int, int]) -> None:
    """Fleet, machine, hole, the entries of a day: Enter all the way down, escape all the way back."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=size) as pilot:
            await see(pilot, "What needs doing", "▇▇ stop")
            await pilot.press("enter")
            await see(pilot, "▇▇ stop", "Next:")
            await pilot.press("down", "enter")
            await see(pilot, "wear drawn")
            await pilot.press("end", "enter")
            await see(pilot, "Entries:")
            await pilot.press("escape", "escape", "escape")
            await see(pilot, "What needs doing")


async def test_nothing_of_the_sample_is_changed_by_looking(tmp_path: Path) -> None:
    """The demo works on a copy that is gone afterwards."""
    before = {path: path.read_bytes() for path in sample_folder().rglob("*.toml")}
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing")
            await pilot.press("enter", "w")
            await see(pilot, "Wear seen")
            await pilot.press("d", "enter", "enter", "enter")
            await until(pilot, lambda: "Wear seen" not in screen_text(pilot))
    assert not folder.exists()
    assert {path: path.read_bytes() for path in sample_folder().rglob("*.toml")} == before


async def test_an_entry_is_struck_and_kept_again_from_the_list(logbook_folder: Path) -> None:
    """Strike, then strike the strike: the reading counts again, and all three entries stand in the file."""
    rounds = logbook_folder / "grey" / "rounds"
    rounds.mkdir()
    text = 'format = 1\ndate = 2024-03-04\nwho = "ada"\n\n[[bore]]\nhole = "used"\nsize = "19.42 mm"\nclock = "12"\n'
    (rounds / "2024-03-04-ada.toml").write_text(text + 'at = "09:00:00"\n', encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("down", "enter")
        await see(pilot, "History")
        await pilot.press("enter")
        await see(pilot, "19.42 mm at 12")
        await pilot.press("enter", *"burr", "enter")
        await see(pilot, "struck by ada", "burr")
        await pilot.press("enter", *"no burr", "enter")
        await until(pilot, lambda: "struck by" not in screen_text(pilot))
    strikes = tomllib.loads(round_text(logbook_folder))["strike"]
    assert [strike["why"] for strike in strikes] == ["burr", "no burr"]
    assert strikes[0]["of"] == "2024-03-04-ada 09:00:00"


async def test_a_joint_is_corrected_on_screen_and_its_comment_stays(logbook_folder: Path) -> None:
    """Editing by hand and on screen live side by side."""
    path = logbook_folder / "grey" / "machine.toml"
    path.write_text(f"# kept by hand\n{path.read_text(encoding='utf-8')}", encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("c")
        await see(pilot, "Correct Top link")
        await pilot.press("enter", "enter", *"3/4", "ctrl+s")
        await see(pilot, "Pin: 3/4 in")
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# kept by hand\n")
    assert tomllib.loads(text)["joints"][0]["pin"] == "3/4 in"


async def test_an_edit_from_outside_is_seen_on_coming_back(logbook_folder: Path) -> None:
    """A pin typed into the file with an editor shows on the machine's page."""
    path = logbook_folder / "grey" / "machine.toml"
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        text = path.read_text(encoding="utf-8").replace('name = "Top link"', 'name = "Top link"\npin = "19 mm"', 1)
        path.write_text(text, encoding="utf-8")
        await pilot.press("enter")
        await see(pilot, "Pin: 19 mm")


async def test_a_hole_a_link_and_a_limit_are_added_on_screen(logbook_folder: Path) -> None:
    """Each lands in machine.toml and the files check clean."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("a")
        await see(pilot, "Add to Grey tractor")
        await pilot.press("enter")
        await see(pilot, "New hole")
        await type_in(pilot, "third", "", "", "", "3", "3", "")
        await see(pilot, "third (3 of 3)")
        await pilot.press("a")
        await see(pilot, "Add to Grey tractor")
        await pilot.press("left", "enter")
        await see(pilot, "New limit")
        await type_in(pilot, "", "", "1.0 mm", "1.5 mm", "manual, page 4-12")
        await until(pilot, lambda: "New limit" not in screen_text(pilot))
    data = tomllib.loads((logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))
    assert data["holes"][2]["number"] == 3
    assert data["limits"][0]["origin"] == "manual, page 4-12"
    assert check_logbook(logbook_folder, today()) == ()


async def test_work_done_is_written_down(logbook_folder: Path) -> None:
    """d, choose re-bushed by its letter, keep."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("d")
        await see(pilot, "Work done")
        await pilot.press("r", "enter", "enter", "enter", "enter")
        await until(pilot, lambda: "[[event]]" in round_text(logbook_folder))
    event = tomllib.loads(round_text(logbook_folder))["event"][0]
    assert (event["deed"], event["joint"]) == ("re-bushed", "top")


async def test_problems_beside_the_rounds_are_counted_too(logbook_folder: Path) -> None:
    """An offer that cannot be read is in the first page's count, not waited for; so is mending it."""
    offer = logbook_folder / "offers" / "short.toml"
    offer.parent.mkdir()
    offer.write_text('format = 1\nname = "Short"\nclosed = "long"\n', encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor", "1 problem in the files; ! lists them")
        await pilot.press("exclamation_mark")
        await see(pilot, "offers/short.toml:3")
        offer.write_text('format = 1\nname = "Short"\nclosed = "500 mm"\n', encoding="utf-8")
        await pilot.press("escape")
        await see(pilot, "What needs doing")
        await until(pilot, lambda: "1 problem" not in screen_text(pilot))


async def test_what_lies_beside_the_rounds_is_counted_once(
    logbook_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On the way back to the first page nothing is counted anew unless its files changed."""
    started: list[str] = []

    def starting(code_for: Callable[[int], str]) -> Sender | None:
        started.append(code_for(0))
        return spawned(code_for)

    monkeypatch.setattr("fieldlog.app.beside.spawned", starting)
    monkeypatch.setattr("fieldlog.tui.screens.fleet._COUNT_AFTER_S", 0.01)
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await until(pilot, lambda: len(started) == 1)
        await pilot.press("r")
        await see(pilot, "Rates of wear")
        await pilot.press("escape")
        await see(pilot, "What needs doing")
        await pilot.pause(0.3)
        assert len(started) == 1
        (logbook_folder / "offers").mkdir()
        (logbook_folder / "offers" / "short.toml").write_text("format = 1\nclosed = 5\n", encoding="utf-8")
        await pilot.press("r")
        await see(pilot, "Rates of wear")
        await pilot.press("escape")
        await see(pilot, "in the files; ! lists them")
    assert len(started) == 2


async def test_problems_are_listed_and_hide_nothing(logbook_folder: Path) -> None:
    """A broken record is named with file and line; the machine still shows."""
    path = logbook_folder / "grey" / "machine.toml"
    path.write_text(path.read_text(encoding="utf-8") + '\n[[holes]]\nid = "bad"\njoint = "nowhere"\n', encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor", "1 problem in the files")
        await pilot.press("!")
        text = await see(pilot, "grey/machine.toml:", "nowhere")
    assert "known are" in text


async def test_people_and_instruments_are_added(logbook_folder: Path) -> None:
    """s, a, an instrument."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("s")
        await see(pilot, "blue caliper")
        await pilot.press("a")
        await see(pilot, "an instrument")
        await pilot.press("enter")
        await see(pilot, "Smallest step")
        await type_in(pilot, "red caliper", "", "0.0005 in")
        await pilot.press("ctrl+s")
        await see(pilot, "red caliper", "step 0.0005 in")
    data = tomllib.loads((logbook_folder / "logbook.toml").read_text(encoding="utf-8"))
    assert data["instruments"][1]["resolution"] == "0.0005 in"


async def test_names_with_markup_and_controls_are_shown_harmless(logbook_folder: Path) -> None:
    """Markup is text, an escape sequence is spelled out."""
    path = logbook_folder / "grey" / "machine.toml"
    text = path.read_text(encoding="utf-8").replace('name = "Grey tractor"', 'name = "[red]Gr\\u001b[2Jey[/]"', 1)
    path.write_text(text, encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "[red]Gr\\x1b")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12), (200, 60), (20, 5)])
async def test_every_size_of_window_is_survived(size: tuple[int, int]) -> None:
    """The sample opens, a machine and a hole open, at any size."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=size) as pilot:
            await until(pilot, lambda: bool(screen_text(pilot).strip()))
            await pilot.press("enter", "enter", "escape", "down", "enter")
            await pilot.resize_terminal(60, 20)
            await see(pilot, "esc back")


async def test_every_key_of_the_footer_is_explained_in_help(logbook_folder: Path) -> None:
    """Footer and help are made from one list."""
    from fieldlog.tui import commands

    async with app_over(logbook_folder).run_test(size=(100, 40)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("question_mark")
        text = await see(pilot, "Keys of this screen", "they win")
    for command in commands.FLEET:
        assert command.shown in text
        assert command.help.split(".")[0][:20] in text


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_help_shows_what_the_manual_says_of_the_page(logbook_folder: Path, size: tuple[int, int]) -> None:
    """Below the keys of the hitch stands the manual's topic of the hitch, whole, no line cut at the screen's edge."""
    from fieldlog.manual import topics

    async with app_over(logbook_folder).run_test(size=size) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("h")
        await see(pilot, "what if")
        await pilot.press("question_mark")
        await see(pilot, "Keys of this screen", "below: manual, hitch", "Choose what to change")
        await pilot.press("end")
        last = [row.text for row in topics.rows("hitch", size[0] - 4) if row.text][-1]
        await see(pilot, last)
        await pilot.press("escape")
        await see(pilot, "what if")


async def test_a_list_that_goes_on_says_so() -> None:
    """At 60x20 the machines do not all fit; the edge of the list says there is more, and End shows the rest."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(60, 20)) as pilot:
            await see(pilot, "What needs doing", "v more")
            await pilot.press("end")
            await see(pilot, "Yard tractor", "^ more")


async def test_a_machine_that_vanishes_while_it_is_shown_is_said(logbook_folder: Path) -> None:
    """The hole's page says so instead of failing, and the way back stays open."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("down", "enter")
        await see(pilot, "No reading yet")
        (logbook_folder / "grey").rename(logbook_folder.parent / "elsewhere")
        await pilot.press("question_mark")
        await see(pilot, "Keys of this screen")
        await pilot.press("escape")
        await see(pilot, "not in the files any more")
        await pilot.press("escape", "escape")
        await see(pilot, "What needs doing")


async def test_a_hole_opens_at_its_dial_and_scrolls_down_to_its_history() -> None:
    """At 60x20 the page is longer than the screen; it begins at the top, and Down goes through it."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(60, 20)) as pilot:
            await see(pilot, "What needs doing")
            await pilot.press("enter")
            await see(pilot, "Next:")
            await pilot.press("down", "enter")
            text = await see(pilot, "wear drawn", "v more")
            assert "12" in text.splitlines()[2]
            for _ in range(40):
                if "> 31 Oct 2026" not in screen_text(pilot):
                    await pilot.press("down")
            await see(pilot, "History, newest first", "> 31 Oct 2026", "^ more")


async def test_an_edit_of_logbook_toml_from_outside_is_seen_on_the_fleet_page(logbook_folder: Path) -> None:
    """A new name, and inches first, typed with an editor while another page is open."""
    path = logbook_folder / "logbook.toml"
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Test book")
        await pilot.press("enter")
        await see(pilot, "link end")
        text = (
            path.read_text(encoding="utf-8").replace("Test book", "Other name").replace('units = "mm"', 'units = "in"')
        )
        path.write_text(text, encoding="utf-8")
        await pilot.press("escape")
        await see(pilot, "Other name")


async def test_a_suggestion_gives_way_to_the_first_letter_typed(tmp_path: Path) -> None:
    """A stranger types over it; backspace edits it instead."""
    async with app_over(None, tmp_path / "book").run_test(size=(80, 24)) as pilot:
        await see(pilot, "Start one in")
        await pilot.press("enter")
        await see(pilot, "Field logbook")
        await pilot.press(*"Pond")
        text = await see(pilot, "Pond")
        assert "Field logbook" not in text
        await pilot.press("enter", "enter", *"Ada", "enter", "backspace", "s")
        await see(pilot, "calipes")
