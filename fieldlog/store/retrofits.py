"""Kept recommendations: read from `<machine>/retrofits/`, and a new one put beside them, never over one."""

import os
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.quantity.said import said
from fieldlog.quantity.text import shortened, slug
from fieldlog.records.offer import Basis, Recommendation
from fieldlog.records.problems import Problem
from fieldlog.store.atomic import create_file
from fieldlog.store.document import FORMAT, Document, document_of, open_document
from fieldlog.store.files import (
    ACCEPTED_NAME,
    LOGBOOK_FILE,
    MACHINE_FILE,
    RETROFITS_FOLDER,
    is_safe_name,
    machine_folder,
    os_reason,
    writing,
)
from fieldlog.store.hints import hints_of
from fieldlog.store.meaning import known_names
from fieldlog.store.schema import known_keys, table_from
from fieldlog.store.tables import read_array, read_head
from fieldlog.store.values import shown

_MOST_A_DAY = 100
_NONE = said("accepted.none_at_all")


@dataclass(frozen=True, slots=True)
class RetrofitsRead:
    """The recommendations kept for a machine, oldest first, and what is wrong in their files."""

    kept: tuple[Recommendation, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_retrofits(folder: Path, machine_id: str) -> RetrofitsRead:
    """Read what was kept for a machine; a bad file never hides the good ones."""
    kept: list[Recommendation] = []
    problems: list[Problem] = []
    for document, recommendation, faults in _documents(folder, machine_id, problems):
        problems += [*document.problems, *faults]
        kept += [recommendation] if recommendation is not None else []
    return RetrofitsRead(tuple(sorted(kept, key=lambda item: (item.day, item.id))), tuple(problems))


def check_retrofits(folder: Path, machine_id: str, links: Iterable[str], offers: Iterable[str]) -> list[Problem]:
    """Return everything wrong in a machine's kept recommendations, names that nobody knows and near misses too."""
    problems: list[Problem] = []
    known_links, known_offers = frozenset(links), frozenset(offers)
    for document, recommendation, faults in _documents(folder, machine_id, problems):
        problems += [*document.problems, *faults]
        problems += hints_of(document, ("format", *_head_keys()), {"basis": Basis})
        if recommendation is None:
            continue
        for key, name, known in (
            ("link", recommendation.link, known_links),
            ("offer", recommendation.offer, known_offers),
        ):
            if name not in known:
                wrong, accepted = said("problem.unknown", value=shown(name)), known_names(known, _NONE)
                problems.append(document.problem(("", 0), key, wrong, accepted))
    return problems


def _documents(
    folder: Path, machine_id: str, problems: list[Problem]
) -> Iterable[tuple[Document, Recommendation | None, list[Problem]]]:
    place = f"{machine_id}/{RETROFITS_FOLDER}"
    try:
        with os.scandir(folder / place) as found:
            names = sorted(item.name for item in found if item.name.endswith(".toml") and item.name[0] != ".")
    except FileNotFoundError:
        return
    except OSError as error:
        problems.append(Problem(place, 0, "", said("problem.kept_unlisted", why=os_reason(error))))
        return
    for name in names:
        stem = name.removesuffix(".toml")
        if not is_safe_name(stem):
            problems.append(Problem(shortened(f"{place}/{name}"), 0, "", said("problem.no_name"), ACCEPTED_NAME))
            continue
        document = open_document(folder, f"{place}/{name}")
        recommendation, faults = recommendation_in(document, stem)
        yield document, recommendation, faults


def recommendation_in(document: Document, stem: str) -> tuple[Recommendation | None, list[Problem]]:
    """Return the recommendation that a file holds, and what is wrong in its records.

    Without what it rests on it is no recommendation: it could never be told whether it still stands.
    """
    head, faults = _head(document, stem)
    basis, more = read_array(document, "basis", Basis)
    if head is not None and not basis and document.format:
        more.append(document.problem(("", 0), "basis", said("problem.rests_on_nothing"), said("accepted.basis")))
    if head is None or not basis:
        return None, [*faults, *more]
    return replace(head, basis=tuple(item.record for item in basis)), [*faults, *more]


def _head(document: Document, stem: str) -> tuple[Recommendation | None, list[Problem]]:
    """Read the keys at the top; its lists of sentences are no arrays of records."""
    lists = {key: value for key, value in document.table.items() if key in _LISTS and isinstance(value, list)}
    return read_head(document, Recommendation, fixed={"id": stem, **lists})


_LISTS = frozenset({"reasons", "others", "parts", "cautions"})


def _head_keys() -> tuple[str, ...]:
    return tuple(key for key in known_keys(Recommendation) if key != "id")


def keep(folder: Path, machine_id: str, recommendation: Recommendation) -> Recommendation:
    """Write a recommendation into a new file of its own and return it with its `id`.

    Raises:
        StoreError: the logbook or machine is of a newer program or gone, or the disk refuses.
    """
    place = machine_folder(folder, machine_id) / RETROFITS_FOLDER
    for file in (LOGBOOK_FILE, f"{machine_id}/{MACHINE_FILE}"):
        document = open_document(folder, file)
        if document.is_newer:
            raise StoreError(said("refusal.made_by_newer", file=file))
        if not document.is_there:
            raise StoreError(said("refusal.not_there", file=file))
    base = f"{slug(recommendation.link) or 'link'}-{recommendation.day.isoformat()}"
    with writing(folder):
        names = (base if number == 1 else f"{base}-{number}" for number in range(1, _MOST_A_DAY))
        name = next((name for name in names if not os.path.lexists(place / f"{name}.toml")), None)
        if name is None:
            raise StoreError(said("refusal.kept_too_often", most=_MOST_A_DAY, link=recommendation.link))
        named = replace(recommendation, id=name)
        create_file(place / f"{name}.toml", _whole(named))
    return named


def _whole(kept: Recommendation) -> bytes:
    """Return the file of a recommendation; it is read back before it counts."""
    import tomli_w

    table = table_from(kept, leave_out={}, is_terse=True)
    head = {key: value for key, value in table.items() if key not in {"id", "basis"}}
    blocks = [f"\n[[basis]]\n{tomli_w.dumps(table_from(item, leave_out={}, is_terse=True))}" for item in kept.basis]
    data = (tomli_w.dumps({"format": FORMAT, **head}) + "".join(blocks)).encode("utf-8")
    found, _ = recommendation_in(document_of(f"{kept.id}.toml", data), kept.id)
    if found != kept:
        raise StoreError(said("refusal.kept_differs"))
    return data
