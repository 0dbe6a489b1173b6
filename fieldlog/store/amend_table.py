"""Changes to a table that stands alone in machine.toml, leaving everything else in the file as it was."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, cast

from fieldlog.errors import StoreError
from fieldlog.store.amend import Value, appended, edited, parsed_file, redo
from fieldlog.store.schema import plain_value
from fieldlog.store.toml_text import Table

if TYPE_CHECKING:
    from tomlkit import TOMLDocument


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
            raise StoreError(f"{file}: {table} is not a table; write [{table}] above its keys.")

        def change(document: "TOMLDocument") -> None:
            target = cast("dict[str, object]", document[table])
            for key in gone:
                target.pop(key, None)
            target.update(plain)

        kept = {key: value for key, value in present.items() if key not in gone}
        return edited(old, change), {**data, table: {**kept, **plain}}

    redo(folder, file, changed)
