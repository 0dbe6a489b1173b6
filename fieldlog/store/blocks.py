"""Round files into entries: the head first, then every entry on its own.

Entries as the text that is added to a round file, and a torn end as remarks.
"""

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import TypeVar

from fieldlog.quantity.said import said
from fieldlog.quantity.text import shortened
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Event,
    Keep,
    LengthReading,
    LigamentReading,
    MeterReading,
    Note,
    PinReading,
    Play,
    Round,
    Strike,
    ThreadReading,
    Trial,
    TurnsReading,
    WallReading,
)
from fieldlog.records.problems import Problem
from fieldlog.store.atomic import replace_file
from fieldlog.store.document import BOM, FORMAT, Document
from fieldlog.store.schema import table_from
from fieldlog.store.tables import Placed, read_array, read_head
from fieldlog.store.toml_text import Table
from fieldlog.store.values import LAST_YEAR, shown

ENTRY_KINDS: Mapping[str, type[AnyEntry]] = MappingProxyType(
    {
        "bore": BoreReading,
        "pin": PinReading,
        "wall": WallReading,
        "length": LengthReading,
        "thread": ThreadReading,
        "turns": TurnsReading,
        "meter": MeterReading,
        "trial": Trial,
        "play": Play,
        "note": Note,
        "event": Event,
        "strike": Strike,
        "keep": Keep,
        "ligament": LigamentReading,
    }
)
KIND_NAMES = tuple(ENTRY_KINDS)
_MEASURED = frozenset({"bore", "pin", "wall", "length", "thread", "ligament"})
AT = re.compile(r"^(?:[01]\d|2[0-3]):[0-5]\d(?::[0-5]\d(?:\.\d{1,9})?)?$", re.ASCII)
ACCEPTED_AT = said("accepted.time")
_NAME = re.compile(r"^(\d{4}-\d{2}-\d{2})-(.+)$", re.ASCII | re.DOTALL)


@dataclass(frozen=True, slots=True)
class RoundRead:
    """A round file: its head, unless nobody can tell whose and when, and its entries in the order of the file."""

    document: Document
    head: Round | None
    entries: tuple[Placed[AnyEntry], ...]
    problems: tuple[Problem, ...]


def round_id(date: datetime.date, who: str) -> str:
    """Return the name of a round file without its ending."""
    return f"{date.isoformat()}-{who}"


def named_by(file_id: str) -> Mapping[str, object]:
    """Return the date and person in the name of a round file, as far as it has them."""
    match = _NAME.match(file_id)
    try:
        day = datetime.date.fromisoformat(match[1]) if match else None
    except ValueError:
        return {}
    return {"date": day, "who": match[2]} if match and day is not None and day.year <= LAST_YEAR else {}


def read_round(document: Document) -> RoundRead:
    """Return what a round file holds."""
    head, problems = _read_head(document)
    entries: list[Placed[AnyEntry]] = []
    if head is not None:
        for kind in KIND_NAMES:
            if kind in document.table:
                placed, faults = _read_kind(document, kind, head)
                entries += placed
                problems += faults
    return RoundRead(document, head, tuple(entries), (*document.problems, *problems))


def _read_head(document: Document) -> tuple[Round | None, list[Problem]]:
    if not document.table:
        return None, []
    file_id = PurePosixPath(document.file).stem
    by_name = named_by(file_id)
    head, problems = read_head(document, Round, fixed={"id": file_id}, defaults=by_name)
    for key, example in (("date", "date = 2026-03-04"), ("who", 'who = "the id of a person"')):
        if key not in document.table and key in by_name:
            accepted = said("accepted.write", example=example)
            problems.append(document.problem(("", 0), key, said("problem.from_file_name"), accepted))
    if head is not None and round_id(head.date, head.who) != file_id:
        named = round_id(head.date, shown(head.who))
        wrong = said("problem.other_file_name", file=shortened(file_id), named=named)
        problems.append(document.problem(("", 0), "date", wrong, said("accepted.rename")))
    return head, problems


def _read_kind(document: Document, kind: str, head: Round) -> tuple[list[Placed[AnyEntry]], list[Problem]]:
    given: dict[str, object] = {"round": head.id, "day": head.date, "who": head.who}
    fallback = head.tape if kind in {"length", "thread"} else head.instrument
    defaults: dict[str, object] = {"instrument": fallback} if kind in _MEASURED else {}
    if kind == "length" and head.temperature is not None:
        defaults["temperature"] = head.temperature.typed
    placed, problems = read_array(document, kind, ENTRY_KINDS[kind], given=given, defaults=defaults)
    good: list[Placed[AnyEntry]] = []
    for item in placed:
        if AT.match(item.record.at):
            good.append(item)
        else:
            problems.append(item.problem("at", said("problem.not_a_time", value=shown(item.record.at)), ACCEPTED_AT))
    return good, problems


E = TypeVar("E", bound=AnyEntry)

_TORN_MARK = "# cut off in writing: "
_LAST_SINGLE_DIGIT = 8
_WITH_AN_INSTRUMENT = BoreReading | PinReading | LengthReading | ThreadReading | LigamentReading | WallReading
_KIND_OF = {record: kind for kind, record in ENTRY_KINDS.items()}


def kind_of(entry: AnyEntry) -> str:
    """Return the heading an entry stands under."""
    return _KIND_OF[type(entry)]


def head_text(head: Round) -> str:
    """Return the lines that a round file begins with."""
    table: Table = {"format": FORMAT, "date": head.date, "who": head.who}
    temperature = head.temperature.typed if head.temperature is not None else ""
    used = (("instrument", head.instrument), ("tape", head.tape), ("temperature", temperature))
    table |= {key: value for key, value in used if value}
    return _toml(table)


def entry_text(entry: AnyEntry, head: Round, newline: str) -> str:
    """Return an entry as TOML with `at` as its last line, a blank line before it."""
    of_head = {"instrument": _fallback(entry, head), "temperature": head.temperature}
    table = table_from(entry, leave_out=of_head, is_terse=True)
    return f"\n[[{kind_of(entry)}]]\n{_toml(table)}".replace("\n", newline)


def as_stored(entry: E, head: Round, typed_with: Round, taken: frozenset[str]) -> E:
    """Return the entry as it will stand: of this round, at a time of its own, with what it was measured with.

    `head` is what the file says; `typed_with` is what the person has in hand now, which may be another caliper.
    """
    entry = replace(entry, at=free_time(entry.at, taken), round=head.id, day=head.date, who=head.who)
    if isinstance(entry, Note | Event):
        return replace(entry, text=_writable(entry.text))
    if isinstance(entry, Strike | Keep):
        return replace(entry, why=_writable(entry.why))
    if isinstance(entry, LengthReading) and entry.temperature is None:
        entry = replace(entry, temperature=typed_with.temperature or head.temperature)
    if isinstance(entry, _WITH_AN_INSTRUMENT) and not entry.instrument:
        return replace(entry, instrument=_fallback(entry, typed_with) or _fallback(entry, head))
    return entry


def free_time(at: str, taken: frozenset[str]) -> str:
    """Return a time that no other entry has, in an order that text sorts by: .2 to .8, then .900009 onwards."""
    name, number = at, 2
    while name in taken:
        name = f"{at}.{number}" if number <= _LAST_SINGLE_DIGIT else f"{at}.9{number:05d}"
        number += 1
    return name


def remarks_of(document: Document, newline: str) -> str:
    """Return the torn end of a file as remarks, so that nothing of it is thrown away."""
    rows = document.text[document.torn :].replace("\0", "").splitlines()
    return "".join(f"{_TORN_MARK}{_remark(row)}{newline}" for row in rows if row.strip())


def _remark(row: str) -> str:
    """Return text that may stand in a TOML comment."""
    plain = row.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(char if char == "\t" or char.isprintable() else f"\\x{ord(char):02x}" for char in plain)


def _fallback(entry: AnyEntry, head: Round) -> str:
    return head.tape if isinstance(entry, LengthReading | ThreadReading) else head.instrument


def _writable(text: str) -> str:
    """Return text without the half characters that a broken paste can hold and no file can."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _toml(table: Table) -> str:
    import tomli_w

    return tomli_w.dumps(table, multiline_strings=False)


def mended(path: Path, document: Document, data: bytes) -> bytes:
    """Turn the torn end of a file into remarks; return the new bytes, of which the good old ones are a prefix."""
    good = document.text[: document.torn].encode("utf-8", "surrogateescape")
    if data.startswith(BOM):
        good = BOM + good
    newline = newline_of(good)
    gap = newline.encode() if good and not good.endswith(b"\n") else b""
    whole = good + gap + remarks_of(document, newline).encode("utf-8")
    replace_file(path, whole)
    return whole


def newline_of(data: bytes) -> str:
    """Return how the lines of a file end."""
    return "\r\n" if b"\r\n" in data else "\n"
