"""Cheap stamps that change when somebody else edits the files."""

from pathlib import Path

Stamp = tuple[tuple[str, int, int, int], ...]


def machine_stamp(folder: Path, machine_id: str) -> Stamp:
    """Return name, time, size and inode of a machine's files; two equal stamps mean nothing was edited."""
    raise NotImplementedError


def logbook_stamp(folder: Path) -> Stamp:
    """Return the same for logbook.toml and the list of machine folders."""
    raise NotImplementedError
