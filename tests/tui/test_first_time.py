"""What somebody sees who never saw the program: hints, counts and words are whole, and everything can be corrected."""

import tomllib
from pathlib import Path

import pytest
from textual import events

from fieldlog.errors import StoreError
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Joint, Limit, Link, Machine
from fieldlog.store.amend import add_machine, add_record, change_record
from fieldlog.store.reader import check_logbook
from fieldlog.tui.form import Field, FormScreen, words
from tests.tui.support import app_over, round_text, screen_text, see, today, type_in, until


async def test_a_complaint_of_a_form_goes_with_its_line(logbook_folder: Path) -> None:
    """What is missing is said on its line; the next line shows its own hint at once."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("n", "enter")
        await see(pilot, "Machine: needed.")
        await type_in(pilot, "Old loader")
        await see(pilot, "Such as compact tractor")
        assert "needed" not in screen_text(pilot)


async def test_a_choice_is_never_cut_and_says_what_it_offers(logbook_folder: Path) -> None:
    """The arrows stay, the count while it fits whole, and the words offered stand below; a form says how long it is."""
    choice = Field("a", "First", choices=words("short", "a word that is almost as wide", "n" * 60))
    fields = (choice, *(Field(f"f{n}", f"Line {n}") for n in range(20)))
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        pilot.app.push_screen(FormScreen("Form", fields[:1]))
        await see(pilot, "< short >   1 of 3, left/right")
        assert "line 1 of" not in screen_text(pilot)
        await pilot.press("right")
        await see(pilot, "< a word that is almost as wide >")
        assert "2 of" not in screen_text(pilot)
        await pilot.press("right")
        await see(pilot, "nn.. >")
        await pilot.press("escape")
        pilot.app.push_screen(FormScreen("Form", (Field("b", "Kind", choices=words("screw", "rigid")), *fields[1:])))
        await see(pilot, "Offered: screw, rigid.", "line 1 of 21")
        await pilot.press("enter", "enter")
        await see(pilot, "line 3 of 21")


async def test_a_logbook_in_inches_measures_in_inches(tmp_path: Path) -> None:
    """Caliper and tape of a logbook in inches read inches, so that a bare number on the tape is no millimetre."""
    async with app_over(None, tmp_path / "shop").run_test(size=(60, 20)) as pilot:
        await see(pilot, "There is no logbook here yet")
        await pilot.press("enter", "enter", "right", "enter", *"Ada", "ctrl+s")
        await see(pilot, "New machine")
    data = tomllib.loads((tmp_path / "shop" / "logbook.toml").read_text(encoding="utf-8"))
    assert [item["resolution"] for item in data["instruments"]] == ["0.0005 in", "1/16 in"]


async def test_the_machine_itself_and_its_limits_are_corrected_on_its_page(logbook_folder: Path) -> None:
    """The last lines of the page are the machine and its limits; a line says what takes an editor."""
    add_record(
        logbook_folder, "grey/machine.toml", "limits", Limit(parse_length("1 mm"), "manual, page 4", joint="top")
    )
    async with app_over(logbook_folder).run_test(size=(60, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "The machine itself", "limit, Top link: clearance, renew over 1 mm")
        await pilot.press("end", "up")
        await see(pilot, "take a part out, edit grey/machine.toml")
        await pilot.press("enter")
        await see(pilot, "Correct Grey tractor")
        while "> Hours next season" not in screen_text(pilot):
            await pilot.press("down")
        await pilot.press(*"320", "ctrl+s")
        await see(pilot, "320 h planned")
        await pilot.press("down", "c")
        await see(pilot, "Correct limit")
        await pilot.press("down", "down", "down", *["backspace"] * 4, *"1.2 mm", "ctrl+s")
        await see(pilot, "renew over 1.2 mm")
        await pilot.press("escape")
        await see(pilot, "What needs doing")
        await pilot.press("c")
        await see(pilot, "Correct Grey tractor", "320")
    data = tomllib.loads((logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))
    assert (data["planned_hours"], data["limits"][0]["renew"]) == (320, "1.2 mm")
    assert check_logbook(logbook_folder, today()) == ()


async def test_name_and_units_of_a_logbook_are_corrected(logbook_folder: Path) -> None:
    """s, Enter: inches first from then on."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("s")
        await see(pilot, "Test book, millimetres first", "real wear can be told from hands")
        await pilot.press("end", "enter")
        await see(pilot, "Units shown first")
        await pilot.press("down", "right", "ctrl+s")
        await see(pilot, "Test book, inches first")
    assert check_logbook(logbook_folder, today()) == ()


async def test_a_joint_and_a_link_of_one_id_are_two_lines(logbook_folder: Path) -> None:
    """Coming back from a link's page, the link is still the chosen line, though a joint has the same id."""
    joints, links = (Joint("top-link", "Top link"),), (Link("top-link", "Top link bar"),)
    add_machine(logbook_folder, Machine("a", "A tractor", "tractor", meter="none", joints=joints, links=links))
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "A tractor")
        await pilot.press("enter")
        await see(pilot, "Links, pin to pin")
        await pilot.press("down", "enter")
        await see(pilot, "Not written down yet; t writes it")
        await pilot.press("escape")
        await see(pilot, ">    Top link bar")


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_the_round_says_when_a_hole_is_done(logbook_folder: Path, size: tuple[int, int]) -> None:
    """With the last planned reading the count in the title goes up and the prompt says that Enter goes on."""
    async with app_over(logbook_folder).run_test(size=size) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m")
        await see(pilot, "Who measures")
        await pilot.press("ctrl+s")
        await see(pilot, "0 of 4 done", "(mm unless a unit is typed)")
        await type_in(pilot, *["19.42"] * 10)
        await see(pilot, "1 of 4 done", "3, far face, reading 2   (mm; done here, enter goes on)")


async def test_a_page_fills_a_window_that_grows(logbook_folder: Path) -> None:
    """After a very small window no row stays empty while lines are hidden above."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "Links, pin to pin")
        await pilot.press("end")
        await pilot.resize_terminal(40, 8)
        await until(pilot, lambda: "^ more" in screen_text(pilot))
        await pilot.resize_terminal(60, 30)
        await until(pilot, lambda: "^ more" not in screen_text(pilot))


async def test_a_whole_clipboard_is_no_list_of_readings(logbook_folder: Path) -> None:
    """A paste of a thousand lines is refused whole; one of a few is taken."""
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m", "ctrl+s")
        await see(pilot, "12, near face")
        pilot.app.post_message(events.Paste("19.42\n" * 1000))
        await see(pilot, "1000 lines at once are no list of readings; none was taken.")
        pilot.app.post_message(events.Paste("19.42\n19.43\n"))
        await see(pilot, "3, near face")
    assert round_text(logbook_folder).count("[[bore]]") == 2


async def test_what_was_typed_into_a_form_is_not_lost_when_the_disk_refuses(
    logbook_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same form opens with it once more; other forms, and the form after that, are empty."""

    def full(*_: object) -> None:
        raise StoreError("The disk is full.")

    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        with monkeypatch.context() as refusing:
            refusing.setattr("fieldlog.tui.actions.parts.store_machine", full)
            await pilot.press("n", *"Old loader", "enter", *"loader", "ctrl+s")
            await see(pilot, "The disk is full. What you typed comes back")
        await pilot.press("s", "a")
        await see(pilot, "< an instrument >")
        await pilot.press("escape", "escape", "n")
        await see(pilot, "New machine", "Old loader", "loader")
        await pilot.press("ctrl+s")
        await see(pilot, "New joint")
        assert "Old loader" not in screen_text(pilot)
        await pilot.press("escape", "escape", "end")
        await see(pilot, "> no joint yet  Old loader", "a adds its first joint and hole")
    assert (logbook_folder / "old-loader" / "machine.toml").is_file()


async def test_a_console_of_plain_ascii_gets_nothing_else(logbook_folder: Path) -> None:
    """Names of another script are filled with question marks as wide as they are; plus-minus is written out."""
    change_record(logbook_folder, "grey/machine.toml", "joints", "top", {"name": "上連結 é"})
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m", "ctrl+s")
        await see(pilot, "12, near face", "?????? ?, link end")
        await type_in(pilot, "19.42")
        text = await see(pilot, "19.42 +-0.")
        assert text.isascii()
        await pilot.press("escape", "enter")
        await see(pilot, "largest 19.42 +-0.")
        assert screen_text(pilot).isascii()


async def test_no_text_in_a_line_to_type_on_can_steer_the_terminal(logbook_folder: Path) -> None:
    """Control characters are left out of a paste; those in a file are shown as question marks and stay in the file."""
    name = "a\x1b[31mb\x9b1m\u202ec"
    change_record(logbook_folder, "grey/machine.toml", "joints", "top", {"name": name})
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter", "c")
        text = await see(pilot, "> Joint *                a?[31mb?1m?c")
        assert text.replace("\n", "").isprintable()
        await pilot.press("end")
        pilot.app.post_message(events.Paste("\x1b[7md\te\x00"))
        await see(pilot, "c[7md e")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: "Correct" not in screen_text(pilot))
    data = tomllib.loads((logbook_folder / "grey" / "machine.toml").read_text(encoding="utf-8"))
    assert data["joints"][0]["name"] == f"{name}[7md e"
