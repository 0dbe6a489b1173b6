"""The offers of a logbook, a file each: read, with everything wrong in them.

Offers put on disk: new ones whole, several at once or none; measured in hand and corrected without losing a key.
"""

import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from fieldlog.errors import StoreError
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.records.offer import FIGURE_KEYS, InHand, Offer
from fieldlog.records.problems import Problem
from fieldlog.retrofit.offers.sense import faults_of
from fieldlog.store.amend import Value, add_record, change_record
from fieldlog.store.atomic import create_file
from fieldlog.store.document import FORMAT, Document, document_of, open_document
from fieldlog.store.files import ACCEPTED_NAME, OFFERS_FOLDER, is_safe_name, os_reason, safe_name, writing
from fieldlog.store.hints import hints_of
from fieldlog.store.schema import known_keys, table_from
from fieldlog.store.tables import ACCEPTED_HOLE, ACCEPTED_LINK, LARGEST_HOLE_MM, LONGEST_LINK_MM, read_array, read_head

R = TypeVar("R", Offer, InHand)

_LARGEST_BORE_MM = 500
_ACCEPTED_BORE = said("accepted.bore_size", most=_LARGEST_BORE_MM)
_MOST: Mapping[str, tuple[int, Said]] = MappingProxyType(
    dict.fromkeys(("closed", "open", "stroke"), (LONGEST_LINK_MM, ACCEPTED_LINK))
    | dict.fromkeys(("rod_end_hole", "cap_end_hole"), (LARGEST_HOLE_MM, ACCEPTED_HOLE))
)


@dataclass(frozen=True, slots=True)
class OffersRead:
    """The offers by the names of their files, and what is wrong in them."""

    offers: tuple[Offer, ...] = ()
    problems: tuple[Problem, ...] = ()


def offer_file(offer_id: str) -> str:
    """Return where an offer is, seen from the logbook."""
    return f"{OFFERS_FOLDER}/{safe_name(offer_id, 'offer')}.toml"


def read_offers(folder: Path) -> OffersRead:
    """Read every offer; a bad file or figure never hides the good ones."""
    try:
        with os.scandir(folder / OFFERS_FOLDER) as found:
            names = sorted(item.name for item in found if item.name.endswith(".toml") and item.name[0] != ".")
    except FileNotFoundError:
        return OffersRead()
    except OSError as error:
        problem = Problem(OFFERS_FOLDER, 0, "", said("problem.offers_unlisted", why=os_reason(error)))
        return OffersRead((), (problem,))
    offers: list[Offer] = []
    problems: list[Problem] = []
    for name in names:
        offer, faults = _read_offer(folder, name.removesuffix(".toml"))
        offers += [offer] if offer is not None else []
        problems += faults
    return OffersRead(tuple(offers), tuple(problems))


def _read_offer(folder: Path, offer_id: str) -> tuple[Offer | None, list[Problem]]:
    file = f"{OFFERS_FOLDER}/{offer_id}.toml"
    if not is_safe_name(offer_id):
        return None, [Problem(shortened(file), 0, "", said("problem.no_offer_name"), ACCEPTED_NAME)]
    return offer_of(open_document(folder, file), offer_id)


def offer_of(document: Document, offer_id: str) -> tuple[Offer | None, list[Problem]]:
    """Return the offer that a file holds, and what is wrong in it."""
    head, faults = read_head(document, Offer, fixed={"id": offer_id})
    measured, more = read_array(document, "measured", InHand)
    if head is None or not document.format:
        return None, [*document.problems, *faults, *more]
    offer, unusable = _usable(head, document, ("", 0))
    hands: list[InHand] = []
    for item in measured:
        hand, wrong = _usable(item.record, document, item.place)
        hands.append(hand)
        unusable += wrong
    offer = replace(offer, measured=tuple(hands))
    contradictions = [document.problem(("", 0), *fault) for fault in contradictions_of(offer)]
    return offer, [*document.problems, *faults, *more, *unusable, *contradictions]


def _usable(record: R, document: Document, place: tuple[str, int]) -> tuple[R, list[Problem]]:
    """Return a record without the lengths that no cylinder has."""
    faults = absurd_sizes(record)
    blank: dict[str, None] = dict.fromkeys(key for key, _, _ in faults)
    problems = [document.problem(place, *fault) for fault in faults]
    return replace(record, **blank), problems  # type: ignore[arg-type] # lengths, each of which may be None


def contradictions_of(offer: Offer) -> list[tuple[str, Said, Said]]:
    """Return what an offer's figures say against each other: key, wrong, accepted."""
    return [
        (key, said("problem.offer_sense", wrong=wrong), said("accepted.of_offer", accepted=accepted))
        for key, wrong, accepted in faults_of(offer)
    ]


def absurd_sizes(record: Offer | InHand) -> list[tuple[str, Said, Said]]:
    """Return the lengths that no cylinder has, a slip of the unit or of a finger: key, wrong, accepted."""
    found = []
    for key in FIGURE_KEYS:
        length: Length | None = getattr(record, key)
        most_mm, accepted = _MOST.get(key, (_LARGEST_BORE_MM, _ACCEPTED_BORE))
        if length is not None and not 0 < length.mm <= most_mm:
            found.append((key, said("problem.cannot_be_right", value=shortened(length.typed)), accepted))
    return found


def offer_hints(folder: Path) -> list[Problem]:
    """Return words in the offers' files that are nearly a key."""
    found: list[Problem] = []
    for offer in read_offers(folder).offers:
        document = open_document(folder, offer_file(offer.id))
        top = ("format", *(key for key in known_keys(Offer) if key != "id"))
        found += hints_of(document, top, {"measured": InHand})
    return found


def add_offers(folder: Path, offers: Sequence[Offer]) -> None:
    """Make a file for each of some new offers: all of them, or none when one cannot be made.

    Raises:
        StoreError: an offer of such a name is there already, its name cannot stand in a path, or the disk refuses.
    """
    made: list[Path] = []
    with writing(folder):
        try:
            for offer in offers:
                path = folder / offer_file(offer.id)
                create_file(path, _whole(offer))
                made.append(path)
        except StoreError:
            for path in made:
                with suppress(OSError):
                    path.unlink()
            raise


def _whole(offer: Offer) -> bytes:
    """Return an offer's file; it is read back before it counts."""
    import tomli_w

    table = {key: value for key, value in table_from(offer, leave_out={}, is_terse=True).items() if key != "id"}
    measured = [table_from(item, leave_out={}, is_terse=True) for item in offer.measured]
    table.pop("measured", None)
    text = tomli_w.dumps({"format": FORMAT, **table})
    text += "".join(f"\n[[measured]]\n{tomli_w.dumps(item)}" for item in measured)
    data = text.encode("utf-8")
    found, problems = offer_of(document_of(f"{OFFERS_FOLDER}/{offer.id}.toml", data), offer.id)
    if found != offer:
        name = offer.shown_name
        if problems:
            raise StoreError(said("refusal.offer_wrong", name=name, wrong=problems[0].wrong, key=problems[0].key))
        raise StoreError(said("refusal.offer_differs", name=name))
    return data


def add_measured(folder: Path, offer_id: str, hand: InHand) -> None:
    """Add what somebody measured on the cylinder itself; what stands in the file stays as it is.

    Raises:
        StoreError: the file cannot be read or written, or is of a newer program.
    """
    add_record(folder, offer_file(offer_id), "measured", hand)


def change_offer(folder: Path, offer_id: str, changes: Mapping[str, Value | None]) -> None:
    """Change keys of an offer; None takes a key out. Unknown keys, comments and layout stay.

    Raises:
        StoreError: the file cannot be read or written, or is of a newer program.
    """
    change_record(folder, offer_file(offer_id), "", "", changes)
