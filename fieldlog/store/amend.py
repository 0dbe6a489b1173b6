"""Changes to logbook.toml and machine.toml that leave everything else in them as it was.

Changes to a table that stands alone in machine.toml, leaving everything else in the file as it was.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, cast

from fieldlog.errors import StoreError
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import said
from fieldlog.quantity.text import harmless
from fieldlog.quantity.units import Flow, Force, Mass, Pressure
from fieldlog.records.checks import Check
from fieldlog.records.hitch import Angle, Directed, Implement, ImplementPoint, MastHole, RodHole, TopLinkHole
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person, Share, Thread
from fieldlog.records.offer import InHand
from fieldlog.records.seasons import SeasonWord
from fieldlog.store.atomic import create_file, replace_file
from fieldlog.store.document import FORMAT, WRITE_FORMAT, document_of
from fieldlog.store.files import (
    LOGBOOK_FILE,
    MACHINE_FILE,
    OFFERS_FOLDER,
    Unreadable,
    machine_folder,
    os_reason,
    read_file,
    safe_name,
    shown_path,
    writing,
)
from fieldlog.store.schema import plain_value, record_from, table_from
from fieldlog.store.toml_text import Table, parse_table

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

Value = str | int | Decimal | Length | Share | SeasonWord | Pressure | Mass | Flow | Thread | Directed | Angle | Force
HitchRecord = TopLinkHole | RodHole | Implement | MastHole | ImplementPoint
TableRecord = Person | Instrument | Limit | Joint | Hole | Link | InHand | Check | HitchRecord
_BOM = "\ufeff"
_LONE_NEWLINE = re.compile(r"(?<!\r)\n")
_MOST_TRIES = 5


def create_logbook(folder: Path, logbook: Logbook) -> None:
    """Make a logbook folder (made if missing).

    Raises:
        StoreError: there is a logbook already, or the folder cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(said("refusal.folder_not_made", folder=shown_path(folder), why=os_reason(error))) from error
    tables: Mapping[str, Sequence[TableRecord]] = {
        "people": logbook.people,
        "instruments": logbook.instruments,
        "limits": logbook.limits,
    }
    head: Table = {"format": FORMAT, "name": logbook.name, "units": logbook.units}
    with writing(folder):
        create_file(folder / LOGBOOK_FILE, _whole(head, tables))


def add_machine(folder: Path, machine: Machine) -> None:
    """Make a machine folder with its machine.toml.

    Raises:
        StoreError: there is such a machine already, its name cannot stand in a path, or the disk refuses.
    """
    path = machine_folder(folder, machine.id) / MACHINE_FILE
    parts: Mapping[str, Sequence[TableRecord]] = {
        "joints": machine.joints,
        "holes": machine.holes,
        "links": machine.links,
        "limits": machine.limits,
    }
    whole = table_from(machine, leave_out={}, is_terse=True)
    head: Table = {"format": FORMAT, **{key: value for key, value in whole.items() if key not in {"id", *parts}}}
    with writing(folder):
        create_file(path, _whole(head, parts))


def _whole(head: Table, tables: Mapping[str, Sequence[TableRecord]]) -> bytes:
    import tomli_w

    parts = [tomli_w.dumps(head)]
    parts += [_block(name, _table_of(item), "\n") for name, items in tables.items() for item in items]
    return "".join(parts).encode("utf-8")


def _block(table: str, given: Table, newline: str, heading: str = "[[{}]]") -> str:
    """Return one record under its [[heading]]; a list of short records would otherwise be written in one line."""
    import tomli_w

    return f"\n{heading.format(table)}\n{tomli_w.dumps(given)}".replace("\n", newline)


def _table_of(record: TableRecord) -> Table:
    return table_from(record, leave_out={}, is_terse=True)


def add_record(folder: Path, file: str, table: str, record: TableRecord) -> None:
    """Add a record; file is "logbook.toml" or "<machine>/machine.toml", table "people", "joints", "holes" ...

    Raises:
        StoreError: the file cannot be read or written, is of a newer program, or the id is taken.
    """

    def added(old: str) -> tuple[str, Table]:
        data = parsed_file(file, old)
        present = data.get(table, [])
        if not isinstance(present, list):
            raise StoreError(said("refusal.not_records", file=file, name=table))
        given = _table_of(record)
        if "id" in given and any(isinstance(item, dict) and item.get("id") == given["id"] for item in present):
            raise StoreError(said("refusal.id_there", file=file, id=given["id"], name=table))
        expected = {**data, table: [*present, given]}
        text = appended(old, table, given)
        if not _reads_as(text, expected):
            text = edited(old, lambda document: document[table].append(given))
        return text, expected

    redo(folder, file, added)


def appended(old: str, table: str, given: Table, heading: str = "[[{}]]") -> str:
    """Return the text with a block at its end, so that every old byte stays where it was."""
    newline = "\r\n" if "\r\n" in old else "\n"
    gap = "" if old.endswith("\n") or not old else newline
    return old + gap + _block(table, given, newline, heading)


def _reads_as(text: str, expected: Table) -> bool:
    from fieldlog.store.toml_text import UnreadableText

    try:
        return parse_table(text.removeprefix(_BOM)) == expected
    except (UnreadableText, RecursionError):
        return False


def change_record(
    folder: Path, file: str, table: str, which: str | Limit | Check, changes: Mapping[str, Value | None]
) -> None:
    """Change keys of one record; None takes a key out.

    Args:
        folder: the logbook.
        file: "logbook.toml" or "<machine>/machine.toml".
        table: the array the record is in, "" for the keys at the top of the file.
        which: the record's id; a limit or a check has none and is given as it was read; "" with an empty `table`.
        changes: keys and their new values.

    Raises:
        StoreError: the record is not there any more, or the file cannot be read or written.
    """
    plain = {key: None if value is None else plain_value(value) for key, value in changes.items()}

    def changed(old: str) -> tuple[str, Table]:
        data = parsed_file(file, old)
        index = _index(file, data, table, which) if table else -1
        expected = _changed_data(data, table, index, plain)

        def change(document: "TOMLDocument") -> None:
            target = cast("dict[str, object]", document[table][index] if table else document)
            for key, value in plain.items():
                if value is None:
                    target.pop(key, None)
                else:
                    _set(target, key, value)

        return edited(old, change), expected

    redo(folder, file, changed)


def _index(file: str, data: Table, table: str, which: str | Limit | Check) -> int:
    records = data.get(table, [])
    for index, record in enumerate(records if isinstance(records, list) else []):
        if isinstance(record, dict):
            found = record.get("id") if isinstance(which, str) else record_from(type(which), record)
            if found == which:
                return index
    raise StoreError(said("refusal.record_gone", file=file))


def _changed_data(data: Table, table: str, index: int, changes: Mapping[str, object]) -> Table:
    def changed(old: Table) -> Table:
        return {key: value for key, value in {**old, **changes}.items() if value is not None}

    if not table:
        return changed(data)
    records = data[table]
    assert isinstance(records, list)
    return {**data, table: [changed(item) if number == index else item for number, item in enumerate(records)]}


def _set(target: dict[str, object], key: str, value: object) -> None:
    """Set a key; a new one at the top of a file goes before the first array of tables."""
    import tomlkit
    from tomlkit import TOMLDocument

    shown = tomlkit.value(str(value)) if isinstance(value, Decimal) else value
    if key in target or not isinstance(target, TOMLDocument):
        target[key] = shown
        return
    first = next((i for i, (name, item) in enumerate(target.body) if name is not None and _is_array(item)), None)
    if first is None:
        target[key] = shown
        return
    above = [i for i, (name, _) in enumerate(target.body[:first]) if name is not None]
    # tomlkit has no public way to put a key before a table
    target._insert_at(above[-1] + 1 if above else first, key, tomlkit.item(shown))


def _is_array(item: object) -> bool:
    from tomlkit.items import AoT
    from tomlkit.items import Table as TomlTable

    return isinstance(item, AoT | TomlTable)


def edited(old: str, change: "Callable[[TOMLDocument], None]") -> str:
    """Return the text with a change made through tomlkit, which keeps comments, order and line ends."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(old.removeprefix(_BOM))
        change(document)
        text = tomlkit.dumps(document)
    except (TOMLKitError, KeyError, IndexError, TypeError, ValueError, AttributeError, RecursionError) as error:
        raise StoreError(said("refusal.odd_layout")) from error
    if "\r\n" in old and not _LONE_NEWLINE.search(old):
        text = _LONE_NEWLINE.sub("\r\n", text)
    return (_BOM if old.startswith(_BOM) else "") + text


def _path(folder: Path, file: str) -> Path:
    """Return where a file is that may be changed: logbook.toml, an offer, or the machine.toml of a machine."""
    if file == LOGBOOK_FILE:
        return folder / file
    machine_id, _, name = file.partition("/")
    if machine_id == OFFERS_FOLDER and name.endswith(".toml"):
        return folder / OFFERS_FOLDER / f"{safe_name(name.removesuffix('.toml'), 'offer')}.toml"
    if name != MACHINE_FILE:
        raise StoreError(said("refusal.no_such_file", file=harmless(file), logbook=LOGBOOK_FILE, machine=MACHINE_FILE))
    return machine_folder(folder, machine_id) / MACHINE_FILE


def _text(folder: Path, file: str) -> str:
    """Return a file's text, refusing what must not be changed."""
    path = _path(folder, file)
    try:
        data = read_file(path)
    except Unreadable as error:
        raise StoreError(said("refusal.cannot_change", file=shown_path(path), why=error.why)) from None
    document = document_of(file, data)
    if document.is_newer:
        raise StoreError(said("refusal.newer", file=file))
    if not document.format:
        raise StoreError(said("refusal.no_format", file=file, accepted=WRITE_FORMAT))
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise StoreError(said("refusal.not_utf8", file=file)) from None


def parsed_file(file: str, text: str) -> Table:
    """Return the table in a file's text, refusing one that cannot be read."""
    from fieldlog.store.toml_text import UnreadableText

    try:
        return parse_table(text.removeprefix(_BOM))
    except UnreadableText as error:
        where = f":{error.line}" if error.line else ""
        raise StoreError(said("refusal.broken", file=f"{file}{where}", wrong=error.wrong)) from None


def redo(folder: Path, file: str, change: Callable[[str], tuple[str, Table]]) -> None:
    """Make a change to a file, again from the start when an editor saved it meanwhile.

    The new text is written only when it reads back as exactly what was meant.
    """
    with writing(folder):
        for _ in range(_MOST_TRIES):
            old = _text(folder, file)
            text, expected = change(old)
            if not _reads_as(text, expected):
                raise StoreError(said("refusal.not_safely", file=file))
            if _text(folder, file) == old:
                replace_file(_path(folder, file), text.encode("utf-8"))
                return
    raise StoreError(said("refusal.always_changed", file=file))


def change_table(folder: Path, file: str, table: str, changes: Mapping[str, Value | None]) -> None:
    """Change keys of a table that stands alone, as [hitch] does; it is made when it is not there yet.

    Raises:
        StoreError: the file cannot be read or written, or something else stands under that name.
    """
    plain = {key: plain_value(value) for key, value in changes.items() if value is not None}
    gone = {key for key, value in changes.items() if value is None}

    def changed(old: str) -> tuple[str, Table]:
        data = parsed_file(file, old)
        present = data.get(table)
        if present is None:
            return appended(old, table, plain, "[{}]"), {**data, table: plain}
        if not isinstance(present, dict):
            raise StoreError(said("refusal.not_a_table", file=file, name=table))

        def change(document: "TOMLDocument") -> None:
            target = cast("dict[str, object]", document[table])
            for key in gone:
                target.pop(key, None)
            target.update(plain)

        kept = {key: value for key, value in present.items() if key not in gone}
        return edited(old, change), {**data, table: {**kept, **plain}}

    redo(folder, file, changed)
