"""Opening the numbers of offers, repairs, gauge studies, instruments and hitches up to what they rest on."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fieldlog.records.machine import Joint, shown_name
from fieldlog.tui.actions.budgets import open_numbers
from fieldlog.wear.numbers import Number

if TYPE_CHECKING:
    from fieldlog.retrofit.kept import Kept
    from fieldlog.tui.app import LogbookApp
    from fieldlog.tui.hitch_work import HitchWork
    from fieldlog.tui.retrofit_work import RetrofitWork
    from fieldlog.wear.states import HoleState, JointState


def open_offer(app: "LogbookApp", work: "RetrofitWork", offer_id: str) -> None:
    """Show an offer's numbers against its link."""
    from fieldlog.retrofit.offer_numbers import offer_numbers

    def numbers() -> Sequence[Number]:
        look = work.look()
        item = look.of(offer_id) if look is not None else None
        return offer_numbers(item, look.job) if look is not None and item is not None else ()

    offer = work.offer(offer_id)
    open_numbers(app, work.machine_id, offer.shown_name if offer is not None else offer_id, numbers)


def open_force(app: "LogbookApp", work: "RetrofitWork", offer_id: str) -> None:
    """Show the numbers of what an offer does on the tractor."""

    def numbers() -> Sequence[Number]:
        found = work.force_and_oil(offer_id)
        return found.numbers() if found is not None else ()

    offer = work.offer(offer_id)
    open_numbers(app, work.machine_id, offer.shown_name if offer is not None else offer_id, numbers)


def open_hitch(app: "LogbookApp", work: "HitchWork", about: str) -> None:
    """Show every number of a hitch as it is tried."""
    from fieldlog.retrofit.hitch_opened import hitch_numbers

    def numbers() -> Sequence[Number]:
        page = work.fresh_page()
        return hitch_numbers(page.look, page.field, page.need) if page is not None else ()

    open_numbers(app, work.machine_id, about, numbers)


def open_repair(
    app: "LogbookApp", machine_id: str, about: str, pair: "Callable[[], tuple[JointState, HoleState] | None]"
) -> None:
    """Show the numbers of a hole's repair."""
    from fieldlog.retrofit.repair_numbers import repair_numbers

    def numbers() -> Sequence[Number]:
        found = pair()
        return repair_numbers(app.session.state(machine_id), *found) if found is not None else ()

    open_numbers(app, machine_id, about, numbers)


def open_instrument(app: "LogbookApp", instrument_id: str, about: str) -> None:
    """Show the numbers of an instrument."""
    from fieldlog.wear.instrument_numbers import instrument_numbers

    def numbers() -> Sequence[Number]:
        instrument = app.session.instruments.get(instrument_id)
        return instrument_numbers(instrument, app.session.today()) if instrument is not None else ()

    open_numbers(app, "", about, numbers)


def open_study(app: "LogbookApp", study_id: str, about: str) -> None:
    """Show the numbers of a finished gauge study."""
    from fieldlog.wear.study_numbers import study_numbers

    def numbers() -> Sequence[Number]:
        study = next((study for study in app.session.studies() if study.id == study_id), None)
        return study_numbers(study) if study is not None else ()

    open_numbers(app, "", about, numbers)


def open_kept(app: "LogbookApp", machine_id: str, kept: "Callable[[], Kept | None]") -> None:
    """Show the numbers that a kept recommendation rests on."""
    from fieldlog.retrofit.kept_numbers import kept_numbers

    def numbers() -> Sequence[Number]:
        item = kept()
        return kept_numbers(item.recommendation) if item is not None else ()

    open_numbers(app, machine_id, "kept recommendation", numbers)


def open_evidence(app: "LogbookApp", machine_id: str, joint: Joint) -> None:
    """Show how likely each pin of a joint is, and why."""
    from fieldlog.wear.pin_numbers import evidence_numbers

    def numbers() -> Sequence[Number]:
        found = (state for state in app.session.state(machine_id).joints if state.joint.id == joint.id)
        state = next(found, None)
        return evidence_numbers(state, app.session.log(machine_id)) if state is not None else ()

    open_numbers(app, machine_id, shown_name(joint), numbers)
