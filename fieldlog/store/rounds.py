"""Entries put on disk one by one."""

from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar
from fieldlog.records.entries import AnyEntry, Round

E = TypeVar("E", bound=AnyEntry)


@dataclass(slots=True)
class RoundFile:
    """One person's round file of one day, made with its first entry."""

    folder: Path
    machine_id: str
    head: Round

    @property
    def path(self) -> Path:
        """Where it is."""
        raise NotImplementedError


def open_round(folder: Path, machine_id: str, head: Round) -> RoundFile:
    """Return the round file for the head's date and person; `head.id` is worked out here, "" will do."""
    raise NotImplementedError


def append_entry(round_file: RoundFile, entry: E) -> E:
    """Put an entry on disk (fsync returned) and return it as stored: at, round, day, who, instrument may differ."""
    raise NotImplementedError
