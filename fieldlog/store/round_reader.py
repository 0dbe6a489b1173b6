"""Round files into entries: the head first, then every entry on its own."""

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from types import MappingProxyType

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
from fieldlog.store.document import Document
from fieldlog.store.tables import Placed, read_array, read_head
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
ACCEPTED_AT = 'write the time of day in quotes as the last line, as in at = "09:34:12"'
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
            wrong = "is missing; it is taken from the file's name"
            problems.append(document.problem(("", 0), key, wrong, f"write {example}"))
    if head is not None and round_id(head.date, head.who) != file_id:
        wrong = f"the file is named {file_id}, but is of {round_id(head.date, shown(head.who))}"
        problems.append(document.problem(("", 0), "date", wrong, "rename the file, or mend date and who"))
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
            problems.append(item.problem("at", f"{shown(item.record.at)} is not a time", ACCEPTED_AT))
    return good, problems
