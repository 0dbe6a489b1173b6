"""Force and oil of an offer, reached from its page."""

from fieldlog.store.files import throwaway_copy
from tests.tui.support import app_over, see


async def test_an_offers_force_and_oil_stand_on_a_page_and_ask_for_what_is_missing() -> None:
    """From the sample's first recommendation to the cylinder's numbers; the tractor's oil is typed there."""
    with throwaway_copy() as folder:
        async with app_over(folder).run_test(size=(80, 24)) as pilot:
            await see(pilot, "What needs doing")
            from fieldlog.app.retrofits import RetrofitWork
            from fieldlog.tui.screens.offer import OfferScreen

            app = pilot.app
            work = RetrofitWork(app.session, "hill-tractor", "top-link")  # type: ignore[attr-defined]
            look = work.look()
            assert look is not None
            named = next(item.offer.id for item in look.order if item.offer.bore is not None)
            app.push_screen(OfferScreen("hill-tractor", "top-link", named))
            await see(pilot, "force, oil")
            await pilot.press("f")
            await see(pilot, "Force and oil", "relief 172 bar")
            await pilot.press("p")
            await see(pilot, "Relief pressure", "levers cycled")
