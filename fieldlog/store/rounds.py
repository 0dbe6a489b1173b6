"""Entries put on disk one by one: the old bytes stay, the new block is durable before the call returns."""

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from fieldlog.errors import StoreError
from fieldlog.quantity.said import said
from fieldlog.records.entries import AnyEntry, Round
from fieldlog.store.atomic import FileChangedError, append_bytes, create_file, remove_leftovers, replace_file
from fieldlog.store.blocks import (
    KIND_NAMES,
    as_stored,
    entry_text,
    head_text,
    kind_of,
    mended,
    newline_of,
    read_round,
    round_id,
)
from fieldlog.store.document import BOM, Document, document_of, open_document
from fieldlog.store.files import (
    LOGBOOK_FILE,
    MACHINE_FILE,
    ROUNDS_FOLDER,
    Unreadable,
    machine_folder,
    os_reason,
    read_file,
    safe_name,
    shown_path,
    writing,
)

E = TypeVar("E", bound=AnyEntry)

_MOST_TRIES = 5


@dataclass(frozen=True, slots=True)
class _Seen:
    """A round file's bytes as they were last, proved to be readable and to take entries of these kinds."""

    data: bytes
    head: Round
    taken: frozenset[str]
    kinds: frozenset[str] = frozenset()


@dataclass(slots=True)
class RoundFile:
    """One person's round file of one day, made with its first entry."""

    folder: Path
    machine_id: str
    head: Round
    seen: _Seen | None = field(default=None, repr=False)

    @property
    def path(self) -> Path:
        """Where it is."""
        return machine_folder(self.folder, self.machine_id) / ROUNDS_FOLDER / f"{self.head.id}.toml"


def open_round(folder: Path, machine_id: str, head: Round) -> RoundFile:
    """Return the round file for the head's date and person; `head.id` is worked out here, "" will do.

    Raises:
        StoreError: the machine's or the person's name cannot stand in a path, or a newer program wrote the logbook.
    """
    safe_name(machine_id, "machine")
    safe_name(head.who, "person")
    for file in (LOGBOOK_FILE, f"{machine_id}/{MACHINE_FILE}"):
        _check_not_newer(open_document(folder, file))
    return RoundFile(folder, machine_id, replace(head, id=round_id(head.date, head.who)))


def append_entry(round_file: RoundFile, entry: E) -> E:
    """Put an entry on disk (fsync returned) and return it as stored; `at` differs when its second was taken.

    Raises:
        StoreError: nothing was written; the message says why.
    """
    with writing(round_file.folder):
        for _ in range(_MOST_TRIES):
            try:
                return _append(round_file, entry)
            except FileChangedError:
                round_file.seen = None
    raise StoreError(said("refusal.always_changed", file=shown_path(round_file.path)))


def _append(round_file: RoundFile, entry: E) -> E:
    path = round_file.path
    _check_machine(path.parent.parent)
    remove_leftovers(path.parent)
    try:
        data = read_file(path)
    except Unreadable as error:
        if not error.is_missing:
            raise StoreError(said("refusal.cannot_add", file=shown_path(path), why=error.why)) from None
        return _first(round_file, entry, is_new=True)
    if not data.removeprefix(BOM).strip(b"\0 \t\r\n"):  # what some disks leave of a file after a power cut
        return _first(round_file, entry, is_new=False)
    if round_file.seen is None or round_file.seen.data != data:
        round_file.seen = _examined(round_file, data)
    return _next(round_file, entry, round_file.seen)


def _check_machine(folder: Path) -> None:
    try:
        (folder / MACHINE_FILE).stat()
    except FileNotFoundError:
        raise StoreError(said("refusal.no_machine", folder=shown_path(folder), file=MACHINE_FILE)) from None
    except OSError as error:
        raise StoreError(said("refusal.cannot_write_to", folder=shown_path(folder), why=os_reason(error))) from error


def _check_not_newer(document: Document) -> None:
    if document.is_newer:
        raise StoreError(said("refusal.newer", file=document.file))


def _first(round_file: RoundFile, entry: E, *, is_new: bool) -> E:
    head = round_file.head
    stored = as_stored(entry, head, head, frozenset())
    data = (head_text(head) + entry_text(stored, head, "\n")).encode("utf-8")
    _verify(round_file, data, (stored,))
    (create_file if is_new else replace_file)(round_file.path, data)
    return stored


def _examined(round_file: RoundFile, data: bytes) -> _Seen:
    """Read a round file before the first addition to it, or after somebody else changed it; mend a torn end."""
    document = document_of(round_file.path.name, data, KIND_NAMES)
    _check_not_newer(document)
    if document.torn is not None:
        data = mended(round_file.path, document, data)
        document = document_of(round_file.path.name, data, KIND_NAMES)
    read = read_round(document)
    if read.head is None:
        raise StoreError(said("refusal.broken_head", file=shown_path(round_file.path)))
    return _Seen(data, read.head, frozenset(item.record.at for item in read.entries))


def _next(round_file: RoundFile, entry: E, seen: _Seen) -> E:
    stored = as_stored(entry, seen.head, round_file.head, seen.taken)
    newline = newline_of(seen.data)
    gap = "" if seen.data.endswith(b"\n") else newline
    block = (gap + entry_text(stored, seen.head, newline)).encode("utf-8")
    kind = kind_of(entry)
    if kind in seen.kinds:  # that such a block can stand behind these bytes was proved with the last one
        _verify(round_file, head_text(seen.head).encode("utf-8") + block, (stored,))
    else:
        _verify(round_file, seen.data + block, (*_entries(round_file, seen.data), stored))
    append_bytes(round_file.path, block, expected_size=len(seen.data))
    round_file.seen = _Seen(seen.data + block, seen.head, seen.taken | {stored.at}, seen.kinds | {kind})
    return stored


def _entries(round_file: RoundFile, data: bytes) -> tuple[AnyEntry, ...]:
    read = read_round(document_of(round_file.path.name, data, KIND_NAMES))
    return tuple(item.record for item in read.entries)


def _verify(round_file: RoundFile, data: bytes, expected: tuple[AnyEntry, ...]) -> None:
    """Read what is about to be written; refuse to write what would not come back as the same entries."""
    found = _entries(round_file, data)
    if len(found) != len(expected) or set(found) != set(expected):
        raise StoreError(said("refusal.entry_differs"))
