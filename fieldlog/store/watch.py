"""Cheap stamps, made of what a folder listing tells, that change when somebody else edits the files."""

import os
from pathlib import Path

from fieldlog.store.names import name_fault

Stamp = tuple[tuple[str, int, int, int], ...]


def machine_stamp(folder: Path, machine_id: str) -> Stamp:
    """Return name, time, size and inode of a machine's files; two equal stamps mean that nothing was edited."""
    if name_fault(machine_id):
        return ()
    machine = folder / machine_id
    return _file_stamp(machine / "machine.toml") + _folder_stamp(machine / "rounds")


def logbook_stamp(folder: Path) -> Stamp:
    """Return the same for logbook.toml, and which files and folders stand beside it."""
    try:
        with os.scandir(folder) as found:
            names = sorted(item.name for item in found if not item.name.startswith("."))
    except OSError:
        return ()
    return (*_file_stamp(folder / "logbook.toml"), *((name, 0, 0, 0) for name in names))


def _file_stamp(path: Path) -> Stamp:
    try:
        found = path.stat()
    except OSError:
        return ()
    return ((path.name, found.st_mtime_ns, found.st_size, found.st_ino),)


def _folder_stamp(folder: Path) -> Stamp:
    try:
        with os.scandir(folder) as found:
            items = sorted((item for item in found if item.name.endswith(".toml")), key=lambda item: item.name)
    except OSError:
        return ()
    stamp: list[tuple[str, int, int, int]] = []
    for item in items:
        stamp += _file_stamp(Path(item.path))
    return tuple(stamp)
