"""Changes to logbook.toml and machine.toml that leave everything else in them as it was."""

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person, Share
from fieldlog.records.quantities import Length

Value = str | int | Decimal | Length | Share
TableRecord = Person | Instrument | Limit | Joint | Hole | Link


def create_logbook(folder: Path, logbook: Logbook) -> None:
    """Make a logbook folder (made if missing); StoreError when there is one already."""
    raise NotImplementedError


def add_machine(folder: Path, machine: Machine) -> None:
    """Make a machine folder with its machine.toml; StoreError when there is one already."""
    raise NotImplementedError


def add_record(folder: Path, file: str, table: str, record: TableRecord) -> None:
    """Add a record; file is "logbook.toml" or "<machine>/machine.toml", table "people", "joints", "holes" ..."""
    raise NotImplementedError


def change_record(folder: Path, file: str, table: str, which: str | Limit, changes: Mapping[str, Value | None]) -> None:
    """Change keys (None takes a key out) of the record with an id (a limit has none: give it as read); table "" and
    which "" for the keys at the top of the file.
    """
    raise NotImplementedError
