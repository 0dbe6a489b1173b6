"""Words in a file that are nearly a key or heading the program knows: most likely meant, and passed over unseen."""

import difflib
from collections.abc import Mapping, Sequence

from fieldlog.quantity.said import said
from fieldlog.records.checks import Check
from fieldlog.records.hitch import Hitch, Hydraulics
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person
from fieldlog.records.problems import Problem
from fieldlog.store.blocks import ENTRY_KINDS
from fieldlog.store.document import Document
from fieldlog.store.schema import known_keys
from fieldlog.store.tables import ALONE
from fieldlog.store.values import shown

_CLOSE = 0.75
_ROUND_HEAD = ("format", "date", "who", "instrument", "tape", "temperature")
LOGBOOK_TABLES: Mapping[str, type] = {"people": Person, "instruments": Instrument, "limits": Limit, "checks": Check}
MACHINE_TABLES: Mapping[str, type] = {"joints": Joint, "holes": Hole, "links": Link, "limits": Limit}


def logbook_hints(document: Document) -> list[Problem]:
    """Return the near misses in logbook.toml."""
    from fieldlog.store.hitch_reader import IMPLEMENT_TABLES

    top = ("format", *known_keys(Logbook), *LOGBOOK_TABLES, *IMPLEMENT_TABLES)
    return hints_of(document, top, {**LOGBOOK_TABLES, **IMPLEMENT_TABLES})


def machine_hints(document: Document) -> list[Problem]:
    """Return the near misses in a machine.toml."""
    from fieldlog.store.hitch_reader import HITCH, HITCH_TABLES, HYDRAULICS

    top = ("format", *known_keys(Machine), HITCH, HYDRAULICS, *HITCH_TABLES)
    found = hints_of(document, top, {**MACHINE_TABLES, **HITCH_TABLES})
    return [*found, *_alone_hints(document, HITCH, Hitch), *_alone_hints(document, HYDRAULICS, Hydraulics)]


def _alone_hints(document: Document, name: str, kind: type) -> list[Problem]:
    """Return the near misses in a table that stands alone."""
    table, keys = document.table.get(name), known_keys(kind)
    if not isinstance(table, dict):
        return []
    near = [_hint(document, (name, ALONE), key, keys) for key in table if key not in keys]
    return [problem for problem in near if problem]


def round_hints(document: Document) -> list[Problem]:
    """Return the near misses in a round file."""
    return hints_of(document, (*_ROUND_HEAD, *ENTRY_KINDS), ENTRY_KINDS)


def hints_of(document: Document, top: Sequence[str], tables: Mapping[str, type]) -> list[Problem]:
    """Return the words of a file that are nearly one of these keys or headings."""
    found = [_hint(document, ("", 0), key, top) for key in document.table if key not in top]
    for name, kind in tables.items():
        keys = known_keys(kind)
        for index, record in enumerate(document.records(name)):
            if isinstance(record, dict):
                found += [_hint(document, (name, index), key, keys) for key in record if key not in keys]
    return [problem for problem in found if problem]


def _hint(document: Document, place: tuple[str, int], key: str, known: Sequence[str]) -> Problem | None:
    close = difflib.get_close_matches(key, known, n=1, cutoff=_CLOSE)
    if not close:
        return None
    if not place[0] and document.records(key):  # a heading; the records under it are not seen at all
        place = (key, 0)
    wrong = said("problem.passed_over", value=shown(key))
    return document.problem(place, key, wrong, said("accepted.did_you_mean", name=close[0]))
