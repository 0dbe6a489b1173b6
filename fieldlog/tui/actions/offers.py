"""Offers typed in, corrected, measured in hand, set aside; and the one that is kept as the recommendation."""

from collections.abc import Callable, Mapping
from dataclasses import fields

from fieldlog.app.retrofits import RetrofitWork
from fieldlog.errors import FieldlogError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.text import unused_slug
from fieldlog.records.machine import shown_name
from fieldlog.records.offer import Offer
from fieldlog.retrofit.offers.sense import Level, OfferVerdict, make_sense
from fieldlog.store.amend import Value, change_record
from fieldlog.store.files import MACHINE_FILE, RESERVED
from fieldlog.store.offers import add_measured, add_offers, change_offer
from fieldlog.tui.actions import offer_forms
from fieldlog.tui.actions.parts import written
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen
from fieldlog.words.speak import say

_ANY_LINE = "Leave out what the seller does not say. Ctrl+s keeps the form from any line."
_NOT_CHANGED = frozenset({"id", "measured", "set_aside"})


def add_offer(app: Desk) -> None:
    """Ask for an offer and write it."""
    units = app.session.units

    def keep(values: object) -> None:
        if isinstance(values, dict):
            taken = frozenset({*(offer.id for offer in app.session.offers()), *RESERVED})
            offer = offer_forms.offer_from(values, unused_slug(values["name"], taken, "offer"), units)
            written(app, lambda: add_offers(app.session.folder, [offer]))

    form = FormScreen("New offer", offer_forms.offer_fields(None, units), _ANY_LINE, _doubts(app))
    app.push_screen(form, keep)


def correct_offer(app: Desk, offer_id: str) -> None:
    """Ask for corrections of what a seller states, and write what changed."""
    old, units = _offer(app, offer_id), app.session.units
    if old is None:
        return

    def keep(values: object) -> None:
        if isinstance(values, dict):
            new = offer_forms.offer_from(values, offer_id, units)
            changes = _changes(old, new)
            if changes:
                written(app, lambda: change_offer(app.session.folder, offer_id, changes))

    form = FormScreen(f"Correct {old.shown_name}", offer_forms.offer_fields(old, units), _ANY_LINE, _doubts(app))
    app.push_screen(form, keep)


def _changes(old: Offer, new: Offer) -> Mapping[str, Value | None]:
    """Return the keys that differ; a key that is now empty is taken out of the file."""
    changes: dict[str, Value | None] = {}
    for item in fields(Offer):
        before, after = getattr(old, item.name), getattr(new, item.name)
        if item.name not in _NOT_CHANGED and before != after:
            changes[item.name] = None if after in {"", None} else after
    return changes


def _doubts(app: Desk) -> Callable[[Mapping[str, str]], str]:
    """Return what is said once before an offer that contradicts itself is kept as it is."""

    def doubts(values: Mapping[str, str]) -> str:
        offer = offer_forms.offer_from(values, "new", app.session.units)
        told = [c for c in make_sense(offer).points if c.level is Level.UNCLEAR]
        return (
            say(told[0].said, app.session.units)
            if told and (offer.closed is not None or offer.open is not None)
            else ""
        )

    return doubts


def measure_offer(app: Desk, offer_id: str) -> None:
    """Ask for what is measured on the cylinder itself; it is added to the offer's file."""
    offer, session = _offer(app, offer_id), app.session
    if offer is None:
        return

    def keep(values: object) -> None:
        if isinstance(values, dict):
            hand = offer_forms.in_hand_from(values, session.today(), session.units)
            written(app, lambda: add_measured(session.folder, offer_id, hand))

    lines = offer_forms.in_hand_fields(session.people(), session.last_person(), session.units)
    title = f"In hand: {offer.shown_name}"
    app.push_screen(FormScreen(title, lines, offer_forms.FULLY_IN, offer_forms.needs_a_length), keep)


def set_offer_aside(app: Desk, offer_id: str) -> None:
    """Ask why an offer is out of the running; without a reason it is back in."""
    offer = _offer(app, offer_id)
    if offer is None:
        return

    def keep(values: object) -> None:
        if isinstance(values, dict):
            why = values["why"] or None
            written(app, lambda: change_offer(app.session.folder, offer_id, {"set_aside": why}))

    hint = "Such as sold, or too dear. Empty: it is in the running. The file stays."
    app.push_screen(FormScreen(f"Set aside: {offer.shown_name}", (Field("why", "Why", offer.set_aside, hint),)), keep)


def measure_gaps(app: Desk, work: RetrofitWork) -> None:
    """Ask how wide the gaps at both ends of a link are, and write them into machine.toml."""
    look, units = work.look(), app.session.units
    if look is None:
        return
    link, ends = look.job.facts.link, look.job.facts.ends

    def keep(values: object) -> None:
        if isinstance(values, dict):
            new = {key: parse_length(text, units) if text else None for key, text in values.items()}
            changes = {key: length for key, length in new.items() if length != getattr(link, key)}
            file = f"{work.machine_id}/{MACHINE_FILE}"
            if changes:
                written(app, lambda: change_record(app.session.folder, file, "links", link.id, changes))

    title = f"Gaps: {shown_name(link)}"
    app.push_screen(FormScreen(title, offer_forms.gap_fields(link, ends, units)), keep)


def keep_offer(app: Desk, work: RetrofitWork, offer_id: str, then: Callable[[str], None]) -> None:
    """Ask who keeps the recommendation and what he says to it, and write it; then go on with its id."""
    look, session = work.look(), app.session
    item = look.of(offer_id) if look is not None else None
    if item is None:
        return

    def doubts(values: Mapping[str, str]) -> str:
        is_doubtful = item.verdict in {OfferVerdict.UNCLEAR, OfferVerdict.NO}
        return f"{item.verdict.value.capitalize()}: {say(item.worst.said, session.units)}" if is_doubtful else ""

    def keep(values: object) -> None:
        if isinstance(values, dict):
            try:
                told = work.keep(offer_id, values["who"], values["words"])
            except FieldlogError as error:
                app.refuse(error)
            else:
                then(told.id)

    lines = offer_forms.keep_fields(session.people(), session.last_person())
    app.push_screen(FormScreen(f"Keep {item.offer.shown_name}", lines, offer_forms.KEPT_WITH, doubts), keep)


def _offer(app: Desk, offer_id: str) -> Offer | None:
    return next((offer for offer in app.session.offers() if offer.id == offer_id), None)
