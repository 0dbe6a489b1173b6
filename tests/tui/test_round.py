"""The round, with real keys: numbers go in one after another and are on disk before the next."""

import tomllib
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.support import app_over, round_text, screen_text, see, today, type_in, until


async def start_round(pilot: Pilot[int], hours: str = "412.5") -> None:
    """Open the round on the only machine and fill its form."""
    await see(pilot, "Grey tractor")
    await pilot.press("m")
    await see(pilot, "Who measures", "chocked")
    await pilot.press("enter", "enter", *hours, "ctrl+s")
    await see(pilot, "12, near face")


async def test_a_caliper_that_types_needs_only_digits_and_enter(logbook_folder: Path) -> None:
    """Eight numbers fill four lines twice, and each is in the file as typed with its unit."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42", "19.71", "19.95", "19.64", "19.44", "19.70", "19.96", "19.65")
        await see(pilot, "12, far face")
        bores = tomllib.loads(round_text(logbook_folder))["bore"]
    assert [bore["size"] for bore in bores][:4] == ["19.42 mm", "19.71 mm", "19.95 mm", "19.64 mm"]
    assert [bore["clock"] for bore in bores] == ["12", "1:30", "3", "4:30"] * 2
    assert len({bore["at"] for bore in bores}) == 8


async def test_after_each_reading_the_screen_says_what_the_hole_is(logbook_folder: Path) -> None:
    """Ovality 0.53 and its axis are those of the project's worked example of four lines."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42", "19.71", "19.95", "19.64")
        text = await see(pilot, "Largest", "Smallest", "Oval by 0.53")
    assert "long axis 3-9" in text
    assert "by its pin, limit 1.44 mm" in text  # 8 % of an 18 mm pin, the usual practice: it may be that one too
    assert any(sign in text for sign in ("__ sound", ":. re-measure", "== plan"))
    assert "worn size" in text
    assert "identity size" in text
    assert "19 mm or 3/4 in" in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0.76.0", "is not a size"),
        ("3/0", "is divided in"),
        ("12/13/14", "is not a size"),
        ("0.755", "did you mean 0.755 in"),
        ("0", "a hole has a size"),
        ("201 mm", "at most 200 mm"),
    ],
)
async def test_what_is_no_hole_is_refused_with_what_would_be_accepted(
    logbook_folder: Path, typed: str, said: str
) -> None:
    """A slip is answered at once, stays on the line to be mended, and nothing is written."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, typed)
        await until(pilot, lambda: said in " ".join(screen_text(pilot).split()))
        assert f"> {typed}" in screen_text(pilot)
        assert "[[bore]]" not in round_text(logbook_folder)


async def test_the_next_number_of_a_caliper_that_types_does_not_join_a_refused_one(logbook_folder: Path) -> None:
    """A digit after a refusal begins another number; a unit goes on with the refused one."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "0.755")
        await see(pilot, "did you mean", "> 0.755")
        await type_in(pilot, "19.42")
        await until(pilot, lambda: "19.42 mm" in round_text(logbook_folder))
        await type_in(pilot, "0.768")
        await see(pilot, "did you mean", "> 0.768")
        await pilot.press("space", "i", "n", "enter")
        await until(pilot, lambda: "0.768 in" in round_text(logbook_folder))
        sizes = [bore["size"] for bore in tomllib.loads(round_text(logbook_folder))["bore"]]
    assert sizes == ["19.42 mm", "0.768 in"]


async def test_a_size_below_zero_cannot_hide_behind_a_command(logbook_folder: Path) -> None:
    """A minus sign is no letter, so it is typed and refused."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "-0.5")
        await see(pilot, "below zero")


async def test_typing_the_unit_insists(logbook_folder: Path) -> None:
    """0.755 in is taken in a millimetre logbook."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "0.755 in")
        await see(pilot, "1:30, near face")
        assert 'size = "0.755 in"' in round_text(logbook_folder)


async def test_two_crossed_lines_say_that_an_oval_can_hide(logbook_folder: Path) -> None:
    """12 and 3 alone never read as round."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42")
        await see(pilot, "1:30, near face")
        await pilot.press("down")
        await see(pilot, "3, near face")
        await type_in(pilot, "19.95")
        text = " ".join((await see(pilot, "Largest", "19.95")).split())
    assert "oval" in text.lower()
    assert "Oval by" not in text
    assert "Round within error" not in text


async def test_leaving_and_coming_back_goes_on_where_the_round_stood(logbook_folder: Path) -> None:
    """A new program over the same folder asks nothing and stands at the third line."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42", "19.71")
        await see(pilot, "3, near face")
    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m")
        text = await see(pilot, "3, near face")
    assert "19.42" in text
    assert "19.71" in text


async def test_undo_is_a_strike_with_a_reason(logbook_folder: Path) -> None:
    """The reading stays in the file, a strike names it, and the line is asked for again."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await type_in(pilot, "19.42", "29.71")
        await see(pilot, "3, near face")
        await pilot.press("u")
        await see(pilot, "Strike 29.71 mm")
        await pilot.press("enter")
        await see(pilot, "1:30, near face", "Struck")
        data = tomllib.loads(round_text(logbook_folder))
    assert [bore["size"] for bore in data["bore"]] == ["19.42 mm", "29.71 mm"]
    assert data["strike"][0]["of"] == data["bore"][1]["at"]
    assert data["strike"][0]["why"] == "mistyped"


async def test_a_meter_that_ran_backwards_is_flagged_and_can_be_insisted_on(logbook_folder: Path) -> None:
    """The form says so once; keeping it again writes the hours."""
    rounds = logbook_folder / "grey" / "rounds"
    rounds.mkdir()
    old = 'format = 1\ndate = 2024-03-04\nwho = "ada"\n\n[[meter]]\nhours = 500\nat = "09:00:00"\n'
    (rounds / "2024-03-04-ada.toml").write_text(old, encoding="utf-8")
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("m")
        await see(pilot, "Who measures")
        await pilot.press("enter", "enter", *"480", "ctrl+s")
        await see(pilot, "does not run backwards")
        await pilot.press("ctrl+s")
        await see(pilot, "12, near face")
        assert "hours = 480" in round_text(logbook_folder)


async def test_wear_is_noted_without_leaving_the_hole(logbook_folder: Path) -> None:
    """w, the first letter of crack, three Enters: a note on this hole, and the machine stops."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press("w")
        await see(pilot, "Wear seen")
        await pilot.press("c", "enter", "enter", "enter")
        await see(pilot, "Kept.")
        note = tomllib.loads(round_text(logbook_folder))["note"][0]
        assert note["signs"] == ["crack"]
        assert note["hole"] == "used"
        await pilot.press("escape")
        await see(pilot, "▇▇ stop")


async def test_pins_and_links_are_measured_on_the_same_walk(logbook_folder: Path) -> None:
    """The pin comes after its holes; a tape pair gives the pin-to-pin length without any hole measured."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        await pilot.press("tab", "tab")
        await see(pilot, "worn band at 12")
        await type_in(pilot, "19.02", "19.00", "19.04")
        await see(pilot, "Worn band", "Worn off the pin")
        await pilot.press("tab")
        await see(pilot, "closed, outside to outside")
        await type_in(pilot, "22 3/4", "21 1/4")
        text = await see(pilot, "Closed, pin to pin")
        data = tomllib.loads(round_text(logbook_folder))
    assert "558.8" in text or "559" in text  # (22.75 + 21.25) / 2 in
    assert [pin.get("place", "worn") for pin in data["pin"]] == ["worn", "worn", "unworn"]
    assert data["length"][0]["size"] == "22 3/4 in"


async def test_a_full_disk_says_so_and_keeps_the_number_on_the_line(
    logbook_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What cannot be written is not shown as kept."""
    from fieldlog.errors import StoreError

    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)

        def full(*_: object) -> None:
            raise StoreError("The disk is full. Nothing that was accepted before is lost.")

        monkeypatch.setattr("fieldlog.store.rounds.append_entry", full)
        await type_in(pilot, "19.42")
        text = await see(pilot, "The disk is full")
    assert "> 19.42" in text
    assert "Largest" not in text


async def test_numbers_typed_on_a_full_disk_stay_apart_and_are_kept_in_order(
    logbook_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A caliper types on: each number waits for itself, no other line can be chosen, and Enter keeps them all."""
    from fieldlog.errors import StoreError
    from fieldlog.store.rounds import append_entry

    def full(*_: object) -> None:
        raise StoreError("The disk is full.")

    async with app_over(logbook_folder).run_test(size=(60, 20)) as pilot:
        await start_round(pilot)
        monkeypatch.setattr("fieldlog.store.rounds.append_entry", full)
        await type_in(pilot, "19.42", "19.71")
        await pilot.press(*"20.1")
        await see(pilot, "> 19.42  19.71  20.1")
        await pilot.press("down", "tab")
        await see(pilot, "Not kept yet", "12, near face")
        await pilot.press("enter")
        await see(pilot, "The disk is full.", "> 19.42  19.71  20.1")
        monkeypatch.setattr("fieldlog.store.rounds.append_entry", append_entry)
        await pilot.press("enter")
        await see(pilot, "4:30, near face")
    assert [bore["size"] for bore in tomllib.loads(round_text(logbook_folder))["bore"]] == [
        "19.42 mm", "19.71 mm", "20.1 mm",
    ]  # fmt: skip


async def test_a_machine_folder_that_vanishes_is_said_in_a_sentence(logbook_folder: Path) -> None:
    """The program lives on."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
        (logbook_folder / "grey").rename(logbook_folder.parent / "elsewhere")
        await type_in(pilot, "19.42")
        await see(pilot, "is gone")


async def test_the_round_file_is_named_for_day_and_person(logbook_folder: Path) -> None:
    """Each writer has a file of his own."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await start_round(pilot)
    assert (logbook_folder / "grey" / "rounds" / f"{today().isoformat()}-ada.toml").is_file()
