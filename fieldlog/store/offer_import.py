"""A table of offers taken into a logbook: all of it, or nothing where anything in it is wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.records.offer import Offer
from fieldlog.records.problems import Problem
from fieldlog.records.text import harmless
from fieldlog.store.amend import Value
from fieldlog.store.names import LOGBOOK_FILE
from fieldlog.store.offer_csv import CsvOffer, read_csv
from fieldlog.store.offer_writing import add_offers, change_offer
from fieldlog.store.offers import read_offers
from fieldlog.store.schema import plain_value
from fieldlog.store.values import shown

_KEPT = frozenset({"id", "measured", "set_aside"})
_INSTEAD = "give it another name, or import with --update to take the new figures"


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import did; with any problem it did nothing."""

    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def import_offers(folder: Path, path: Path, *, is_update: bool) -> Imported:
    """Take the offers of a CSV file into a logbook; one that is there already is changed only with `is_update`.

    Raises:
        StoreError: the file cannot be read, there is no logbook, or the disk refuses.
    """
    if not (folder / LOGBOOK_FILE).is_file():
        raise StoreError(f"{harmless(str(folder))} holds no {LOGBOOK_FILE}; give the folder of a logbook.")
    read = read_csv(path)
    there = {offer.id: offer for offer in read_offers(folder).offers}
    new = [item for item in read.offers if item.offer.id not in there]
    known = [(item, changes_of(there[item.offer.id], item.offer)) for item in read.offers if item.offer.id in there]
    differ = [(item, changes) for item, changes in known if changes]
    problems = list(read.problems)
    if not is_update:
        problems += [_clash(harmless(path.name), item, changes, there[item.offer.id]) for item, changes in differ]
    if problems:
        ordered = sorted(problems, key=lambda problem: problem.line)
        return Imported(unused=tuple(read.unused), problems=tuple(ordered))
    add_offers(folder, [item.offer for item in new])
    for item, changes in differ:
        change_offer(folder, item.offer.id, changes)
    return Imported(
        added=tuple(item.offer.shown_name for item in new),
        changed=tuple(item.offer.shown_name for item, _ in differ),
        same=tuple(item.offer.shown_name for item, changes in known if not changes),
        unused=tuple(read.unused),
    )


def changes_of(old: Offer, new: Offer) -> Mapping[str, Value]:
    """Return the keys that a new statement of an offer gives otherwise; what it leaves out stays."""
    empty = ("", None, ())
    return {
        item.name: getattr(new, item.name)
        for item in fields(Offer)
        if item.name not in _KEPT
        and getattr(new, item.name) not in empty
        and getattr(new, item.name) != getattr(old, item.name)
    }


def _clash(file: str, item: CsvOffer, changes: Mapping[str, Value], old: Offer) -> Problem:
    key, value = next(iter(changes.items()))
    before = getattr(old, key)
    was = f"its {key.replace('_', ' ')} is {shown(plain_value(before))}" if before else f"it has no {key}"
    wrong = f"the offer {shown(old.shown_name)} is there already, and {was}, here {shown(plain_value(value))}"
    return Problem(file, item.line, "name", wrong, _INSTEAD)
