"""Offers on the screen, by keys alone: ranked, kept in a few keys, typed in, measured, set aside, stale."""

import re
from pathlib import Path

import pytest
from textual.pilot import Pilot

from fieldlog.store.files import throwaway_copy
from fieldlog.store.offers import read_offers
from fieldlog.store.reader import check_logbook
from fieldlog.store.retrofits import read_retrofits
from tests.tui.support import app_over, screen_text, see, today, type_in, until


async def to_hill_tractor(pilot: Pilot[int]) -> None:
    """From the fleet to the machine with the hitch."""
    await see(pilot, "What needs doing", "Small loader")
    await pilot.press("down", "enter")
    await see(pilot, "Hill tractor, compact")


@pytest.mark.parametrize(("size", "link"), [((80, 24), "top-link"), ((60, 20), "lift-rod")])
async def test_a_recommendation_is_kept_in_under_twenty_keys(size: tuple[int, int], link: str) -> None:
    """From the machine's page: offers, the other link where that is meant, keep, who, own words."""
    keys = ["o", *(["right"] if link == "lift-rod" else []), "k", "enter", "enter"]
    with throwaway_copy() as folder:
        before = len(read_retrofits(folder, "hill-tractor").kept)
        async with app_over(folder).run_test(size=size) as pilot:
            await to_hill_tractor(pilot)
            for key in keys:
                await pilot.press(key)
                await until(pilot, lambda: True)
            await see(pilot, "Kept recommendation", "Why")
        kept = read_retrofits(folder, "hill-tractor").kept
        newest = next(item for item in kept if item.day == today())
        assert len(kept) == before + 1
        assert newest.link == link
        assert newest.reasons
        assert newest.basis
        assert any("no prop" in text for text in newest.cautions)
        assert check_logbook(folder, today()) == ()
    assert len(keys) < 20


async def test_the_list_shows_verdict_bar_and_what_decides_and_opens_one_offer() -> None:
    """Best first under one ruler; Enter shows every point with its reason and the cautions."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await to_hill_tractor(pilot)
            await pilot.press("o")
            text = await see(pilot, "In the place of: Top link", "link now", "▒░ unclear")
            assert re.search(r"A, short 203 +\|[-+]+\| +room to the cab", text)
            await pilot.press("enter")
            await see(pilot, "number 1 of", "closed end, need")
            await pilot.press("end")
            await see(pilot, "no prop", "manuals")


async def test_an_offer_is_typed_in_measured_and_set_aside(logbook_folder: Path) -> None:
    """A contradiction is said once and kept on a second word; what is measured is added; the file stays."""
    async with app_over(logbook_folder).run_test(size=(80, 24)) as pilot:
        await see(pilot, "Grey tractor")
        await pilot.press("enter")
        await see(pilot, "link end")
        await pilot.press("o")
        await see(pilot, "No offer yet")
        await pilot.press("a")
        await see(pilot, "New offer")
        await type_in(pilot, "Fair one", "533", "737", "230")
        await pilot.press("ctrl+s")
        await see(pilot, "26.0 mm apart", "once more")
        await pilot.press("ctrl+s")
        await see(pilot, "▒░ unclear", "Fair one")
        await pilot.press("h")
        await see(pilot, "In hand: Fair one", "under pressure")
        await type_in(pilot, "21")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: bool(read_offers(logbook_folder).offers[0].measured))
        await see(pilot, "In the place of")
        await pilot.press("x")
        await see(pilot, "Set aside")
        await type_in(pilot, "sold")
        await see(pilot, "▇▇ no")
    (offer,) = read_offers(logbook_folder).offers
    assert offer.set_aside == "sold"
    assert offer.measured[0].who == "ada"
    assert offer.measured[0].closed is not None
    assert offer.measured[0].closed.typed == "21 mm"
    assert check_logbook(logbook_folder, today()) == ()


async def test_a_stale_recommendation_says_why() -> None:
    """On the machine's page and on its own, with what it was and what it is."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await to_hill_tractor(pilot)
            await pilot.press("end")
            await see(pilot, "Kept recommendations", "▒░ stale")
            while "Stale:" not in screen_text(pilot):
                await pilot.press("up")
            await pilot.press("enter")
            await see(pilot, "Stale: compare again", "offer, closed was 541.00 mm and is 548.00 mm now")
