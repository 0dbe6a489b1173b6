"""Offers put on disk: new ones whole, several at once or none; measured in hand and corrected without losing a key."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.records.offer import InHand, Offer
from fieldlog.store.amend import Value, add_record, change_record
from fieldlog.store.atomic import create_file
from fieldlog.store.document import FORMAT, document_of
from fieldlog.store.lock import writing
from fieldlog.store.names import OFFERS_FOLDER
from fieldlog.store.offers import offer_file, offer_of
from fieldlog.store.schema import table_from


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
        why = problems[0].sentence() if problems else "it does not read back the same"
        raise StoreError(f"The offer {offer.shown_name} cannot be written: {why}")
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
