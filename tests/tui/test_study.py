"""A gauge study with real keys: trial after trial, blind, then the result."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from fieldlog.records.checks import next_slot
from fieldlog.store.studies import read_studies
from tests.tui.support import app_over, see, type_in


def asked_for(folder: Path) -> str:
    """The digits of the hole that the next trial is about."""
    slot = next_slot(read_studies(folder)[0][0])
    assert slot is not None
    return slot.hole.removeprefix("ring ")


async def planned(pilot: Pilot[int]) -> None:
    """Plan a study of one person, two holes, two trials."""
    await see(pilot, "Grey tractor")
    await pilot.press("s")
    await see(pilot, "none yet: g starts one")
    await pilot.press("g")
    await see(pilot, "mark one line across each")
    await pilot.press("enter", "enter")
    await type_in(pilot, "ring 20, ring 25")
    await pilot.press("backspace", "2", "enter")
    await see(pilot, "ada measures ring 2", "Time 1 of 2", "0 of 4 trials")


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_study_is_filled_and_says_what_these_hands_can_tell(
    logbook_folder: Path, size: tuple[int, int]
) -> None:
    """Four numbers and Enter; then the result in plain words."""
    async with app_over(logbook_folder).run_test(size=size) as pilot:
        await planned(pilot)
        for hundredth in (1, 2, 4, 6):
            await type_in(pilot, f"{asked_for(logbook_folder)}.0{hundredth}")
            await see(pilot, {1: "1 of 4", 2: "2 of 4", 4: "3 of 4", 6: "finished"}[hundredth])
        text = await see(pilot, "is not yet wear", "another person")
    assert "0 of 4" not in text


async def test_a_slip_is_asked_about_and_the_last_trial_can_be_typed_again(logbook_folder: Path) -> None:
    """Both stay on file; what was read before is not shown while measuring."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await planned(pilot)
        await type_in(pilot, f"{asked_for(logbook_folder)}.01")
        await see(pilot, "1 of 4 trials", "Kept: ada")
        await pilot.press("u")
        await see(pilot, "Time 1 of 2")
        await type_in(pilot, "3/0")
        await see(pilot, "is divided in")
        await pilot.press("backspace", "backspace", "backspace")
        await type_in(pilot, "27.02")
        await see(pilot, "Kept: ada", "27.02")
    study = read_studies(logbook_folder)[0][0]
    assert [trial.number for trial in study.readings] == [1, 1]
