"""With real keys: b opens the numbers of every page that is not about wear."""

from fieldlog.store.files import throwaway_copy
from fieldlog.tui.screens.hole import HoleScreen, RepairScreen
from fieldlog.tui.screens.setup import InstrumentScreen, StudyScreen
from tests.tui.support import app_over, see


async def test_hitch_and_offers_open() -> None:
    """Pitch with its figures and what narrows it; an offer's gap with seller and tape; force with weight and push."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 40)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            await pilot.press("down", "enter", "h", "b")
            await see(pilot, "Narrowed most by lower link pivot, behind the axle", "plumb line", "1 of 47")
            await pilot.press("right")
            await see(pilot, "Pitch for a centimetre of top link")
            await pilot.press("escape", "t", "b")
            await see(pilot, "What its doubt is made of")
            await pilot.press("escape", "escape", "escape", "o", "b")
            await see(pilot, "In hand closed", "offer, closed: seller's figure")
            await pilot.press("escape", "enter", "b")
            await see(pilot, "In hand closed")
            await pilot.press("escape", "f", "b")
            await see(pilot, "Asked of the link: pull with Power rake", "Narrowed most by ground's push")


async def test_repair_and_evidence_open() -> None:
    """A hole's walls after boring; the factors of a pin's share; both rest on the hole's own readings."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 40)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            pilot.app.push_screen(RepairScreen("hill-tractor", "rod-2"))
            await see(pilot, "Metal left: walls 14.50 +-0.19 mm")
            await pilot.press("b", "right", "right", "right", "right")
            await see(pilot, "Wall at each side with the hole bushed to 26.00 mm", "Wall = (width less hole) / 2")
            await pilot.press("escape", "escape")
            pilot.app.push_screen(HoleScreen("hill-tractor", "rod-2"))
            await see(pilot, "Identity size")
            await pilot.press("e", "b")
            await see(pilot, "Share of 22 mm among all pins that stand", "how the hole reads", "Bayes' rule")


async def test_instrument_and_study_open() -> None:
    """What a caliper's jaws were learnt from; how sure a repeatability of so few trials is."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 40)) as pilot:
            await see(pilot, "What needs doing", "Small loader")
            pilot.app.push_screen(InstrumentScreen("blue"))
            await see(pilot, "Checks, newest first")
            await pilot.press("b", "right", "right", "right")
            await see(pilot, "Added to every inside reading", "known bore 24.995 mm")
            await pilot.press("escape", "escape")
            pilot.app.push_screen(StudyScreen("2026-03-14-blue"))
            await see(pilot, "is not yet wear")
            await pilot.press("b")
            await see(pilot, "Smallest change between two days of 1 reading", "Student's t")
