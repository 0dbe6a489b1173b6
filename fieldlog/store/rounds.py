"""Entries put on disk one by one: the old bytes stay, the new block is durable before the call returns."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from fieldlog.errors import StoreError
from fieldlog.records.entries import AnyEntry, BoreReading, LengthReading, PinReading, Round
from fieldlog.store.atomic import append_bytes, create_file, remove_leftovers, replace_file
from fieldlog.store.document import FORMAT, Document, document_of
from fieldlog.store.files import Unreadable, read_file, shown_path
from fieldlog.store.lock import writing
from fieldlog.store.names import MACHINE_FILE, ROUNDS_FOLDER, machine_folder, safe_name
from fieldlog.store.round_reader import ENTRY_KINDS, KIND_NAMES, RoundRead, read_round, round_id
from fieldlog.store.schema import table_from
from fieldlog.store.toml_text import Table

E = TypeVar("E", bound=AnyEntry)

_TORN_MARK = "# cut off in writing: "
_KIND_OF = {record: kind for kind, record in ENTRY_KINDS.items()}


@dataclass(slots=True)
class RoundFile:
    """One person's round file of one day, made with its first entry."""

    folder: Path
    machine_id: str
    head: Round

    @property
    def path(self) -> Path:
        """Where it is."""
        return machine_folder(self.folder, self.machine_id) / ROUNDS_FOLDER / f"{self.head.id}.toml"


def open_round(folder: Path, machine_id: str, head: Round) -> RoundFile:
    """Return the round file for the head's date and person; `head.id` is worked out here, "" will do.

    Raises:
        StoreError: the machine's or the person's name cannot stand in a path.
    """
    safe_name(machine_id, "machine")
    safe_name(head.who, "person")
    return RoundFile(folder, machine_id, replace(head, id=round_id(head.date, head.who)))


def append_entry(round_file: RoundFile, entry: E) -> E:
    """Put an entry on disk (fsync returned) and return it as stored; `at` differs when its second was taken.

    Raises:
        StoreError: nothing was written; the message says why.
    """
    with writing(round_file.folder):
        path = round_file.path
        if not (path.parent.parent / MACHINE_FILE).exists():
            raise StoreError(
                f"{shown_path(path.parent.parent)} is gone or holds no {MACHINE_FILE}; nothing was written."
            )
        remove_leftovers(path.parent)
        try:
            data = read_file(path)
        except Unreadable as error:
            if not error.is_missing:
                raise StoreError(f"{shown_path(path)} cannot be added to: {error}.") from None
            return _first(round_file, entry)
        return _next(round_file, entry, data)


def _first(round_file: RoundFile, entry: E) -> E:
    head = round_file.head
    stored = _stored(entry, head, frozenset())
    top: Table = {"format": FORMAT, "date": head.date, "who": head.who}
    top |= {key: value for key, value in (("instrument", head.instrument), ("tape", head.tape)) if value}
    text = _toml(top) + _block(stored, head, "\n")
    _verify(round_file, "", text, stored)
    create_file(round_file.path, text.encode("utf-8"))
    return stored


def _next(round_file: RoundFile, entry: E, data: bytes) -> E:
    document = document_of(round_file.path.name, data, KIND_NAMES)
    if document.is_newer:
        raise StoreError(f"{round_file.path.name} was made by a newer program; nothing is written to it.")
    if document.torn is not None:
        data = _mended(round_file.path, document)
        document = document_of(round_file.path.name, data, KIND_NAMES)
    read = read_round(document)
    if read.head is None:
        raise StoreError(
            f"{shown_path(round_file.path)} cannot be added to: its head is broken. fieldlog check says how."
        )
    taken = frozenset(item.record.at for item in read.entries)
    stored = _stored(entry, replace(read.head, id=round_file.head.id), taken)
    newline = "\r\n" if "\r\n" in document.text else "\n"
    gap = "" if document.text.endswith("\n") else newline
    text = gap + _block(stored, read.head, newline)
    _verify(round_file, document.text, text, stored, read)
    append_bytes(round_file.path, text.encode("utf-8"))
    return stored


def _mended(path: Path, document: Document) -> bytes:
    """Turn the torn end of a file into remarks, so that nothing of it is thrown away; return the new bytes."""
    assert document.torn is not None
    good, torn = document.text[: document.torn], document.text[document.torn :]
    newline = "\r\n" if "\r\n" in good else "\n"
    rows = torn.replace("\0", "").splitlines()
    remarks = "".join(f"{_TORN_MARK}{_remark(row)}{newline}" for row in rows if row.strip())
    gap = newline if good and not good.endswith("\n") else ""
    data = (good + gap + remarks).encode("utf-8", "surrogateescape")
    replace_file(path, data)
    return data


def _remark(row: str) -> str:
    """Return text that may stand in a TOML comment."""
    plain = row.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return "".join(char if char == "\t" or char.isprintable() else f"\\x{ord(char):02x}" for char in plain)


def _stored(entry: E, head: Round, taken: frozenset[str]) -> E:
    """Return the entry as it will stand: of this round, at a time of its own."""
    at, number = entry.at, 2
    while at in taken:
        at = f"{entry.at}.{number}"
        number += 1
    entry = replace(entry, at=at, round=head.id, day=head.date, who=head.who)
    if isinstance(entry, BoreReading | PinReading | LengthReading) and not entry.instrument:
        return replace(entry, instrument=head.tape if isinstance(entry, LengthReading) else head.instrument)
    return entry


def _block(entry: AnyEntry, head: Round, newline: str) -> str:
    """Return an entry as TOML with `at` as its last line, a blank line before it."""
    fallback = head.tape if isinstance(entry, LengthReading) else head.instrument
    table = table_from(entry, leave_out={"instrument": fallback}, is_terse=True)
    text = f"\n[[{_KIND_OF[type(entry)]}]]\n{_toml(table)}"
    return text.replace("\n", newline)


def _toml(table: Table) -> str:
    import tomli_w

    return tomli_w.dumps(table, multiline_strings=False)


def _verify(round_file: RoundFile, old: str, new: str, stored: AnyEntry, before: RoundRead | None = None) -> None:
    """Read what is about to be written; refuse to write what would not come back as the same entry."""
    text = (old + new).encode("utf-8", "surrogateescape")
    read = read_round(document_of(f"{round_file.head.id}.toml", text, KIND_NAMES))
    entries = [item.record for item in read.entries]
    count = len(before.entries) if before is not None else 0
    if len(entries) != count + 1 or replace(stored, round=round_file.head.id) not in entries:
        raise StoreError("This entry cannot be written so that it reads back the same; nothing was written.")
