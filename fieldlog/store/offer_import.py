"""Offers from a table of a spreadsheet: columns by their names in the first line, every fault with line and column.

A table of offers taken into a logbook: all of it, or nothing where anything in it is wrong.
"""

import csv
import difflib
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from types import MappingProxyType

from fieldlog.errors import StoreError
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import harmless, shortened, slug
from fieldlog.records.offer import FIGURE_KEYS, Offer
from fieldlog.records.problems import Problem
from fieldlog.store.amend import Value
from fieldlog.store.files import LOGBOOK_FILE, Unreadable, read_file, shown_path
from fieldlog.store.offers import absurd_sizes, add_offers, change_offer, contradictions_of, read_offers
from fieldlog.store.schema import Fault, plain_value, record_from
from fieldlog.store.values import cut, shown

_KEYS = (
    "name",
    "supplier",
    "price",
    *FIGURE_KEYS,
    "rod_end",
    "cap_end",
    "rated_pressure",
    "ports",
    "check_valve",
    "weight",
    "notes",
)
_WITH_UNIT = frozenset({*FIGURE_KEYS, "rated_pressure", "weight"})
_CHOICES = frozenset({"rod_end", "cap_end", "check_valve"})
_OTHER_WORDS: Mapping[str, str] = MappingProxyType({"dual": "double", "no": "none"})
_UNITS = frozenset({"mm", "cm", "in", "inch", "inches", "bar", "psi", "mpa", "kg", "lb", "lbs"})
_HEADER = re.compile(r"[^a-z]+")
_CLOSE = 0.75
_MOST_ROWS = 5000
ACCEPTED_COLUMNS = said("accepted.columns", keys=_KEYS)


@dataclass(frozen=True, slots=True)
class CsvOffer:
    """An offer of a table, and the line it begins on."""

    offer: Offer
    line: int


@dataclass(slots=True)
class CsvRead:
    """What a table holds. With any problem in it none of the offers is to be written."""

    offers: list[CsvOffer] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    unused: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Column:
    """A column: its heading as written, the key it stands for ("" for none), and the unit of its bare numbers."""

    heading: str
    key: str
    unit: str


def read_csv(path: Path) -> CsvRead:
    """Read the offers in a file: UTF-8, with commas, semicolons or tabs between the cells.

    Raises:
        StoreError: the file cannot be read at all.
    """
    try:
        data = read_file(path)
    except Unreadable as error:
        raise StoreError(said("refusal.cannot_read", file=shown_path(path), why=error.why)) from None
    name = harmless(path.name)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        return CsvRead(
            problems=[Problem(name, line, "", said("problem.table_not_utf8"), said("accepted.table_as_utf8"))]
        )
    return offers_in(name, text)


def offers_in(name: str, text: str) -> CsvRead:
    """Return the offers in a table's text, and everything wrong in it."""
    rows, complaint = _rows(name, text)
    if complaint is not None:
        return CsvRead(problems=[complaint])
    if not rows:
        return CsvRead(problems=[Problem(name, 0, "", said("problem.table_empty"), ACCEPTED_COLUMNS)])
    columns, read = _columns(name, *rows[0])
    if read.problems:
        return read
    taken: dict[str, int] = {}
    for line, cells in rows[1 : _MOST_ROWS + 1]:
        _take_cells(name, line, columns, cells, taken, read)
    if len(rows) > _MOST_ROWS + 1:
        line = rows[_MOST_ROWS + 1][0]
        wrong = said("problem.many_offers", most=_MOST_ROWS)
        read.problems.append(Problem(name, line, "", wrong, said("accepted.fewer_offers")))
    if not read.offers and not read.problems:
        read.problems.append(Problem(name, 0, "", said("problem.no_offer"), said("accepted.line_each")))
    return read


def _take_cells(
    name: str, line: int, columns: Sequence[_Column], cells: Sequence[str], taken: dict[str, int], read: CsvRead
) -> None:
    if any(cells[len(columns) :]):
        wrong = said("problem.cells", cells=len(cells), headings=len(columns))
        read.problems.append(Problem(name, line, "", wrong, said("accepted.separator_in_quotes")))
    elif any(cells):
        _take_row(name, line, dict(zip(columns, cells, strict=False)), taken, read)


def _rows(name: str, text: str) -> tuple[list[tuple[int, list[str]]], Problem | None]:
    """Return each row with the line it begins on, or what keeps the table from being read.

    A cell may hold line feeds between quotes, so the line is not the row's number.
    """
    head = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=head.count), strict=True)
    rows: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            rows.append((line, [cell.strip() for cell in cells]))
            line = reader.line_num + 1
    except csv.Error as error:
        wrong = said("problem.no_row", why=cut(str(error)))
        return [], Problem(name, line, "", wrong, said("accepted.quotes_in_cells"))
    return rows, None


def _columns(name: str, line: int, headings: Sequence[str]) -> tuple[list[_Column], CsvRead]:
    columns = [_column(heading) for heading in headings]
    read = CsvRead()
    seen: set[str] = set()
    for column in columns:
        close = difflib.get_close_matches(_plain(column.heading)[0], _KEYS, n=1, cutoff=_CLOSE)
        if column.key in seen:
            wrong = said("problem.heading_twice", value=shown(column.heading))
            read.problems.append(Problem(name, line, shortened(column.heading), wrong, said("accepted.keep_one")))
        elif not column.key and close:
            wrong, accepted = (
                said("problem.unknown", value=shown(column.heading)),
                said("accepted.column", key=close[0]),
            )
            read.problems.append(Problem(name, line, shortened(column.heading), wrong, accepted))
        elif not column.key and column.heading:
            read.unused.append(shortened(column.heading))
        seen |= {column.key} - {""}
    if "name" not in seen:
        read.problems.append(Problem(name, line, "name", said("problem.no_column"), ACCEPTED_COLUMNS))
    return columns, read


def _column(heading: str) -> _Column:
    key, unit = _plain(heading)
    return _Column(heading, key if key in _KEYS else "", unit if key in _WITH_UNIT else "")


def _plain(heading: str) -> tuple[str, str]:
    """Return key and unit of a heading: 'Closed (mm)', 'closed_mm' and 'closed mm' are one."""
    words = [word for word in _HEADER.split(heading.casefold()) if word]
    unit = words.pop() if len(words) > 1 and words[-1] in _UNITS else ""
    return "_".join(words), {"inch": "in", "inches": "in", "mpa": "MPa", "lbs": "lb"}.get(unit, unit)


def _take_row(name: str, line: int, row: Mapping[_Column, str], taken: dict[str, int], read: CsvRead) -> None:
    headings = {column.key: shortened(column.heading) for column in row if column.key}
    table = {column.key: _cell(column, text) for column, text in row.items() if column.key and text}
    offer_id = slug(table.get("name", ""))
    if not offer_id:
        wrong, accepted = said("problem.nameless"), said("accepted.name_with_letters")
        read.problems.append(Problem(name, line, headings["name"], wrong, accepted))
        return
    if offer_id in taken:
        wrong = said("problem.named_already", value=shown(table["name"]), line=taken[offer_id])
        read.problems.append(Problem(name, line, headings["name"], wrong, said("accepted.name_each")))
        return
    taken[offer_id] = line
    record = record_from(Offer, {"id": offer_id, **table})
    if isinstance(record, tuple):
        faults = [(fault.key, fault.wrong, _accepted(fault)) for fault in record]
    else:
        faults = [*absurd_sizes(record), *contradictions_of(record)]
        read.offers.append(CsvOffer(record, line))
    read.problems += [Problem(name, line, headings.get(key, key), wrong, accepted) for key, wrong, accepted in faults]


def _accepted(fault: Fault) -> Said | None:
    """Return what a cell accepts, which needs no quotes as a file does."""
    if fault.key in FIGURE_KEYS:
        return said("accepted.cell", key=fault.key)
    return fault.accepted


def _cell(column: _Column, text: str) -> str:
    """Return a cell as it would stand in a file: with the column's unit where it has none of its own."""
    if column.key in _CHOICES:
        word = text.casefold()
        return _OTHER_WORDS.get(word, word)
    if column.unit and not any(char.isalpha() or char in "'\"″′" for char in text):
        return f"{text} {column.unit}"
    return text


_KEPT = frozenset({"id", "measured", "set_aside"})


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
        raise StoreError(said("refusal.no_logbook", folder=shown_path(folder), file=LOGBOOK_FILE))
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
    was, here = shown(plain_value(before)) if before else "", shown(plain_value(value))
    wrong = said("problem.offer_there", name=shown(old.shown_name), key=key, was=was, here=here)
    return Problem(file, item.line, "name", wrong, said("accepted.other_name_or_update"))
